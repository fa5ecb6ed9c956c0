"""Strengths: amount of a drug in one millilitre, in the unit in which the drug is counted.

Per cent of a drug counted by mass is mass by volume: 1 % is 1 g in 100 mL, 10 mg/mL (the definition of the
pharmacopoeias, from memory).  A drug counted otherwise has a strength in per cent only where its file says so on a
label, or, counted in millilitres, by the salt in it.
"""

import re
from typing import Final

from drillyard.core.formulary.model import AmountUnit, Drug
from drillyard.core.quantities.faults import Fault, Refusal

MG_PER_ML_IN_PERCENT: Final = 10.0
MG_PER_MMOL_SODIUM_CHLORIDE: Final = 58.44
"""Molar mass from the standard atomic weights of sodium and chlorine (IUPAC 2021: 22.990 and 35.45)."""
STRENGTH_UNITS: Final[dict[str, tuple[AmountUnit, float]]] = {
    "mg/ml": ("mg", 1.0), "g/ml": ("mg", 1000.0), "mcg/ml": ("mg", 0.001), "ug/ml": ("mg", 0.001),
    "µg/ml": ("mg", 0.001), "μg/ml": ("mg", 0.001), "g/l": ("mg", 1.0), "mg/l": ("mg", 0.001),
    "units/ml": ("units", 1.0), "unit/ml": ("units", 1.0),
    "mmol/ml": ("mmol", 1.0), "meq/ml": ("mmol", 1.0), "mmol/l": ("mmol", 0.001), "meq/l": ("mmol", 0.001),
}  # fmt: skip
"""Spellings of strengths, in lower case: the unit in which such a drug is counted, and how much of it one is."""
_NAMED: Final = re.compile(r"^[a-z](\d+)$")
"""A name that is one letter and the per cent ("d10")."""
_SAID_PERCENT: Final = re.compile(r"(\d+(?:\.\d+)?) ?%")


def of_name(drug: Drug, word: str) -> float | None:
    """The strength that a drug's name itself says, where its file has that label."""
    found = _NAMED.match(word)
    if found is None or drug.amount_unit != "mg":
        return None
    strength = float(found[1]) * MG_PER_ML_IN_PERCENT
    return strength if any(label.strength_per_ml == strength for label in drug.strengths) else None


def of_percent(drug: Drug, percent: float) -> float:
    """The strength of a percentage.

    Raises:
        Refusal: nothing or more than all of it; or a drug that comes in no such strength.
    """
    if not 0.0 < percent <= 100.0:
        raise Refusal(Fault(code="out of range", said=f"{_plain(percent)} % cannot be", allowed="above 0 to 100 %"))
    if drug.amount_unit == "mg":
        return float(f"{percent * MG_PER_ML_IN_PERCENT:.12g}")
    known = _percents(drug)
    for strength, own in known:
        if abs(own - percent) < 0.05:
            return strength
    has = " or ".join(f"{_plain(own)} %" for _, own in known)
    raise Refusal(
        Fault(
            code="no such strength",
            said=f"{drug.name} of {_plain(percent)} % is not in the formulary",
            value=f"{_plain(percent)} %",
            allowed=has,
            remedy="" if has else f"write the dose in {drug.amount_unit}, or the strength in {drug.amount_unit}/mL",
        )
    )


def _percents(drug: Drug) -> list[tuple[float, float]]:
    """Strengths of a drug that is not counted by mass, with their per cent."""
    if drug.amount_unit != "mL":
        said = [(label.strength_per_ml, _SAID_PERCENT.search(label.said)) for label in drug.strengths]
        return [(strength, float(found[1])) for strength, found in said if found]
    salt = [row.content.value for row in drug.delivers if row.substance == "sodium"]
    return [(1.0, round(mmol * MG_PER_MMOL_SODIUM_CHLORIDE / MG_PER_ML_IN_PERCENT, 1)) for mmol in salt]


def strength_text(drug: Drug, strength_per_ml: float) -> str:
    """A strength as its label says it: "10 %" where the label is in per cent, else "1 mg/mL"."""
    if drug.amount_unit == "mL":
        percent = [own for _, own in _percents(drug)]
        return f"{_plain(percent[0])} %" if percent else ""
    label = next((row for row in drug.strengths if row.strength_per_ml == strength_per_ml), None)
    percent_said = _SAID_PERCENT.search(label.said) if label is not None else None
    return f"{percent_said[1]} %" if percent_said else f"{_plain(strength_per_ml)} {drug.amount_unit}/mL"


def _plain(number: float) -> str:
    return f"{number:.10g}"
