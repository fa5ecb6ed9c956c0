"""Outline numbers held against a course that the body computed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from drillyard.core.scenario.model import Check, Scenario, ValueCheck


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """What came of one check.  ``got`` is the value, or the time in s; ``None`` if it was never reached or there is no
    track.  ``text`` is one sentence."""

    check: Check
    got: float | None
    is_met: bool
    text: str


def compare(scenario: Scenario, tracks: Mapping[str, Sequence[float]], course: str = "untreated") -> list[CheckResult]:
    """Every check of one course.

    Args:
        scenario: the plan.
        tracks: for each signal its values at whole seconds from time zero.
        course: "untreated", or the name of the crew script that made the tracks.
    """
    results = [_result(check, tracks.get(check.signal, ())) for check in scenario.checks if check.course == course]
    return [_with_explanation(result) for result in results]


def _with_explanation(result: CheckResult) -> CheckResult:
    """An unmet check says why the body departs from the outline, if its author does."""
    if result.is_met or not result.check.explained:
        return result
    return replace(result, text=f"{result.text}; {result.check.explained}")


def _result(check: Check, values: Sequence[float]) -> CheckResult:
    if isinstance(check, ValueCheck):
        second = round(check.at_s)
        got = float(values[second]) if second < len(values) else None
        is_met = got is not None and check.low <= got <= check.high
        wanted = f"{check.low:g} to {check.high:g} at {check.at_s:g} s"
        found = "no track" if got is None else f"{got:.3g}"
        return CheckResult(check=check, got=got, is_met=is_met, text=f"{check.signal}: {found} (outline {wanted})")
    falls = check.way == "falls to"
    reached = (i for i, value in enumerate(values) if (value <= check.value if falls else value >= check.value))
    at_s = next((float(i) for i in reached), None)
    low_s, high_s = check.at_s * (1.0 - check.within_frac), check.at_s * (1.0 + check.within_frac)
    is_met = at_s is not None and low_s <= at_s <= high_s
    found = f"not within {len(values)} s" if at_s is None else f"at {at_s:.0f} s"
    text = f"{check.signal} {check.way} {check.value:g} {found} (outline {check.at_s:g} s, {low_s:g} to {high_s:g} s)"
    return CheckResult(check=check, got=at_s, is_met=is_met, text=text)
