"""Late entries, undo and correction: record only, or the patient recomputed (rebase)."""

import numpy as np
import pytest

from drillyard.core.care.actions import Attach, ControlBleeding, GiveDrug, MeasurePressure, PlaceAirway, PlaceLine
from drillyard.core.care.problems import AirwayBlockage, Bleeding
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import Rule, SetProblem, TellOperator
from drillyard.core.session.events import (
    CareGiven,
    EntryCorrected,
    EntryUndone,
    Happening,
    HoldSet,
    LateEntry,
    Paused,
    PhaseEntered,
    RuleFired,
    RunEnded,
)
from drillyard.core.session.run import replay
from tests.core.session.fakes import scenario, setup
from tests.core.session.playbook import Playbook

BLEEDS = scenario(problems=(Bleeding(name="thigh", rate_ml_per_min=600.0, site="left thigh"),))
TOURNIQUET = ControlBleeding(how="tourniquet", site="left thigh")
DOSE = GiveDrug(drug="fentanyl", dose=0.1, route="IV")


def care(action: object) -> CareGiven:
    return CareGiven(action=action, text=f"{type(action).__name__}")  # type: ignore[arg-type]


def late(action: object, t_s: float, effect: str = "rebase") -> LateEntry:
    return LateEntry(action=action, text="late", t_s=t_s, effect=effect)  # type: ignore[arg-type]


def test_a_late_entry_gives_the_patient_that_a_timely_one_would_have_given() -> None:
    timely = Playbook(setup(BLEEDS)).at(20.0, care(TOURNIQUET)).to(60.0)
    tardy = Playbook(setup(BLEEDS)).at(45.05, late(TOURNIQUET, 20.0)).to(60.0)
    assert tardy.run.machine.body.state_hash() == timely.run.machine.body.state_hash()
    np.testing.assert_array_equal(tardy.run.tracks.true, timely.run.tracks.true)
    np.testing.assert_array_equal(tardy.run.tracks.beats_s, timely.run.tracks.beats_s)


def test_what_screens_showed_before_it_stays_as_it_was_shown() -> None:
    never = Playbook(setup(BLEEDS)).now(care(Attach(sensor="pressure cuff"))).now(care(Attach(sensor="finger probe")))
    never.at(2.0, care(MeasurePressure())).to(60.0)
    tardy = Playbook(setup(BLEEDS)).now(care(Attach(sensor="pressure cuff"))).now(care(Attach(sensor="finger probe")))
    tardy.at(2.0, care(MeasurePressure())).at(45.0, late(TOURNIQUET, 20.0)).to(60.0)
    np.testing.assert_array_equal(tardy.run.tracks.shown[:46], never.run.tracks.shown[:46])
    true = tardy.run.tracks.column("systolic_pressure_mmhg")
    assert true[44] > never.run.tracks.column("systolic_pressure_mmhg")[44] + 3.0


def test_record_only_leaves_the_patient_alone() -> None:
    untouched = Playbook(setup(BLEEDS)).to(60.0)
    noted = Playbook(setup(BLEEDS)).at(45.0, late(TOURNIQUET, 20.0, "record only")).to(60.0)
    assert noted.run.machine.body.state_hash() == untouched.run.machine.body.state_hash()
    assert [b.since_t_s for b in noted.run.state.bleeding_controls] == [20.0]
    line = next(line for line in noted.run.state.log if line.is_late)
    assert (line.t_s, line.entered_t_s, line.action) == (20.0, 45.0, TOURNIQUET)


def test_an_undone_entry_never_was() -> None:
    never = Playbook(setup(BLEEDS)).to(60.0)
    book = Playbook(setup(BLEEDS)).at(20.0, care(TOURNIQUET))
    book.at(41.0, EntryUndone(target_seq=1)).to(60.0)
    assert book.run.machine.body.state_hash() == never.run.machine.body.state_hash()
    assert book.run.state.bleeding_controls == ()
    assert [(line.seq, line.is_undone) for line in book.run.state.log] == [(1, True), (2, False)]
    assert not book.run.machine.facts.count


