"""From what was said to a dose in the drug's own unit: by mass, by volume and strength, by body mass, by ampoule."""

from dataclasses import dataclass
from typing import Final

from drillyard.core.care.actions import RateUnit, Route
from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.grammar.dose_texts import (
    UNIT_SAID,
    converted,
    dose_text,
    printed_doses,
    printed_of,
    usual_text,
)
from drillyard.core.entry.reader import Ask, plain
from drillyard.core.entry.words import ROUTE_WORD, DoseWord
from drillyard.core.formulary.doses import dose_verdict
from drillyard.core.formulary.model import AmountUnit
from drillyard.core.formulary.strengths import strength_text
from drillyard.core.quantities.faults import Fault, Refusal

MASS_UNITS: Final[tuple[DoseWord, ...]] = ("g", "mg", "ug")
READINGS: Final[dict[AmountUnit, tuple[DoseWord, ...]]] = {
    "mg": MASS_UNITS, "units": ("units",), "mmol": ("mmol",), "mL": ("mL",),
}  # fmt: skip
"""Units in which a dose without one may be read, by how the drug is counted."""


@dataclass(slots=True)
class Said:
    """What has been read of one dose so far."""

    number: float | None = None
    number_at: int = 0
    unit: DoseWord | None = None
    by_mass: bool = False
    ampoules: bool = False
    rate_unit: RateUnit | None = None
    strength_per_ml: float | None = None
    route: Route | None = None
    site: str = ""
    over_s: float = 0.0


def dose_of(context: EntryContext, at_hand: DrugAtHand, said: Said) -> float:
    """The dose in the drug's own unit; asks where the unit or the strength leaves two readings."""
    assert said.number is not None
    if said.ampoules:
        strength, volume_ml = _one_ampoule(at_hand, said)
        amount = float(f"{said.number * strength * volume_ml:.12g}")
        return converted(amount, at_hand.drug.amount_unit, at_hand.drug.dose_unit)
    number = float(f"{said.number * context.mass_kg:.12g}") if said.by_mass else said.number
    if said.unit == "mL" and at_hand.drug.amount_unit != "mL":
        return _from_volume(at_hand, said, number)
    if said.unit is not None:
        return converted(number, said.unit, at_hand.drug.dose_unit)
    return _without_unit(context, at_hand, said)


def _one_ampoule(at_hand: DrugAtHand, said: Said) -> tuple[float, float]:
    """Strength and millilitres of what one ampoule of the box is."""
    strength = said.strength_per_ml
    fitting = [row for row in at_hand.ampoules if strength is None or abs(row[0] - strength) <= 1e-9 * strength]
    if len(fitting) == 1:
        return fitting[0]
    drug, number = at_hand.drug, said.number or 0.0
    if not fitting:
        raise Refusal(
            Fault(
                code="ampoule not known",
                said=f"no ampoule of {drug.name} is in the drug box, so it cannot be turned into a dose",
                value=plain(number),
                remedy=f"write the dose in {UNIT_SAID[drug.dose_unit]}",
            )
        )
    unit = drug.dose_unit
    doses = [converted(float(f"{number * s * ml:.12g}"), drug.amount_unit, unit) for s, ml in fitting]
    texts = [
        f"{dose_text(dose, unit)} ({strength_text(drug, s)}, {plain(ml)} mL)"
        for dose, (s, ml) in zip(doses, fitting, strict=True)
    ]
    route = f" {ROUTE_WORD[said.route]}" if said.route else ""
    raise Ask(f"Which: {' or '.join(texts)}?", (f"{dose_text(dose, unit)}{route}" for dose in doses), said.number_at)


def _from_volume(at_hand: DrugAtHand, said: Said, volume_ml: float) -> float:
    drug = at_hand.drug
    labels = at_hand.labels_per_ml
    if said.strength_per_ml is not None:
        labels = (said.strength_per_ml,)
    if not labels:
        raise Refusal(
            Fault(
                code="strength not known",
                said=f"{at_hand.name} is not in the drug box, so mL cannot be turned into a dose",
                value=f"{plain(volume_ml)} mL",
                remedy=f"write the dose in {UNIT_SAID[drug.dose_unit]}, or add 'of 1 {drug.amount_unit}/ml' with the "
                "strength on the label",
            )
        )
    unit, own = drug.dose_unit, drug.amount_unit
    if len(labels) > 1:
        amounts = [converted(float(f"{volume_ml * label:.12g}"), own, unit) for label in labels]
        doses = [
            f"{dose_text(dose, unit)} ({strength_text(drug, label)})"
            for dose, label in zip(amounts, labels, strict=True)
        ]
        raise Ask(
            f"{plain(volume_ml)} mL of which label: {' or '.join(doses)}?",
            (f"of {plain(label)} {own}/ml" for label in labels),
        )
    return converted(float(f"{volume_ml * labels[0]:.12g}"), own, unit)


