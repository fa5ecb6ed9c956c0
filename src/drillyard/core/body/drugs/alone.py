"""The drug slots without a body: levels and receptors of a person whose blood flow is given.

The same text as in the body, a second at a time.  For tests and for values published about kinetics alone.
"""

from dataclasses import dataclass, field
from typing import Any, Protocol

from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.stand import DrugStand
from drillyard.core.formulary import Formulary, Person
from drillyard.core.formulary.vocabulary import RECEPTOR_ORDER, SUBSTANCE_ORDER


class Mover(Protocol):
    """What moves the slots on by whole seconds at a blood flow."""

    def __call__(self, x: Any, p: Any, seconds: int, cardiac_output_frac: float) -> None: ...


def in_plain_python(x: Any, p: Any, seconds: int, cardiac_output_frac: float) -> None:
    """Move the slots on by whole seconds, as the organ's own text does."""
    for _ in range(seconds):
        slots.advance_drug_slots(x, p, 0, 0, cardiac_output_frac)


@dataclass(slots=True)
class DrugsAlone:
    """One person's drugs.  ``t_s`` is the time since the beginning.

    ``move`` advances ``x`` by seconds at a blood flow: plain Python, or a compiled form of the same text, whose drug
    blocks begin at ``x0`` and ``p0`` of its arrays.
    """

    formulary: Formulary
    person: Person
    t_s: int = 0
    x: Any = field(default_factory=lambda: [0.0] * slots.X_SIZE)
    p: Any = field(default_factory=lambda: [0.0] * slots.P_SIZE)
    held: dict[str, str] = field(default_factory=dict)
    x0: int = 0
    p0: int = 0
    move: Mover = in_plain_python

    def give(self, drug: str, dose: float, unit: str, route: str, over_s: float = 0.0, site: str = "") -> None:
        """A dose, as ``DrugStand.give``."""
        self.stand.give(drug, dose, unit, route, over_s, site)

    def infuse(self, drug: str, rate: float, unit: str, route: str = "IV", strength_per_ml: float = 0.0) -> None:
        """An infusion, as ``DrugStand.infuse``."""
        self.stand.infuse(drug, rate, unit, route, "", strength_per_ml)

    def stop_infusion(self, drug: str) -> None:
        """The end of an infusion."""
        self.stand.stop_infusion(drug)

    @property
    def stand(self) -> DrugStand:
        """The slots, to give and to read."""
        return DrugStand(self.x, self.p, self.x0, self.p0, self.held, self.formulary, self.person)

    def run(self, seconds: int, cardiac_output_frac: float = 1.0) -> None:
        """Move on at a steady blood flow (1 at rest)."""
        self.move(self.x, self.p, seconds, cardiac_output_frac)
        self.t_s += seconds

    def plasma_per_l(self, drug: str) -> float:
        """Level in plasma, in the drug's own unit (mg for most) a litre."""
        return self.stand.level_per_l(drug, slots.SITE_PLASMA)

    def effect_site_per_l(self, drug: str) -> float:
        """Level at the main effect site."""
        return self.stand.level_per_l(drug, slots.SITE_MAIN)

    def share(self, receptor: str) -> float:
        """Share of the full effect at a receptor of ``vocabulary.RECEPTORS``."""
        return float(self.x[self.x0 + slots.X_RECEPTORS + RECEPTOR_ORDER.index(receptor)])

    def arriving_per_s(self, substance: str) -> float:
        """Rate at which a substance of ``vocabulary.SUBSTANCES`` arrives in the blood."""
        return float(self.x[self.x0 + slots.X_SUBSTANCES + SUBSTANCE_ORDER.index(substance)])
