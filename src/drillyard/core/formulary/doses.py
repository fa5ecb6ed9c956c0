"""Is this dose usual?  Says so with the published range beside it; never decides what is right for a patient."""

from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal

from drillyard.core.formulary.model import DoseUnit, Drug, UsualDose
from drillyard.core.quantities.faults import Fault, Refusal

UG_PER_MG = 1000.0
_SAID: Final[dict[DoseUnit, str]] = {"mg": "mg", "ug": "mcg"}
"""Units as people read them: "mcg" cannot be misread for "mg" in a hurry, and the log says it so too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseVerdict:
    """``usual``: within a published dose of that route.  ``unusual``: outside, said and accepted.  ``impossible``:
    beyond any published single dose; accepted only when confirmed, and logged as such."""

    verdict: Literal["usual", "unusual", "impossible"]
    dose_mg: float
    usual_text: str
    said: str = ""


def dose_mg(drug: Drug, dose: float, unit: str) -> float:
    """A dose in mg.

    Args:
        unit: "mg", "ug", or "mL" where the drug has one strength only.

    Raises:
        Refusal: not above zero, or a volume of a drug that comes in more than one strength.
    """
    if not (isfinite(dose) and dose > 0.0):
        raise Refusal(
            Fault(code="dose not above zero", said=f"a dose of {dose:g} {unit} is no dose", allowed="above 0")
        )
    if unit == "mg":
        return dose
    if unit == "ug":
        return dose / UG_PER_MG
    if unit == "mL" and len(drug.strengths) == 1:
        return dose * drug.strengths[0].strength_mg_per_ml
    if unit == "mL":
        said = f"{dose:g} mL of {drug.name} may mean " + " or ".join(
            f"{_amount(dose * strength.strength_mg_per_ml, drug)} ({strength.said})" for strength in drug.strengths
        )
        raise Refusal(Fault(code="ambiguous unit", said=said, remedy="enter the dose as a mass"))
    raise Refusal(Fault(code="wrong unit", said=f"'{unit}' is no unit of a dose", allowed="mg, ug, mL"))


def dose_verdict(drug: Drug, dose: float, unit: str, route: str, mass_kg: float) -> DoseVerdict:
    """Compare one dose with the published ones of its route.

    Raises:
        Refusal: as ``dose_mg``; or a route by which the body cannot take this drug.
    """
    if route not in drug.routes():
        raise Refusal(
            Fault(
                code="route not modelled",
                said=f"{drug.name} {route} is not modelled",
                value=route,
                allowed=", ".join(drug.routes()),
                remedy="enter it as 'other' if it was given but need not act",
            )
        )
    given_mg = dose_mg(drug, dose, unit)
    usual = [d for d in drug.usual_doses if d.route == route or (route == "IO" and d.route == "IV")]
    text = "; ".join(usual_dose_text(d) for d in usual) or f"no published dose of {drug.name} {route} on file"
    if given_mg > drug.impossible_mg.value:
        limit = _amount(drug.impossible_mg.value, drug)
        said = f"{_amount(given_mg, drug)} of {drug.name} is more than any single dose on file ({limit}); usual: {text}"
        return DoseVerdict(verdict="impossible", dose_mg=given_mg, usual_text=text, said=said)
    ranges = [_range_mg(d, mass_kg) for d in usual]
    if any(low * 0.999 <= given_mg <= high * 1.001 for low, high in ranges):
        return DoseVerdict(verdict="usual", dose_mg=given_mg, usual_text=text)
    said = f"{_amount(given_mg, drug)} of {drug.name} {route} is outside the usual dose; usual: {text}"
    return DoseVerdict(verdict="unusual", dose_mg=given_mg, usual_text=text, said=said)


def usual_dose_text(dose: UsualDose) -> str:
    """One published dose in words: "0.3 to 0.5 mg IM (anaphylaxis), again after 5 to 15 min"."""
    span = f"{dose.low:g}" if dose.low == dose.high else f"{dose.low:g} to {dose.high:g}"
    unit = _SAID[dose.unit]
    text = f"{span} {unit}{'/kg' if dose.by_mass else ''} {dose.route} ({dose.what})"
    if dose.over_s > 0.0:
        text += f" over {_time(dose.over_s)}"
    if dose.high_limit is not None:
        text += f", at most {dose.high_limit:g} {unit}"
    if dose.again_after_s is not None:
        text += f", again after {_time(dose.again_after_s)}"
        if dose.again_after_high_s is not None and dose.again_after_high_s != dose.again_after_s:
            text += f" to {_time(dose.again_after_high_s)}"
    return text


def _range_mg(dose: UsualDose, mass_kg: float) -> tuple[float, float]:
    factor = (mass_kg if dose.by_mass else 1.0) / (UG_PER_MG if dose.unit == "ug" else 1.0)
    limit = float("inf") if dose.high_limit is None else dose.high_limit / (UG_PER_MG if dose.unit == "ug" else 1.0)
    return min(dose.low * factor, limit), min(dose.high * factor, limit)


def _amount(mass_mg: float, drug: Drug) -> str:
    return f"{mass_mg * UG_PER_MG:g} {_SAID['ug']}" if drug.dose_unit == "ug" else f"{mass_mg:g} mg"


def _time(seconds: float) -> str:
    return f"{seconds / 60.0:g} min" if seconds < 7200.0 else f"{seconds / 3600.0:g} h"
