"""``drillyard check``: one sentence a fault, an exit code that a script can use, the same as JSON."""

import argparse
import json
from pathlib import Path

import pytest

from drillyard.adapters.files.lab_folder import create_demo_lab
from drillyard.cli import check


def _run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    check.add_parser(parser.add_subparsers())
    return check.run(parser.parse_args(["check", *words]))


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    create_demo_lab(tmp_path / "lab")
    return tmp_path / "lab"


def test_the_demo_lab_has_no_fault(lab: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _run(str(lab)) == 0
    assert capsys.readouterr().out.splitlines()[-1].endswith("0 errors, 0 warnings.")


def test_every_fault_is_printed_and_written(lab: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = lab / "scenarios" / "c8-tractor.yaml"
    text = (
        case.read_text(encoding="utf-8")
        .replace("mass: 88 kg", "mass: 88 cm")
        .replace("time_cap: 18 min", "time_cop: 18 min")
    )
    case.write_text(text, encoding="utf-8")
    out = tmp_path / "faults.json"
    assert _run(str(lab), "--json", str(out)) == 1
    said = capsys.readouterr().out
    assert "patient.mass: '88 cm'" in said and "did you mean 'time_cap'" in said
    rows = json.loads(out.read_text(encoding="utf-8"))
    assert [row["sentence"] in said for row in rows] == [True] * len(rows)
    assert {row["severity"] for row in rows} == {"error"} and 24 in {row["place"]["line"] for row in rows}


def test_a_warning_alone_is_no_failure(lab: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = lab / "scenarios" / "c5-car-park.yaml"
    case.write_text(case.read_text(encoding="utf-8").replace(", source: author value}", "}", 1), encoding="utf-8")
    assert _run(str(lab)) == 0
    assert "warning: scenarios/c5-car-park.yaml" in capsys.readouterr().out


@pytest.mark.parametrize(("name", "words"), [("nowhere", "is not a lab folder"), ("newer", "update Drillyard")])
def test_a_folder_that_cannot_be_read_is_one_sentence(
    name: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "newer").mkdir()
    (tmp_path / "newer" / "lab.yaml").write_text("format: 99\n", encoding="utf-8")
    assert _run(str(tmp_path / name)) == 2
    captured = capsys.readouterr()
    assert words in captured.err and captured.out == "" and "Traceback" not in captured.err


def test_a_json_file_that_cannot_be_written_is_said(lab: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _run(str(lab), "--json", str(lab / "no" / "such" / "folder.json")) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_crew_of_no_case_is_found(lab: Path, capsys: pytest.CaptureFixture[str]) -> None:
    crew = lab / "crews" / "c8-tractor-good.yaml"
    crew.write_text(crew.read_text("utf-8").replace("scenario: c8-tractor", "scenario: c8-traktor"), "utf-8")
    assert _run(str(lab)) == 1
    said = capsys.readouterr().out
    assert "crews/c8-tractor-good.yaml, line 6, scenario" in said and "did you mean 'c8-tractor'" in said
