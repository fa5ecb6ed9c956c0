"""Infusions by rate, and doses in the units of drugs that are not counted by mass."""

from dataclasses import replace

import pytest

from drillyard.core.care import actions as care
from drillyard.core.entry import DrugAtHand, EntryContext, parse, sentence_of
from tests.core.entry.hand import CASE, FORMULARY

WARD = replace(
    CASE,
    drugs=tuple(DrugAtHand(drug=FORMULARY.get(name)) for name in FORMULARY if name != "oxygen"),
)


def action_of(typed: str, context: EntryContext = WARD) -> care.Action:
    result = parse(typed, context, confirmed=True)
    assert result.action is not None, (result.question, result.fault and result.fault.sentence())
    return result.action


@pytest.mark.parametrize(("typed", "rate", "unit"), [
    ("norepinephrine 8 mcg/min iv", 8.0, "ug/min"), ("epi 5mcg/min", 5.0, "ug/min"),
    ("dopamine 10 mcg/kg/min iv", 10.0, "ug/kg/min"), ("insulin 5 units/h", 5.0, "units/h"),
    ("insulin 5 units/hr iv", 5.0, "units/h"), ("potassium chloride 10 meq/h iv", 10.0, "mmol/h"),
    ("propofol 4 mg/kg/h", 4.0, "mg/kg/h"),
])  # fmt: skip
def test_a_rate_is_an_infusion(typed: str, rate: float, unit: str) -> None:
    action = action_of(typed)
    assert isinstance(action, care.StartInfusion)
    assert (action.rate, action.rate_unit, action.route) == (rate, unit, "IV")


def test_a_rate_by_volume_asks_for_what_runs() -> None:
    result = parse("norepinephrine 30 ml/h iv", WARD)
    assert result.action is None and "in a millilitre" in result.question
    action = action_of("norepinephrine 30 ml/h of 0.016 mg/ml iv")
    assert isinstance(action, care.StartInfusion)
    assert (action.rate_unit, action.strength_per_ml) == ("mL/h", 0.016)


def test_an_infusion_is_changed_and_stopped() -> None:
    assert sentence_of(action_of("norepinephrine 12 mcg/min iv")) == "Norepinephrine infusion 12 mcg/min IV"
    assert action_of("norepinephrine stop") == care.StopInfusion(drug="norepinephrine")
    assert action_of("norepinephrine infusion off") == care.StopInfusion(drug="norepinephrine")


def test_an_unusual_rate_is_shown_with_the_usual_one_and_asks_again() -> None:
    """Dopamine 5 to 20 ug/kg/min: AHA 2020."""
    result = parse("dopamine 10 mg/kg/min iv", WARD)
    assert result.needs_confirmation and "5 to 20 mcg/kg/min" in result.warning
    confirmed = action_of("dopamine 10 mg/kg/min iv")
    assert isinstance(confirmed, care.StartInfusion) and confirmed.confirmed_unusual


@pytest.mark.parametrize(("typed", "words"), [
    ("epi 5 mcg/min im", "cannot run as an infusion"),
    ("epi 0 mcg/min iv", "a rate of nothing is no infusion"),
    ("insulin 5 mg iv", "'mg' is not a unit in which a dose of insulin can be logged"),
    ("heparin 5000 u iv", "'u' is not a unit"),  # "u" is read as a nought: lists of error-prone abbreviations
    ("epi 5 units iv", "'units' is not a unit in which a dose of epinephrine"),
    ("insulin 5 mg/h iv", "is no unit of a rate of insulin"),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_words(typed: str, words: str) -> None:
    result = parse(typed, WARD)
    assert result.action is None and result.fault is not None
    assert words in result.fault.sentence()


@pytest.mark.parametrize(("typed", "dose", "unit", "route"), [
    ("insulin 10 units iv", 10.0, "units", "IV"), ("heparin 5000 units iv", 5000.0, "units", "IV"),
    ("sodium bicarbonate 50 mmol iv", 50.0, "mmol", "IV"), ("sodium bicarbonate 50 meq iv", 50.0, "mmol", "IV"),
    ("dextrose 25 g iv", 25_000.0, "mg", "IV"), ("paracetamol 1 g pr", 1000.0, "mg", "PR"),
    ("salbutamol 2.5 mg neb", 2.5, "mg", "nebulised"), ("hypertonic saline 250 ml iv", 250.0, "mL", "IV"),
])  # fmt: skip
def test_doses_in_the_drugs_own_units(typed: str, dose: float, unit: str, route: str) -> None:
    action = action_of(typed)
    assert isinstance(action, care.GiveDrug)
    assert (action.dose, action.dose_unit, action.route) == (dose, unit, route)


def test_a_fluid_of_the_formulary_is_read_as_a_fluid() -> None:
    assert isinstance(action_of("red cells 300 ml"), care.StartFluid)
