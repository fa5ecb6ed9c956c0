"""What ran in by infusions: spells of one rate, from start to change, stop or the end of the run.

In:       actions of the crew with their times, in order; the end; the drugs; the patient's mass.
Out:      one spell for each rate, in the unit in which its drug is counted.
Assumes:  a new rate takes the place of the old one; a rate runs as set.
Left out: the time that the line's own volume takes, and a line that is taken out or blocked.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from drillyard.core.care.actions import Action, StartInfusion, StopInfusion
from drillyard.core.formulary import Formulary
from drillyard.core.formulary.doses import rate_amount_per_min
from drillyard.core.quantities.faults import Refusal


@dataclass(frozen=True, slots=True, kw_only=True)
class Infused:
    """One rate of one drug, from ``from_s`` to ``to_s``.  ``amount_per_min`` and ``amount`` are in the drug's unit."""

    action: StartInfusion
    from_s: float
    to_s: float
    amount_per_min: float

    @property
    def amount(self) -> float:
        return self.amount_per_min * (self.to_s - self.from_s) / 60.0


def infused(
    care: Iterable[tuple[float, Action]], end_s: float, formulary: Formulary, mass_kg: float
) -> tuple[Infused, ...]:
    """Every spell of infusion; one of a drug or a unit that ``formulary`` does not know is left out."""
    spells: list[Infused] = []
    running: dict[str, tuple[float, StartInfusion]] = {}

    def close(drug: str, to_s: float) -> None:
        from_s, action = running.pop(drug)
        try:
            per_min = rate_amount_per_min(
                formulary.get(drug), action.rate, action.rate_unit, mass_kg, action.strength_per_ml
            )
        except Refusal:
            return
        spells.append(Infused(action=action, from_s=from_s, to_s=max(from_s, to_s), amount_per_min=per_min))

    for t_s, action in care:
        if isinstance(action, StartInfusion | StopInfusion) and action.drug in running:
            close(action.drug, t_s)
        if isinstance(action, StartInfusion):
            running[action.drug] = (t_s, action)
    for drug in tuple(running):
        close(drug, end_s)
    return tuple(sorted(spells, key=lambda spell: spell.from_s))
