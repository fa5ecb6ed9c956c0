"""``drillyard rehearse``: files written, story printed, refusals in one sentence, the same body every time."""

import argparse
import csv
import json
import re
from pathlib import Path

import pytest

from drillyard.adapters.files.lab_folder import DEMO, create_demo_lab
from drillyard.cli import rehearse
from drillyard.core.session.codec import events_from_lines
from drillyard.core.session.events import CareGiven, RunEnded, RunStarted

SHORT = """\
format: 1
name: c8-tractor-short-good
title: A short crew
scenario: c8-tractor
care: good
steps:
  - {at: "0:00", phase: on scene}
  - {at: "0:02", phase: at patient}
  - {at: "0:10", do: probe on r finger}
  - {at: "0:20", do: tq l thigh}
  - {at: "0:40", phase: end}
"""


def _run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    rehearse.add_parser(parser.add_subparsers())
    return rehearse.run(parser.parse_args(["rehearse", *words]))


def _crew(tmp_path: Path, text: str = SHORT, name: str = "c8-tractor-short-good") -> str:
    path = tmp_path / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    """The demonstration lab with a case that begins at time zero: quick, and well for the first minute."""
    folder = tmp_path / "lab"
    create_demo_lab(folder)
    case = folder / "scenarios" / "c8-tractor.yaml"
    text, n = re.subn(r"start: -[0-9.]+ min", "start: 0 s", case.read_text(encoding="utf-8"))
    assert n >= 2, "the case has changed: its problems no longer begin before time zero"
    case.write_text(text, encoding="utf-8")
    return folder


def _play(lab: Path, out: str = "out", *more: str) -> Path:
    folder = lab.parent / out
    words = ("c8-tractor", "--lab", str(lab), "--manikin", "adult-manikin-a", "--crew", _crew(lab.parent))
    assert _run(*words, "--out", str(folder), *more) == 0
    return folder