def _without_unit(context: EntryContext, at_hand: DrugAtHand, said: Said) -> float:
    """A bare number is taken only where one reading alone is usual; otherwise it is asked about.

    It is read in each unit of mass and as millilitres of each label in the box.  One usual reading by mass is taken
    if no volume gives another usual dose; a dose that is printed as such (an end of a published range) outweighs a
    volume that merely falls into the range.
    """
    assert said.number is not None and said.route is not None
    drug = at_hand.drug

    def is_usual(dose: float) -> bool:
        return dose_verdict(drug, dose, drug.dose_unit, said.route or "", context.mass_kg).verdict == "usual"

    own = READINGS[drug.amount_unit]
    labels = at_hand.labels_per_ml if said.strength_per_ml is None else (said.strength_per_ml,)
    fitting = [unit for unit in own if is_usual(converted(said.number, unit, drug.dose_unit))]
    by_volume = [converted(said.number * label, drug.amount_unit, drug.dose_unit) for label in labels]
    if len(fitting) == 1:
        dose = converted(said.number, fitting[0], drug.dose_unit)
        is_printed = any(abs(dose - printed) <= 1e-9 * dose for printed in printed_doses(at_hand, said.route))
        has_rival = any(is_usual(other) and abs(other - dose) > 1e-9 * dose for other in by_volume)
        if is_printed or not has_rival:
            return dose
    readings = [f"{plain(said.number)} {UNIT_SAID[unit]}" for unit in (fitting or _ways(at_hand))]
    readings += [f"{plain(said.number)} mL"] if labels and drug.amount_unit != "mL" else []
    route = ROUTE_WORD[said.route]
    raise Ask(
        f"{' or '.join(readings)}? {usual_text(at_hand, said.route)}".strip(),
        (f"{reading} {route}" for reading in readings),
        said.number_at,
    )


def _ways(at_hand: DrugAtHand) -> tuple[DoseWord, ...]:
    """The units in which the drug's published doses are said."""
    own = at_hand.drug.dose_unit
    if at_hand.drug.amount_unit != "mg":
        return (own,)
    texts = [dose_text(dose, own).split(" ")[1] for row in at_hand.drug.usual_doses for dose in printed_of(row, own)]
    ways: list[DoseWord] = [own]
    ways += ["g"] if "g" in texts else []
    return tuple(ways) if len(ways) > 1 or at_hand.labels_per_ml else ("mg", "ug")


def reckoned_of(context: EntryContext, at_hand: DrugAtHand, said: Said) -> str:
    """What the dose was reckoned from, where it was not typed as such."""
    if said.number is None or not (said.by_mass or said.ampoules or said.unit == "mL" or said.strength_per_ml):
        return ""
    drug = at_hand.drug
    number = plain(said.number)
    if said.ampoules:
        return f"{number} of {strength_text(drug, _one_ampoule(at_hand, said)[0])}"
    unit = UNIT_SAID[said.unit] if said.unit else ""
    parts = [f"{number} {unit}/kg at {plain(context.mass_kg)} kg"] if said.by_mass else []
    if said.unit == "mL":
        volume_ml = said.number * (context.mass_kg if said.by_mass else 1.0)
        strength = said.strength_per_ml or (at_hand.labels_per_ml[0] if at_hand.labels_per_ml else 0.0)
        of = strength_text(drug, strength) if said.strength_per_ml or drug.amount_unit != "mL" else ""
        if of or said.by_mass:
            parts.append(f"{plain(float(f'{volume_ml:.6g}'))} mL" + (f" of {of}" if of else ""))
    elif said.strength_per_ml and drug.amount_unit != "mL":
        dose = converted(dose_of(context, at_hand, said), drug.dose_unit, drug.amount_unit)
        volume_ml = dose / said.strength_per_ml
        parts.append(f"{plain(float(f'{volume_ml:.4g}'))} mL of {strength_text(drug, said.strength_per_ml)}")
    return ", ".join(parts)
