"""Three truths at one moment: what the body has, what the manikin was set to show, what the crew got."""

import pytest

from drillyard.core.quantities.faults import Refusal
from drillyard.core.session.events import FindingObtained
from drillyard.service import supply
from tests.web.bench import SOCKETS, Bench, bench


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch) -> object:
    with bench(monkeypatch) as made:
        made.rehearse()
        yield made


def last_obtained(app: Bench) -> FindingObtained:
    log = app.lab.playing["room-1"].room.run.events
    return next(event.body for event in reversed(log) if isinstance(event.body, FindingObtained))


def test_on_the_manikin_the_crew_gets_what_it_was_set_to_and_the_body_is_logged_beside_it(app: Bench) -> None:
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        snapshot = app.next(socket, "snapshot")
        assert any(row["finding"] == "radial pulse" for row in snapshot["set_by_hand"])
        shown = app.lab.playing["room-1"].case.profile.finding("radial pulse")
        assert shown is not None
        absent = min(shown.steps, key=lambda step: step.level)
        tick = {"do": "set", "finding": "radial pulse", "setting": absent.setting}
        assert app.say(socket, tick)["type"] == "ack"
        assert app.say(socket, {"do": "enter", "typed": "radial pulse"})["type"] == "ack"
    got = last_obtained(app)
    body = app.lab.playing["room-1"].room.run.signals()["pulse_radial_frac"]
    assert (got.how, got.value) == ("on the manikin", absent.level)
    assert got.true_value == pytest.approx(body)
    assert got.true_value != got.value


def test_the_room_monitor_gives_nothing_before_its_sensor(app: Bench) -> None:
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        refused = app.say(socket, {"do": "enter", "typed": "spo2"})
        assert refused["sentence"] == "the room monitor shows no SpO2 yet; put the finger probe on first."
        app.say(socket, {"do": "enter", "typed": "finger probe left hand"})
        app.turn(20.0)
        assert app.say(socket, {"do": "enter", "typed": "spo2"})["type"] == "ack"
    got = last_obtained(app)
    assert (got.finding, got.how) == ("SpO2", "room monitor")
    assert got.value == app.lab.playing["room-1"].room.run.shown()["spo2_pct"]


def test_what_the_manikin_cannot_show_is_asked_for_and_then_told_with_both_times(app: Bench) -> None:
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        app.say(socket, {"do": "enter", "typed": "neck veins"})
        app.turn(12.0)
        assert app.say(socket, {"do": "supply", "finding": "neck veins", "how": "told"})["type"] == "ack"
    got = last_obtained(app)
    assert got.how == "told"
    assert got.requested_t_s == pytest.approx(0.05)
    assert app.lab.playing["room-1"].room.run.state.waiting == ()


def test_an_unknown_finding_is_refused_with_near_words() -> None:
    with pytest.raises(Refusal, match="did you mean 'neck veins'"):
        supply.known_finding("neck vein")


def test_undo_takes_back_a_look_with_what_it_brought(app: Bench) -> None:
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        app.say(socket, {"do": "enter", "typed": "radial pulse"})
        assert app.say(socket, {"do": "undo"})["type"] == "ack"
    room = app.lab.playing["room-1"].room
    app.until(lambda: room.is_settled)
    assert room.run.state.obtained == ()
    undone = [line.kind for line in room.run.state.log if line.is_undone]
    assert sorted(undone) == ["care given", "finding obtained"]


def test_problems_and_holds_are_steered_within_their_limits(app: Bench) -> None:
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        problem = app.next(socket, "snapshot")["problems"][0]
        change = {"do": "change problem", "name": problem["name"], "size": 10.0}
        assert app.say(socket, change)["type"] == "ack"
        assert "there is no problem" in app.say(socket, {**change, "name": "nothing"})["sentence"]
        hold = {"do": "hold", "what": "heart rate", "value": 150.0, "display_only": False}
        assert "allowed: 0 to 250" in app.say(socket, {**hold, "value": 900.0})["sentence"]
        assert "did you mean 'heart rate'" in app.say(socket, {**hold, "what": "hart rate"})["sentence"]
        assert app.say(socket, hold)["type"] == "ack"
        assert app.say(socket, {"do": "release", "what": "heart rate"})["type"] == "ack"
        assert "is not held" in app.say(socket, {"do": "release", "what": "heart rate"})["sentence"]
        assert app.say(socket, {"do": "end problem", "name": problem["name"]})["type"] == "ack"
        app.turn(0.5)
        app.beat()
        views = {view["name"]: view for view in app.next(socket, "delta")["problems"]}
        assert views[problem["name"]]["is_ended"] is True
