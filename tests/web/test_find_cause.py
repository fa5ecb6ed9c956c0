"""Find the cause over HTTP, and what was found set through the socket; outcomes held by a named cause."""

import pytest

from tests.web.bench import SOCKETS, Bench

CONTROL = f"{SOCKETS}/room-1"


def test_what_can_be_asked_is_listed_with_the_value_of_now(app: Bench) -> None:
    app.rehearse()
    offered = app.client.get("/api/room/room-1/causes").json()
    causes = {cause["id"]: cause for cause in offered["causes"]}
    assert offered["causes"][0]["is_present"], "the problems of this patient come first"
    assert causes["bleeding by hand"]["unit"] == "mL/min"
    assert causes["drug: fentanyl"]["unit"] == "mg"
    signals = {signal["signal"]: signal for signal in offered["signals"]}
    assert signals["mean_arterial_pressure_mmhg"]["label"] == "Mean pressure"
    assert signals["mean_arterial_pressure_mmhg"]["now"] > 0.0


def test_a_size_is_found_set_by_an_entry_and_taken_back_like_any_other(app: Bench) -> None:
    run_id = app.rehearse()
    asked = {"cause": "problem: leg", "signal": "blood_lost_ml", "value": 1500.0, "minutes": 5.0}
    causes = app.client.get("/api/room/room-1/causes").json()["causes"]
    asked["cause"] = next(c["id"] for c in causes if c["is_present"] and c["unit"] == "mL/min")
    before = len(app.store.logs[run_id])
    answer = app.client.post("/api/room/room-1/find-cause", json=asked)
    assert answer.status_code == 200, answer.text
    found = answer.json()
    assert found["is_reached"]
    assert found["n_runs"] <= 12
    assert found["value_text"].endswith("mL")
    assert len(app.store.logs[run_id]) == before, "a search is no entry"
    assert {track["signal"] for track in found["ahead"]["tracks"]} >= {"heart_rate_per_min", "spo2_pct"}
    with app.client.websocket_connect(CONTROL) as socket:
        command = {"do": "set problem", "cause": found["cause"], "size": found["size"], "reason": found["reason"]}
        done = app.say(socket, command)
        assert done["type"] == "ack", done
        app.turn(1.0)
        event = app.store.logs[run_id][-1]
        assert event.body.kind == "problem set"
        assert event.body.problem.rate_ml_per_min == pytest.approx(found["size"])
        assert event.body.reason.startswith("found for blood lost 1500 mL")
        assert app.say(socket, {"do": "undo"})["type"] == "ack"
    app.turn(1.0)
    assert app.store.logs[run_id][-1].body.kind == "entry undone"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"cause": "bleding by hand"}, "there is no problem 'bleding by hand' to set"),
        ({"signal": "chaos"}, "'chaos' cannot be asked for here"),
        ({"minutes": 0.1}, "30 s to 60 min"),
        ({"value": 900.0}, "is never 900"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_a_sentence(app: Bench, change: dict[str, object], said: str) -> None:
    app.rehearse()
    asked = {"cause": "bleeding by hand", "signal": "spo2_pct", "value": 80.0, "minutes": 2.0, **change}
    refused = app.client.post("/api/room/room-1/find-cause", json=asked)
    assert 400 <= refused.status_code < 500
    assert said in refused.json()["sentence"]


def test_a_size_out_of_range_is_not_set(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "set problem", "cause": "bleeding by hand", "size": 90000.0})
    assert "0 to 1000 mL/min" in refused["sentence"]
    assert "problem set" not in [event.body.kind for event in app.store.logs[run_id]]


def test_an_outcome_is_held_by_a_cause_that_is_named(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        snapshot = app.next(socket, "snapshot")
        offered = {one["what"]: one for one in snapshot["holdables"]}
        assert [cause["name"] for cause in offered["mean pressure"]["causes"]] == [
            "vessel dilation", "vessel narrowing", "pump failure", "blood loss",
        ]  # fmt: skip
        assert {one["kind"] for one in snapshot["holdables"]} >= {"effector", "outcome"}
        hold = {"do": "hold", "what": "mean pressure", "value": 60.0, "display_only": False}
        assert "no cause is named" in app.say(socket, hold)["sentence"]
        up = {**hold, "value": 150.0, "by": "pump failure"}
        assert "pump failure only lowers" in app.say(socket, up)["sentence"]
