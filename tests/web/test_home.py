"""Home, starting, closing, people and settings over HTTP."""

from typing import Any

import pytest

from tests.web.bench import SOCKETS, Bench


def session_asked(app: Bench, **changes: Any) -> dict[str, Any]:
    """A whole request for a session, as the form is filled in."""
    people = [app.client.post("/api/people", json={"name": name}).json() for name in ("Ada Reed", "Tom Birch")]
    form = app.client.get("/api/session-form", params={"scenario": "c8-tractor", "manikin": "adult-manikin-a"}).json()
    asked: dict[str, Any] = {
        "purpose": "session", "scenario": "c8-tractor", "manikin": "adult-manikin-a", "room": "room-1", "seed": 7,
        "crew": [
            {"person_id": person["person_id"], "seat": seat, "agreed": True}
            for person, seat in zip(people, form["seats"], strict=True)
        ],
        "counts": [
            {"item": row["item"], "kind": row["kind"], "counted_in": row["expected"]} for row in form["counts"]
        ],
        "ticks": [row["tick"] for row in form["ticks"]],
        "signed_by": "R. Ash", "one_name_reason": "alone today",
    }  # fmt: skip
    return asked | changes


def sentences(answer: Any) -> str:
    return " ".join(fault["sentence"] for fault in answer.json()["faults"])


def test_home_shows_cases_manikins_rooms_and_the_empty_state(app: Bench) -> None:
    home = app.client.get("/api/home").json()
    assert home["is_empty"] is True
    assert home["is_demo"] is True
    assert {case["name"] for case in home["cases"]} >= {"c5-car-park", "c8-tractor"}
    assert all(case["status"] == "draft" for case in home["cases"]), "demonstration cases ship as drafts"
    assert home["cases"][0]["fits"][0]["manikin"] == "adult-manikin-a"
    assert home["rooms"][0]["control_address"] == "/control/room-1"
    app.rehearse()
    home = app.client.get("/api/home").json()
    assert home["is_empty"] is False
    assert home["runs"][0]["address"] == "/control/room-1"
    assert home["rooms"][0]["is_running"] is True


def test_a_rehearsal_asks_for_nothing_and_a_second_one_in_the_room_is_refused(app: Bench) -> None:
    app.rehearse()
    asked = {"scenario": "c5-car-park", "manikin": "adult-manikin-a", "room": "room-1"}
    answer = app.client.post("/api/runs", json=asked)
    assert answer.status_code == 409
    assert answer.json()["sentence"] == "a run is going on in 'room-1'; end it, or choose another room."


@pytest.mark.parametrize(
    ("changes", "status", "words"),
    [
        ({"scenario": "c8-traktor"}, 404, "did you mean 'c8-tractor'?"),
        ({"manikin": "adult"}, 404, "no 'adult' in manikins"),
        ({"room": "room-9"}, 404, "there is no room 'room-9'"),
        ({"seed": -1}, 422, "seed cannot be used"),
        ({"surprise": 1}, 422, "surprise cannot be used"),
    ],
)
def test_a_bad_start_is_one_sentence_and_leaves_nothing(
    app: Bench, changes: dict[str, Any], status: int, words: str
) -> None:
    asked = {"scenario": "c8-tractor", "manikin": "adult-manikin-a", "room": "room-1"} | changes
    answer = app.client.post("/api/runs", json=asked)
    assert answer.status_code == status
    assert words in answer.json()["sentence"]
    assert app.store.records == {}


def test_a_full_disk_starts_nothing_and_leaves_the_room_free(app: Bench) -> None:
    app.store.is_on_full_disk = True
    asked = {"scenario": "c8-tractor", "manikin": "adult-manikin-a", "room": "room-1"}
    answer = app.client.post("/api/runs", json=asked)
    assert answer.status_code == 503
    assert "the disk is full" in answer.json()["sentence"]
    assert "The disk is full" in app.client.get("/api/home").json()["notice"]
    app.store.is_on_full_disk = False
    app.rehearse()


def test_a_session_needs_crew_agreement_counts_ticks_and_a_name(app: Bench) -> None:
    whole = session_asked(app)
    missing = {**whole, "counts": whole["counts"][1:], "ticks": whole["ticks"][1:], "one_name_reason": ""}
    missing["crew"] = [{**whole["crew"][0], "agreed": False}, {**whole["crew"][1], "person_id": "person-x"}]
    answer = app.client.post("/api/runs", json=missing)
    assert answer.status_code == 422
    told = sentences(answer)
    for words in (
        "has not agreed",
        "nobody we know",
        "has not been counted in",
        "not ticked:",
        "only one name is given",
    ):
        assert words in told
    assert app.store.records == app.store.booked == {}
    started = app.client.post("/api/runs", json=whole)
    assert started.status_code == 201
    session = app.store.booked[started.json()["session_id"]]
    assert session.ticks[0].done_by == "R. Ash alone: alone today"
    assert [member.agreement for member in session.crew] == ["1", "1"]


