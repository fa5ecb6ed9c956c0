"""The socket of a screen: snapshot, changes, commands, and what learners may see."""

import json
import struct

import pytest
from starlette.websockets import WebSocketDisconnect

from tests.web.bench import PORT, SOCKETS, Bench

CONTROL = f"{SOCKETS}/room-1?screen=control"
MONITOR = f"{SOCKETS}/room-1?screen=monitor"


def test_a_room_without_a_run_says_so(app: Bench) -> None:
    with app.client.websocket_connect(CONTROL) as socket:
        snapshot = app.next(socket, "snapshot")
        assert snapshot["run"] is None
        assert snapshot["training_mark"] == "Training only. Not for the care of patients."
        refused = app.say(socket, {"do": "pause"})
        assert refused["sentence"] == "No run is going on in this room; start one from home."


def test_snapshot_then_changes_then_acknowledged_commands(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        snapshot = app.next(socket, "snapshot")
        assert snapshot["run"]["title"] == "Tractor roll-over"
        assert [row["signal"] for row in snapshot["numbers"]][:3] == [
            "heart_rate_per_min", "systolic_pressure_mmhg", "spo2_pct",
        ]  # fmt: skip
        assert all(row["shown_text"] is None for row in snapshot["numbers"]), "no sensor is on yet"
        ack = app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        assert (ack["type"], ack["seq"]) == ("ack", app.store.events.last_seq(snapshot["run"]["run_id"]))
        app.turn(2.0)
        app.beat()
        delta = app.next(socket, "delta")
        assert delta["clock_s"] == 2.0
        assert any("ourniquet" in line["text"] and line["is_cut"] for line in delta["log"])
        tails = {track["signal"]: (track["t0_s"], len(track["values"])) for track in delta["track_tail"]}
        assert tails["heart_rate_per_min"] == (1.0, 2)


def test_changes_fit_the_snapshot_without_gap_or_overlap(app: Bench) -> None:
    app.rehearse()
    app.turn(5.0)
    with app.client.websocket_connect(CONTROL) as socket:
        snapshot = app.next(socket, "snapshot")
        n = len(next(t for t in snapshot["tracks"] if t["signal"] == "spo2_pct")["values"])
        assert n == 6
        for _ in range(3):
            app.turn(1.3)
            app.beat()
            delta = app.next(socket, "delta")
            tail = next((t for t in delta["track_tail"] if t["signal"] == "spo2_pct"), None)
            if tail is not None:
                assert tail["t0_s"] == n
                n += len(tail["values"])
        assert n == len(app.lab.playing["room-1"].room.run.tracks)


def test_a_repeated_command_is_acknowledged_again_and_done_once(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        command = {"do": "enter", "typed": "tourniquet left thigh"}
        first = app.say(socket, command, client_id="desk-0001")
        again = app.say(socket, command, client_id="desk-0001")
    assert first == again
    assert [event.body.kind for event in app.store.logs[run_id]].count("care given") == 1


def test_a_command_kept_too_long_is_refused_and_not_done(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "enter", "typed": "shock 200"}, age_ms=6000.0)
    assert refused["type"] == "refused"
    assert "6 s ago and has not been done" in refused["sentence"]
    assert "care given" not in [event.body.kind for event in app.store.logs[run_id]]


def test_a_full_disk_is_one_sentence_and_the_patient_goes_on(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        app.next(socket, "snapshot")
        app.store.is_on_full_disk = True
        refused = app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        assert refused["sentence"] == "the disk is full and nothing can be kept; free some space."
        app.turn(3.0)
        app.beat()
        delta = app.next(socket, "delta")
        assert delta["clock_s"] == 3.0
        assert "disk is full" in delta["run"]["fault_text"]


def test_two_operators_see_each_others_entries(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as one, app.client.websocket_connect(CONTROL) as other:
        app.next(one, "snapshot")
        app.next(other, "snapshot")
        assert app.say(one, {"do": "enter", "typed": "tourniquet left thigh"})["type"] == "ack"
        assert app.say(other, {"do": "enter", "typed": "o2 15 nrb"}, actor="bedside")["type"] == "ack"
        app.turn(0.5)
        app.beat()
        for socket in (one, other):
            log = app.next(socket, "delta")["log"]
            assert {line["by"] for line in log} == {"server", "operator", "bedside"}


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("epi 0.3 sideways", "sideways"),
        ("fentanil 50 iv", "fentanyl"),
        ("fentanyl 50 mL iv", ""),
        ("@700 tourniquet left thigh", ""),
    ],
)
def test_bad_entries_get_one_sentence_and_change_nothing(app: Bench, typed: str, words: str) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "enter", "typed": typed})
    assert refused["type"] == "refused"
    assert words in refused["sentence"] + " ".join(refused["suggestions"])
    assert refused["sentence"][-1] in ".?!"
    assert "care given" not in [event.body.kind for event in app.store.logs[run_id]]


