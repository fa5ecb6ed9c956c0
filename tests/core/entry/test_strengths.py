"""Strengths, body mass, ampoules and repeats as they are typed, with what is reckoned from them.

Worked examples: 1 % is 10 mg/mL (mass by volume), so 250 mL of dextrose 10 % are 25 g; 8.4 % sodium bicarbonate is
84 g/L over 84.01 g/mol, 1 mmol/mL; 3 % saline is 30 g/L over 58.44 g/mol, 0.513 mmol/mL; 1:10 000 is 0.1 mg/mL.
"""

from dataclasses import replace

import pytest

from drillyard.core.care import actions as care
from drillyard.core.entry import DrugAtHand, EntryContext, LineAtHand, parse
from drillyard.core.formulary.strengths import of_percent
from tests.core.entry.hand import CASE, FORMULARY


def at_hand(name: str) -> DrugAtHand:
    drug = FORMULARY.get(name)
    labels = tuple(row.strength_per_ml for row in drug.strengths) or (1.0,)
    return DrugAtHand(drug=drug, labels_per_ml=labels)


BOX = replace(CASE, drugs=tuple(at_hand(name) for name in FORMULARY))
"""Every drug in each of its strengths; the patient weighs 80 kg."""


@pytest.mark.parametrize(("typed", "echo"), [
    ("dextrose 10% 250 ml iv", "Dextrose 25 g IV (250 mL of 10 %)"),
    ("dextrose 250 ml 10 % iv", "Dextrose 25 g IV (250 mL of 10 %)"),
    ("10% dextrose 250 ml iv", "Dextrose 25 g IV (250 mL of 10 %)"),
    ("d10 100 ml iv", "Dextrose 10 g IV (100 mL of 10 %)"),
    ("d50 50 ml iv", "Dextrose 25 g IV (50 mL of 50 %)"),
    ("d50 25 g iv", "Dextrose 25 g IV (50 mL of 50 %)"),
    ("d10 2 ml/kg iv", "Dextrose 16 g IV (2 mL/kg at 80 kg, 160 mL of 10 %)"),
    ("nacl 3% 250 ml iv", "Hypertonic saline 250 mL IV (250 mL of 3 %)"),
    ("3% saline 250 ml iv", "Hypertonic saline 250 mL IV (250 mL of 3 %)"),
    ("nacl 0.9% 500 ml", "Start crystalloid 500 mL, wide open"),
    ("0.9% saline 500 ml", "Start crystalloid 500 mL, wide open"),
    ("mannitol 20% 250 ml iv over 20 min", "Mannitol 50 g IV, over 20 min (250 mL of 20 %)"),
    ("mannitol 1 g/kg iv over 20 min", "Mannitol 80 g IV, over 20 min (1 g/kg at 80 kg)"),
    ("lidocaine 2% 5 ml iv", "Lidocaine 100 mg IV (5 mL of 2 %)"),
    ("lido 100 mg 2% iv", "Lidocaine 100 mg IV (5 mL of 2 %)"),
    ("bicarb 8.4% 50 ml iv", "Sodium bicarbonate 50 mmol IV (50 mL of 8.4 %)"),
    ("bicarb 1 mmol/kg iv", "Sodium bicarbonate 80 mmol IV (1 mmol/kg at 80 kg)"),
    ("mag 50% 4 ml iv over 20 min", "Magnesium sulfate 2 g IV, over 20 min (4 mL of 50 %)"),
    ("epi 1:10000 10 ml iv", "Epinephrine 1 mg IV (10 mL of 0.1 mg/mL)"),
    ("epi 1:1,000 0.5 ml im", "Epinephrine 0.5 mg IM, thigh (0.5 mL of 1 mg/mL)"),
    ("ketamine 1.5 mg/kg iv", "Ketamine 120 mg IV (1.5 mg/kg at 80 kg)"),
    ("ketamine 1.5mg/kg 50mg/ml iv", "Ketamine 120 mg IV (1.5 mg/kg at 80 kg, 2.4 mL of 50 mg/mL)"),
    ("heparin 80 units/kg iv", "Heparin 6400 units IV (80 units/kg at 80 kg)"),
    ("fent 1 mcg/kg iv", "Fentanyl 80 mcg IV (1 mcg/kg at 80 kg)"),
    ("norepi 0.1 mcg/kg/min", "Norepinephrine infusion 0.1 mcg/kg/min IV (8 mcg/min at 80 kg)"),
    (
        "norepi drip 30 ml/h of 16 mcg/ml",
        "Norepinephrine infusion 30 mL/h of 0.016 per mL IV (8 mcg/min from 0.016 mg/mL)",
    ),
    ("norepi 8 mcg/min of 16 mcg/ml", "Norepinephrine infusion 8 mcg/min IV (30 mL/h of 0.016 mg/mL)"),
    ("insulin drip 0.1 units/kg/h", "Insulin infusion 0.1 units/kg/h IV (8 units/h at 80 kg)"),
])  # fmt: skip
def test_the_echo_shows_the_total_and_what_it_was_reckoned_from(typed: str, echo: str) -> None:
    result = parse(typed, BOX)
    assert result.echo == echo
    assert result.is_complete and not result.needs_confirmation