def test_where_two_run_the_lab_one_name_is_not_enough(app: Bench) -> None:
    app.client.put("/api/settings", json={"one_person_lab": False})
    answer = app.client.post("/api/runs", json=session_asked(app))
    assert "a second person has to sign" in sentences(answer)
    started = app.client.post("/api/runs", json=session_asked(app, second_name="K. Lind"))
    assert started.status_code == 201


def test_a_session_closes_only_when_the_counts_do_and_what_was_counted_stays(app: Bench) -> None:
    started = app.client.post("/api/runs", json=session_asked(app)).json()
    address = f"/api/sessions/{started['session_id']}/close"
    with app.client.websocket_connect(f"ws://127.0.0.1:9137/ws/room/{started['room']}") as socket:
        app.say(socket, {"do": "enter", "typed": "needle l 5th"})
        app.turn(1.0)
        assert app.client.post(address, json={"signed_by": "R. Ash"}).status_code == 409, "the run goes on"
        app.say(socket, {"do": "end"})
    app.turn(1.0)
    app.until(lambda: app.store.records[started["run_id"]].state == "ended")
    form = app.client.get(address).json()
    needle = next(row for row in form["counts"] if row["item"] == "decompression needle 14 gauge")
    assert (needle["counted_in"], needle["used"], needle["expected_out"]) == (2, 1, 2)
    counts = [{"item": row["item"], "counted_out": row["counted_in"]} for row in form["counts"]]
    short = [{**row, "counted_out": 1} if row["item"] == needle["item"] else row for row in counts]
    asked = {"counts": short, "signed_by": "R. Ash", "one_name_reason": "alone today"}
    refused = app.client.post(address, json=asked)
    assert refused.status_code == 409
    assert "'decompression needle 14 gauge': 2 in, 1 out, 1 missing" in refused.json()["sentence"]
    kept = {row["item"]: row["counted_out"] for row in app.client.get(address).json()["counts"]}
    assert kept[needle["item"]] == 1
    closed = app.client.post(address, json={**asked, "counts": counts})
    assert closed.status_code == 200
    assert closed.json()["is_closed"] is True
    assert app.client.post(address, json=asked).status_code == 409


def test_who_has_met_which_case_is_known_afterwards(app: Bench) -> None:
    app.client.post("/api/runs", json=session_asked(app))
    home = app.client.get("/api/home").json()
    case = next(case for case in home["cases"] if case["name"] == "c8-tractor")
    assert sorted(case["met_by"]) == ["Ada Reed", "Tom Birch"]
    assert {row["person"] for row in home["exposures"]} == {"Ada Reed", "Tom Birch"}
    form = app.client.get("/api/session-form", params={"scenario": "c5-car-park", "manikin": "adult-manikin-a"}).json()
    assert sorted(form["unseen_by"]) == ["Ada Reed", "Tom Birch"]


def test_settings_change_what_screens_show_and_bad_ones_are_refused(app: Bench) -> None:
    app.rehearse()
    changed = app.client.put("/api/settings", json={"pressure_unit": "kPa", "lab_name": "Ferry lab"})
    assert changed.json()["pressure_unit"] == "kPa"
    with app.client.websocket_connect("ws://127.0.0.1:9137/ws/room/room-1") as socket:
        rows = {row["signal"]: row for row in app.next(socket, "snapshot")["numbers"]}
    assert rows["systolic_pressure_mmhg"]["unit"] == "kPa"
    assert rows["systolic_pressure_mmhg"]["value"] > 50.0, "raw values stay in the core's unit"
    for bad in (
        {"pressure_unit": "bar"},
        {"zone": "Orrin/Ferry"},
        {"rooms": []},
        {"rooms": ["room-2"]},
        {"rooms": ["../x"]},
    ):
        answer = app.client.put("/api/settings", json=bad)
        assert answer.status_code in (409, 422), bad
        assert answer.json()["sentence"]
    assert app.client.get("/api/settings").json()["rooms"] == ["room-1"]


