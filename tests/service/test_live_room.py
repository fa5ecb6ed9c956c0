"""The shell around one run: acknowledged means on disk, time is kept, one fault stops one room."""

import pytest

from drillyard.core.care.actions import ControlBleeding, GiveDrug, Say
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import Rule, TellOperator
from drillyard.core.session.events import (
    CareGiven,
    EntryUndone,
    NoteWritten,
    Paused,
    RealEmergency,
    Resumed,
    RunEnded,
    StopWordSaid,
    TimeJumped,
)
from drillyard.core.session.run import replay
from tests.core.session.fakes import scenario, setup
from tests.service.bench import WOUND, RoomBench

TOURNIQUET = CareGiven(action=ControlBleeding(how="tourniquet", site="left thigh"), text="Tourniquet, left thigh")
POISON = CareGiven(action=GiveDrug(drug="poison", dose=1.0, route="IV"), text="poison 1 mg IV")


def test_an_event_acts_at_the_next_tick_and_is_acknowledged_only_when_on_disk() -> None:
    bench = RoomBench()
    bench.go(1.0)
    bench.store.is_held = True
    answer = bench.do(TOURNIQUET)
    bench.go(0.5)
    assert not answer.done()
    assert bench.run.state.bleeding_controls == ()
    bench.store.is_held = False
    bench.store.let_go()
    bench.settle()
    assert answer.result(0).step == 105
    assert bench.run.state.bleeding_controls[0].since_t_s == 1.05


def test_the_patient_waits_at_the_tick_of_an_event_and_then_catches_up() -> None:
    bench = RoomBench()
    bench.go(1.0)
    bench.store.is_held = True
    bench.do(TOURNIQUET)
    bench.go(2.0)
    assert bench.run.step == 105
    bench.store.is_held = False
    bench.store.let_go()
    bench.settle()
    assert bench.run.step == 300


def test_a_slow_disk_and_a_quick_one_give_the_same_patient() -> None:
    quick, slow = RoomBench(), RoomBench()
    quick.go(1.0)
    slow.go(1.0)
    slow.store.is_held = True
    quick.do(TOURNIQUET)
    slow.do(TOURNIQUET)
    slow.go(1.7)
    slow.store.is_held = False
    slow.store.let_go()
    slow.settle()
    quick.go(1.7)
    assert quick.run.step == slow.run.step
    assert quick.run.machine.body.state_hash() == slow.run.machine.body.state_hash()


def test_a_repeated_id_is_acknowledged_again_and_not_done_twice() -> None:
    bench = RoomBench()
    first = bench.do(TOURNIQUET, client_id="screen-a-1")
    bench.go(0.1)
    again = bench.do(TOURNIQUET, client_id="screen-a-1")
    bench.go(0.1)
    assert again.result(0) == first.result(0)
    assert bench.kinds() == ["run started", "care given"]


def test_a_command_older_than_five_seconds_is_refused_with_a_sentence() -> None:
    bench = RoomBench()
    with pytest.raises(Refusal, match="7 s ago and has not been done; enter it again"):
        bench.do(TOURNIQUET, age_s=7.0)
    bench.do(TOURNIQUET, age_s=4.9)
    bench.go(0.1)
    assert bench.kinds() == ["run started", "care given"]


def test_a_full_disk_refuses_commands_while_the_patient_goes_on_and_the_log_catches_up() -> None:
    bench = RoomBench()
    bench.go(1.0)
    bench.store.is_on_full_disk = True
    refused = bench.do(TOURNIQUET, client_id="screen-a-1")
    bench.go(1.0)
    with pytest.raises(Refusal, match="disk is full"):
        refused.result(0)
    assert "disk is full" in bench.room.fault_text
    blood_ml = bench.run.signals()["blood_volume_ml"]
    bench.go(5.0)
    assert bench.run.signals()["blood_volume_ml"] < blood_ml
    bench.store.is_on_full_disk = False
    accepted = bench.do(TOURNIQUET, client_id="screen-a-1")
    bench.go(8.0)
    assert accepted.result(0).seq > 0
    assert bench.room.fault_text == ""
    stored = bench.store.tracks.read("run-1")
    assert stored is not None
    assert len(stored.block.true) >= 11
    assert not bool((stored.block.true[:11] != stored.block.true[:11]).any())


def test_what_the_core_found_on_a_full_disk_is_logged_later_and_replays_to_the_same_patient() -> None:
    rule = Rule(name="low", when="t_s >= 3.0", then=(TellOperator(text="three seconds"),))
    bench = RoomBench(setup(scenario(problems=(WOUND,), rules=(rule,))))
    bench.go(1.0)
    bench.store.is_on_full_disk = True
    bench.go(4.0)
    assert "rule fired" not in bench.kinds()
    bench.store.is_on_full_disk = False
    bench.go(2.0)
    assert bench.kinds().count("rule fired") == 1
    again = replay(bench.setup, bench.log, bench.run.step)
    assert again.mismatches == []
    assert again.machine.body.state_hash() == bench.run.machine.body.state_hash()


