"""The fold: every happening leaves its mark, and the state of a log does not depend on how it came."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.core.care.actions import (
    Attach,
    Compress,
    ControlBleeding,
    Detach,
    GiveOxygen,
    OpenAirway,
    PlaceAirway,
    PlaceLine,
    Position,
    ReleaseBleeding,
    RemoveAirway,
    RemoveLine,
    StartFluid,
    StopCompressions,
    StopFluid,
    StopOxygen,
    StopVentilating,
    Ventilate,
)
from drillyard.core.care.problems import Bleeding
from drillyard.core.session import events as ev
from drillyard.core.session.fold import Fold, fold
from drillyard.core.session.state import RunState
from drillyard.core.session.timeline import body_timeline, record_timeline
from tests.core.session.fakes import event
from tests.core.session.strategies import HAPPENINGS, STRATEGIES

THIGH = Bleeding(name="thigh", rate_ml_per_min=100.0, site="left thigh", start_s=-30.0)


def care(*actions: Any) -> RunState:
    return fold([event(k, k * 100, ev.CareGiven(action=a, text=a.kind)) for k, a in enumerate(actions, start=1)])


@st.composite
def logs(draw: st.DrawFn) -> list[ev.Event]:
    """Any happenings in any order of acting; undos and corrections point somewhere in the log, or nowhere."""
    bodies = draw(st.lists(st.one_of(list(STRATEGIES.values())), max_size=12))
    log = []
    for seq, drawn in enumerate(bodies, start=1):
        match drawn:
            case ev.EntryUndone() | ev.EntryCorrected():
                body = replace(drawn, target_seq=draw(st.integers(0, seq)))
            case ev.LateEntry():
                body = replace(drawn, t_s=draw(st.floats(0.0, 50.0)))
            case _:
                body = drawn
        log.append(event(seq, draw(st.integers(0, 10)) * 500, body))
    return log


@settings(max_examples=100, deadline=None)
@given(log=logs())
def test_the_state_is_a_function_of_the_log_alone(log: list[ev.Event]) -> None:
    growing = Fold((THIGH,))
    for one in log:
        growing.add(one)
        assert growing.state == growing._made_anew(), "one by one, or all anew in the order of what happened"
    if not log:
        return
    twin = growing.copy()
    twin.add(event(len(log) + 1, 9000, ev.StopWordSaid()))
    assert growing.state == fold(log, (THIGH,)) != twin.state
    assert len(growing.state.log) == len(log), "every event has its line"
    assert growing.state.last_seq == len(log)
    assert {line.seq for line in growing.state.log} == {one.seq for one in log}


@settings(max_examples=100, deadline=None)
@given(log=logs())
def test_what_reached_the_patient_is_never_more_than_what_is_on_record(log: list[ev.Event]) -> None:
    record, body = record_timeline(log), body_timeline(log)
    assert {entry.seq for entry in body} <= {entry.seq for entry in record}
    assert [entry.step for entry in record] == sorted(entry.step for entry in record)
    all_rebase = [
        replace(one, body=replace(one.body, effect="rebase")) if hasattr(one.body, "effect") else one for one in log
    ]
    standing = {entry.seq for entry in record_timeline(all_rebase) if not entry.is_undone}
    assert {entry.seq for entry in body_timeline(all_rebase)} <= standing


@pytest.mark.parametrize("kind", HAPPENINGS, ids=lambda kind: kind.__name__)
@settings(max_examples=10, deadline=None)
@given(data=st.data())
def test_every_happening_has_a_line_with_words(kind: type, data: st.DataObject) -> None:
    body = data.draw(STRATEGIES[kind])
    state = fold([event(1, 0, ev.NoteWritten(text="x")), event(2, 500, body)])
    line = next(line for line in state.log if line.seq == 2)
    assert line.kind in (body.kind, "care given")
    if not hasattr(body, "text") and kind is not ev.PhaseEntered:
        assert line.text


def test_airways_lines_and_tubes_are_objects() -> None:
    state = care(
        PlaceLine(site="left arm", gauge=18, patent=False),
        PlaceLine(site="right shin", line_kind="IO", gauge=15),
        PlaceLine(site="left arm", gauge=16),
        PlaceAirway(device="tracheal tube", size=7.5, depth_cm=27.0, place="right main stem", leak_frac=0.1),
        RemoveLine(site="right shin"),
    )
    assert [(line.site, line.gauge, line.is_patent, line.line_kind) for line in state.lines] == [
        ("left arm", 16, True, "IV")
    ]
    assert [(line.site, line.removed_t_s) for line in state.all_lines] == [
        ("left arm", 3.0), ("right shin", 5.0), ("left arm", None),
    ]  # fmt: skip
    tube = state.airway
    assert tube is not None
    assert (tube.size, tube.depth_cm, tube.place, tube.leak_frac) == (7.5, 27.0, "right main stem", 0.1)
    assert care(PlaceAirway(device="pharyngeal airway", size=3.0), RemoveAirway()).airway is None


def test_care_that_goes_on_is_there_until_it_is_stopped() -> None:
    starts = (
        GiveOxygen(device="reservoir mask", flow_l_per_min=15.0),
        Ventilate(rate_per_min=10.0),
        Compress(depth_cm=5.5),
        OpenAirway(how="jaw thrust"),
        StartFluid(fluid="crystalloid", volume_ml=500.0, line="left arm"),
        ControlBleeding(how="tourniquet", site="left thigh"),
        Position(posture="legs raised"),
        Attach(sensor="finger probe", site="right hand"),
    )
    on = care(*starts)
    assert on.oxygen is not None and on.oxygen.flow_l_per_min == 15.0
    assert on.ventilation is not None and on.ventilation.since_t_s == 2.0
    assert on.compressions is not None and on.compressions.depth_cm == 5.5
    assert on.airway_held_open == "jaw thrust" and on.posture == "legs raised"
    assert [fluid.volume_ml for fluid in on.fluids] == [500.0]
    assert [control.site for control in on.bleeding_controls] == ["left thigh"]
    probe = on.sensor("finger probe")
    assert probe is not None and probe.site == "right hand" and on.sensor("pressure cuff") is None
    off = care(
        *starts, StopOxygen(), StopVentilating(), StopCompressions(), OpenAirway(held=False),
        StopFluid(fluid="crystalloid"), ReleaseBleeding(site="left thigh"), Detach(sensor="finger probe"),
    )  # fmt: skip
    assert (off.oxygen, off.ventilation, off.compressions, off.airway_held_open) == (None, None, None, "")
    assert (off.fluids, off.bleeding_controls, off.sensors) == ((), (), ())


def test_the_three_truths_are_kept_apart() -> None:
    state = fold(
        [
            event(1, 0, ev.ManikinSet(finding="breath sound left", setting="reduced")),
            event(2, 100, ev.ManikinSet(finding="breath sound left", setting="absent")),
            event(3, 200, ev.FindingAsked(finding="breath sound left", text="left lung?")),
            event(
                4,
                300,
                ev.FindingObtained(finding="breath sound left", text="absent", how="on the manikin", true_value=0.1),
            ),
        ]
    )
    assert [(s.finding, s.setting, s.since_t_s) for s in state.manikin] == [("breath sound left", "absent", 1.0)]
    (obtained,) = state.obtained
    assert (obtained.text, obtained.how, obtained.true_value) == ("absent", "on the manikin", 0.1)
    assert state.waiting == () and state.asked[0].answered_t_s == 3.0


def test_phases_pause_and_end() -> None:
    log = [
        event(1, 0, ev.RunStarted(scenario="s", scenario_hash="", manikin="m", manikin_hash="", body_hash="", seed=1)),
        event(2, 0, ev.PhaseEntered(phase="dispatch")),
        event(3, 500, ev.PhaseEntered(phase="at patient")),
        event(4, 600, ev.Paused(reason="question")),
    ]
    state = fold(log)
    assert (state.phase, state.is_running) == ("at patient", False)
    assert [(phase.name, phase.entered_t_s) for phase in state.phases] == [("dispatch", 0.0), ("at patient", 5.0)]
    assert fold([*log, event(5, 600, ev.Resumed())]).is_running
    assert fold([*log, event(5, 600, ev.EntryUndone(target_seq=3, effect="record only"))]).phase == "dispatch"
    stopped = fold([*log, event(5, 600, ev.Resumed()), event(6, 700, ev.StopWordSaid())])
    assert stopped.is_stopped_for_safety and not stopped.is_running
    ended = fold([*log, event(5, 800, ev.RunEnded(reason="handed over", outcome="alive"))])
    assert (ended.is_ended, ended.outcome, ended.ended_t_s, ended.end_reason) == (True, "alive", 8.0, "handed over")
    void = fold([*log, event(5, 800, ev.FalseStart(reason="wrong case"))])
    assert void.is_void and void.is_ended and "wrong case" in void.end_reason
    back = fold([*log, event(5, 800, ev.ServerRecovered(outage_s=12.0, resumed=True))])
    assert back.is_running and "12 s" in back.recovered_text


def test_notes_stand_at_the_line_they_are_about() -> None:
    log = [
        event(1, 0, ev.CareGiven(action=Compress(), text="compressions")),
        event(2, 100, ev.NoteWritten(text="good depth", about_seq=1)),
        event(3, 200, ev.NoteWritten(text="well led")),
        event(4, 300, ev.EntryUndone(target_seq=1, reason="wrong key")),
        event(5, 400, ev.NoteWritten(text="why?", about_seq=4)),
        event(6, 500, ev.NoteWritten(text="again", about_seq=1)),
    ]
    for n in range(len(log) + 1):
        fold(log[:n])
    lines = {line.seq: line for line in fold(log).log}
    assert (lines[1].note, lines[4].note, lines[3].note) == ("good depth; again", "why?", "")
    assert "entry 1 taken back" in lines[4].text and "wrong key" in lines[4].text


def test_problems_of_the_case_are_there_before_any_event() -> None:
    state = fold([event(1, 300, ev.ProblemEnded(name="thigh", reason="stopped"))], (THIGH,))
    (problem,) = state.problems
    assert (problem.set_t_s, problem.ended_t_s, problem.by, problem.reason) == (-30.0, 3.0, "case", "stopped")
    again = fold([event(1, 300, ev.ProblemSet(problem=THIGH), source="rule")], (THIGH,))
    assert [(p.by, p.is_ended) for p in again.problems] == [("rule", False)]
