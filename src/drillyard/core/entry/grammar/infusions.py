"""Infusions: a drug's name, a rate with its unit, and how it runs ("norepi 8 mcg/min iv", "insulin 5 units/h")."""

from dataclasses import replace
from typing import Final, Literal

from drillyard.core.care.actions import StartInfusion
from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.grammar.common import Entry
from drillyard.core.entry.grammar.dose_texts import converted, dose_text
from drillyard.core.entry.grammar.reckoning import Said
from drillyard.core.entry.reader import Ask, plain
from drillyard.core.formulary.doses import MIN_PER, rate_amount_per_min, rate_verdict
from drillyard.core.formulary.strengths import strength_text
from drillyard.core.quantities.faults import Fault, Refusal

LEAST_BAG_ML: Final = 50.0
"""What is this large runs in as it is; what is smaller is drawn up or diluted first (our choice)."""


def entry(context: EntryContext, at_hand: DrugAtHand, said: Said) -> Entry:
    """The infusion that was read; a rate by volume needs the strength of what runs."""
    assert said.number is not None and said.rate_unit is not None
    drug = at_hand.drug
    route = _route(at_hand, said)
    if said.number <= 0.0:
        remedy = f"write '{at_hand.name} stop' to end it"
        raise Refusal(Fault(code="impossible rate", said="a rate of nothing is no infusion", remedy=remedy))
    is_by_volume = said.rate_unit.startswith("mL") and drug.amount_unit != "mL"
    strength = said.strength_per_ml or (_bag_strength(at_hand) if is_by_volume else 0.0)
    if is_by_volume and not strength:
        unit = drug.amount_unit
        question = f"How much {drug.name} is in a millilitre of what runs? For instance 'of 0.016 {unit}/ml'."
        strengths_known = at_hand.labels_per_ml or tuple(row.strength_per_ml for row in drug.strengths)
        raise Ask(question, (f"of {plain(known)} {unit}/ml" for known in strengths_known))
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
    if not at_hand.labels_per_ml:
        warnings.append(f"{at_hand.name[:1].upper()}{at_hand.name[1:]} is not in the drug box.")
    action = StartInfusion(
        drug=drug.name,
        rate=said.number,
        rate_unit=said.rate_unit,
        strength_per_ml=strength if is_by_volume else 0.0,
        route=route,
        site=said.site,
    )
    confirmed = replace(action, confirmed_unusual=True) if unusual else None
    return Entry(
        action=action,
        warning=" ".join(warnings),
        unusual=unusual,
        confirmed=confirmed,
        reckoned=_reckoned(context, at_hand, said, strength, per_min),
    )


def _bag_strength(at_hand: DrugAtHand) -> float:
    """The strength of the only thing in the box that is large enough to run in as it is; 0 where none or several."""
    bags = {strength for strength, volume_ml in at_hand.ampoules if volume_ml >= LEAST_BAG_ML}
    return bags.pop() if len(bags) == 1 else 0.0


def _reckoned(
    context: EntryContext, at_hand: DrugAtHand, said: Said, strength_per_ml: float, amount_per_min: float
) -> str:
    """A rate by body mass or by volume as what runs in, in the unit of the drug and the time that was said."""
    assert said.rate_unit is not None
    drug = at_hand.drug
    first, *_, per = said.rate_unit.split("/")
    is_by_volume = first == "mL" and drug.amount_unit != "mL"
    if not is_by_volume and "kg" not in said.rate_unit and not said.strength_per_ml:
        return ""
    of = strength_text(drug, strength_per_ml)
    if is_by_volume:
        # said in the unit of time in which its rates are published
        per = next((row.per_time for row in at_hand.usual_by("IV") if row.per_time), per)
        total = converted(float(f"{amount_per_min * MIN_PER[per]:.6g}"), drug.amount_unit, drug.dose_unit)
        return f"{dose_text(total, f'{drug.dose_unit}/{per}')} from {of}"
    parts = []
    if "kg" in said.rate_unit:
        total = converted(float(f"{amount_per_min * MIN_PER[per]:.6g}"), drug.amount_unit, first)
        parts.append(f"{dose_text(total, f'{first}/{per}')} at {plain(context.mass_kg)} kg")
    if strength_per_ml and drug.amount_unit != "mL":
        ml_per_h = amount_per_min * MIN_PER["h"] / strength_per_ml
        parts.append(f"{plain(float(f'{ml_per_h:.4g}'))} mL/h of {of}")
    return ", ".join(parts)


def _route(at_hand: DrugAtHand, said: Said) -> Literal["IV", "IO"]:
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
