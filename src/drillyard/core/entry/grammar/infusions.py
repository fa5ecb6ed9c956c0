"""Infusions: a drug's name, a rate with its unit, and how it runs ("norepi 8 mcg/min iv", "insulin 5 units/h")."""

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from drillyard.core.care.actions import StartInfusion
from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.grammar.common import Entry
from drillyard.core.entry.reader import Ask, plain
from drillyard.core.formulary.doses import rate_amount_per_min, rate_verdict
from drillyard.core.quantities.faults import Fault, Refusal

if TYPE_CHECKING:
    from drillyard.core.entry.grammar.drugs import Said


def entry(context: EntryContext, at_hand: DrugAtHand, said: "Said") -> Entry:
    """The infusion that was read; a rate by volume needs the strength of what runs."""
    assert said.number is not None and said.rate_unit is not None
    drug = at_hand.drug
    route = _route(at_hand, said)
    if said.number <= 0.0:
        remedy = f"write '{at_hand.name} stop' to end it"
        raise Refusal(Fault(code="impossible rate", said="a rate of nothing is no infusion", remedy=remedy))
    strength = said.strength_per_ml or 0.0
    is_by_volume = said.rate_unit.startswith("mL") and drug.amount_unit != "mL"
    if is_by_volume and not strength:
        unit = drug.amount_unit
        question = f"How much {drug.name} is in a millilitre of what runs? For instance 'of 0.016 {unit}/ml'."
        raise Ask(question, (f"of {plain(row.strength_per_ml)} {unit}/ml" for row in drug.strengths))
    per_min = rate_amount_per_min(drug, said.number, said.rate_unit, context.mass_kg, strength)
    verdict = rate_verdict(drug, per_min, route, context.mass_kg)
    has_range = any(row.per_time for row in at_hand.usual_by(route))
    unusual = verdict.verdict == "impossible" or (verdict.verdict == "unusual" and has_range)
    warnings = []
    if unusual:
        warnings.append(f"{verdict.said[:1].upper()}{verdict.said[1:]}.")
    elif not has_range:
        warnings.append(f"{verdict.usual_text[:1].upper()}{verdict.usual_text[1:]}: nothing was checked.")
    if context.lines is not None and not any(line.kind == route for line in context.lines):
        warnings.append(f"No line into a {'vein' if route == 'IV' else 'bone'} is in the log yet.")
    action = StartInfusion(
        drug=drug.name,
        rate=said.number,
        rate_unit=said.rate_unit,
        strength_per_ml=strength if is_by_volume else 0.0,
        route=route,
        site=said.site,
    )
    confirmed = replace(action, confirmed_unusual=True) if unusual else None
    return Entry(action=action, warning=" ".join(warnings), unusual=unusual, confirmed=confirmed)


def _route(at_hand: DrugAtHand, said: "Said") -> Literal["IV", "IO"]:
    if said.route in (None, "IV"):
        return "IV"
    if said.route == "IO":
        return "IO"
    what = f"{at_hand.name} {said.route}"
    raise Refusal(
        Fault(
            code="no infusion by this route",
            said=f"{what} cannot run as an infusion",
            value=said.route or "",
            allowed="IV, IO",
            remedy="enter it as a dose, with 'over' and a time where it was slow",
        )
    )