def test_log_vitals_measures_and_outcome_are_written(lab: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = _play(lab)
    told = capsys.readouterr().out
    assert told.startswith("TRAINING - NOT A PATIENT.")
    assert " 0:20  Tourniquet, left thigh" in told and "Outcome: alive" in told

    events = events_from_lines((out / "log.jsonl").read_text(encoding="utf-8").splitlines())
    assert [event.seq for event in events] == list(range(1, len(events) + 1))
    assert isinstance(events[0].body, RunStarted) and events[0].body.purpose == "rehearsal"
    assert isinstance(events[-1].body, RunEnded)
    assert any(isinstance(event.body, CareGiven) and event.t_sim_s == 20.0 for event in events)

    rows = list(csv.DictReader((out / "vitals.csv").read_text(encoding="utf-8").splitlines()))
    assert [int(row["t_s"]) for row in rows] == list(range(42))
    assert {"heart_rate_per_min", "systolic_pressure_mmhg", "spo2_pct", "shown_spo2_pct"} <= set(rows[0])
    assert rows[0]["shown_spo2_pct"] == "" and rows[41]["shown_spo2_pct"] != ""

    measures = {row["id"]: row for row in json.loads((out / "measures.json").read_text(encoding="utf-8"))["measures"]}
    assert measures[59]["value"] == 18.0 and measures[59]["status"] == "met" and measures[59]["unit"] == "s"
    assert measures[12]["is_patient_not_crew"] is True

    outcome = json.loads((out / "outcome.json").read_text(encoding="utf-8"))
    assert outcome["outcome"] == "alive" and outcome["arrest_at_s"] is None
    assert outcome["lowest_map_mmhg"] == pytest.approx(
        min(float(row["mean_arterial_pressure_mmhg"]) for row in rows), abs=0.1
    )
    assert {"lowest_spo2_pct", "body_hash"} <= set(outcome)
    # A tourniquet takes some seconds to be tight; twenty seconds later it is.
    assert float(rows[40]["bleeding_ml_per_min"]) < 0.2 * float(rows[20]["bleeding_ml_per_min"])


def test_poor_care_is_held_against_the_outline(lab: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name = "c8-tractor-short-poor"
    text = SHORT.replace("short-good", "short-poor").replace("care: good", "care: poor")
    out = lab.parent / "out"
    words = ("c8-tractor", "--lab", str(lab), "--manikin", "adult-manikin-a", "--crew", _crew(lab.parent, text, name))
    assert _run(*words, "--out", str(out), "--quiet") == 0
    told = capsys.readouterr().out
    outline = json.loads((out / "outcome.json").read_text(encoding="utf-8"))["outline"]
    assert f"{sum(row['is_met'] for row in outline)} of {len(outline)} met." in told
    at_start = next(row for row in outline if row["text"].startswith("heart_rate_per_min"))
    first = next(csv.DictReader((out / "vitals.csv").read_text(encoding="utf-8").splitlines()))
    assert at_start["got"] == pytest.approx(float(first["heart_rate_per_min"]), rel=1e-3)
    beside_the_tracks = next(row for row in outline if row["text"].startswith("breath_sound_left_frac"))
    assert 0.0 <= beside_the_tracks["got"] <= 1.0
    late = next(row for row in outline if row["text"].startswith("has_pulse falls to 0"))
    assert late["got"] is None and not late["is_met"]


def test_twice_is_the_same_patient_to_the_bit_and_another_seed_is_not(lab: Path) -> None:
    def body_hash(out: Path) -> str:
        return str(json.loads((out / "outcome.json").read_text(encoding="utf-8"))["body_hash"])

    one, two = _play(lab, "one", "--quiet"), _play(lab, "two", "--quiet")
    assert body_hash(one) == body_hash(two)
    assert (one / "vitals.csv").read_bytes() == (two / "vitals.csv").read_bytes()
    assert body_hash(_play(lab, "three", "--quiet", "--seed", "2")) != body_hash(one)


def test_files_may_be_given_by_path(lab: Path, tmp_path: Path) -> None:
    """Of a lab's folder the kit lies beside them; the crew may lie anywhere."""
    words = (str(lab / "scenarios" / "c8-tractor.yaml"), "--manikin", str(lab / "manikins" / "adult-manikin-a.yaml"))
    assert _run(*words, "--crew", _crew(tmp_path), "--out", str(tmp_path / "out"), "--quiet") == 0


def _refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert _run(*words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err


def test_names_that_are_not_there_are_refused_with_near_matches(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rest = ("--out", str(tmp_path / "out"), "--crew", _crew(tmp_path))
    assert "'c8-tractor'" in _refused(capsys, "c8-tracktor", "--manikin", "adult-manikin-a", *rest)
    assert "adult-manikin-a" in _refused(capsys, "c8-tractor", "--manikin", "adult-manikin", *rest)
    crew = _refused(
        capsys, "c8-tractor", "--manikin", "adult-manikin-a", "--out", str(tmp_path), "--crew", "c8-tractor-god"
    )
    assert "c8-tractor-good" in crew
    assert "there is no file" in _refused(capsys, "no/where.yaml", "--manikin", "adult-manikin-a", *rest)


def test_a_crew_with_faults_is_refused_with_file_and_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    crew = _crew(tmp_path, SHORT.replace("tq l thigh", "tq thigh"))
    rest = ("--manikin", "adult-manikin-a", "--crew", crew, "--out", str(tmp_path / "out"))
    said = _refused(capsys, "c8-tractor", *rest)
    assert "c8-tractor-short-good.yaml, line 10" in said and "Left or right thigh?" in said
    assert not (tmp_path / "out").exists()


def test_a_crew_of_another_case_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    crew = str(DEMO / "crews" / "c5-car-park-good.yaml")
    rest = ("--manikin", "adult-manikin-a", "--crew", crew, "--out", str(tmp_path / "out"))
    assert "written for 'c5-car-park'" in _refused(capsys, "c8-tractor", *rest)


def test_an_out_folder_that_cannot_be_made_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    rest = ("--manikin", "adult-manikin-a", "--crew", _crew(tmp_path), "--out", str(tmp_path / "file" / "out"))
    assert "cannot be made" in _refused(capsys, "c8-tractor", *rest)
