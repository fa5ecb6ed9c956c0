"""What is at hand while a line is typed: drugs of the box, findings, lines and sensors in place, sides of the case."""

from dataclasses import dataclass
from typing import Literal

from drillyard.core.care.actions import Action, Sensor, Side
from drillyard.core.care.problems import Bleeding, Haemothorax, Pneumothorax
from drillyard.core.formulary.formulary import Formulary
from drillyard.core.formulary.model import Drug, UsualDose
from drillyard.core.manikin.profile import Profile
from drillyard.core.scenario.kit import Kit, KitItem
from drillyard.core.scenario.model import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class DrugAtHand:
    """One drug of the formulary as the entry line sees it.

    ``labels_per_ml`` are the strengths in this case's box, in the unit in which the drug is counted (1 for a drug
    counted in millilitres); empty means that the drug is not in the box.  ``ampoules`` are what it lies in there:
    amount in one ampoule, syringe, vial or bag, and its millilitres.
    """

    drug: Drug
    labels_per_ml: tuple[float, ...] = ()
    ampoules: tuple[tuple[float, float], ...] = ()

    @property
    def name(self) -> str:
        return self.drug.name

    @property
    def words(self) -> tuple[str, ...]:
        return (self.drug.name, *self.drug.synonyms)

    def usual_by(self, route: str) -> tuple[UsualDose, ...]:
        """Published doses by ``route``; into a bone is as into a vein."""
        return tuple(row for row in self.drug.usual_doses if row.route == ("IV" if route == "IO" else route))


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAtHand:
    kind: Literal["IV", "IO"]
    site: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """Sizes that lie in the bags, by what they are for; empty means not known, and nothing is offered."""

    line_gauges: tuple[int, ...] = ()
    needle_gauges: tuple[int, ...] = ()
    tube_sizes: tuple[float, ...] = ()
    pharyngeal_sizes: tuple[float, ...] = ()
    supraglottic_sizes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryContext:
    """Everything that parsing reads beside the line itself.

    ``mass_kg`` is the patient's, for doses published by body mass.
    ``now_s`` is the run's time, which a late entry may not pass; ``start_s`` the earliest time that can be entered
    (0, or less where the case begins before the crew arrives).  ``lines`` is ``None`` where it is not known which
    lines are in place.  ``bleeding_sites`` and ``chest_sides`` are those of the case's problems.
    ``profile`` is the manikin today and ``done`` what was done to it in this run, with its times; without a profile
    nothing is said about limits.
    """

    drugs: tuple[DrugAtHand, ...] = ()
    mass_kg: float = 70.0
    box: Box = Box()
    now_s: float = 0.0
    start_s: float = 0.0
    lines: tuple[LineAtHand, ...] | None = None
    sensors_on: tuple[Sensor, ...] = ()
    oxygen_on: bool = False
    is_bagging: bool = False
    is_compressing: bool = False
    airway_in: bool = False
    controlled_sites: tuple[str, ...] = ()
    bleeding_sites: tuple[str, ...] = ()
    chest_sides: tuple[Side, ...] = ()
    crew: tuple[str, ...] = ()
    profile: Profile | None = None
    done: tuple[tuple[float, Action], ...] = ()


def context_for(
    scenario: Scenario, formulary: Formulary, kit: Kit | None = None, crew: tuple[str, ...] = ()
) -> EntryContext:
    """What is at hand as the case begins: its drug box and kit, and the sides of its problems.

    ``core/session/at_hand.py`` brings it up to the state of the run.
    """
    labels = (*scenario.drug_box, *(kit.drug_box if kit and not scenario.drug_box else ()))
    drugs = []
    for name in formulary:
        drug = formulary.get(name)
        words = (drug.name, *drug.synonyms)
        own = [row for row in labels if row.drug in words and row.amount_unit == drug.amount_unit]
        ampoules = sorted({(row.concentration_per_ml, row.volume_ml) for row in own}, reverse=True)
        in_box = tuple(dict.fromkeys(strength for strength, _ in ampoules))
        drugs.append(DrugAtHand(drug=drug, labels_per_ml=in_box, ampoules=tuple(ampoules)))
    wounds = tuple(row.site for row in scenario.problems if isinstance(row, Bleeding))
    chests = tuple(row.side for row in scenario.problems if isinstance(row, Pneumothorax | Haemothorax))
    return EntryContext(
        drugs=tuple(drugs),
        mass_kg=scenario.patient.mass_kg,
        box=box_of(kit),
        lines=(),
        bleeding_sites=tuple(dict.fromkeys(wounds)),
        chest_sides=tuple(dict.fromkeys(chests)),
        crew=crew,
    )


def box_of(kit: Kit | None) -> Box:
    """Sizes that lie in the bags of a kit."""
    items: tuple[KitItem, ...] = kit.items if kit else ()

    def gauges(word: str) -> tuple[int, ...]:
        return tuple(sorted({i.gauge for i in items if i.gauge and any(p.startswith(word) for p in i.procedures)}))

    def sizes(word: str) -> tuple[float, ...]:
        return tuple(sorted({i.size_mm for i in items if i.size_mm and any(p.startswith(word) for p in i.procedures)}))

    return Box(
        line_gauges=gauges("place line"),
        needle_gauges=gauges("decompress chest"),
        tube_sizes=sizes("place airway tracheal tube"),
        pharyngeal_sizes=sizes("place airway pharyngeal airway"),
        supraglottic_sizes=sizes("place airway supraglottic airway"),
    )
