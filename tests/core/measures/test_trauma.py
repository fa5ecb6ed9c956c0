"""Measures 59 to 62.

Tranexamic acid within three hours of injury: NICE guideline NG39 (2016).  Site of decompression in adults, 4th or 5th
space anterior to the mid axillary line: American College of Surgeons, trauma course manual, 10th edition (2018), seen
in summaries only.  One minute to bleeding control, two to decompression, ten on scene: common practice, from memory.
"""

import pytest

from drillyard.core.care import actions as care
from drillyard.core.care.problems import Bleeding
from tests.core.measures.hand_log import SCENARIO, HandLog, HandTracks, measured

TOURNIQUET = care.ControlBleeding(how="tourniquet", site="left thigh")
LEFT_5TH = care.DecompressChest(side="left", space=5, line="anterior axillary")


def at_patient(t_s: float = 0.0) -> HandLog:
    log = HandLog()
    log.phase(t_s, "on scene")
    log.phase(t_s, "at patient")
    return log


@pytest.mark.parametrize(("at_s", "status"), [(50, "met"), (69.5, "cannot say"), (90, "not met")])
def test_bleeding_stopped(at_s: float, status: str) -> None:
    """From 10 s: 40 s is met; 59.5 +- 1.41 s spans 60 s; 80 s is not met."""
    log = at_patient(10)
    log.care(at_s, TOURNIQUET)
    result = measured(log, 59)
    assert (result.value, result.status) == (at_s - 10, status)


def test_a_tourniquet_on_the_other_leg_stops_nothing() -> None:
    log = at_patient()
    log.care(30, care.ControlBleeding(how="tourniquet", site="right thigh"))
    log.end(300)
    result = measured(log, 59, HandTracks(300))
    assert (result.text, result.status, result.note) == ("> 5:00", "not met", "nothing on the left thigh")


def test_the_last_wound_counts_and_a_hidden_one_does_not() -> None:
    """Thigh at 30 s, groin (packed, no side said) at 75 s: 75 s; the hidden one is not asked for."""
    more = (
        Bleeding(name="groin", site="left groin", rate_ml_per_min=50),
        Bleeding(name="spleen", site="abdomen", rate_ml_per_min=100, hidden=True),
    )
    log = at_patient()
    log.care(30, TOURNIQUET)
    log.care(75, care.ControlBleeding(how="packing", site="groin"))
    result = measured(log, 59, problems=SCENARIO.problems + more)
    assert (result.value, result.note) == (75.0, "")


def test_tranexamic_acid_is_counted_from_the_injury() -> None:
    """Injury 420 s before time zero, given at 300 s: 720 s, under 3 h (10 800 s)."""
    log = at_patient()
    log.care(300, care.GiveDrug(drug="tranexamic acid", dose=1000, route="IV"))
    result = measured(log, 60)
    assert (result.value, result.status, result.text) == (720.0, "met", "12:00")


def test_no_tranexamic_acid_within_a_short_run_cannot_be_judged() -> None:
    """The run ends 420 + 600 = 1020 s after the injury; the three hours had not passed."""
    log = at_patient()
    log.end(600)
    result = measured(log, 60)
    assert (result.text, result.status) == ("> 17:00", "cannot say")


@pytest.mark.parametrize(("leave_s", "status"), [(500, "met"), (600, "cannot say"), (700, "not met")])
def test_trauma_scene_time(leave_s: float, status: str) -> None:
    """From 0 s: 500 s is under 600 s; 600 +- 1.41 s spans it; 700 s is over."""
    log = at_patient()
    log.phase(leave_s, "leaving scene")
    assert measured(log, 61, HandTracks(800)).status == status


def test_decompression_is_counted_from_recognition() -> None:
    """Left side heard silent at 100 s, needle at 190 s: 90 s <= 120 s; onset -300 s, so 490 s from onset."""
    log = at_patient()
    log.got(100, "left breath sound", 0.0, "absent")
    log.care(190, LEFT_5TH)
    result = measured(log, 62)
    assert (result.value, result.status) == (90.0, "met")
    assert result.note == "5th space, anterior axillary; from onset 8:10"


def test_saying_it_aloud_is_recognition_too() -> None:
    """Said at 50 s, heard at 100 s, needle at 200 s: 150 - 1.41 > 120: not met."""
    log = at_patient()
    log.care(50, care.Say(what="call-out", text="this is a tension pneumothorax"))
    log.got(100, "left breath sound", 0.0)
    log.care(200, LEFT_5TH)
    assert (measured(log, 62).value, measured(log, 62).status) == (150.0, "not met")


def test_the_wrong_side_first_is_not_met() -> None:
    log = at_patient()
    log.got(100, "left breath sound", 0.0)
    log.care(110, care.DecompressChest(side="right", space=5))
    log.care(150, LEFT_5TH)
    result = measured(log, 62)
    assert result.status == "not met" and "1 on the wrong side" in result.note


def test_another_space_is_outside_the_site() -> None:
    log = at_patient()
    log.got(100, "left breath sound", 0.0)
    log.care(150, care.DecompressChest(side="left", space=2, line="mid clavicular"))
    result = measured(log, 62)
    assert result.status == "not met" and "site outside the target" in result.note


def test_never_decompressed_is_censored() -> None:
    log = at_patient()
    log.got(100, "left breath sound", 0.0)
    log.end(600)
    result = measured(log, 62)
    assert (result.text, result.status) == ("> 8:20", "not met")


def test_without_any_sign_obtained_recognition_has_no_time() -> None:
    log = at_patient()
    log.care(150, LEFT_5TH)
    assert measured(log, 62).status == "cannot say"
    assert measured(at_patient(), 62).status == "not met"
