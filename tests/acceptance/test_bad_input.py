"""Bad input: one clear sentence each, nothing lost.

``WHERE`` says which test holds each kind; what no other test reaches through the public surface is tried here.
"""

import ast
import hashlib
import re
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

import pytest

from drillyard.adapters.files.lab_folder import create_demo_lab
from drillyard.adapters.sql.migrate import bring_up_to_date
from tests.web.bench import SOCKETS, Bench

ROOT: Final = Path(__file__).resolve().parents[2]
CONTROL: Final = f"{SOCKETS}/room-1?screen=control"

WHERE: Final[dict[str, tuple[str, ...]]] = {
    "unknown drug": (
        "tests/core/entry/test_bad_input.py::test_unknown_drug_names_the_drugs_there_are",
        "tests/core/entry/test_bad_input.py::test_a_misspelt_drug_offers_the_near_one",
        "tests/acceptance/test_bad_input.py::test_one_clear_sentence_and_nothing_logged",
        "tests/browser/test_main_job.py::test_bad_input_is_told_in_one_sentence_and_kept",
    ),
    "impossible dose": (
        (
            "tests/core/entry/test_bad_input.py::"
            "test_an_impossible_dose_shows_the_usual_one_and_is_logged_as_such_only_on_a_second_yes"
        ),
        "tests/web/test_socket.py::test_an_impossible_dose_wants_a_second_yes_and_is_logged_as_such",
        "tests/acceptance/test_bad_input.py::test_an_impossible_dose_stands_beside_the_usual_one",
    ),
    "wrong or ambiguous unit": (
        "tests/core/entry/test_bad_input.py::test_a_wrong_unit_is_named_with_the_right_ones",
        "tests/core/entry/test_bad_input.py::test_a_missing_unit_that_leaves_two_readings_is_asked_about",
        "tests/core/entry/test_bad_input.py::test_millilitres_of_two_labels_are_asked_about",
        "tests/acceptance/test_bad_input.py::test_one_clear_sentence_and_nothing_logged",
        "tests/cli/test_check.py::test_every_fault_is_printed_and_written",
    ),
    "event before start": (
        "tests/core/entry/test_bad_input.py::test_a_time_before_the_start_is_refused_with_the_range",
        "tests/acceptance/test_bad_input.py::test_nothing_is_placed_before_the_start_or_after_now",
    ),
    "two operators at once": (
        "tests/service/test_live_room.py::test_two_operators_at_once_both_work",
        "tests/web/test_socket.py::test_two_operators_see_each_others_entries",
        "tests/acceptance/test_bad_input.py::test_two_operators_who_take_back_the_same_entry_do_it_once",
        "tests/browser/test_main_job.py::test_two_operators_write_in_one_log",
    ),
    "disk full": (
        "tests/adapters/sql/test_writer.py::test_a_full_disk_is_refused_clearly_and_the_queue_goes_on",
        (
            "tests/service/test_live_room.py::"
            "test_a_full_disk_refuses_commands_while_the_patient_goes_on_and_the_log_catches_up"
        ),
        "tests/web/test_socket.py::test_a_full_disk_is_one_sentence_and_the_patient_goes_on",
        "tests/web/test_home.py::test_a_full_disk_starts_nothing_and_leaves_the_room_free",
    ),
    "port in use": ("tests/cli/test_serve.py::test_a_port_in_use_is_one_sentence",),
    "broken YAML": (
        "tests/adapters/files/test_broken_files.py::test_says_the_words_that_help",
        "tests/adapters/files/test_document.py::test_rubbish_is_a_fault_and_never_an_exception",
        "tests/adapters/files/test_case_files.py::test_a_broken_file_is_told_with_its_line_and_the_others_stay_usable",
        "tests/acceptance/test_bad_input.py::test_broken_yaml_is_named_by_every_verb_that_reads_it_and_kept",
    ),
    "newer lab folder": (
        "tests/adapters/files/test_document.py::test_a_newer_lab_folder_is_refused_with_advice",
        "tests/adapters/sql/test_migrate.py::test_a_newer_folder_is_refused_with_advice_and_not_touched",
        "tests/cli/test_check.py::test_a_folder_that_cannot_be_read_is_one_sentence",
        "tests/acceptance/test_bad_input.py::test_a_newer_lab_folder_is_not_served_and_not_touched",
    ),
    "folder in use": (
        "tests/adapters/files/test_lab_lock.py::test_a_second_taker_is_told_who_holds_the_folder",
        "tests/cli/test_serve.py::test_an_empty_folder_becomes_the_demonstration_lab_and_every_screen_has_its_address",
    ),
    "repeated, or kept too long": (
        "tests/web/test_socket.py::test_a_repeated_command_is_acknowledged_again_and_done_once",
        "tests/web/test_socket.py::test_a_command_kept_too_long_is_refused_and_not_done",
    ),
    "undeclared jump": ("tests/service/test_live_room.py::test_time_jumps_only_where_the_case_declares_it",),
    "a page from elsewhere": (
        "tests/web/test_guard.py::test_pages_of_other_origins_change_nothing_and_open_no_socket",
        "tests/web/test_socket.py::test_a_page_from_elsewhere_opens_no_socket",
    ),
}


