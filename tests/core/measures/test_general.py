"""Measures 1 to 6, 14 and 17 on logs whose arithmetic is done by hand.

Definitions and targets are local teaching choices from memory (common practice, no source); the interval rules (zero
stated, uncertainty the root of the summed squares, a result that spans its target cannot be said, what is not done is
censored at the end of the run) are the usual ones for time stamps with errors (JCGM 100:2008, 5.1.2).
"""

import numpy as np
import pytest

from drillyard.core.care import actions as care
from drillyard.core.measures import compute
from drillyard.core.session.events import FalseStart, TimeJumped
from tests.core.measures.hand_log import SCENARIO, HandLog, HandTracks, measured


def test_first_look_is_counted_from_at_patient() -> None:
    """At patient 12 s, first look 30 s: 30 - 12 = 18 s, u = sqrt(1 + 1) = 1.41 s; 18 + 1.41 <= 30: met."""
    log = HandLog()
    log.phase(12, "at patient")
    log.care(30, care.Examine(finding="skin"))
    log.care(40, care.Survey(part="airway"))
    result = measured(log, 1)
    assert (result.value, result.status, result.text) == (18.0, "met", "0:18")
    assert result.uncertainty == pytest.approx(2**0.5)
    assert result.seqs == (1, 2)


def test_a_result_that_spans_the_target_cannot_be_said() -> None:
    """At patient 0 s, look 29.5 s: 29.5 +- 1.41 spans 30 s."""
    log = HandLog()
    log.phase(0, "at patient")
    log.care(29.5, care.Examine(finding="skin"))
    assert measured(log, 1).status == "cannot say"


def test_just_outside_the_uncertainty_is_not_met() -> None:
    """32 - 1.41 = 30.6 > 30."""
    log = HandLog()
    log.phase(0, "at patient")
    log.care(32, care.Examine(finding="skin"))
    assert measured(log, 1).status == "not met"


def test_what_was_not_done_prints_more_than_the_end() -> None:
    """No look until the end at 100 s: more than 100 - 10 = 90 s, not met."""
    log = HandLog()
    log.phase(10, "at patient")
    log.end(100)
    result = measured(log, 1, HandTracks(100))
    assert (result.text, result.is_censored, result.status) == ("> 1:30", True, "not met")


def test_a_run_that_ended_before_the_target_cannot_be_judged() -> None:
    """Ended at 20 s, 10 s after at patient: the 30 s had not passed."""
    log = HandLog()
    log.phase(10, "at patient")
    log.end(20)
    assert measured(log, 1, HandTracks(20)).status == "cannot say"


def test_without_at_patient_there_is_no_zero() -> None:
    log = HandLog()
    log.care(30, care.Examine(finding="skin"))
    result = measured(log, 1)
    assert result.status == "cannot say" and result.value is None and "no zero" in result.note


def test_survey_needs_all_five_parts() -> None:
    """Parts at 20, 30, 45 (a look at the radial pulse), 60, 80 s after 5 s: the last, 80 - 5 = 75 s, is under 2:00."""
    log = HandLog()
    log.phase(5, "at patient")
    log.care(20, care.Survey(part="airway"))
    log.care(30, care.Survey(part="breathing"))
    log.care(45, care.Examine(finding="radial pulse"))
    log.care(60, care.Examine(finding="mind"))
    log.care(80, care.Survey(part="exposure"))
    result = measured(log, 2)
    assert (result.value, result.status) == (75.0, "met")
    assert result.seqs == (1, 2, 3, 4, 5, 6)


def test_survey_with_a_part_missing_names_it() -> None:
    log = HandLog()
    log.phase(0, "at patient")
    log.care(20, care.Survey(part="airway"))
    log.end(300)
    result = measured(log, 2, HandTracks(300))
    assert result.text == "> 5:00" and result.status == "not met"
    assert result.note == "not seen: breathing, circulation, mind, exposure"


