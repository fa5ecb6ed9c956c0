"""The debrief over HTTP: what was stored, what was noted, and what if."""

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from drillyard.core.session.look_ahead import LIMITS
from drillyard.core.session.tracks import Tracks
from drillyard.service.records import LabSettings
from drillyard.web.debrief_what_if import first_crossing_s, milestones
from tests.web.bench import SOCKETS, Bench


@pytest.fixture
def played(app: Bench) -> tuple[Bench, str]:
    """A run of 40 s with a tourniquet at 20 s."""
    run_id = app.rehearse()
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        app.say(socket, {"do": "phase", "phase": "at patient"})
        app.turn(10.0)
        app.say(socket, {"do": "hold", "what": "spo2_pct", "value": 85.0, "display_only": True, "reason": "harder"})
        app.turn(10.0)
        app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        app.say(socket, {"do": "enter", "typed": "radial pulse"})
        app.turn(20.0)
        app.say(socket, {"do": "end", "reason": "aim reached"})
    app.turn(1.0)
    app.until(lambda: app.store.records[run_id].state == "ended")
    return app, run_id


def tourniquet(debrief: dict[str, Any]) -> int:
    return next(line["seq"] for line in debrief["log"] if "ourniquet" in line["text"])


def test_a_debrief_reads_what_was_stored(played: tuple[Bench, str]) -> None:
    app, run_id = played
    debrief = app.client.get(f"/api/runs/{run_id}/debrief").json()
    assert (debrief["state"], debrief["outcome"], debrief["ended_because"]) == ("ended", "alive", "aim reached")
    assert debrief["end_s"] == pytest.approx(40.05)
    assert debrief["phases"] == [{"phase": "at patient", "from_s": 0.05, "to_s": debrief["end_s"]}]
    stored = app.store.tracks.read(run_id)
    assert stored is not None
    lost = next(track for track in debrief["true_tracks"] if track["signal"] == "blood_lost_ml")
    assert len(lost["values"]) == len(stored.block.true) == 41
    assert [ring["signal"] for ring in debrief["rings"]] == ["heart_rate_per_min"]
    assert {axis["signal"] for axis in debrief["rows"]} >= {"spo2_pct", "blood_lost_ml"}


def test_a_held_value_is_seen_in_the_debrief_with_its_reason(played: tuple[Bench, str]) -> None:
    app, run_id = played
    (span,) = app.client.get(f"/api/runs/{run_id}/debrief").json()["holds"]
    assert (span["what"], span["reason"], span["display_only"]) == ("spo2_pct", "harder", True)
    assert span["from_s"] == pytest.approx(10.05)
    assert span["to_s"] == pytest.approx(40.05)


def test_measures_come_with_definition_uncertainty_and_what_they_are_about(played: tuple[Bench, str]) -> None:
    app, run_id = played
    measures = {row["id"]: row for row in app.client.get(f"/api/runs/{run_id}/debrief").json()["measures"]}
    bleeding = measures[59]
    assert bleeding["text"] == "0:20"
    assert bleeding["uncertainty"].startswith("± ")
    assert bleeding["definition"] and bleeding["source"]
    assert measures[12]["about"] == "patient, not crew"
    assert measures[59]["about"] == "crew"


def test_a_what_if_without_the_tourniquet_bleeds_on(played: tuple[Bench, str]) -> None:
    app, run_id = played
    seq = tourniquet(app.client.get(f"/api/runs/{run_id}/debrief").json())
    answer = app.client.post(f"/api/runs/{run_id}/what-if", json={"change": {"do": "remove", "seq": seq}}).json()
    assert answer["sentence"].startswith("without: ")
    assert answer["departure_text"] == "", "today's body is the one that ran"
    lost = {}
    for name in ("tracks", "baseline"):
        (lost[name],) = [track["values"] for track in answer[name] if track["signal"] == "blood_lost_ml"]
    assert lost["tracks"][:20] == lost["baseline"][:20]
    assert lost["tracks"][-1] > lost["baseline"][-1]
    assert answer["from_s"] == pytest.approx(20.05)


@pytest.mark.parametrize(
    ("change", "status", "words"),
    [
        ({"do": "remove", "seq": 9999}, 422, "entry 9999 is none that acted"),
        ({"do": "move", "seq": 4, "t_s": 4000.0}, 422, "length of the run"),
        ({"do": "add", "typed": "fentanil 50 iv", "t_s": 5.0}, 422, "fentanyl"),
        ({"do": "add", "typed": "sang a song", "t_s": 5.0}, 422, "nothing that the body models"),
        ({"do": "undo"}, 422, "cannot be used"),
    ],
)
def test_a_what_if_that_cannot_be_is_one_sentence(
    played: tuple[Bench, str], change: dict[str, Any], status: int, words: str
) -> None:
    app, run_id = played
    answer = app.client.post(f"/api/runs/{run_id}/what-if", json={"change": change})
    assert answer.status_code == status
    assert words in answer.json()["sentence"]


