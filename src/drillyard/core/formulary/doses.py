"""Is this dose usual?  Says so with the published range beside it; never decides what is right for a patient."""

from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal

from drillyard.core.formulary.model import AmountUnit, Drug, UsualDose
from drillyard.core.quantities.faults import Fault, Refusal

UG_PER_MG = 1000.0
_IN_AMOUNT: Final[dict[AmountUnit, dict[str, float]]] = {
    "mg": {"mg": 1.0, "ug": 1.0 / UG_PER_MG, "g": 1000.0},
    "units": {"units": 1.0},
    "mmol": {"mmol": 1.0},
    "mL": {"mL": 1.0, "L": 1000.0},
}
"""Units in which a dose may be said, by the unit in which the drug's amount is counted."""
_SAID: Final[dict[str, str]] = {"ug": "mcg"}
"""Units as people read them: "mcg" cannot be misread for "mg" in a hurry, and the log says it so too."""
MIN_PER: Final[dict[str, float]] = {"min": 1.0, "h": 60.0}
Verdict = Literal["usual", "unusual", "impossible"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseVerdict:
    """``usual``: within a published dose of that route.  ``unusual``: outside, said and accepted.  ``impossible``:
    beyond any published single dose; accepted only when confirmed, and logged as such.  ``amount``: in the drug's own
    unit."""

    verdict: Verdict
    amount: float
    usual_text: str
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RateVerdict:
    """As ``DoseVerdict``, of the rate of an infusion."""

    verdict: Verdict
    amount_per_min: float
    usual_text: str
    said: str = ""


def dose_units(drug: Drug) -> tuple[str, ...]:
    """Units in which a single dose of this drug may be said."""
    return tuple(dict.fromkeys((*_IN_AMOUNT[drug.amount_unit], "mL")))


def dose_amount(drug: Drug, dose: float, unit: str) -> float:
    """A dose as an amount in the drug's own unit (mg for most).

    Args:
        unit: "mg", "ug", "g", "units" or "mmol" as the drug is counted, or "mL" where the drug has one strength only.

    Raises:
        Refusal: not above zero, a unit in which this drug is not counted, or a volume of a drug that comes in more
            than one strength.
    """
    if not (isfinite(dose) and dose > 0.0):
        raise Refusal(
            Fault(code="dose not above zero", said=f"a dose of {dose:g} {unit} is no dose", allowed="above 0")
        )
    factors = _IN_AMOUNT[drug.amount_unit]
    if unit in factors:
        return dose / UG_PER_MG if unit == "ug" else dose * factors[unit]
    if unit == "mL" and len(drug.strengths) == 1:
        return dose * drug.strengths[0].strength_per_ml
    if unit == "mL" and drug.strengths:
        said = f"{dose:g} mL of {drug.name} may mean " + " or ".join(
            f"{amount_text(dose * strength.strength_per_ml, drug)} ({strength.said})" for strength in drug.strengths
        )
        raise Refusal(Fault(code="ambiguous unit", said=said, remedy="enter the dose itself, not its volume"))
    said = f"'{unit}' is no unit of a dose of {drug.name}"
    raise Refusal(Fault(code="wrong unit", said=said, allowed=", ".join(dose_units(drug))))


def rate_amount_per_min(drug: Drug, rate: float, unit: str, mass_kg: float, strength_per_ml: float = 0.0) -> float:
    """The rate of an infusion as amount a minute.

    Args:
        unit: "ug/kg/min", "mg/h", "units/h", "mL/h" ...: a unit of the drug's amount, "/kg" or not, "/min" or "/h".
        strength_per_ml: amount in a millilitre of what runs, for a rate by volume.

    Raises:
        Refusal: not above zero, or not such a unit.
    """
    if not (isfinite(rate) and rate > 0.0):
        raise Refusal(Fault(code="rate not above zero", said=f"{rate:g} {unit} is no rate", allowed="above 0"))
    amount, *rest = unit.split("/")
    factors = _IN_AMOUNT[drug.amount_unit]
    factor = factors.get(amount)
    if factor is None and amount == "mL" and strength_per_ml > 0.0:
        factor = strength_per_ml
    if factor is None or rest not in (["min"], ["h"], ["kg", "min"], ["kg", "h"]):
        allowed = ", ".join(f"{known}/min, {known}/h, {known}/kg/min, {known}/kg/h" for known in factors)
        said = f"'{unit}' is no unit of a rate of {drug.name}"
        if amount == "mL":
            said = f"{rate:g} {unit} of {drug.name} needs the strength of what runs"
        raise Refusal(Fault(code="wrong unit", said=said, allowed=allowed))
    return rate * factor * (mass_kg if "kg" in rest else 1.0) / MIN_PER[rest[-1]]


def dose_verdict(drug: Drug, dose: float, unit: str, route: str, mass_kg: float) -> DoseVerdict:
    """Compare one dose with the published ones of its route.

    Raises:
        Refusal: as ``dose_amount``; or a route by which the body cannot take this drug.
    """
    _refuse_route(drug, route)
    given = dose_amount(drug, dose, unit)
    usual = [d for d in _of_route(drug, route) if not d.per_time]
    text = "; ".join(usual_dose_text(d) for d in usual) or f"no published dose of {drug.name} {route} on file"
    if given > drug.impossible.value:
        limit = amount_text(drug.impossible.value, drug)
        said = (
            f"{amount_text(given, drug)} of {drug.name} is more than any single dose on file ({limit}); usual: {text}"
        )
        return DoseVerdict(verdict="impossible", amount=given, usual_text=text, said=said)
    if _within(given, [_range(d, mass_kg) for d in usual]):
        return DoseVerdict(verdict="usual", amount=given, usual_text=text)
    said = f"{amount_text(given, drug)} of {drug.name} {route} is outside the usual dose; usual: {text}"
    return DoseVerdict(verdict="unusual", amount=given, usual_text=text, said=said)


def rate_verdict(drug: Drug, amount_per_min: float, route: str, mass_kg: float) -> RateVerdict:
    """Compare the rate of an infusion with the published ones.

    Raises:
        Refusal: a route by which the body cannot take this drug.
    """
    _refuse_route(drug, route)
    usual = [d for d in _of_route(drug, route) if d.per_time]
    text = "; ".join(usual_dose_text(d) for d in usual) or f"no published infusion of {drug.name} on file"
    limit = drug.impossible_rate_per_min
    said = f"{amount_text(amount_per_min, drug)}/min of {drug.name} {route}"
    if amount_per_min > (limit.value if limit is not None else drug.impossible.value):
        said = f"{said} is more than any rate on file; usual: {text}"
        return RateVerdict(verdict="impossible", amount_per_min=amount_per_min, usual_text=text, said=said)
    if _within(amount_per_min, [_range(d, mass_kg) for d in usual]):
        return RateVerdict(verdict="usual", amount_per_min=amount_per_min, usual_text=text)
    said = f"{said} is outside the usual rate; usual: {text}"
    return RateVerdict(verdict="unusual", amount_per_min=amount_per_min, usual_text=text, said=said)


def usual_dose_text(dose: UsualDose) -> str:
    """One published dose in words: "0.3 to 0.5 mg IM (anaphylaxis), again after 5 to 15 min"."""
    span = f"{dose.low:g}" if dose.low == dose.high else f"{dose.low:g} to {dose.high:g}"
    unit = _SAID.get(dose.unit, dose.unit)
    per_time = f"/{dose.per_time}" if dose.per_time else ""
    text = f"{span} {unit}{'/kg' if dose.by_mass else ''}{per_time} {dose.route} ({dose.what})"
    if dose.over_s > 0.0:
        text += f" over {_time(dose.over_s)}"
    if dose.high_limit is not None:
        text += f", at most {dose.high_limit:g} {unit}{per_time}"
    if dose.again_after_s is not None:
        text += f", again after {_time(dose.again_after_s)}"
        if dose.again_after_high_s is not None and dose.again_after_high_s != dose.again_after_s:
            text += f" to {_time(dose.again_after_high_s)}"
    return text


def amount_text(amount: float, drug: Drug) -> str:
    """An amount in the drug's own unit as people say it."""
    if drug.dose_unit == "ug":
        return f"{amount * UG_PER_MG:g} {_SAID['ug']}"
    return f"{amount:g} {drug.amount_unit}"


def _refuse_route(drug: Drug, route: str) -> None:
    if route not in drug.routes():
        remedy = "enter it as 'other' if it was given but need not act"
        if drug.given_as == "fluid":
            remedy = "enter it as a fluid: 'start fluid'"
        elif drug.given_as == "gas":
            remedy = "enter it with its device: 'give oxygen'"
        raise Refusal(
            Fault(
                code="route not modelled",
                said=f"{drug.name} {route} is not modelled",
                value=route,
                allowed=", ".join(drug.routes()),
                remedy=remedy,
            )
        )


def _of_route(drug: Drug, route: str) -> list[UsualDose]:
    return [d for d in drug.usual_doses if d.route == route or (route == "IO" and d.route == "IV")]


def _within(value: float, ranges: list[tuple[float, float]]) -> bool:
    return any(low * 0.999 <= value <= high * 1.001 for low, high in ranges)


def _range(dose: UsualDose, mass_kg: float) -> tuple[float, float]:
    """Lowest and highest amount (a minute, for an infusion) in the drug's own unit."""
    factor = next(units[dose.unit] for units in _IN_AMOUNT.values() if dose.unit in units)
    factor /= MIN_PER.get(dose.per_time, 1.0)
    size = mass_kg if dose.by_mass else 1.0
    limit = float("inf") if dose.high_limit is None else dose.high_limit * factor
    return min(dose.low * size * factor, limit), min(dose.high * size * factor, limit)


def _time(seconds: float) -> str:
    return f"{seconds / 60.0:g} min" if seconds < 7200.0 else f"{seconds / 3600.0:g} h"
