"""Measures 8, 10, 11, 18, 19, 51 and 53.

Items of a radio report after Sacramento County EMS Agency policy 2525.02 and ASTM F2076; a report of at most one minute
is trade teaching (lightssirensactionems.com; about 30 s: ems1.com).  Other targets are common practice, from memory.
"""

from dataclasses import replace

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.care import actions as care
from tests.core.measures.hand_log import SCENARIO, HandLog, HandTracks, measured

FORMULARY = packaged_formulary()
NALOXONE = care.GiveDrug(drug="naloxone", dose=0.4, route="IV")


def at_patient() -> HandLog:
    log = HandLog()
    log.phase(0, "at patient")
    return log


@pytest.mark.parametrize(("given_ug", "ratio", "status"), [(100, 1.0, "met"), (110, 1.1, "met"), (150, 1.5, "not met")])
def test_dose_given_over_dose_ordered(given_ug: float, ratio: float, status: str) -> None:
    """100 mcg ordered: 100 given is 1.0, 110 is 1.1 (still inside), 150 is 1.5."""
    log = at_patient()
    log.care(60, care.Say(what="order", text="fent 100 mcg iv"))
    log.care(70, care.GiveDrug(drug="fentanyl", dose=given_ug, dose_unit="ug", route="IV"))
    result = measured(log, 8, formulary=FORMULARY)
    assert (result.value, result.status) == (pytest.approx(ratio), status)


def ratio_of(ordered: str, given: care.Action) -> float | None:
    log = at_patient()
    log.care(60, care.Say(what="order", text=ordered))
    log.care(90, given)
    return measured(log, 8, formulary=FORMULARY).value


def test_dose_accuracy_in_the_unit_of_each_drug() -> None:
    """The patient weighs 70 kg.  5000 of 4000 units: 1.25.  50 of 100 mmol: 0.5.  200 of 250 mL: 0.8.  Dextrose 10 %
    250 mL is 25 g, 12.5 g given: 0.5.  Ketamine 1.5 mg/kg is 105 mg, 210 mg given: 2.0."""
    give = care.GiveDrug
    assert ratio_of("heparin 4000 units iv", give(drug="heparin", dose=5000, dose_unit="units", route="IV")) == 1.25
    bicarb = give(drug="sodium bicarbonate", dose=50, dose_unit="mmol", route="IV")
    assert ratio_of("bicarb 100 mmol iv", bicarb) == 0.5
    saline = give(drug="hypertonic saline", dose=200, dose_unit="mL", route="IV")
    assert ratio_of("nacl 3% 250 ml iv", saline) == pytest.approx(0.8)
    assert ratio_of("dextrose 10% 250 ml iv", give(drug="dextrose", dose=12_500, route="IV")) == 0.5
    assert ratio_of("ketamine 1.5 mg/kg iv", give(drug="ketamine", dose=210, route="IV")) == pytest.approx(2.0)


def test_rate_accuracy_of_infusions() -> None:
    """Ordered 7 mcg/min, given 0.1 mcg/kg/min at 70 kg: 1.0.  Given 30 mL/h of 0.016 mg/mL, 8 mcg/min: 8/7.  Ordered
    5 units/h, given 10 units/h: 2.0.  A push does not answer the order of an infusion."""
    drip = care.StartInfusion
    by_mass = drip(drug="norepinephrine", rate=0.1, rate_unit="ug/kg/min")
    by_volume = drip(drug="norepinephrine", rate=30.0, rate_unit="mL/h", strength_per_ml=0.016)
    assert ratio_of("norepi 7 mcg/min iv", by_mass) == pytest.approx(1.0)
    assert ratio_of("norepi 7 mcg/min iv", by_volume) == pytest.approx(8 / 7)
    assert ratio_of("insulin 5 units/h", drip(drug="insulin", rate=10.0, rate_unit="units/h")) == pytest.approx(2.0)
    push = care.GiveDrug(drug="insulin", dose=10, dose_unit="units", route="IV")
    assert ratio_of("insulin 5 units/h", push) is None


def test_an_infusion_counts_as_a_drug_for_route_allergy_and_the_question_before() -> None:
    """Dextrose has no rate on file, insulin has one; an allergy to insulin makes it wrong: 1, then 2."""
    log = at_patient()
    log.care(60, care.StartInfusion(drug="dextrose", rate=1.0, rate_unit="mg/min"))
    log.care(70, care.StartInfusion(drug="insulin", rate=5.0, rate_unit="units/h"))
    log.care(200, care.Say(what="asked allergy"))
    assert measured(log, 11, formulary=FORMULARY).value == 1.0
    patient = replace(SCENARIO.patient, allergies=("insulin: rash",))
    assert measured(log, 11, formulary=FORMULARY, patient=patient).value == 2.0
    assert measured(log, 10).status == "not met"


def test_an_order_in_other_words_leaves_nothing_to_compare() -> None:
    log = at_patient()
    log.care(60, care.Say(what="order", text="something for his pain"))
    log.care(70, care.GiveDrug(drug="fentanyl", dose=100, dose_unit="ug", route="IV"))
    assert measured(log, 8, formulary=FORMULARY).status == "not applicable"