def test_moving_and_adding_say_what_was_changed(played: tuple[Bench, str]) -> None:
    app, run_id = played
    seq = tourniquet(app.client.get(f"/api/runs/{run_id}/debrief").json())
    moved = app.client.post(f"/api/runs/{run_id}/what-if", json={"change": {"do": "move", "seq": seq, "t_s": 5.0}})
    assert moved.json()["sentence"].endswith("at 0:05")
    assert moved.json()["from_s"] == 5.0
    added = {"do": "add", "typed": "naloxone 0.4 mg iv", "t_s": 12.0}
    answer = app.client.post(f"/api/runs/{run_id}/what-if", json={"change": added})
    assert answer.json()["sentence"] == "with: Naloxone 0.4 mg IV, at 0:12"


def test_notes_are_kept_and_can_be_taken_back(played: tuple[Bench, str]) -> None:
    app, run_id = played
    address = f"/api/runs/{run_id}/notes"
    note = app.client.post(address, json={"text": "Good call-out", "t_s": 12.0}).json()
    assert app.client.get(f"/api/runs/{run_id}/debrief").json()["notes"] == [note]
    assert app.client.delete(f"{address}/{note['note_id']}").status_code == 200
    assert app.client.get(f"/api/runs/{run_id}/debrief").json()["notes"] == []
    assert app.client.delete(f"{address}/{note['note_id']}").status_code == 404


def test_an_unknown_run_is_one_sentence(app: Bench) -> None:
    for method, path in (("GET", "debrief"), ("POST", "notes"), ("POST", "what-if"), ("POST", "end")):
        body = {"notes": {"text": "x"}, "what-if": {"change": {"do": "remove", "seq": 1}}}.get(path)
        answer = app.client.request(method, f"/api/runs/run-none/{path}", json=body)
        assert answer.status_code == 404, path
        assert answer.json()["sentence"]


def test_a_held_value_names_its_row(played: tuple[Bench, str]) -> None:
    app, run_id = played
    (span,) = app.client.get(f"/api/runs/{run_id}/debrief").json()["holds"]
    assert span["row"] == "spo2_pct"


def test_time_that_passed_at_once_is_marked(app: Bench) -> None:
    run_id = app.rehearse("c5-car-park")
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        app.turn(10.0)
        assert app.say(socket, {"do": "jump", "minutes": 25})["type"] == "ack"
        app.turn(10.0)
        app.say(socket, {"do": "end", "reason": "aim reached"})
    app.turn(1.0)
    app.until(lambda: app.store.records[run_id].state == "ended")
    (jump,) = app.client.get(f"/api/runs/{run_id}/debrief").json()["jumps"]
    assert jump["to_s"] - jump["from_s"] == 1500.0
    assert jump["from_s"] == pytest.approx(10.05)
    assert jump["text"] == "25 min passed at once"


# ---- what comes sooner, later or not at all ----------------------------------------------------------------------

SPO2_80 = next(limit for limit in LIMITS if (limit.signal, limit.value) == ("spo2_pct", 80.0))
FALL = np.concatenate([np.full(60, 95.0), np.linspace(95.0, 65.0, 31), np.full(60, 65.0)])
"""95 % for a minute, then 1 % a second down to 65 %: below 80 % from second 76 on."""


def with_column(name: str, values: NDArray[np.float64]) -> Tracks:
    tracks = Tracks()
    for second, value in enumerate(values):
        tracks.write_second(second, dict.fromkeys(Tracks.names, 100.0) | {name: float(value)}, {})
    return tracks


def test_a_limit_is_crossed_at_the_second_from_which_it_stays_crossed() -> None:
    assert first_crossing_s(FALL, SPO2_80, 10.0) == 76.0
    flicker = FALL.copy()
    flicker[20:23] = 70.0
    assert first_crossing_s(flicker, SPO2_80, 10.0) == 76.0, "three seconds are a flicker"
    assert first_crossing_s(FALL, SPO2_80, 100.0) is None, "crossed already where the two part"
    assert first_crossing_s(np.full(90, 95.0), SPO2_80, 0.0) is None
    lost = np.where(np.arange(151) > 40, 0.0, 95.0)
    assert first_crossing_s(lost, SPO2_80, 10.0) is None, "a probe that finds no pulse shows no saturation"


def test_what_comes_later_sooner_or_not_at_all_is_said_with_both_times() -> None:
    settings, never = LabSettings(), np.full(300, 95.0)
    late = np.concatenate([np.full(130, 95.0), FALL])
    cases = [
        (FALL, late, "2:10 later: at 3:26, in the run at 1:16"),
        (late, FALL, "2:10 sooner: at 1:16, in the run at 3:26"),
        (never, FALL, "comes at 1:16; not in the run"),
        (FALL, never, "does not come; in the run at 1:16"),
    ]
    for was, now, said in cases:
        found = milestones(with_column("spo2_pct", was), with_column("spo2_pct", now), 10.0, settings)
        assert {each.text: each.said for each in found}["SpO2 below 80 %"] == said
    assert milestones(with_column("spo2_pct", FALL), with_column("spo2_pct", FALL), 10.0, settings) == []


def test_a_limit_that_passes_again_says_so() -> None:
    passing = np.concatenate([FALL, np.full(60, 95.0)])
    found = milestones(
        with_column("spo2_pct", np.full(211, 95.0)), with_column("spo2_pct", passing), 10.0, LabSettings()
    )
    assert {each.text: each.said for each in found}["SpO2 below 80 %"] == "comes at 1:16; not in the run; it passes"
