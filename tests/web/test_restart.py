"""The server stops in the middle of a run: on restart the run is there, at the right moment, the same to the bit."""

import asyncio
from dataclasses import replace
from pathlib import Path

import pytest

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.adapters.kernel import load_kernel
from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.session.events import Event
from drillyard.core.session.run import replay
from drillyard.service.case import open_case
from drillyard.service.clock import HandClock
from drillyard.service.lab import Lab, Playing
from drillyard.service.sessions import StartOrder
from tests.service.fakes import MemoryStore
from tests.web.bench import SOCKETS, bench

CONTROL = f"{SOCKETS}/room-1"


def test_a_restarted_server_has_the_run_and_screens_get_it_as_a_snapshot(monkeypatch: pytest.MonkeyPatch) -> None:
    store = MemoryStore()
    with bench(monkeypatch, store) as before:
        run_id = before.rehearse()
        with before.client.websocket_connect(CONTROL) as socket:
            before.say(socket, {"do": "enter", "typed": "tourniquet left thigh"}, client_id="desk-0001")
        before.turn(42.0)
        stopped = before.lab.playing["room-1"].room.run
        ends_at = before.clock.utc()
    with bench(monkeypatch, store, clock=HandClock(ends_at)) as after:
        assert after.lab.server_id != before.lab.server_id
        run = after.lab.playing["room-1"].room.run
        assert run.setup.run_id == run_id
        assert run.step == pytest.approx(stopped.step, abs=5)
        assert [line.text for line in run.state.log][:2] == [line.text for line in stopped.state.log][:2]
        with after.client.websocket_connect(CONTROL) as socket:
            snapshot = after.next(socket, "snapshot")
            assert snapshot["run"]["is_running"] is True
            assert snapshot["run"]["recovered_text"].startswith("server back after")
            again = after.say(socket, {"do": "enter", "typed": "tourniquet left thigh"}, client_id="desk-0001")
            assert again["type"] == "ack", "a command acknowledged before is acknowledged again"
        assert [event.body.kind for event in store.logs[run_id]].count("care given") == 1


def test_after_too_long_an_outage_the_run_stands_still_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    store = MemoryStore()
    with bench(monkeypatch, store) as before:
        before.rehearse()
        before.turn(42.0)
        clock = HandClock(before.clock.utc())
    clock.turn(600.0)
    with bench(monkeypatch, store, clock=clock) as after:
        room = after.lab.playing["room-1"].room
        after.until(lambda: room.is_settled)
        assert not room.is_moving
        assert room.run.t_s <= 42.0
        with after.client.websocket_connect(CONTROL) as socket:
            assert after.say(socket, {"do": "resume"})["type"] == "ack"
        after.turn(1.0)
        assert room.is_moving


def test_a_run_whose_end_is_in_the_log_is_closed_and_not_resumed(monkeypatch: pytest.MonkeyPatch) -> None:
    store = MemoryStore()
    with bench(monkeypatch, store) as before:
        run_id = before.rehearse()
        with before.client.websocket_connect(CONTROL) as socket:
            before.say(socket, {"do": "end"})
        before.turn(1.0)
        before.until(lambda: store.records[run_id].state == "ended")
    store.records[run_id] = replace(store.records[run_id], state="open", outcome=None)
    with bench(monkeypatch, store) as after:
        assert after.lab.playing == {}
        assert (store.records[run_id].state, store.records[run_id].outcome) == ("ended", "alive")


def test_a_run_of_another_body_is_not_resumed_and_can_be_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    store = MemoryStore()
    with bench(monkeypatch, store) as before:
        run_id = before.rehearse()
        before.turn(12.0)
    with bench(monkeypatch, store, body_name="small-2") as after:
        assert "room-1" not in after.lab.playing
        home = after.client.get("/api/home").json()
        assert "another version of the body, so it is not resumed" in home["notice"]
        assert after.client.get(f"/api/runs/{run_id}/debrief").status_code == 200, "a debrief needs no body"
        assert after.client.post(f"/api/runs/{run_id}/end").status_code == 200
        assert store.records[run_id].state == "ended"
        assert after.client.get("/api/home").json()["notice"] == ""
        assert after.client.post(f"/api/runs/{run_id}/end").status_code == 404


