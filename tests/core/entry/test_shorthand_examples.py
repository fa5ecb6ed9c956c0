"""What operators type, and what they see before Enter."""

from dataclasses import replace

import pytest

from drillyard.core.care import actions as care
from drillyard.core.entry import LineAtHand, parse
from tests.core.entry.hand import CASE

EXAMPLES = [
    ("epi 0.3 im", "Epinephrine 0.3 mg IM, thigh"),
    ("adrenaline 0.3 mg im r thigh", "Epinephrine 0.3 mg IM, right thigh"),
    ("give fent 100 mcg iv", "Fentanyl 100 mcg IV"),
    ("fent 100 iv", "Fentanyl 100 mcg IV"),
    ("fent 0.1 mg iv", "Fentanyl 100 mcg IV"),
    ("nlx 0.4 iv", "Naloxone 0.4 mg IV"),
    ("nlx 1 ml iv", "Naloxone 0.4 mg IV"),
    ("txa 1 g iv over 10 min", "Tranexamic acid 1 g IV, over 10 min"),
    ("txa 10 ml iv", "Tranexamic acid 1 g IV"),
    ("epi 0.3 ml of 1 mg/ml im", "Epinephrine 0.3 mg IM, thigh"),
    ("o2 15 nrb", "Oxygen 15 L/min by reservoir mask"),
    ("nrb 15", "Oxygen 15 L/min by reservoir mask"),
    ("nc 4", "Oxygen 4 L/min by nasal cannula"),
    ("spo2 on", "Finger probe on"),
    ("o2 15 reservoir", "Oxygen 15 L/min by reservoir mask"),
    ("o2 off", "Oxygen off"),
    ("bag 10", "Breaths by bag 10/min, 500 mL, leak 10 %"),
    ("vent volume 12 450 ml peep 5 50%", "Ventilator 12/min, 450 mL, end-expiratory 5 cmH2O, 50 % oxygen"),
    ("vent pc 14 15 over 5", "Ventilator 14/min, 15 over 5 cmH2O, 100 % oxygen"),
    ("cpap 10 40%", "CPAP 10 cmH2O, 40 % oxygen"),
    ("bilevel 10 over 5 50%", "Bilevel pressure 10 over 5 cmH2O, at least 12/min, 50 % oxygen"),
    ("chest tube l", "Chest tube, left side"),
    ("o2 40 high flow", "Oxygen 40 L/min by high-flow nasal cannula"),
    ("bag 12 400 ml leak 30%", "Breaths by bag 12/min, 400 mL, leak 30 %"),
    ("bag stop", "Breaths by bag stopped"),
    ("opa 4", "Pharyngeal airway, size 4"),
    ("tube 7.5 at 22", "Tracheal tube, size 7.5 at 22 cm, in the trachea"),
    ("tq l thigh", "Tourniquet, left thigh"),
    ("tourniquet thigh left", "Tourniquet, left thigh"),
    ("pack groin", "Packing, groin"),
    ("needle l 5", "Decompress the left chest, 5th space, anterior axillary line, 14 G"),
    ("needle r 2 mcl 14g", "Decompress the right chest, 2nd space, mid clavicular line, 14 G"),
    ("seal l", "Vented chest seal, left side"),
    ("iv 18 l arm", "IV line, 18 G, left arm"),
    ("io r tibia", "IO line, 15 G, right tibia"),
    ("crys 250", "Start crystalloid 250 mL, wide open"),
    ("crys 1 l via r arm", "Start crystalloid 1000 mL, wide open, line at the right arm"),
    ("crys 500 at 600 ml/h", "Start crystalloid 500 mL at 10 mL/min"),
    ("red cells 300", "Start red cells 300 mL, wide open"),
    ("cpr", "Chest compressions 110/min, 5.5 cm"),
    ("cpr 100 5", "Chest compressions 100/min, 5 cm"),
    ("cpr stop", "Chest compressions stopped"),
    ("shock 200", "Shock 200 J"),
    ("legs up", "Patient flat with legs raised"),
    ("probe on", "Finger probe on"),
    ("ecg on", "ECG electrodes on"),
    ("cuff", "Measure pressure by cuff, left arm"),
    ("nibp every 3 min", "Cuff cycles by itself every 3 min"),
    ("auto cuff 5 min", "Cuff cycles by itself every 5 min"),
    ("cuff auto 90 s r arm", "Cuff cycles by itself every 90 s, right arm"),
    ("cuff auto off", "Cuff no longer cycles by itself"),
    ("bp auto off", "Cuff no longer cycles by itself"),
    ("cuff off", "Pressure cuff off"),
    ("co2 on", "CO2 sampling line on"),
    ("look skin", "Examine skin"),
    ("feel radial", "Examine radial pulse"),
    ("listen left", "Examine left breath sound"),
    ("listen r", "Examine right breath sound"),
    ("gcs", "Examine mind"),
    ("pupils", "Examine pupils"),
    ("sugar", "Examine glucose"),
    ("ask allergies", "Asked allergy"),
    ("ask when did he take it", "Asked history: when did he take it"),
    ("order crystalloid 250", "Order: crystalloid 250"),
    ("readback", "Read-back"),
    ("report start", "Report started"),
    ("report: etco2 24", "Report item: etco2 24"),
    ("report end", "Report ended"),
    ("leader anna", "Leader named: anna"),
    ("help called", "Called for help"),
    ("weight 78", "Stated weight: 78 kg"),
    ("weight 172 lb", "Stated weight: 78 kg"),
    ("survey x", "Primary survey: catastrophic bleeding done"),
]