def test_the_reckoning_is_shown_and_the_sentence_of_the_log_is_that_of_the_action() -> None:
    result = parse("d10 100 ml iv", BOX)
    assert result.sentence == "Dextrose 10 g IV" and result.reckoned == "100 mL of 10 %"


@pytest.mark.parametrize(("typed", "words"), [
    ("dextrose 250 ml iv", "25 g (10 %) or 62.5 g (25 %) or 125 g (50 %)"),
    ("nacl 250 ml", "0.9% or 3%"),
    ("d10 100 ml", "By which route"),
    ("d10", "How much dextrose"),
    ("mag 2 g over 20 min", "By which route"),
])  # fmt: skip
def test_what_is_open_is_asked(typed: str, words: str) -> None:
    result = parse(typed, BOX)
    assert result.action is None and words in result.question


@pytest.mark.parametrize(("typed", "dose"), [("dextrose 250 ml iv", 25_000.0), ("nacl 250 ml iv", 250.0)])
def test_each_answer_that_is_offered_can_be_entered(typed: str, dose: float) -> None:
    answers = [parse(row.insert, BOX, confirmed=True).action for row in parse(typed, BOX).completions[:2]]
    assert all(answer is not None for answer in answers)
    assert dose in [answer.dose for answer in answers if isinstance(answer, care.GiveDrug)]


def test_volumes_of_the_strength_are_offered() -> None:
    """10 to 25 g of dextrose 10 %: 100 to 250 mL."""
    offered = [row.insert for row in parse("d10", BOX).completions]
    assert offered[:2] == ["d10 100 ml", "d10 250 ml"]