def test_two_operators_at_once_both_work() -> None:
    bench = RoomBench()
    bench.go(1.0)
    one = bench.do(TOURNIQUET, client_id="desk-1-aaaa", actor="operator")
    other = bench.do(
        CareGiven(action=Say(what="called for help"), text="Called for help"), client_id="tablet-aaaa", actor="bedside"
    )
    bench.go(0.1)
    assert {one.result(0).seq, other.result(0).seq} == {2, 3}
    assert [(line.text, line.by) for line in bench.run.state.log[-2:]] == [
        ("Tourniquet, left thigh", "operator"),
        ("Called for help", "bedside"),
    ]


def test_pause_stands_still_at_its_step_and_resume_goes_on_from_there() -> None:
    bench = RoomBench()
    bench.go(1.0)
    bench.do(Paused(reason="a question"))
    bench.go(10.0)
    assert bench.run.step == 105
    assert not bench.room.is_moving
    note = bench.do(NoteWritten(text="while paused"))
    bench.settle()
    assert note.result(0).step == 105
    bench.do(Resumed())
    bench.settle()
    bench.go(1.0)
    assert bench.run.step == 205


@pytest.mark.parametrize("body", [StopWordSaid(), RealEmergency()])
def test_stop_word_and_real_emergency_stop_the_patient_at_once(body: StopWordSaid | RealEmergency) -> None:
    bench = RoomBench()
    bench.go(1.0)
    bench.do(body)
    bench.go(5.0)
    assert bench.run.step == 105
    assert bench.run.state.is_stopped_for_safety


def test_time_jumps_only_where_the_case_declares_it() -> None:
    bench = RoomBench()
    bench.go(1.0)
    with pytest.raises(Refusal, match="declares no jump of 5 min; allowed: 10 min"):
        bench.do(TimeJumped(minutes=5.0, text="5 min"))
    bench.do(TimeJumped(minutes=10.0, text="10 min"))
    bench.go(1.0)
    assert bench.run.step == 200 + 60000
    assert replay(bench.setup, bench.log, 60200).machine.body.state_hash() == bench.run.machine.body.state_hash()


def test_a_body_that_turns_impossible_stops_its_own_room_and_can_be_brought_back() -> None:
    bench, other = RoomBench(), RoomBench()
    bench.go(2.0)
    poison = bench.do(POISON)
    bench.go(3.0)
    other.go(5.0)
    assert bench.run.frozen is not None
    assert bench.room.good_t_s == 2.0
    assert "impossible" in bench.room.fault_text
    assert bench.log[-1].body.kind == "paused"
    assert other.run.frozen is None
    assert other.run.step == 500
    with pytest.raises(Refusal, match="impossible"):
        bench.do(TOURNIQUET)
    bench.do(EntryUndone(target_seq=poison.result(0).seq))
    bench.settle()
    assert bench.run.frozen is None
    bench.do(Resumed())
    bench.settle()
    bench.go(1.0)
    assert bench.run.step == 400
    assert replay(bench.setup, bench.log, 400).machine.body.state_hash() == bench.run.machine.body.state_hash()


def test_a_run_that_has_ended_takes_notes_and_no_care() -> None:
    bench = RoomBench()
    ended: list[str] = []
    bench.room.on_end.append(lambda room: ended.append(room.record.run_id))
    bench.go(1.0)
    bench.do(RunEnded(reason="enough", outcome="alive"))
    bench.go(1.0)
    assert ended == ["run-1"]
    with pytest.raises(Refusal, match="the run has ended"):
        bench.do(TOURNIQUET)
    note = bench.do(NoteWritten(text="afterwards"))
    bench.settle()
    assert note.result(0).seq == 3
    stored = bench.store.tracks.read("run-1")
    assert stored is not None
    assert len(stored.block.true) == len(bench.run.tracks)


def test_an_id_of_the_core_is_not_taken_from_a_screen() -> None:
    bench = RoomBench()
    with pytest.raises(Refusal, match="may not begin with"):
        bench.do(TOURNIQUET, client_id="core-0-anything")


def test_a_fault_of_our_own_stops_the_room_with_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    bench = RoomBench()

    def broken(step: int) -> list[object]:
        raise ZeroDivisionError

    monkeypatch.setattr(bench.run, "advance_to", broken)
    assert bench.room._tick_safely() is False
    assert "what was acknowledged is on disk" in bench.room.fault_text
    with pytest.raises(Refusal, match="has stopped"):
        bench.do(TOURNIQUET)