@pytest.mark.parametrize(("typed", "sentence"), EXAMPLES)
def test_is_said_back_in_full(typed: str, sentence: str) -> None:
    result = parse(typed, CASE)
    assert result.sentence == sentence
    assert result.is_complete and not result.needs_confirmation


def test_a_late_entry_keeps_its_time() -> None:
    result = parse("@2:10 tq l thigh", CASE)
    assert result.late_t_s == 130.0
    assert result.action == care.ControlBleeding(how="tourniquet", site="left thigh")
    assert result.sentence == "At 2:10, entered late: Tourniquet, left thigh"


def test_undo_is_no_action() -> None:
    result = parse("undo", CASE)
    assert result.undo and result.action is None and result.is_complete


@pytest.mark.parametrize("typed", ["wrap him in a blanket", "other wrap him in a blanket"])
def test_what_nothing_models_is_kept_and_said_so(typed: str) -> None:
    result = parse(typed, CASE)
    assert result.action == care.Other(text="wrap him in a blanket")
    assert result.not_modelled
    assert "not modelled" in result.sentence


def test_a_look_at_something_outside_the_catalogue_is_kept_as_words() -> None:
    result = parse("look left ear", CASE)
    assert result.action == care.Examine(finding="ear", side="left")
    assert result.not_modelled and "you supply the answer" in result.warning


@pytest.mark.parametrize(
    ("typed", "ghost"),
    [("tq", " left thigh"), ("needle", " left"), ("epi 0.3", " im"), ("sug", "ar"), ("o2 15", " reservoir mask")],
)
def test_the_ghost_is_what_lies_at_hand(typed: str, ghost: str) -> None:
    assert parse(typed, CASE).ghost == ghost


def test_nothing_typed_offers_what_the_case_asks_for_first() -> None:
    offered = [row.insert for row in parse("", CASE).completions]
    assert offered[0] == "tq left thigh"
    assert "needle left 5" in offered


def test_what_is_done_leaves_the_offers() -> None:
    after = replace(CASE, controlled_sites=("left thigh",), sensors_on=("finger probe",))
    offered = [row.insert for row in parse("", after).completions]
    assert "tq left thigh" not in offered
    assert parse("sats", after).action == care.Examine(finding="SpO2")
    assert parse("sats", CASE).question


def test_tourniquet_taken_off_needs_no_place_where_only_one_lies() -> None:
    after = replace(CASE, controlled_sites=("left thigh",))
    assert parse("tq off", after).action == care.ReleaseBleeding(site="left thigh")


def test_the_route_offered_first_is_one_with_a_line_in_place() -> None:
    """1 mg is an arrest dose by vein or by bone."""
    bone = replace(CASE, lines=(LineAtHand(kind="IO", site="left tibia"),))
    assert parse("epi 1 mg", bone).completions[0].insert == "epi 1 mg io"
    vein = replace(CASE, lines=(LineAtHand(kind="IV", site="left arm"),))
    assert parse("epi 1 mg", vein).completions[0].insert == "epi 1 mg iv"