@pytest.mark.parametrize(
    ("asked_s", "given_s", "status"), [(50, 100, "met"), (100, 50, "not met"), (100, 101, "cannot say")]
)
def test_allergy_asked_before_the_first_drug(asked_s: float, given_s: float, status: str) -> None:
    """50 s apart is surely before or after; 1 s apart with u = sqrt(2) = 1.41 s cannot be said."""
    log = at_patient()
    for t_s, action in sorted([(asked_s, care.Say(what="asked allergy")), (given_s, NALOXONE)], key=lambda row: row[0]):
        log.care(t_s, action)
    assert measured(log, 10).status == status


def test_allergy_never_asked() -> None:
    log = at_patient()
    log.care(50, NALOXONE)
    assert measured(log, 10).status == "not met"


def test_allergy_without_a_drug_is_not_applicable() -> None:
    assert measured(at_patient(), 10).status == "not applicable"


def test_wrong_side_route_and_drug_are_counted() -> None:
    """Case: left thigh, left chest, allergy to penicillin (none of the drugs).

    Needle right: 1; needle left: right.  Tourniquet on the right thigh: 1; packing "groin": no wound there, 1.
    Naloxone by mouth has no dose on file: 1.  Together 4.
    """
    log = at_patient()
    log.care(10, care.DecompressChest(side="right"))
    log.care(20, care.DecompressChest(side="left"))
    log.care(30, care.ControlBleeding(how="tourniquet", site="right thigh"))
    log.care(40, care.ControlBleeding(how="tourniquet", site="left thigh"))
    log.care(50, care.ControlBleeding(how="packing", site="groin"))
    log.care(60, care.GiveDrug(drug="naloxone", dose=0.4, route="PO"))
    result = measured(log, 11, formulary=FORMULARY)
    assert (result.value, result.status) == (4.0, "not met")
    assert result.seqs == (2, 4, 6, 7)


def test_a_drug_with_an_allergy_on_record_is_wrong() -> None:
    log = at_patient()
    log.care(60, NALOXONE)
    patient = replace(SCENARIO.patient, allergies=("naloxone: rash",))
    assert measured(log, 11, formulary=FORMULARY, patient=patient).value == 1.0


def test_routes_are_not_judged_without_drug_data_and_that_is_said() -> None:
    result = measured(at_patient(), 11)
    assert result.status == "met" and "not judged" in result.note


@pytest.mark.parametrize(("stop_s", "status"), [(150, "met"), (159.5, "cannot say"), (190, "not met")])
def test_report_length(stop_s: float, status: str) -> None:
    """From 100 s: 50 s is met, 59.5 +- 1.41 spans 60 s, 90 s is not met."""
    log = at_patient()
    log.care(100, care.Say(what="report started"))
    log.care(stop_s, care.Say(what="report ended"))
    result = measured(log, 18)
    assert (result.value, result.status) == (stop_s - 100, status)


REPORT = [
    "medic 4, arriving in 8 minutes",  # unit, time to arrival
    "38 year old man, tractor roll-over",  # age and sex, complaint or mechanism
    "gcs 14, bp 92 over 60, pulse 124",  # mental state, vital signs
    "left thigh wound, left chest silent",  # key findings
    "tourniquet, needle left, txa 1 g",  # treatment
]


def test_report_content_counts_the_items_named() -> None:
    """Eight of nine items, all but the request: 8 / 9 = 88.9 % < 90 %; with a trauma alert nine of nine."""
    log = at_patient()
    log.care(90, care.Say(what="report started"))
    for k, text in enumerate(REPORT):
        log.care(100 + k, care.Say(what="report item", text=text))
    result = measured(log, 19)
    assert result.value == pytest.approx(800 / 9) and result.status == "not met"
    assert result.note == "not named: request or alert"
    log.care(110, care.Say(what="report item", text="trauma alert please"))
    assert measured(log, 19).status == "met"


def test_a_needle_is_no_request_and_blood_pressure_no_alert() -> None:
    log = at_patient()
    log.care(90, care.Say(what="report started"))
    log.care(100, care.Say(what="report item", text="needle left, blood pressure 90, patient alert"))
    assert "request or alert" in measured(log, 19).note


def test_a_report_without_items_cannot_be_judged() -> None:
    log = at_patient()
    log.care(90, care.Say(what="report started"))
    assert measured(log, 19).status == "cannot say"


@pytest.mark.parametrize(
    ("bag_s", "naloxone_s", "status"),
    [(40, 120, "met"), (90, 200, "not met"), (130, 120, "not met"), (None, 120, "not met"), (59.5, 120, "cannot say")],
)
def test_ventilated_before_naloxone(bag_s: float | None, naloxone_s: float, status: str) -> None:
    """Bag at 40 s and naloxone later: met.  Bag at 90 s: over a minute.  Bag after naloxone, or none: not met."""
    log = at_patient()
    rows = [(naloxone_s, NALOXONE), *([(bag_s, care.Ventilate())] if bag_s is not None else [])]
    for t_s, action in sorted(rows, key=lambda row: row[0]):
        log.care(t_s, action)
    log.end(600)
    assert measured(log, 51).status == status


def test_glucose_measured() -> None:
    """250 - 0 = 250 s <= 300 s."""
    log = at_patient()
    log.got(250, "glucose", 96.0)
    result = measured(log, 53)
    assert (result.value, result.status) == (250.0, "met")


def test_glucose_never_measured_is_censored() -> None:
    log = at_patient()
    log.end(400)
    assert measured(log, 53, HandTracks(400)).text == "> 6:40"