def test_undoing_the_undo_brings_it_back() -> None:
    kept = Playbook(setup(BLEEDS)).at(20.0, care(TOURNIQUET)).to(60.0)
    book = Playbook(setup(BLEEDS)).at(20.0, care(TOURNIQUET))
    book.at(30.0, EntryUndone(target_seq=1)).at(41.0, EntryUndone(target_seq=2)).to(60.0)
    assert book.run.machine.body.state_hash() == kept.run.machine.body.state_hash()
    assert [line.is_undone for line in book.run.state.log] == [False, True, False]


def test_a_correction_replaces_what_was_done_and_when() -> None:
    right = Playbook(setup(BLEEDS)).at(12.0, care(TOURNIQUET)).to(60.0)
    book = Playbook(setup(BLEEDS)).at(20.0, care(ControlBleeding(how="packing", site="left thigh", stopped_frac=0.2)))
    book.at(31.0, EntryCorrected(target_seq=1, action=TOURNIQUET, text="tourniquet", t_s=12.0)).to(60.0)
    assert book.run.machine.body.state_hash() == right.run.machine.body.state_hash()
    (control,) = book.run.state.bleeding_controls
    assert (control.how, control.since_t_s) == ("tourniquet", 12.0)
    first = book.run.state.log[0]
    assert first.is_corrected and first.text == "tourniquet" and first.t_s == 12.0


def test_a_correction_without_a_time_keeps_the_time_of_the_one_before() -> None:
    book = Playbook(setup(BLEEDS)).at(20.0, care(DOSE))
    book.at(31.0, EntryCorrected(target_seq=1, action=DOSE, text="earlier", t_s=12.0))
    book.at(35.0, EntryCorrected(target_seq=2, action=TOURNIQUET, text="not a drug"))
    (control,) = book.run.state.bleeding_controls
    assert control.since_t_s == 12.0
    book.at(40.0, EntryUndone(target_seq=3)).to(45.0)
    assert book.run.state.bleeding_controls == () and book.run.state.log[0].text == "earlier"


def test_a_correction_of_the_record_only_leaves_the_patient_alone() -> None:
    as_it_ran = Playbook(setup(BLEEDS)).at(20.0, care(TOURNIQUET)).to(60.0)
    book = Playbook(setup(BLEEDS)).at(20.0, care(TOURNIQUET))
    book.at(31.0, EntryCorrected(target_seq=1, action=DOSE, text="a drug", t_s=12.0, effect="record only"))
    book.at(35.0, late(DOSE, 30.0)).at(36.0, EntryUndone(target_seq=3)).to(60.0)
    assert book.run.machine.body.state_hash() == as_it_ran.run.machine.body.state_hash()
    assert (book.run.state.log[0].text, book.run.state.log[0].t_s) == ("a drug", 12.0)


def test_an_undone_hold_of_a_shown_value_is_shown_no_more() -> None:
    book = Playbook(setup()).now(care(Attach(sensor="finger probe")))
    book.at(15.0, HoldSet(what="spo2_pct", value=70.0, display_only=True)).to(20.0)
    assert book.run.shown()["spo2_pct"] == 70.0
    book.now(EntryUndone(target_seq=2)).to(25.0)
    assert book.run.shown()["spo2_pct"] == pytest.approx(98.0)
    assert book.run.tracks.shown_column("spo2_pct")[20] == 70.0, "it was shown until then"


def test_a_late_dose_can_be_corrected_and_taken_back() -> None:
    never = Playbook(setup(BLEEDS)).to(60.0)
    book = Playbook(setup(BLEEDS)).at(30.0, late(DOSE, 8.0))
    book.at(33.0, EntryCorrected(target_seq=1, action=TOURNIQUET, text="tourniquet"))
    assert book.run.state.bleeding_controls[0].since_t_s == 8.0
    book.at(36.0, EntryUndone(target_seq=1)).to(60.0)
    assert book.run.machine.body.state_hash() == never.run.machine.body.state_hash()


