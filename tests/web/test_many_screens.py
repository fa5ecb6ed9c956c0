"""Several screens of one room at once: nobody loses a change, and the room monitor starts its cuff."""

from tests.web.bench import SOCKETS, Bench

CONTROL = f"{SOCKETS}/room-1?screen=control"
MONITOR = f"{SOCKETS}/room-1?screen=monitor"


def test_a_screen_that_joins_takes_no_change_away_from_the_others(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as desk:
        snapshot = app.next(desk, "snapshot")
        n = len(next(track for track in snapshot["tracks"] if track["signal"] == "spo2_pct")["values"])
        app.say(desk, {"do": "enter", "typed": "tourniquet left thigh"})
        app.turn(2.0)
        with app.client.websocket_connect(MONITOR) as monitor:
            app.next(monitor, "snapshot")
            app.beat()
            delta = app.next(desk, "delta")
    assert any("ourniquet" in line["text"] for line in delta["log"] or [])
    tail = next(track for track in delta["track_tail"] if track["signal"] == "spo2_pct")
    assert tail["t0_s"] == n


def test_the_room_monitor_starts_the_cuff_and_nothing_else(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(MONITOR) as monitor:
        app.next(monitor, "snapshot")
        assert app.say(monitor, {"do": "enter", "typed": "cuff"})["type"] == "ack"
        assert app.say(monitor, {"do": "enter", "typed": "shock 200"})["type"] == "refused"
        assert app.say(monitor, {"do": "end"})["type"] == "refused"
    kinds = [event.body.action.kind for event in app.store.logs[run_id] if event.body.kind == "care given"]
    assert kinds == ["measure pressure"]