def shown(seconds: int, **signals: tuple[int, int]) -> HandTracks:
    """Tracks with signals shown from one second to another."""
    columns = {}
    for name, (start, stop) in signals.items():
        columns[name] = np.full(seconds + 1, np.nan)
        columns[name][start : stop + 1] = 95.0
    return HandTracks(seconds, shown=columns)


def test_full_set_takes_what_is_shown_and_what_is_obtained() -> None:
    """Oxygen on the monitor from 40 s, heart rate from 60 s; breathing counted at 70, mind at 50, pressure at 95 s.

    At patient 10 s: the last of the five is the pressure, 95 - 10 = 85 s.
    """
    log = HandLog()
    log.phase(10, "at patient")
    log.got(50, "mind", 15)
    log.got(70, "breathing", 20)
    log.got(95, "pressure", 120)
    tracks = shown(600, spo2_pct=(40, 600), heart_rate_per_min=(60, 600))
    result = measured(log, 3, tracks)
    assert (result.value, result.status) == (85.0, "met")
    assert result.uncertainty == pytest.approx(2**0.5)


def test_full_set_names_what_was_not_observed() -> None:
    log = HandLog()
    log.phase(0, "at patient")
    log.got(50, "mind", 15)
    log.end(600)
    result = measured(log, 3)
    assert result.is_censored and result.note == "not observed: heart rate, pressure, breathing, oxygen"


def test_the_hidden_body_is_no_observation() -> None:
    """The true track has a value every second; nothing was shown or obtained, so nothing was observed."""
    log = HandLog()
    log.phase(0, "at patient")
    log.end(600)
    assert measured(log, 4).status == "not met"


def full_set(log: HandLog, t_s: float, pressure: float = 120.0) -> None:
    for k, (finding, value) in enumerate((("mind", 15.0), ("breathing", 16.0), ("SpO2", 97.0), ("pulse rate", 80.0))):
        log.got(t_s + k, finding, value)
    log.got(t_s + 4, "pressure", pressure)


def test_vital_set_interval_is_the_longest_gap_also_to_the_end() -> None:
    """Sets complete at 64, 264 and 424 s, end at 600 s: gaps 200, 160 and, open, 176 s.  Longest 200 s <= 900: met."""
    log = HandLog()
    log.phase(0, "at patient")
    for t_s in (60.0, 260.0, 420.0):
        full_set(log, t_s)
    log.end(600)
    result = measured(log, 5)
    assert (result.value, result.is_censored, result.status) == (200.0, False, "met")
    assert result.note == "3 full sets; stable by what was observed"


def test_time_that_was_jumped_is_no_crew_time() -> None:
    """At patient 0 s, 25 min jumped at 60 s, first look at 1,580 s: 80 s of crew time.  Leaving the scene at 1,700 s is
    1,700 s after at patient for the patient."""
    log = HandLog()
    log.phase(0, "on scene")
    log.phase(0, "at patient")
    log.add(60, TimeJumped(minutes=25.0, text="25 min passed at once"))
    log.care(1580, care.Examine(finding="skin"))
    log.phase(1700, "leaving scene")
    log.end(1800)
    assert measured(log, 1, HandTracks(1800)).value == 80.0
    assert measured(log, 14, HandTracks(1800)).value == 1700.0


def test_vital_set_interval_of_an_unstable_patient_is_held_to_five_minutes() -> None:
    """Sets at 64 and 404 s, an observed pressure of 80: gap 340 - 1.41 > 300: not met."""
    log = HandLog()
    log.phase(0, "at patient")
    full_set(log, 60.0, pressure=80.0)
    full_set(log, 400.0)
    log.end(600)
    result = measured(log, 5)
    assert (result.value, result.status) == (340.0, "not met")
    assert "unstable (systolic pressure below 90)" in result.note