def test_one_room_that_freezes_leaves_the_others_running(monkeypatch: pytest.MonkeyPatch) -> None:
    with bench(monkeypatch) as app:
        app.client.put("/api/settings", json={"rooms": ["room-1", "room-2"]})
        app.rehearse(room="room-1")
        app.rehearse("c5-car-park", room="room-2")
        sick = app.lab.playing["room-1"].room.run
        sick.machine.body.x["bad"] = 1.0
        app.clock.turn(5.0)
        app.until(lambda: sick.frozen is not None)
        app.until(lambda: app.lab.playing["room-2"].room.run.step == 500)
        with app.client.websocket_connect(CONTROL) as socket:
            snapshot = app.next(socket, "snapshot")
            assert "impossible" in snapshot["run"]["fault_text"]
            assert snapshot["run"]["good_t_s"] is not None
            refused = app.say(socket, {"do": "go back to good"})
            assert "nothing was entered that could have done this" in refused["sentence"]
            assert app.say(socket, {"do": "end"})["type"] == "ack"
        assert app.lab.playing["room-2"].room.is_moving


# ---- the computed patient itself -------------------------------------------------------------------------------------


async def settled(playing: Playing, clock: HandClock) -> None:
    """Waits until the room's own loop has caught up with the clock."""
    target = playing.room._pace.target(clock.monotonic_s())
    async with asyncio.timeout(60.0):
        # The room's loop tells nobody that it has caught up.
        while playing.room.run.step < target or not playing.room.is_settled:  # noqa: ASYNC110
            await asyncio.sleep(0.01)


async def opened(folder: Path, clock: HandClock) -> tuple[Lab, SqlLabStore]:
    store = SqlLabStore(folder)
    lab = Lab(CaseFiles(LabFolder(DEMO, known_names())), store, clock, load_kernel)
    lab.open()
    async with asyncio.timeout(600.0):
        while lab.body != "ready":
            assert lab.body != "failed", lab.body_text
            await asyncio.sleep(0.01)
    return lab, store


async def killed_and_restarted(folder: Path) -> tuple[str, str, list[Event]]:
    """State hash of the recovered patient, of its uninterrupted replay, and the log."""
    clock = HandClock()
    lab, store = await opened(folder, clock)
    order = StartOrder(purpose="rehearsal", scenario="c8-tractor", manikin="adult-manikin-a", room="room-1", seed=11)
    playing = await lab.start(order)
    for typed in ("tourniquet left thigh", "o2 15 nrb", "finger probe left hand", "needle l 5th"):
        clock.turn(9.0)
        await settled(playing, clock)
        for body in playing.desk.enter(typed):
            client_id = f"desk-{typed.split()[0]}"
            playing.room.submit(body, client_id=client_id, actor="operator", source="entry line")
    clock.turn(20.0)
    await settled(playing, clock)
    # Nothing is closed in order: the second lab opens what the first has on disk at this moment.
    clock.turn(15.0)
    for task in lab._tasks:
        task.cancel()
    again, second_store = await opened(folder, clock)
    recovered = again.playing["room-1"]
    await settled(recovered, clock)
    clock.turn(5.0)
    await settled(recovered, clock)
    run = recovered.room.run
    log = second_store.events.events(playing.record.run_id)
    case = open_case(again.files, "c8-tractor", "adult-manikin-a")
    assert again.kernel is not None
    setup = case.setup("other", 11, again.kernel, again.preroll, is_live=False)
    uninterrupted = replay(setup, log, run.step)
    assert uninterrupted.mismatches == []
    hashes = (run.machine.body.state_hash(), uninterrupted.machine.body.state_hash())
    assert run.t_s == pytest.approx(4 * 9.0 + 20.0 + 15.0 + 5.0, abs=0.1)
    await again.close()
    store.close()
    second_store.close()
    return (*hashes, log)


def test_the_computed_patient_is_the_same_to_the_bit_after_a_kill(tmp_path: Path) -> None:
    recovered, uninterrupted, log = asyncio.run(killed_and_restarted(tmp_path))
    assert recovered == uninterrupted
    assert "server recovered" in [event.body.kind for event in log]
