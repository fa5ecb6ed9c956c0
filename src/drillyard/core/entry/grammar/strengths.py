"""Strengths as they are typed: "10%", "of 1 mg/ml", "50 mg/ml", "1:10000".

"1:1000" is 1 g in 1000 mL, 1 mg/mL (older labels of epinephrine, common practice, from memory).
"""

import re
from typing import Final

from drillyard.core.entry.at_hand import DrugAtHand
from drillyard.core.entry.reader import Ask, Reader
from drillyard.core.formulary.model import AmountUnit, Drug
from drillyard.core.formulary.strengths import STRENGTH_UNITS, of_percent, strength_text
from drillyard.core.quantities.faults import Fault, Refusal

PERCENT: Final = ("%", "percent")
_RATIO: Final = re.compile(r"^1:(\d[\d,]*)$")


def take_strength(reader: Reader, drug: Drug) -> float | None:
    """Takes a strength that needs no word before it ("10%", "50 mg/ml", "1:10000"); ``None`` where none stands here."""
    ratio = _RATIO.match(reader.word())
    if ratio is not None and drug.amount_unit == "mg" and float(ratio[1].replace(",", "")) > 0.0:
        reader.index += 1
        return float(f"{1000.0 / float(ratio[1].replace(',', '')):.12g}")
    start = reader.index
    number = reader.take_number()
    if number is not None and reader.take_word(*PERCENT):
        return of_percent(drug, number)
    unit = reader.take(STRENGTH_UNITS) if number is not None else None
    if number is None or unit is None:
        reader.index = start
        return None
    return _in_own_unit(drug, number, unit)


def need_strength(reader: Reader, drug: Drug) -> float:
    """A strength after "of": "of 1 mg/ml", "of 10%"; "of 0.4 per ml" is in the unit in which the drug is counted."""
    found = take_strength(reader, drug)
    if found is not None:
        return found
    unit = drug.amount_unit
    number = reader.need_number(f"Of which strength, in {unit}/mL?")
    if reader.take_word("per") and reader.take_word("ml"):
        return number
    raise Ask(f"Is that strength in {unit}/mL?", (f"{unit}/ml",))


def _in_own_unit(drug: Drug, number: float, unit: tuple[AmountUnit, float]) -> float:
    if unit[0] != drug.amount_unit or number <= 0.0:
        said = f"a strength of {drug.name} is said in {drug.amount_unit}/mL, above 0"
        raise Refusal(Fault(code="wrong unit", said=said, allowed=f"{drug.amount_unit}/mL"))
    return float(f"{number * unit[1]:.12g}")


def strength_warning(at_hand: DrugAtHand, strength_per_ml: float) -> str:
    """Said where the strength is on no label of the box, or of the drug's file if the box is not known."""
    drug = at_hand.drug
    if drug.amount_unit == "mL":
        return ""
    labels = at_hand.labels_per_ml or tuple(row.strength_per_ml for row in drug.strengths)
    if not labels or any(abs(label - strength_per_ml) <= 1e-9 * label for label in labels):
        return ""
    has = ", ".join(strength_text(drug, label) for label in labels)
    where = "in the box" if at_hand.labels_per_ml else "on file"
    return f"No {drug.name} of {strength_text(drug, strength_per_ml)} is {where} ({has})."
