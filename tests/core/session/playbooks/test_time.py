"""The same setup and log give the same run, to the bit, however time is cut; copies do not disturb."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.core.care.actions import (
    Attach,
    ControlBleeding,
    Detach,
    GiveDrug,
    MeasurePressure,
    Other,
    StopVentilating,
    Ventilate,
)
from drillyard.core.care.problems import AirwayBlockage, Bleeding
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import Rule, SetProblem, TellOperator
from drillyard.core.session.events import (
    CareGiven,
    EntryCorrected,
    EntryUndone,
    Happening,
    HoldReleased,
    HoldSet,
    LateEntry,
    ProblemEnded,
    ProblemSet,
    RuleFired,
    RunEnded,
)
from drillyard.core.session.run import Run, replay
from tests.core.session.fakes import event, scenario, setup
from tests.core.session.playbook import Playbook

THIGH = Bleeding(name="thigh", rate_ml_per_min=600.0, site="left thigh", start_s=-20.0, over_s=40.0)
RULES = (
    Rule(
        name="collapse",
        when="blood_volume_ml < 4700.0",
        held_for_s=2.0,
        then=(SetProblem(problem=AirwayBlockage(name="tongue", blocked_frac=0.6, over_s=15.0, start_s=3.0)),),
    ),
    Rule(name="low", when="spo2_pct < 97.0", repeat=True, then=(TellOperator(text="low"),)),
)
CASE = scenario(problems=(THIGH,), rules=RULES)
ACTIONS = (
    Attach(sensor="finger probe"), Detach(sensor="finger probe"), Attach(sensor="pressure cuff"), MeasurePressure(),
    ControlBleeding(how="tourniquet", site="left thigh"), GiveDrug(drug="fentanyl", dose=0.1, route="IV"),
    Ventilate(), StopVentilating(), Other(text="x"), GiveDrug(drug="unknown", dose=1.0, route="IV"),
)  # fmt: skip


def happenings(n_before: int) -> st.SearchStrategy[Happening]:
    """Anything an operator may enter after ``n_before`` entries."""
    action = st.sampled_from(ACTIONS)
    kinds: list[st.SearchStrategy[Happening]] = [
        st.builds(CareGiven, action=action, text=st.just("care")),
        st.builds(LateEntry, action=action, text=st.just("late"), t_s=st.floats(0.0, 60.0)),
        st.builds(ProblemSet, problem=st.just(replace(THIGH, start_s=0.0, rate_ml_per_min=100.0))),
        st.builds(ProblemEnded, name=st.sampled_from(["thigh", "tongue"])),
        st.builds(HoldSet, what=st.just("heart rate"), value=st.just(50.0), display_only=st.just(False)),
        st.builds(HoldSet, what=st.just("spo2_pct"), value=st.just(70.0), display_only=st.just(True)),
        st.builds(HoldReleased, what=st.sampled_from(["heart rate", "spo2_pct"])),
    ]
    if n_before:
        target = st.integers(1, n_before)
        effect = st.sampled_from(["record only", "rebase"])
        kinds += [
            st.builds(EntryUndone, target_seq=target, effect=effect),
            st.builds(EntryCorrected, target_seq=target, action=action, text=st.just("better"), effect=effect,
                      t_s=st.none() | st.floats(0.0, 60.0)),
        ]  # fmt: skip
    return st.one_of(kinds)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_any_session_replays_to_the_bit_and_whole(data: st.DataObject) -> None:
    """Whatever is entered, at any time and with any size of calls: the log replayed is the run that was."""
    book = Playbook(setup(CASE), logs_wanted=data.draw(st.sampled_from([True, True, False])))
    t_s = 0.0
    for _ in range(data.draw(st.integers(0, 12))):
        t_s += data.draw(st.integers(0, 200)) * 0.05
        book.to(t_s, chunk_steps=data.draw(st.sampled_from([5, 15, 100, 370])))
        try:
            book.now(data.draw(happenings(len(book.log))))
        except Refusal:
            continue
    book.to(t_s + 7.0)
    again = replay(book.run.setup, book.log, book.run.step)
    assert again.machine.body.state_hash() == book.run.machine.body.state_hash()
    assert again.mismatches == book.run.mismatches == []
    assert again.state == book.run.state
    assert again.pending_wanted() == book.run.pending_wanted()
    np.testing.assert_array_equal(again.tracks.true, book.run.tracks.true)
    np.testing.assert_array_equal(again.tracks.shown, book.run.tracks.shown)
    assert again.machine.facts == book.run.machine.facts
    assert again.machine.course == book.run.machine.course


def session() -> Playbook:
    book = Playbook(setup(CASE, wave_s=10))
    book.now(CareGiven(action=Attach(sensor="finger probe"), text="probe"))
    book.at(4.25, CareGiven(action=MeasurePressure(), text="pressure"))
    book.at(31.0, HoldSet(what="heart rate", value=60.0, display_only=False))
    return book.at(40.1, CareGiven(action=Ventilate(), text="bag"))


def test_the_size_of_the_calls_makes_no_difference() -> None:
    log = session().to(80.0).log
    hashes = set()
    for chunk in (5, 35, 100, 8000):
        run = Run(setup(CASE))
        run.advance_to(0)
        for one in log:
            while run.step < one.step:
                run.advance_to(min(one.step, run.step + chunk))
            run.post(one)
        while run.step < 8000:
            run.advance_to(min(8000, run.step + chunk))
        assert run.mismatches == []
        hashes.add(run.machine.body.state_hash())
    assert len(hashes) == 1


def test_an_event_may_be_posted_before_its_step_or_at_it() -> None:
    at = session().to(80.0)
    ahead = Run(setup(CASE))
    for one in at.log:
        if not one.client_id.startswith("core-"):
            ahead.post(one)
    ahead.advance_to(8000)
    assert ahead.machine.body.state_hash() == at.run.machine.body.state_hash()
    assert [w.client_id for w in ahead.pending_wanted()] == [w.client_id for w in at.wanted]


def test_an_event_out_of_time_is_refused_and_changes_nothing() -> None:
    book = Playbook(setup(CASE)).to(10.0)
    for step in (995, 1003):
        with pytest.raises(Refusal, match="multiple of 5 from 1000 on"):
            book.run.post(event(1, step, CareGiven(action=Ventilate(), text="bag")))
    assert book.run.events == ()
    with pytest.raises(Refusal, match="late entry"):
        book.run.check(CareGiven(action=Ventilate(), text="bag"), 995)


@pytest.mark.parametrize("at_s", [0.0, 3.0, 4.25, 7.35, 20.0, 31.0, 40.1, 55.55])
def test_snapshot_and_restore_anywhere_go_on_as_before(at_s: float) -> None:
    whole = session().to(80.0)
    log = [one for one in whole.log if not one.client_id.startswith("core-")]
    run = Run(setup(CASE))
    for one in log:
        if one.step <= at_s * 100:
            run.advance_to(one.step)
            run.post(one)
    run.advance_to(round(at_s * 100))
    moment = run.snapshot()
    for _ in range(2):
        for one in log:
            if one.step > at_s * 100:
                run.post(one)
        run.advance_to(8000)
        assert run.machine.body.state_hash() == whole.run.machine.body.state_hash()
        np.testing.assert_array_equal(run.tracks.true, whole.run.tracks.true)
        np.testing.assert_array_equal(run.tracks.shown, whole.run.tracks.shown)
        run.restore(moment)
        assert run.step == round(at_s * 100)


def test_a_branch_goes_its_own_way_and_does_not_disturb() -> None:
    whole = session().to(80.0)
    book = session().to(50.0)
    branch = book.run.branch()
    branch.post(event(899, 5000, CareGiven(action=StopVentilating(), text="hands off")))
    branch.post(event(900, 5000, ProblemSet(problem=AirwayBlockage(name="choked", blocked_frac=1.0))))
    branch.post(event(901, 5000, HoldSet(what="spo2_pct", value=50.0, display_only=True)))
    branch.advance_to(7000)
    assert branch.machine.facts.count["stop ventilating"] == 1
    assert book.run.machine.facts.count.get("stop ventilating", 0) == 0 and not book.run.machine.holds.display
    assert branch.waves is None and branch.director is None
    book.to(80.0)
    assert book.run.machine.body.state_hash() == whole.run.machine.body.state_hash()
    assert book.run.state == whole.run.state and book.run.mismatches == []
    assert branch.tracks.column("spo2_pct")[-1] < book.run.tracks.column("spo2_pct")[70] - 5.0
    np.testing.assert_array_equal(book.run.tracks.true, whole.run.tracks.true)


def test_a_log_that_the_body_does_not_give_is_told() -> None:
    book = session().to(80.0)
    other = scenario(problems=(THIGH,), rules=(replace(RULES[0], held_for_s=4.0), *RULES[1:]))
    again = replay(setup(other), book.log, 8000)
    assert again.mismatches and "which the core" in again.mismatches[0].sentence()
    forged = [one for one in book.log if not isinstance(one.body, RuleFired)]
    assert "rule fired" in {w.body.kind for w in replay(setup(CASE), forged, 8000).pending_wanted()}
    changed = [
        replace(one, body=replace(one.body, text="else")) if isinstance(one.body, RuleFired) else one
        for one in book.log
    ]
    assert "another 'rule fired'" in replay(setup(CASE), changed, 8000).mismatches[0].sentence()


def test_a_log_cut_by_a_crash_is_taken_up_where_it_was() -> None:
    whole = session().to(80.0)
    cut = [one for one in whole.log if one.step <= 3000 and isinstance(one.body, CareGiven)]
    run = replay(setup(CASE), cut, 3000)
    lost = run.pending_wanted()
    assert [w.client_id for w in lost] == [w.client_id for w in whole.wanted if w.step <= 3000] and lost


def test_a_value_held_on_the_screen_is_shown_and_goes_back_smoothly() -> None:
    book = Playbook(setup(CASE))
    book.now(HoldSet(what="spo2_pct", value=70.0, display_only=True)).to(2.0)
    assert book.run.shown()["spo2_pct"] is None, "nothing is shown before its sensor is on"
    book.now(CareGiven(action=Attach(sensor="finger probe"), text="probe")).to(10.0)
    assert book.run.shown()["spo2_pct"] == 70.0
    assert book.run.tracks.shown_column("spo2_pct")[10] == 70.0
    assert book.run.tracks.column("spo2_pct")[10] > 90.0
    book.now(HoldReleased(what="spo2_pct", over_s=10.0)).to(15.0)
    real = book.run.machine.sensors.shown()["spo2_pct"]
    assert real is not None and book.run.shown()["spo2_pct"] == pytest.approx((70.0 + real) / 2.0)
    assert book.to(21.0).run.shown()["spo2_pct"] == book.run.machine.sensors.shown()["spo2_pct"]
    hold = book.run.state.hold("spo2_pct")
    assert hold is not None and hold.is_releasing(15.0) and not hold.is_releasing(20.0)


def test_a_held_effector_reaches_the_body() -> None:
    book = Playbook(setup(CASE)).at(5.0, HoldSet(what="heart rate", value=45.0, display_only=False)).to(8.0)
    assert book.run.signals()["heart_rate_per_min"] == 45.0
    book.now(HoldReleased(what="heart rate", over_s=10.0)).to(book.run.t_s + 11.0)
    assert book.run.signals()["heart_rate_per_min"] > 70.0
    book.now(HoldSet(what="mood", value=1.0, display_only=False))
    assert "cannot be held" in book.run.take_advice()[-1][1]


def test_what_the_body_says_about_an_action_is_told_with_its_entry() -> None:
    book = Playbook(setup()).at(1.0, CareGiven(action=ControlBleeding(how="packing", site="arm"), text="pack"))
    book.at(2.0, CareGiven(action=GiveDrug(drug="unknown", dose=1.0, route="IV"), text="?"))
    advice = book.run.take_advice()
    assert [seq for seq, _ in advice] == [1, 2]
    assert "no bleeding wound" in advice[0][1] and "no drug is called 'unknown'" in advice[1][1]
    assert book.run.take_advice() == []


def test_a_body_that_becomes_impossible_stands_still_and_can_be_mended() -> None:
    book = Playbook(setup(CASE)).at(12.5, CareGiven(action=GiveDrug(drug="poison", dose=1.0, route="IV"), text="x"))
    book.to(30.0)
    assert book.run.frozen is not None and "13 s" in book.run.frozen.sentence() and book.run.t_s == 13.0
    assert book.run.advance_to(5000) == [] and book.run.t_s == 13.0
    book.now(EntryUndone(target_seq=book.seq_of("care given"), reason="the body froze")).to(30.0)
    assert book.run.frozen is None and book.run.t_s == 30.0
    never = Playbook(setup(CASE)).to(30.0)
    assert book.run.machine.body.state_hash() == never.run.machine.body.state_hash()


def test_an_undo_on_its_way_when_the_body_freezes_still_mends_it() -> None:
    book = Playbook(setup(CASE)).at(12.5, CareGiven(action=GiveDrug(drug="poison", dose=1.0, route="IV"), text="x"))
    undo = event(99, 1305, EntryUndone(target_seq=1))
    book.to(12.95).run.post(undo)
    book.to(30.0)
    assert book.run.frozen is None and book.run.t_s == 30.0
    again = replay(setup(CASE), [book.log[0], undo], 3000)
    never = Playbook(setup(CASE)).to(30.0)
    assert again.machine.body.state_hash() == book.run.machine.body.state_hash()
    assert again.machine.body.state_hash() == never.run.machine.body.state_hash()


def test_waves_are_kept_for_the_last_seconds() -> None:
    book = Playbook(setup(CASE, wave_s=4)).to(9.35)
    waves = book.run.waves
    assert waves is not None and waves.names == ("phase", "chaos")
    first, rows = waves.since(0)
    assert (first, len(rows)) == (535, 400)
    assert rows[-1, 1] == book.run.machine.body.read("chaos")
    first, rows = waves.since(930)
    assert (first, len(rows)) == (930, 5)


def test_beats_are_stored_with_the_rate_they_came_at() -> None:
    book = Playbook(setup()).to(60.0)
    gaps = np.diff(book.run.tracks.beats_s)
    assert len(book.run.tracks.beats_s) in (74, 75)
    assert gaps == pytest.approx(60.0 / 75.0, abs=0.02)


def test_the_end_of_a_run_stops_the_patient_at_its_step() -> None:
    book = Playbook(setup(CASE)).at(12.35, RunEnded(reason="handed over", outcome="alive")).to(20.0)
    assert book.run.t_s == 12.35 and book.run.is_ended and book.run.state.outcome == "alive"