def test_lines_and_airways_follow_the_record() -> None:
    book = Playbook(setup())
    book.at(5.0, care(PlaceLine(site="right arm", gauge=16)))
    book.at(6.0, care(PlaceAirway(device="tracheal tube", size=7.5, depth_cm=22.0)))
    book.at(9.0, late(PlaceAirway(device="supraglottic airway", size=4.0), 2.0, "record only"))
    state = book.run.state
    assert [line.site for line in state.lines] == ["right arm"]
    assert state.airway is not None and state.airway.device == "tracheal tube"
    assert [(a.device, a.removed_t_s) for a in state.all_airways] == [
        ("supraglottic airway", 6.0), ("tracheal tube", None),
    ]  # fmt: skip
    book.at(12.0, EntryUndone(target_seq=2))
    assert book.run.state.airway is not None and book.run.state.airway.device == "supraglottic airway"


COLLAPSE = Rule(
    name="collapse",
    when="blood_volume_ml < 4700.0",
    then=(SetProblem(problem=AirwayBlockage(name="tongue", blocked_frac=0.6)), TellOperator(text="collapsed")),
)


def test_rules_that_the_recomputed_course_does_not_fire_are_taken_back_in_the_log() -> None:
    case = scenario(problems=BLEEDS.problems, rules=(COLLAPSE,))
    timely = Playbook(setup(case)).at(20.0, care(TOURNIQUET)).to(60.0)
    assert timely.kinds() == []
    book = Playbook(setup(case)).to(40.0)
    assert book.kinds() == ["rule fired", "problem set"]
    book.at(45.0, late(TOURNIQUET, 20.0)).to(60.0)
    assert book.kinds() == ["rule fired", "problem set", "entry undone", "entry undone"]
    assert book.run.machine.body.state_hash() == timely.run.machine.body.state_hash()
    assert [p.problem.name for p in book.run.state.problems] == ["thigh"] and book.run.state.rules == ()
    assert book.run.mismatches == [] and book.run.pending_wanted() == []


def test_rules_that_the_recomputed_course_fires_earlier_are_logged_at_their_new_time() -> None:
    case = scenario(problems=BLEEDS.problems, rules=(COLLAPSE,))
    book = Playbook(setup(case)).at(2.0, care(TOURNIQUET)).to(60.0)
    assert book.kinds() == []
    book.now(EntryUndone(target_seq=1)).to(70.0)
    never = Playbook(setup(case)).to(70.0)
    assert book.kinds() == ["rule fired", "problem set"]
    assert [w.step for w in book.wanted] == [w.step for w in never.wanted] and book.wanted[0].step < 6000
    assert book.wanted[0].tags == ("recomputed",)
    assert book.run.machine.body.state_hash() == never.run.machine.body.state_hash()


def test_what_a_rule_did_can_be_taken_back_and_stays_so() -> None:
    case = scenario(problems=BLEEDS.problems, rules=(COLLAPSE,))
    book = Playbook(setup(case)).to(40.0)
    rule_seq = book.seq_of("rule fired")
    book.now(EntryUndone(target_seq=rule_seq, reason="not this time")).to(60.0)
    assert book.kinds().count("rule fired") == 1
    assert [p.problem.name for p in book.run.state.problems] == ["thigh"]
    quiet = Playbook(setup(BLEEDS)).to(60.0)
    assert book.run.machine.body.state_hash() == quiet.run.machine.body.state_hash()
    book.now(EntryUndone(target_seq=book.seq_of("entry undone"))).to(70.0)
    fired = Playbook(setup(case)).to(70.0)
    assert book.run.machine.body.state_hash() == fired.run.machine.body.state_hash()
    assert book.run.mismatches == []


def test_only_the_problem_of_a_rule_can_be_taken_back() -> None:
    case = scenario(problems=BLEEDS.problems, rules=(COLLAPSE,))
    book = Playbook(setup(case)).to(40.0)
    book.now(EntryUndone(target_seq=book.seq_of("problem set"))).to(60.0)
    assert isinstance(book.wanted[0].body, RuleFired) and [r.rule for r in book.run.state.rules] == ["collapse"]
    assert book.run.machine.course.find("tongue") is None


def test_a_finding_wanted_but_not_yet_logged_is_taken_back_once_it_is() -> None:
    case = scenario(problems=BLEEDS.problems, rules=(COLLAPSE,))
    book = Playbook(setup(case), logs_wanted=False).to(40.0)
    in_flight = list(book.wanted)
    book.at(45.0, late(TOURNIQUET, 20.0))
    assert book.run.pending_wanted() == []
    for wanted in in_flight:
        book._post(wanted.step, wanted.body, client_id=wanted.client_id, source=wanted.source)
    book.to(46.0)
    assert [w.body.kind for w in book.run.pending_wanted()] == ["entry undone", "entry undone"]
    assert book.run.mismatches == []


