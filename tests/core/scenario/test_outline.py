"""Outline numbers against a course: value at a time, time of a threshold, what was never reached."""

from dataclasses import replace

import pytest

from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.scenario.model import Check, TimeCheck, ValueCheck
from drillyard.core.scenario.outline import compare

C8 = LabFolder(DEMO).scenario("c8-tractor").use()
FALLING = {"spo2_pct": [90.0 - second / 10.0 for second in range(401)]}  # 80 at 100 s, 50 at 400 s


def _one(check: Check, course: str = "untreated") -> list[tuple[float | None, bool]]:
    results = compare(replace(C8, checks=(check,)), FALLING, course)
    assert all(result.text for result in results)
    return [(result.got, result.is_met) for result in results]


def _reaches(value: float, at_s: float, way: str = "falls to") -> TimeCheck:
    return TimeCheck(signal="spo2_pct", way=way, value=value, at_s=at_s)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("check", "expected"),
    [
        (ValueCheck(signal="spo2_pct", at_s=100.0, low=79.0, high=81.0), (80.0, True)),
        (ValueCheck(signal="spo2_pct", at_s=100.0, low=81.0, high=85.0), (80.0, False)),
        (ValueCheck(signal="spo2_pct", at_s=900.0, low=0.0, high=100.0), (None, False)),
        (ValueCheck(signal="etco2_mmhg", at_s=0.0, low=0.0, high=100.0), (None, False)),
        (_reaches(80.0, 72.0), (100.0, True)),  # 72 s + 40 % = 100.8 s
        (_reaches(80.0, 71.0), (100.0, False)),  # 71 s + 40 % = 99.4 s
        (_reaches(80.0, 166.0), (100.0, True)),  # 166 s - 40 % = 99.6 s
        (_reaches(80.0, 168.0), (100.0, False)),  # 168 s - 40 % = 100.8 s
        (_reaches(40.0, 400.0), (None, False)),
        (_reaches(95.0, 10.0, "rises to"), (None, False)),
    ],
)
def test_says_whether_the_course_keeps_to_the_outline(check: Check, expected: tuple[float | None, bool]) -> None:
    assert _one(check) == [expected]


def test_checks_of_another_course_are_left_out() -> None:
    assert _one(ValueCheck(signal="spo2_pct", at_s=0.0, low=0.0, high=1.0, course="c8-tractor-good")) == []
