"""After kill -9 the run is there, at the right moment, the same body to the bit."""

from datetime import timedelta

import pytest

from drillyard.core.quantities.faults import Refusal
from drillyard.core.session.events import Paused, Resumed, ServerRecovered, TimeJumped
from drillyard.core.session.run import replay
from drillyard.service.keeper import Keeper
from drillyard.service.live_room import LiveRoom
from drillyard.service.records import SnapshotRecord
from drillyard.service.recovery import moment_to_resume, rebuilt
from tests.service.bench import RoomBench
from tests.service.test_live_room import TOURNIQUET


def killed_after(seconds: float) -> RoomBench:
    bench = RoomBench()
    bench.go(20.0)
    bench.do(TOURNIQUET)
    bench.go(seconds - 20.0)
    return bench


def known_alive_s(bench: RoomBench) -> float:
    stored = bench.store.tracks.read("run-1")
    return len(stored.block.true) - 1.0 if stored is not None else 0.0


def test_a_short_outage_goes_on_at_the_moment_of_the_wall_clock() -> None:
    bench = killed_after(47.0)
    now = bench.clock.utc() + timedelta(seconds=30.0)
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), now, limit_s=120.0)
    assert moment.resumes
    assert moment.step == pytest.approx(7700, abs=5)
    assert 30.0 <= moment.outage_s <= 36.0


def test_a_long_outage_stands_still_where_it_was_last_known_to_live() -> None:
    bench = killed_after(47.0)
    now = bench.clock.utc() + timedelta(seconds=500.0)
    last = bench.store.moments.newest("run-1")
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), now, limit_s=120.0, last=last)
    assert not moment.resumes
    assert bench.run.step - 100 <= moment.step <= bench.run.step
    # The tracks alone would have lost seconds.
    assert moment.step > known_alive_s(bench) * 100
    assert moment.outage_s == pytest.approx(500.0, abs=1.0)


def test_a_run_without_a_stored_moment_stands_where_its_tracks_end() -> None:
    bench = killed_after(47.0)
    now = bench.clock.utc() + timedelta(seconds=500.0)
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), now, limit_s=120.0)
    assert (moment.resumes, moment.step) == (False, known_alive_s(bench) * 100)


def test_the_moment_is_written_once_a_second_and_never_piles_up_before_a_slow_disk() -> None:
    bench = RoomBench()
    bench.go(20.0)
    assert bench.store.n_moments == pytest.approx(20, abs=1)
    bench.store.is_held = True
    bench.go(30.0)
    assert bench.store.n_moments == pytest.approx(21, abs=1)
    bench.store.is_held = False
    bench.store.let_go()
    bench.go(2.0)
    assert bench.store.last["run-1"].step >= bench.run.step - 100


def test_a_full_disk_costs_moments_and_nothing_else() -> None:
    bench = RoomBench()
    bench.go(5.0)
    bench.store.is_on_full_disk = True
    bench.go(10.0)
    bench.store.is_on_full_disk = False
    bench.go(2.0)
    last = bench.store.last["run-1"]
    assert last.step >= bench.run.step - 100
    assert not bench.room.crash_text


def test_a_moment_written_before_a_pause_does_not_date_what_came_after_it() -> None:
    bench = killed_after(30.0)
    bench.do(Paused())
    bench.go(60.0)
    bench.do(Resumed())
    bench.go(0.3)
    last = bench.store.moments.newest("run-1")
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), bench.clock.utc(), limit_s=120.0, last=last)
    assert moment.outage_s <= 1.0
    assert moment.step == pytest.approx(bench.run.step, abs=100)


def test_a_run_that_was_paused_stays_paused_where_it_stood() -> None:
    bench = killed_after(30.0)
    bench.do(Paused())
    bench.go(10.0)
    now = bench.clock.utc() + timedelta(seconds=10.0)
    moment = moment_to_resume(bench.log, False, known_alive_s(bench), now, limit_s=120.0)
    assert (moment.resumes, moment.step) == (False, bench.run.step)


def test_a_jump_just_before_the_outage_counts() -> None:
    bench = killed_after(30.0)
    bench.do(TimeJumped(minutes=10.0, text="10 min"))
    bench.go(1.0)
    now = bench.clock.utc() + timedelta(seconds=9.0)
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), now, limit_s=120.0)
    assert moment.step == pytest.approx((30.0 + 600.0 + 10.0) * 100, abs=10)


def test_a_wall_clock_set_back_takes_no_time_back() -> None:
    bench = killed_after(30.0)
    now = bench.clock.utc() - timedelta(hours=1.0)
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), now, limit_s=120.0)
    assert moment.outage_s == 0.0
    assert moment.step >= known_alive_s(bench) * 100


def test_the_recovered_body_is_that_of_an_uninterrupted_run_to_the_bit() -> None:
    bench = killed_after(47.0)
    stored = bench.store.tracks.newest_snapshot("run-1", "small-1")
    assert stored is not None
    run = rebuilt(bench.setup, bench.log, stored, "small-1")
    run.advance_to(9000)
    bench.go(43.0)
    assert run.step == bench.run.step == 9000
    assert run.machine.body.state_hash() == bench.run.machine.body.state_hash()
    assert replay(bench.setup, bench.log, 9000).machine.body.state_hash() == run.machine.body.state_hash()


def test_another_version_of_the_body_is_never_resumed_silently() -> None:
    bench = killed_after(47.0)
    with pytest.raises(Refusal, match="another version of the body, so it is not resumed"):
        rebuilt(bench.setup, bench.log, None, "some-older-body")


def test_a_replay_that_is_not_the_patient_that_ran_is_refused() -> None:
    bench = killed_after(47.0)
    kept = bench.store.tracks.newest_snapshot("run-1", "small-1")
    assert kept is not None
    spoilt = bytearray(kept.blob)
    spoilt[20] ^= 1
    other = SnapshotRecord(step=kept.step, seq=kept.seq, model_hash="small-1", blob=bytes(spoilt))
    with pytest.raises(Refusal, match="is not the one that ran"):
        rebuilt(bench.setup, bench.log, other, "small-1")


def test_the_recovery_is_an_event_and_time_runs_on_after_it() -> None:
    bench = killed_after(47.0)
    bench.clock.turn(30.0)
    run = rebuilt(bench.setup, bench.log, None, "small-1")
    moment = moment_to_resume(bench.log, True, known_alive_s(bench), bench.clock.utc(), 120.0)
    run.advance_to(moment.step)
    room = LiveRoom(bench.record, run, bench.store, bench.clock, Keeper(bench.store, "run-1"))
    room.log_missing(run.pending_wanted())
    body = ServerRecovered(outage_s=moment.outage_s, resumed=moment.resumes)
    room.submit(body, client_id="server-recovered-1", actor="server", source="server")
    room.tick()
    bench.clock.turn(1.0)
    while room.tick():
        pass
    assert room.is_moving
    assert run.step == moment.step + 100
    assert bench.log[-1].body.kind == "server recovered"
    again = room.submit(TOURNIQUET, client_id="screen-2", actor="operator", source="entry line")
    assert again.done(), "a command acknowledged before the crash is acknowledged again"