@pytest.mark.parametrize("address", sorted({address for row in WHERE.values() for address in row}))
def test_each_kind_of_bad_input_has_its_test(address: str) -> None:
    file, _, name = address.partition("::")
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    assert name in {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


def is_one_sentence(said: str) -> bool:
    """No trace of the program, no doubled stops, an end."""
    return "Traceback" not in said and "\n" not in said and said[-1] in ".?!" and not re.search(r"[.?!][;,.]", said)


def kinds(app: Bench, run_id: str) -> list[str]:
    return [event.body.kind for event in app.store.logs[run_id]]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("zoramicol 5 mg iv", "is not a drug in this lab's formulary; allowed: adenosine, amiodarone"),
        ("fentanil 50 mcg iv", "fentanyl"),
        ("txa 2 mmHg iv", "is not a unit"),
        ("txa 10 iv", "10 mg or 10 g or 10 mL?"),
        ("epi 0,3 mg im", "0.3"),
        ("tourniqet left thigh", "did you mean 'tourniquet'?"),
    ],
)
def test_one_clear_sentence_and_nothing_logged(app: Bench, typed: str, words: str) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "enter", "typed": typed})
    assert refused["type"] == "refused"
    assert words in " ".join([refused["sentence"], *refused["suggestions"]])
    assert is_one_sentence(refused["sentence"]), refused["sentence"]
    assert "care given" not in kinds(app, run_id)


def test_an_impossible_dose_stands_beside_the_usual_one(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "enter", "typed": "fentanyl 50 mg iv"})
        assert refused["needs_confirmation"] is True
        assert "usual: 0.5 to 2 mcg/kg IV" in refused["sentence"]
        assert refused["sentence"].count("Enter again") == 1
        assert is_one_sentence(refused["sentence"]), refused["sentence"]
        assert "care given" not in kinds(app, run_id)


def test_nothing_is_placed_before_the_start_or_after_now(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        app.next(socket, "snapshot")
        app.turn(10.0)
        entered = app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        for t_s in (-0.1, 3600.0):
            late: dict[str, Any] = {"do": "enter", "typed": "tourniquet left thigh", "late_t_s": t_s}
            moved = {"do": "correct", "seq": entered["seq"], "typed": "tourniquet left thigh", "t_s": t_s}
            for command in (late, moved):
                refused = app.say(socket, command)
                assert refused["type"] == "refused"
                assert "from the start of the run to now" in refused["sentence"]
                assert is_one_sentence(refused["sentence"]), refused["sentence"]
    assert not {"late entry", "entry corrected"} & set(kinds(app, run_id))


def test_two_operators_who_take_back_the_same_entry_do_it_once(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as one, app.client.websocket_connect(CONTROL) as other:
        entered = app.say(one, {"do": "enter", "typed": "tourniquet left thigh"})
        assert app.say(one, {"do": "undo", "seq": entered["seq"]})["type"] == "ack"
        refused = app.say(other, {"do": "undo", "seq": entered["seq"]}, actor="second")
        assert refused["type"] == "refused"
        assert "has been taken back already" in refused["sentence"]
    assert kinds(app, run_id).count("entry undone") == 1


def test_what_the_body_said_to_a_corrected_entry_goes_with_it(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        app.next(socket, "snapshot")
        app.turn(2.0)
        entered = app.say(socket, {"do": "enter", "typed": "tourniquet left thigh"})
        app.turn(1.0)
        room = app.lab.playing["room-1"].room
        # The small patient of these tests never answers an entry, so the answer is put where the room keeps it.
        room.advice[entered["seq"]] = "No bleeding wound there: nothing changes."
        app.say(socket, {"do": "correct", "seq": entered["seq"], "typed": "tourniquet left arm"})
        app.turn(1.0)
        assert room.advice.get(entered["seq"], "") != "No bleeding wound there: nothing changes."


def test_a_note_of_blanks_is_no_note(app: Bench) -> None:
    run_id = app.rehearse()
    with app.client.websocket_connect(CONTROL) as socket:
        refused = app.say(socket, {"do": "note", "text": "  "})
    assert refused["type"] == "refused" and is_one_sentence(refused["sentence"])
    assert "note written" not in kinds(app, run_id)


def drillyard(*words: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "drillyard.cli", *words], capture_output=True, text=True, timeout=120, check=False
    )


def test_broken_yaml_is_named_by_every_verb_that_reads_it_and_kept(tmp_path: Path) -> None:
    lab = tmp_path / "lab"
    create_demo_lab(lab)
    broken = lab / "scenarios" / "c5-car-park.yaml"
    broken.write_text('format: 1\nname: [c5\n  title: "', encoding="utf-8")
    before = broken.read_bytes()
    checked = drillyard("check", str(lab))
    assert checked.returncode == 1
    assert "scenarios/c5-car-park.yaml, line 3: this is not YAML" in checked.stdout
    played = drillyard(
        *("rehearse", "c5-car-park", "--lab", str(lab), "--manikin", "adult-manikin-a"),
        *("--crew", "c5-car-park-good", "--out", str(tmp_path / "out")),
    )
    assert played.returncode == 2
    assert "line 3: this is not YAML" in played.stderr and is_one_sentence(played.stderr.rstrip("\n"))
    assert broken.read_bytes() == before and not (tmp_path / "out").exists()


@pytest.mark.parametrize("what", ["files", "tables"])
def test_a_newer_lab_folder_is_not_served_and_not_touched(what: str, tmp_path: Path) -> None:
    lab = tmp_path / "lab"
    create_demo_lab(lab)
    if what == "files":
        (lab / "lab.yaml").write_text("format: 99\n", encoding="utf-8")
    else:
        bring_up_to_date(lab / "lab.db")
        with sqlite3.connect(lab / "lab.db") as raw:
            raw.execute("UPDATE alembic_version SET version_num = '9999'")
        raw.close()

    def content() -> dict[str, str]:
        files = (path for path in lab.rglob("*") if path.is_file() and path.name != "lab.lock")
        return {str(path): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}

    before = content()
    served = drillyard("serve", str(lab), "--port", "0", "--no-browser")
    assert served.returncode == 2
    assert is_one_sentence(served.stderr.rstrip("\n")), served.stderr
    assert ("update Drillyard" if what == "files" else "install the newer version") in served.stderr
    assert content() == before