def test_an_impossible_dose_wants_a_second_yes_and_is_logged_as_such(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "enter", "typed": "fentanyl 50 mg iv"})
        assert refused["needs_confirmation"] is True
        assert app.say(socket, {"do": "enter", "typed": "fentanyl 50 mg iv", "confirmed": True})["type"] == "ack"
    (care,) = [event.body for event in app.store.logs[run_id] if event.body.kind == "care given"]
    assert care.action.confirmed_unusual
    assert "confirmed" in care.text


@pytest.mark.parametrize(
    "text",
    [
        "{}",
        "not json",
        '{"type": "command"}',
        "[1]",
        '{"type":"command","client_id":"core-0-xxxx","command":{"do":"explode"}}',
    ],
)
def test_a_message_that_is_none_of_ours_gets_a_sentence_and_the_link_stays(app: Bench, text: str) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        socket.send_text(text)
        assert "reload the page" in app.next(socket, "refused")["sentence"]
        assert app.say(socket, {"do": "note", "text": "still here"})["type"] == "ack"


def test_bytes_from_a_screen_get_a_sentence_too(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        socket.send_bytes(b"\x00\x01")
        assert "reload the page" in app.next(socket, "refused")["sentence"]
        assert app.say(socket, {"do": "note", "text": "still here"})["type"] == "ack"


def test_a_screen_that_takes_no_answers_is_closed_so_that_it_asks_again(
    app: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    app.rehearse()
    monkeypatch.setattr("drillyard.web.outbox.ANSWER_LIMIT", 0)
    with app.client.websocket_connect(CONTROL) as socket, pytest.raises(WebSocketDisconnect) as closed:
        app.say(socket, {"do": "note", "text": "no room for an answer"})
    assert closed.value.code == 4408


def test_the_monitor_gets_nothing_that_a_learner_may_not_see(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as control, app.client.websocket_connect(MONITOR) as monitor:
        snapshot = app.next(monitor, "snapshot")
        assert snapshot["numbers"] == snapshot["tracks"] == snapshot["log"] == snapshot["cues"] == []
        assert snapshot["problems"] == snapshot["holds"] == snapshot["holdables"] == snapshot["rings"] == []
        assert snapshot["look_ahead"] is None
        assert snapshot["run"]["title"] == snapshot["run"]["scenario"] == snapshot["run"]["patient_text"] == ""
        app.say(control, {"do": "enter", "typed": "finger probe left hand"})
        app.say(control, {"do": "hold", "what": "spo2_pct", "value": 81.0, "display_only": True})
        app.turn(20.0)
        app.beat()
        delta = app.next(monitor, "delta")
        assert delta["monitor"]["spo2"] == "81"
        assert "held" not in json.dumps(delta) and "hold" not in json.dumps({k: v for k, v in delta.items() if v})
        seen = next(row for row in app.next(control, "delta")["numbers"] if row["signal"] == "spo2_pct")
        assert seen["is_held"] is True
        assert seen["shown_text"] == "81"
        refused = app.say(monitor, {"do": "end"})
        assert "use the control room" in refused["sentence"]


def test_waves_are_sent_to_the_monitor_only_for_sensors_that_are_on(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as control, app.client.websocket_connect(MONITOR) as monitor:
        app.next(monitor, "snapshot")
        app.turn(1.0)
        app.wave_beat()
        assert struct.unpack_from("<BBHI", monitor.receive()["bytes"]) == (1, 0, 100, 0)
        app.say(control, {"do": "enter", "typed": "finger probe left hand"})
        app.turn(1.0)
        app.wave_beat()
        frame = monitor.receive()["bytes"]
        kind, n_waves, rate, first = struct.unpack_from("<BBHI", frame)
        assert (kind, n_waves, rate) == (1, 1, 100)
        assert first > 0
        code, n_samples = struct.unpack_from("<BH", frame, 8)
        assert code == 2
        assert len(frame) == 11 + 4 * n_samples


def test_an_undo_that_recomputes_the_patient_brings_a_fresh_snapshot(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        app.next(socket, "snapshot")
        app.turn(2.0)
        app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        app.turn(10.0)
        app.beat()
        app.next(socket, "delta")
        assert app.say(socket, {"do": "undo"})["type"] == "ack"
        app.turn(1.0)
        app.beat()
        snapshot = app.next(socket, "snapshot", "delta")
        assert snapshot["type"] == "snapshot"
        assert any(line["is_undone"] for line in snapshot["log"])


def test_a_false_start_voids_the_run_and_begins_the_same_patient_again(app: Bench) -> None:
    first = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        app.next(socket, "snapshot")
        app.turn(5.0)
        socket.send_text(app.command({"do": "start again", "reason": "door was open"}))
        snapshot, ack = app.next(socket, "snapshot", "ack"), app.next(socket, "ack", "snapshot")
        snapshot = snapshot if snapshot["type"] == "snapshot" else ack
        assert snapshot["run"]["run_id"] != first
        assert snapshot["clock_s"] == 0.0
    app.until(lambda: app.store.records[first].state == "void")
    assert app.store.records[snapshot["run"]["run_id"]].seed == app.store.records[first].seed


def test_a_false_start_that_is_sent_again_after_a_lost_link_voids_nothing_more(app: Bench) -> None:
    first = app.rehearse()
    command = {"do": "start again"}
    with app.client.websocket_connect(CONTROL) as socket:
        assert app.say(socket, command, client_id="desk-0001")["type"] == "ack"
        app.until(lambda: app.store.records[first].state == "void")
        assert app.say(socket, command, client_id="desk-0001")["type"] == "ack"
    assert sorted(record.state for record in app.store.records.values()) == ["open", "void"]


def test_a_run_that_has_ended_stays_ended_when_the_case_begins_anew(app: Bench) -> None:
    first = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        app.say(socket, {"do": "end"})
        app.turn(1.0)
        assert app.say(socket, {"do": "start again"})["type"] == "ack"
    app.until(lambda: app.store.records[first].state == "ended")
    assert sorted(record.state for record in app.store.records.values()) == ["ended", "open"]


def test_phases_cues_ticks_and_supply_are_logged(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        snapshot = app.next(socket, "snapshot")
        assert [phase["key"] for phase in snapshot["phases"]] == [str(n) for n in range(1, 9)]
        assert app.say(socket, {"do": "phase", "phase": "at patient"})["type"] == "ack"
        assert "did you mean 'on scene'" in app.say(socket, {"do": "phase", "phase": "on scen"})["sentence"]
        row = snapshot["set_by_hand"][0]
        tick = {"do": "set", "finding": row["finding"], "setting": row["to_setting"]}
        assert app.say(socket, tick)["type"] == "ack"
        assert app.say(socket, {"do": "ask", "finding": "neck veins"})["type"] == "ack"
        app.turn(1.0)
        app.beat()
        delta = app.next(socket, "delta")
        assert row["finding"] not in [left["finding"] for left in delta["set_by_hand"]]
        cue = next(cue for cue in delta["cues"] if cue["finding"] == "neck veins")
        assert app.say(socket, {"do": "cue", "id": cue["id"]})["type"] == "ack"
        assert "not due" in app.say(socket, {"do": "cue", "id": cue["id"]})["sentence"]
    kinds = [event.body.kind for event in app.store.logs[run_id]]
    assert {"phase entered", "manikin set", "finding asked", "finding obtained"} <= set(kinds)


@pytest.mark.parametrize("path", ["/room-9?screen=control", "/room-1?screen=spy"])
def test_an_unknown_room_or_screen_is_closed_with_its_own_code(app: Bench, path: str) -> None:
    with app.client.websocket_connect(SOCKETS + path) as socket, pytest.raises(WebSocketDisconnect) as closed:
        socket.receive_text()
    assert closed.value.code == 4404


@pytest.mark.parametrize(
    "headers",
    [{"origin": "http://evil.test"}, {"origin": "null"}, {"host": "evil.test"}, {"host": f"evil.test:{PORT}"}],
)
def test_a_page_from_elsewhere_opens_no_socket(app: Bench, headers: dict[str, str]) -> None:
    app.rehearse()
    with pytest.raises(WebSocketDisconnect), app.client.websocket_connect(CONTROL, headers=headers) as socket:
        socket.receive_text()


def test_a_manikins_limit_is_said_before_enter_and_stays_with_the_entry(app: Bench) -> None:
    run_id = app.rehearse()
    parsed = app.client.post("/api/room/room-1/parse", json={"typed": "needle left 5"}).json()
    assert parsed["is_complete"] and not parsed["needs_confirmation"]
    assert "only into this manikin's marked insert" in parsed["warning"]
    with app.client.websocket_connect(CONTROL) as socket:
        app.next(socket, "snapshot")
        assert app.say(socket, {"do": "enter", "typed": "needle left 5"})["type"] == "ack"
        shock = {"do": "enter", "typed": "shock 200"}
        refused = app.say(socket, shock)
        assert refused["needs_confirmation"] and "no live shocks on this manikin" in refused["sentence"]
        assert app.say(socket, {**shock, "confirmed": True})["type"] == "ack"
        late = {"do": "enter", "typed": "tube 8", "late_t_s": 0.0}
        assert app.say(socket, late)["type"] == "ack"
        app.turn(1.0)
        app.beat()
        lines = app.next(socket, "snapshot", "delta")["log"]
    warned = [event.body.warned for event in app.store.logs[run_id] if event.body.kind in ("care given", "late entry")]
    assert ["insert" in warned[0], "forbidden" in warned[1], "larger than the 7 mm" in warned[2]] == [True] * 3
    notes = [line["note"] for line in lines if line["note"]]
    assert any("warned: Shock is forbidden on this manikin" in note for note in notes)
    assert any("larger than the 7 mm" in note for note in notes)