def test_the_parse_answer_says_the_whole_sentence_before_enter(app: Bench) -> None:
    app.rehearse()
    answer = app.client.post("/api/room/room-1/parse", json={"typed": "epi 0.3 im"}).json()
    assert answer["is_complete"] is True
    assert "pinephrine 0.3 mg IM" in answer["echo"]
    blocked = app.client.post("/api/room/room-1/parse", json={"typed": "tourniquet left thigh"}).json()
    assert blocked["predicted"].startswith("bleeding 0 mL/min in 30 s")
    asked = app.client.post("/api/room/room-1/parse", json={"typed": "ecg"}).json()
    assert asked["question"] and asked["is_complete"] is False
    assert app.client.post("/api/room/room-2/parse", json={"typed": "ecg"}).status_code == 404


def test_the_run_sheet_has_the_course_the_phases_and_the_words(app: Bench) -> None:
    app.rehearse()
    sheet = app.client.get("/api/room/room-1/run-sheet").json()
    first = sheet["course"][0]["t_s"]
    assert 0.0 <= first <= 1.0
    assert [row["t_s"] - first for row in sheet["course"]][:9] == [60.0 * n for n in (0, 1, 2, 3, 4, 5, 6, 8, 10)]
    assert sheet["course"][-1]["t_s"] >= sheet["time_cap_s"] - 120.0
    assert [len(row["cells"]) for row in sheet["course"]] == [len(sheet["columns"])] * len(sheet["course"])
    assert sheet["phases"][0] == {"title": "dispatch", "text": ""}
    assert sheet["stop_word"] and sheet["emergency_word"] and sheet["training_mark"]
    assert sheet["drug_box"] and sheet["cues"] and sheet["answers"]


def test_the_run_sheet_has_what_the_crew_is_expected_to_do_with_the_times_of_what_they_did(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        app.turn(20.0)
        app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        app.turn(10.0)
        sheet = app.client.get("/api/room/room-1/run-sheet").json()
    assert [row["text"] for row in sheet["objectives"]][:2] == [
        "Stops the bleeding of the thigh before anything else",
        "Finds the tight left chest and lets the air out on the left",
    ]
    assert "bleeding stopped at most 1:00" in sheet["objectives"][0]["detail"]
    steps = {row["text"]: row["at_text"] for row in sheet["expected"]}
    assert steps["Control bleeding tourniquet, left thigh"] == "0:20"
    assert steps["Decompress chest left"] == ""
    assert {row["title"] for row in sheet["timed"]} >= {"Primary survey complete"}


def test_the_run_sheet_says_when_a_cue_is_due_and_what_a_drug_is_usually_given_in(app: Bench) -> None:
    app.rehearse()
    sheet = app.client.get("/api/room/room-1/run-sheet").json()
    when = {row["text"]: row["title"] for row in sheet["cues"]}
    assert when["The grass around the leg is dark with blood, more than a litre."] == (
        "blood lost > 800 mL and phase at patient"
    )
    assert when["Air hisses out of the needle. He breathes easier."] == "needle into the left chest"
    assert "1000 mg IV" in sheet["drug_box"][0]["text"], "NICE NG39 2016: 1 g over 10 min"
    assert sheet["answers"][0]["when"] == "GCS verbal ≥ 5"
    pulse = [cell["text"] for row in sheet["course"] for cell in row["cells"] if cell["signal"] == "pulse_carotid_frac"]
    assert pulse and set(pulse) <= {"wrist", "groin", "neck", "none"}


@pytest.mark.parametrize("method", ["post", "put", "delete"])
def test_nothing_is_changed_for_a_page_from_elsewhere(app: Bench, method: str) -> None:
    headers = {"origin": "http://evil.test"}
    answer = getattr(app.client, method)("/api/settings", headers=headers)
    assert answer.status_code == 403
    assert "another address" in answer.json()["sentence"]
    assert app.client.get("/api/home", headers={"host": "evil.test"}).status_code == 403


def test_every_answer_carries_the_headers_that_keep_other_pages_out(app: Bench) -> None:
    for path in ("/", "/api/health", "/api/nothing", "/control/room-1"):
        answer = app.client.get(path)
        assert "default-src 'self'" in answer.headers["content-security-policy"], path
        assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["x-frame-options"] == "DENY"
    assert app.client.get("/api/home").headers["cache-control"] == "no-store"
    assert app.client.get("/api/home", headers={"accept-encoding": "gzip"}).headers["content-encoding"] == "gzip"


def test_screens_that_are_not_built_say_so_on_a_clear_page(app: Bench) -> None:
    answer = app.client.get("/control/room-1")
    assert answer.status_code == 503
    assert "The screens are not built yet" in answer.text
    assert "Training only" in answer.text


def test_an_unknown_address_is_one_sentence(app: Bench) -> None:
    assert app.client.get("/api/nothing").json()["sentence"] == "There is nothing at this address."
    assert app.client.patch("/api/home").json()["sentence"] == "This address cannot be used in this way."
