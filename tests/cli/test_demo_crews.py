"""The demo crews played to the end: good care keeps the patient alive, poor care follows the outline of the case.

The outline's numbers are author values (invented); a time may be off by 40 %.
"""

import argparse
import json
from pathlib import Path
from typing import Any

import pytest

from drillyard.adapters.files.lab_folder import DEMO
from drillyard.cli import rehearse

CASES = ("c5-car-park", "c8-tractor")


def _played(case: str, care: str, tmp_path: Path) -> dict[str, Any]:
    parser = argparse.ArgumentParser()
    rehearse.add_parser(parser.add_subparsers())
    words = ("--manikin", "adult-manikin-a", "--crew", f"{case}-{care}", "--out", str(tmp_path), "--quiet")
    assert rehearse.run(parser.parse_args(["rehearse", case, *words])) == 0
    outcome: dict[str, Any] = json.loads((tmp_path / "outcome.json").read_text(encoding="utf-8"))
    return outcome


@pytest.mark.parametrize("case", CASES)
def test_good_care_ends_with_a_live_patient_who_never_lost_the_pulse(case: str, tmp_path: Path) -> None:
    outcome = _played(case, "good", tmp_path)
    assert outcome["outcome"] == "alive" and outcome["arrest_at_s"] is None
    assert outcome["n_not_done"] == 0


@pytest.mark.parametrize("case", CASES)
def test_poor_care_loses_the_pulse_in_the_outlines_time(case: str, tmp_path: Path) -> None:
    outcome = _played(case, "poor", tmp_path)
    assert outcome["outcome"] in ("arrested", "dead")
    assert outcome["n_not_done"] == 0
    pulse = next(row for row in outcome["outline"] if row["text"].startswith("has_pulse falls to 0"))
    assert pulse["is_met"], pulse["text"]


def test_each_case_has_its_two_crews() -> None:
    crews = sorted(path.stem for path in (DEMO / "crews").glob("*.yaml"))
    assert crews == sorted(f"{case}-{care}" for case in CASES for care in ("good", "poor"))
