"""How many ampoules, syringes, vials and bags of the drug box the log says were used.

The log says how much was given, not from which label.  Where a drug lies in the box in several, a dose is counted
from the one of which the fewest are opened, the smallest of these; an infusion by volume from the label of its own
strength, any other infusion from the weakest label, the one that runs in as it is (our choices).  What is left in an
opened one is used for the next dose.
"""

import math
from collections.abc import Sequence
from typing import Final

from drillyard.core.care.actions import Action, GiveDrug
from drillyard.core.formulary import Formulary
from drillyard.core.formulary.doses import dose_amount
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import BoxDrug
from drillyard.core.session.infused import infused

DUST: Final = 1e-9


def used_of_box(
    box: Sequence[BoxDrug], care: Sequence[tuple[float, Action]], end_s: float, formulary: Formulary, mass_kg: float
) -> tuple[int, ...]:
    """How many of each row of ``box`` were opened.

    Args:
        care: actions of the crew with their times in seconds, in order.
        end_s: when what still ran stopped.
        mass_kg: the patient's, for rates by body mass.
    """
    taken = [0.0] * len(box)
    for _, action in care:
        if isinstance(action, GiveDrug):
            amount = _amount(action, formulary)
            rows = _rows_of(action.drug, box)
            if rows and amount > 0.0:
                taken[min(rows, key=lambda i: (_opened(amount, box[i].amount), box[i].amount))] += amount
    for spell in infused(care, end_s, formulary, mass_kg):
        rows = _rows_of(spell.action.drug, box)
        same = [i for i in rows if _is_near(box[i].concentration_per_ml, spell.action.strength_per_ml)]
        if rows and spell.amount > 0.0:
            taken[min(same or rows, key=lambda i: (box[i].concentration_per_ml, box[i].amount))] += spell.amount
    return tuple(_opened(amount, row.amount) for amount, row in zip(taken, box, strict=True))


def _rows_of(drug: str, box: Sequence[BoxDrug]) -> list[int]:
    return [i for i, row in enumerate(box) if row.drug == drug and row.amount > 0.0]


def _is_near(one: float, other: float) -> bool:
    return abs(one - other) <= DUST * one


def _opened(amount: float, in_one: float) -> int:
    return math.ceil(amount / in_one - DUST) if in_one > 0.0 else 0


def _amount(action: GiveDrug, formulary: Formulary) -> float:
    """A dose in the unit in which its drug is counted; 0 where the formulary cannot say."""
    if action.drug not in formulary:
        return 0.0
    try:
        return dose_amount(formulary.get(action.drug), action.dose, action.dose_unit)
    except Refusal:
        return 0.0
