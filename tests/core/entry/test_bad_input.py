"""Bad input gets one clear sentence or one question, and nothing is logged by mistake."""

from dataclasses import replace

import pytest

from drillyard.core.care import actions as care
from drillyard.core.entry import parse
from tests.core.entry.hand import CASE


def refused(typed: str) -> str:
    result = parse(typed, CASE)
    assert result.fault is not None and result.action is None and not result.is_complete
    sentence = result.fault.sentence()
    assert "\n" not in sentence and sentence[-1] in ".?!"
    return sentence


def asked(typed: str) -> str:
    result = parse(typed, CASE)
    assert result.question and result.action is None and not result.is_complete
    return result.question


def test_unknown_drug_names_the_drugs_there_are() -> None:
    sentence = refused("zoramicol 5 mg iv")
    assert "'zoramicol' is not a drug in this lab's formulary" in sentence
    assert "epinephrine, fentanyl, naloxone, tranexamic acid" in sentence
    assert "'other'" in sentence


def test_a_misspelt_drug_offers_the_near_one() -> None:
    assert "did you mean 'fentanyl'" in refused("fentanil 100 mcg iv")


def test_an_impossible_dose_shows_the_usual_one_and_is_logged_as_such_only_on_a_second_yes() -> None:
    typed = "epi 10 mg iv"
    first = parse(typed, CASE)
    assert first.needs_confirmation
    assert "more than any single dose on file" in first.warning and "1 mg IV (cardiac arrest" in first.warning
    assert isinstance(first.action, care.GiveDrug) and not first.action.confirmed_unusual
    second = parse(typed, CASE, confirmed=True)
    assert isinstance(second.action, care.GiveDrug) and second.action.confirmed_unusual
    assert not second.needs_confirmation
    assert second.sentence == "Epinephrine 10 mg IV (unusual dose, confirmed)"


def test_an_unusual_dose_too_needs_a_second_yes() -> None:
    result = parse("epi 3 mg im", CASE)
    assert result.needs_confirmation and "0.3 to 0.5 mg IM" in result.warning


def test_confirming_a_usual_dose_marks_nothing() -> None:
    action = parse("epi 0.3 mg im", CASE, confirmed=True).action
    assert isinstance(action, care.GiveDrug) and not action.confirmed_unusual


@pytest.mark.parametrize("typed", ["epi 0 mg im", "epi -0.3 mg im", "fent 100 g iv"])
def test_a_dose_that_cannot_be_is_refused_even_when_confirmed(typed: str) -> None:
    assert parse(typed, CASE, confirmed=True).action is None
    assert "Usual:" in refused(typed)


@pytest.mark.parametrize("unit", ["units", "mmol", "L", "kg", "puffs"])
def test_a_wrong_unit_is_named_with_the_right_ones(unit: str) -> None:
    sentence = refused(f"epi 0.3 {unit} im")
    assert f"'{unit.lower()}' is not a unit" in sentence and "g, mg, mcg, mL" in sentence


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("txa 10 iv", ("10 g", "10 mL")),  # 10 mL of the label would be 1 g, 10 mg and 10 g are no usual dose
        ("nlx 0.15 iv", ("0.15 mg", "0.15 mL")),  # 0.15 mg and 0.15 mL (0.06 mg) are both usual small steps
        ("epi 7 im", ("7 mg", "7 mL")),  # no reading is usual
    ],
)
def test_a_missing_unit_that_leaves_two_readings_is_asked_about(typed: str, words: tuple[str, str]) -> None:
    question = asked(typed)
    assert all(word in question for word in words)
    assert any("mL" in row.insert for row in parse(typed, CASE).completions)


def test_an_answered_unit_question_gives_the_dose() -> None:
    offers = {row.label: row.insert for row in parse("nlx 0.15 iv", CASE).completions}
    action = parse(offers["0.15 mL iv"], CASE).action
    assert isinstance(action, care.GiveDrug) and action.dose == pytest.approx(0.06)


def test_millilitres_of_two_labels_are_asked_about() -> None:
    question = asked("epi 0.3 ml im")
    assert "0.3 mg (1 mg/mL)" in question and "0.03 mg (0.1 mg/mL)" in question


def test_millilitres_of_a_drug_outside_the_box_are_refused() -> None:
    without = replace(CASE, drugs=tuple(replace(drug, labels_per_ml=()) for drug in CASE.drugs))
    fault = parse("nlx 1 ml iv", without).fault
    assert fault is not None and "not in the drug box" in fault.sentence()
    assert "not in the drug box" in parse("nlx 0.4 mg iv", without).warning


def test_a_decimal_comma_is_asked_about() -> None:
    assert "0.3" in asked("epi 0,3 mg im")
    assert "1000" in asked("txa 1,000 mg iv")


def test_a_time_before_the_start_is_refused_with_the_range() -> None:
    sentence = refused("@-1:00 tq l thigh")
    assert "before the start" in sentence and "0:00 to 5:00" in sentence


def test_a_time_that_has_not_come_is_refused() -> None:
    assert "has not come yet" in refused("@9:10 tq l thigh")


@pytest.mark.parametrize("typed", ["@2:75 cpr", "@half cpr", "@1:2 cpr"])
def test_what_is_no_time_is_refused(typed: str) -> None:
    assert "not a time" in refused(typed)


def test_a_time_without_unit_is_asked_about() -> None:
    assert "130 seconds or 130 minutes" in asked("@130 tq l thigh")


@pytest.mark.parametrize(
    ("typed", "part"),
    [
        ("tq thigh", "Left or right thigh?"),
        ("needle 5", "Left or right side"),
        ("needle l", "Through which space"),
        ("o2 15", "By which device"),
        ("o2 10 mask", "Which mask"),
        ("crys 1", "1 mL or 1 L?"),
        ("crys 250 at 100", "mL/min or"),
        ("weight 172", "172 kg or 172 lb?"),
        ("epi 0.3", "By which route"),
        ("tube", "Which size"),
    ],
)
def test_what_is_missing_or_open_is_asked_for(typed: str, part: str) -> None:
    assert part in asked(typed)


@pytest.mark.parametrize(
    ("typed", "part"),
    [
        ("tq neck", "no place for a tourniquet"),
        ("iv 19 l arm", "no 19 G IV needle"),
        ("shock 2000", "allowed: 1 to 400 J"),
        ("bag 200/min", "80/min"),
        ("cpr 500", "220/min"),
        ("needle l 5 x", "not understood"),
        ("tourniqet l thigh", "did you mean 'tourniquet'"),
        ("red cells 2 units", "'units' is not a volume"),
        ("txa 1 g in", "IN is not modelled"),
        ("tq l thigh now", "'now' is not understood"),
        ("opa 4 at 22", "kept for a tube"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(typed: str, part: str) -> None:
    assert part in refused(typed)


def test_a_side_outside_the_case_is_logged_and_said() -> None:
    result = parse("needle r 5", CASE)
    assert result.is_complete and "not on the right" in result.warning
    assert "wounds: left thigh" in parse("tq r thigh", CASE).warning


def test_a_drug_into_a_vein_without_a_line_is_said() -> None:
    result = parse("fent 100 mcg iv", replace(CASE, lines=()))
    assert result.is_complete and "No line into a vein" in result.warning


def test_a_very_long_line_is_refused() -> None:
    assert "at most 500" in refused("x" * 501)
