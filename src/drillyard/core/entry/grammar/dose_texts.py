"""Doses in words: as they are said back, as they are asked about, and as they would be typed."""

from typing import Final

from drillyard.core.care.actions import Route
from drillyard.core.entry.at_hand import DrugAtHand
from drillyard.core.entry.reader import plain
from drillyard.core.entry.words import ROUTE_WORD
from drillyard.core.formulary.doses import usual_dose_text
from drillyard.core.formulary.model import UsualDose

UG_IN: Final[dict[str, float]] = {"g": 1e6, "mg": 1e3, "ug": 1.0}
UNIT_SAID: Final = {"g": "g", "mg": "mg", "ug": "mcg", "mL": "mL", "units": "units", "mmol": "mmol"}


def converted(number: float, unit: str, wanted: str) -> float:
    """A dose from one unit of its kind into another."""
    if unit == wanted:
        return number
    return float(f"{number * UG_IN[unit] / UG_IN[wanted]:.12g}")


def printed_of(row: UsualDose, unit: str) -> tuple[float, ...]:
    """The ends of one published range in ``unit``; nothing where it goes by body mass or is a rate."""
    if row.by_mass or row.per_time:
        return ()
    if row.unit == "L":
        return tuple(dict.fromkeys((1000.0 * row.low, 1000.0 * row.high)))
    return tuple(dict.fromkeys(converted(dose, row.unit, unit) for dose in (row.low, row.high)))


def printed_doses(at_hand: DrugAtHand, route: Route) -> tuple[float, ...]:
    """Doses printed for a route, in the drug's own unit."""
    doses = [dose for row in at_hand.usual_by(route) for dose in printed_of(row, at_hand.drug.dose_unit)]
    return tuple(dict.fromkeys(doses))


def dose_text(dose: float, unit: str) -> str:
    """A dose or a rate as said: "0.3 mg", "100 mcg", "1 g", "8 mcg/min"."""
    amount, slash, per = unit.partition("/")
    if amount == "mg" and dose >= 1000:
        return f"{plain(float(f'{dose / 1000:.12g}'))} g{slash}{per}"
    return f"{plain(dose)} {UNIT_SAID.get(amount, amount)}{slash}{per}"


def usual_text(at_hand: DrugAtHand, route: Route | None) -> str:
    """The published doses in words, for a question or a warning."""
    rows = at_hand.usual_by(route) if route else at_hand.drug.usual_doses
    return f"Usual: {'; '.join(usual_dose_text(row) for row in rows)}." if rows else ""


def dose_offers(at_hand: DrugAtHand, route: Route | None = None) -> tuple[str, ...]:
    """Published doses as they would be typed after the name."""
    unit = at_hand.drug.dose_unit
    rows = at_hand.usual_by(route) if route else at_hand.drug.usual_doses
    offers = [
        dose_text(dose, unit) + ("" if route else f" {ROUTE_WORD[row.route]}")
        for row in rows
        for dose in printed_of(row, unit)
    ]
    return tuple(dict.fromkeys(offers))