def test_a_cuff_cycle_in_the_middle_of_a_recomputation_keeps_its_one_reading() -> None:
    book = Playbook(setup(BLEEDS)).now(care(Attach(sensor="pressure cuff")))
    book.at(25.0, care(MeasurePressure())).to(50.0)
    book.now(late(TOURNIQUET, 32.0)).to(60.0)
    assert book.kinds() == ["finding obtained"]
    (reading,) = book.run.state.obtained
    assert (reading.t_s, reading.requested_t_s) == (45.0, 25.0)


def test_a_reading_that_was_taken_stays_as_it_was_read() -> None:
    book = Playbook(setup(BLEEDS)).now(care(Attach(sensor="pressure cuff")))
    book.at(20.0, care(MeasurePressure())).to(41.0)
    (taken,) = book.run.state.obtained
    book.at(50.0, late(TOURNIQUET, 5.0)).to(60.0)
    assert book.run.state.obtained == (taken,) and book.kinds() == ["finding obtained"]
    book.now(EntryUndone(target_seq=2)).to(61.0)
    assert book.run.state.obtained == (), "a cuff cycle that never was has no reading"


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (EntryUndone(target_seq=99), "no entry number 99"),
        (EntryUndone(target_seq=3), "cannot be changed"),
        (EntryUndone(target_seq=1), "taken back already"),
        (EntryCorrected(target_seq=2, action=DOSE, text=""), "cannot be changed"),
        (late(DOSE, -0.5), "0 to 30 s"),
        (late(DOSE, 31.0), "0 to 30 s"),
    ],
)
def test_an_amendment_that_cannot_be_is_refused(body: Happening, words: str) -> None:
    book = Playbook(setup()).at(5.0, care(DOSE)).at(6.0, PhaseEntered(phase="at patient")).now(Paused())
    book.now(EntryUndone(target_seq=1)).to(30.0)
    with pytest.raises(Refusal, match=words):
        book.run.check(body, book.run.step)


def test_after_the_end_only_the_record_is_amended() -> None:
    book = Playbook(setup(BLEEDS)).at(5.0, care(DOSE)).at(20.0, RunEnded(reason="handed over", outcome="alive"))
    before = book.run.machine.body.state_hash()
    with pytest.raises(Refusal, match="record only"):
        book.now(late(TOURNIQUET, 10.0))
    with pytest.raises(Refusal, match="cannot be changed"):
        book.now(EntryUndone(target_seq=2, effect="record only"))
    book.now(late(TOURNIQUET, 10.0, "record only")).now(EntryUndone(target_seq=1, effect="record only"))
    assert [b.since_t_s for b in book.run.state.bleeding_controls] == [10.0]
    assert book.run.machine.body.state_hash() == before


def test_a_log_full_of_amendments_replays_to_the_same_patient_and_record() -> None:
    case = scenario(problems=BLEEDS.problems, rules=(COLLAPSE,))
    book = Playbook(setup(case)).now(care(Attach(sensor="pressure cuff"))).at(7.0, care(MeasurePressure()))
    book.at(15.0, care(DOSE)).at(45.0, late(TOURNIQUET, 20.0)).at(52.0, EntryUndone(target_seq=3))
    book.at(58.0, EntryUndone(target_seq=book.log[-2].seq)).at(70.0, EntryUndone(target_seq=book.seq_of("late entry")))
    book.to(90.0)
    again = replay(book.run.setup, book.log, 9000)
    assert again.mismatches == [] and again.pending_wanted() == []
    assert again.machine.body.state_hash() == book.run.machine.body.state_hash()
    assert again.state == book.run.state
    np.testing.assert_array_equal(again.tracks.true, book.run.tracks.true)
    np.testing.assert_array_equal(again.tracks.shown, book.run.tracks.shown)
    np.testing.assert_array_equal(again.tracks.beats_s, book.run.tracks.beats_s)