def test_reassessment_takes_the_longest_of_all_treatments() -> None:
    """Tourniquet 60 s, wound looked at 100 s: 40 s.  Oxygen 80 s, SpO2 read 200 s: 120 s.  The longest is 120 s."""
    log = HandLog()
    log.phase(0, "at patient")
    log.care(60, care.ControlBleeding(how="tourniquet", site="left thigh"))
    log.care(80, care.GiveOxygen(device="reservoir mask", flow_l_per_min=15))
    log.got(100, "bleeding seen", 0.0)
    log.got(200, "SpO2", 92.0)
    log.end(600)
    result = measured(log, 6)
    assert (result.value, result.status, result.seqs) == (120.0, "met", (3, 5))
    assert result.note == "longest after 'give oxygen'; 2 treatments"


def test_a_treatment_not_looked_at_again_is_censored() -> None:
    """Naloxone at 100 s, nothing after it, end at 600 s: more than 500 s, over five minutes: not met."""
    log = HandLog()
    log.phase(0, "at patient")
    log.care(100, care.GiveDrug(drug="naloxone", dose=0.4, route="IV"))
    log.end(600)
    result = measured(log, 6)
    assert (result.text, result.status) == ("> 8:20", "not met")
    assert "1 of them not looked at again" in result.note


def test_a_late_treatment_leaves_the_answer_open() -> None:
    """A drug at 500 s, end at 600 s: the five minutes had not passed, so it cannot be said though the other was met."""
    log = HandLog()
    log.phase(0, "at patient")
    log.care(10, care.GiveDrug(drug="naloxone", dose=0.4, route="IV"))
    log.got(200, "breathing", 10.0)
    log.care(500, care.GiveDrug(drug="naloxone", dose=0.4, route="IV"))
    log.end(600)
    result = measured(log, 6)
    assert (result.value, result.status) == (190.0, "cannot say")


def test_no_treatment_is_not_applicable() -> None:
    log = HandLog()
    log.phase(0, "at patient")
    assert measured(log, 6).status == "not applicable"


def test_scene_time_has_no_target_of_its_own() -> None:
    """On scene 5 s, leaving 605 s: 600 s."""
    log = HandLog()
    log.phase(5, "on scene")
    log.phase(605, "leaving scene")
    result = measured(log, 14)
    assert (result.value, result.status, result.text) == (600.0, "no target", "10:00")


def test_leader_named() -> None:
    """20 - 0 = 20 s <= 60 s."""
    log = HandLog()
    log.phase(0, "at patient")
    log.care(20, care.Say(what="leader named", text="anna"))
    assert (measured(log, 17).value, measured(log, 17).status) == (20.0, "met")


def test_an_entry_taken_back_does_not_count() -> None:
    """The look at 20 s is undone; the one at 50 s counts."""
    log = HandLog()
    log.phase(0, "at patient")
    seq = log.care(20, care.Examine(finding="skin"))
    log.undo(25, seq)
    log.care(50, care.Examine(finding="skin"))
    assert measured(log, 1).value == 50.0


def test_a_late_entry_counts_at_its_own_time_and_less_surely() -> None:
    """Entered at 100 s for 20 s: 20 s; a remembered time is at least 5 s uncertain: u = sqrt(1 + 25) = 5.10 s."""
    log = HandLog()
    log.phase(0, "at patient")
    log.late(100, 20, care.Examine(finding="skin"))
    result = measured(log, 1)
    assert result.value == 20.0 and result.uncertainty == pytest.approx(26**0.5)
    assert result.status == "met"


def test_a_corrected_time_counts() -> None:
    """A look logged at 50 s, corrected to 22 s."""
    log = HandLog()
    log.phase(0, "at patient")
    seq = log.care(50, care.Examine(finding="skin"))
    log.correct(60, seq, care.Examine(finding="skin"), at_s=22.0)
    assert measured(log, 1).value == 22.0


def test_a_false_start_counts_for_nothing() -> None:
    log = HandLog()
    log.phase(0, "at patient")
    log.add(10, FalseStart(reason="camera"))
    assert compute(log.events, HandTracks(10), SCENARIO) == []


def test_a_measure_that_this_version_lacks_says_so() -> None:
    log = HandLog()
    result = measured(log, 27)
    assert result.status == "cannot say" and "does not compute" in result.note