@pytest.mark.parametrize(("typed", "words"), [
    ("nacl 5% 100 ml iv", "of 5 % is not in the formulary; allowed: 3 %"),
    ("bicarb 5% 50 ml iv", "allowed: 8.4 % or 4.2 %"),
    ("dextrose 10% 50% 5 ml iv", "two strengths, 10 % and 50 %"),
    ("dextrose 120% 5 ml iv", "120 % cannot be"),
    ("insulin 10% 1 ml iv", "of 10 % is not in the formulary"),
    ("insulin 5 mg/ml 1 ml iv", "said in units/mL"),
    ("insulin 5 u/h", "'u/h' is not a unit"),
    ("repeat amio", "no dose of amiodarone is in the log yet"),
    ("repeat", "no dose of a drug is in the log yet"),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_words(typed: str, words: str) -> None:
    fault = parse(typed, replace(BOX, done=())).fault
    assert fault is not None and words in fault.sentence()


def test_a_strength_that_is_on_no_label_is_said() -> None:
    result = parse("lido 7% 1 ml iv", BOX)
    assert "No lidocaine of 70 mg/mL is in the box (2 %, 1 %)" in result.warning
    without = replace(BOX, drugs=(replace(at_hand("dextrose"), labels_per_ml=()),))
    assert parse("d10 100 ml iv", without).warning == "Dextrose is not in the drug box."


def test_hypertonic_saline_is_as_strong_as_the_salt_in_it() -> None:
    """0.513 mmol/mL of 58.44 mg/mmol is 29.98 mg/mL."""
    assert of_percent(FORMULARY.get("hypertonic saline"), 3.0) == 1.0


def test_a_drug_that_goes_only_through_a_line_takes_the_one_kind_that_lies() -> None:
    bone = replace(BOX, lines=(LineAtHand(kind="IO", site="left tibia"),))
    assert parse("d10 100 ml", bone).sentence == "Dextrose 10 g IO"
    assert parse("d10 100 ml", replace(BOX, lines=())).question
    assert parse("midaz 10", bone).question, "it may go into a muscle too"


AMPOULES = replace(
    BOX,
    drugs=(
        replace(at_hand("sodium bicarbonate"), ampoules=((1.0, 50.0),)),
        replace(at_hand("epinephrine"), ampoules=((1.0, 1.0), (0.1, 10.0), (0.1, 5.0))),
        replace(at_hand("norepinephrine"), ampoules=((1.0, 4.0), (0.016, 250.0))),
    ),
)


def test_an_ampoule_is_what_the_box_says() -> None:
    assert parse("bicarb 1 amp iv", AMPOULES).echo == "Sodium bicarbonate 50 mmol IV (1 of 8.4 %)"
    asked = parse("epi 1 amp iv", AMPOULES)
    assert "1 mg (1 mg/mL, 1 mL) or 1 mg (0.1 mg/mL, 10 mL) or 0.5 mg (0.1 mg/mL, 5 mL)" in asked.question
    assert parse(asked.completions[2].insert, AMPOULES).sentence == "Epinephrine 0.5 mg IV"
    fault = parse("bicarb 1 amp iv", BOX).fault
    assert fault is not None and "no ampoule" in fault.sentence()


def test_a_rate_by_volume_is_of_the_only_bag_in_the_box() -> None:
    """30 mL/h of 16 mcg/mL is 480 mcg/h, 8 mcg/min."""
    result = parse("norepi 30 ml/h iv", AMPOULES)
    assert result.reckoned == "8 mcg/min from 0.016 mg/mL"
    assert isinstance(result.action, care.StartInfusion) and result.action.strength_per_ml == 0.016


def given(*rows: tuple[float, care.Action]) -> EntryContext:
    return replace(BOX, done=rows)


def test_the_last_dose_is_given_again_and_said_in_full() -> None:
    amio = care.GiveDrug(drug="amiodarone", dose=150.0, route="IV", over_s=600.0)
    epi = care.GiveDrug(drug="epinephrine", dose=1.0, route="IV")
    context = given((20.0, epi), (100.0, amio))
    assert parse("repeat", context).echo == "Amiodarone 150 mg IV, over 10 min (again, as at 1:40)"
    assert parse("repeat epi", context).echo == "Epinephrine 1 mg IV (again, as at 0:20)"
    assert parse("@1:00 repeat", context).action == epi


def test_a_dose_again_sooner_than_any_published_pause_is_said() -> None:
    """Epinephrine in arrest: again after 3 to 5 min, a small push after 2 min (the drug's file)."""
    epi = care.GiveDrug(drug="epinephrine", dose=1.0, route="IV")
    assert "60 s ago; published: again after 2 min" in parse("epi 1 mg iv", given((240.0, epi))).warning
    assert parse("epi 1 mg iv", given((60.0, epi))).warning == ""
    assert parse("epi 0.5 mg im", given((240.0, epi))).warning == "", "another route"


def test_the_box_is_offered_before_the_rest_of_the_formulary() -> None:
    drugs = tuple(row if row.name == "midazolam" else replace(row, labels_per_ml=()) for row in BOX.drugs)
    offered = parse("m", replace(BOX, drugs=drugs)).completions
    drug_lines = [row for row in offered if row.label.startswith(("midazolam", "morphine", "mannitol", "magnesium"))]
    assert drug_lines[0].label.startswith("midazolam") and "not in the drug box" not in drug_lines[0].label
    rest = parse("magn", replace(BOX, drugs=drugs)).completions
    assert rest and all(row.label.endswith("(not in the drug box)") for row in rest)


def test_a_dose_by_body_mass_that_is_too_much_asks_again() -> None:
    assert parse("epi 0.3 mg/kg im", BOX).needs_confirmation
