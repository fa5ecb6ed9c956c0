"""Faults of a manikin profile."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from drillyard.core.manikin.profile import FindingShown, Limit, Profile
from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.scenario.check_conditions import Known, procedure_known, unknown_finding, unknown_procedure
from drillyard.core.signals.findings import FINDINGS, Finding


def check_profile(profile: Profile, known: Known) -> list[Fault]:
    """Every fault of a profile, each with the path of its field."""
    return [*_finding_faults(profile), *_procedure_faults(profile, known), *_fault_faults(profile, known)]


def _error(code: str, said: str, field: str, remedy: str = "", **more: Any) -> Fault:
    return Fault(code=code, said=said, place=Place(field=field), remedy=remedy, **more)


def _finding_faults(profile: Profile) -> Iterator[Fault]:
    seen: set[str] = set()
    for i, row in enumerate(profile.findings):
        field = f"findings[{i}]"
        finding = FINDINGS.get(row.finding)
        if finding is None:
            yield unknown_finding(row.finding, f"{field}.finding")
            continue
        if row.finding in seen:
            yield _error("name twice", f"'{row.finding}' stands twice", f"{field}.finding", "keep one of them")
        seen.add(row.finding)
        if row.shows in ("partly", "not shown") and not row.work_around:
            said = f"'{row.finding}' is {row.shows}, and no work-around is named"
            yield _error("no work-around", said, field, "say how it is supplied instead", is_warning=True)
        yield from _control_faults(row, finding, field)


def _control_faults(row: FindingShown, finding: Finding, field: str) -> Iterator[Fault]:
    """Positions of the control by which a finding is set."""
    if row.shows == "shown" and row.set_by == "hand" and not row.steps and row.step_size <= 0.0:
        said = f"'{row.finding}' is set by hand, and neither steps nor a step size is given"
        yield _error("no steps", said, field, "list the positions of its control")
    if row.steps and row.step_size > 0.0:
        yield _error("no steps", f"'{row.finding}' has both steps and a step size", field, "keep one of them")
    if row.step_size > 0.0 and row.low >= row.high:
        yield _error("out of range", f"'{row.finding}': low is not below high", field, "give low and high of the dial")
    settings = [step.setting for step in row.steps]
    if len(set(settings)) < len(settings):
        yield _error("name twice", f"'{row.finding}' has two steps of one name", f"{field}.steps", "rename one")
    if any(a.level >= b.level for a, b in pairwise(row.steps)):
        yield _error("order", f"the steps of '{row.finding}' do not rise", f"{field}.steps", "sort them by level")
    for j, step in enumerate(row.steps):
        if not finding.level_low <= step.level <= finding.level_high:
            said = f"'{row.finding}': level {step.level:g} of '{step.setting}'"
            allowed = f"{finding.level_low:g} to {finding.level_high:g} {finding.level_unit}"
            yield _error("out of range", said, f"{field}.steps[{j}].level", allowed=allowed)


def _procedure_faults(profile: Profile, known: Known) -> Iterator[Fault]:
    seen: set[tuple[str, str]] = set()
    parts = {part.name for part in profile.wear_parts}
    for i, row in enumerate(profile.procedures):
        field = f"procedures[{i}]"
        if not procedure_known(row.procedure, known):
            yield unknown_procedure(row.procedure, f"{field}.procedure", known)
        if (row.procedure, row.site) in seen:
            said = f"'{row.procedure}' at '{row.site or 'any site'}' stands twice"
            yield _error("name twice", said, f"{field}.procedure", "keep one of them")
        seen.add((row.procedure, row.site))
        if row.wears and row.wears not in parts:
            said = f"'{row.procedure}' wears '{row.wears}', which is not among the wear parts"
            yield _error("unknown part", said, f"{field}.wears", allowed=", ".join(sorted(parts)))
        yield from _limit_faults(row.limit, row.procedure, f"{field}.limit")
        if row.procedure.split()[0] == "shock" and row.how != "forbidden" and row.limit.energy_high_j is None:
            said = "live shocks are allowed without a highest energy"
            yield _error("no limit", said, field, "take it from the manikin's own papers; forbid shocks until then")


def _limit_faults(limit: Limit, procedure: str, field: str) -> Iterator[Fault]:
    thick, thin = limit.gauge_thickest, limit.gauge_thinnest
    if thick is not None and thin is not None and thick > thin:
        said = f"'{procedure}': the thickest needle ({thick} gauge) is thinner than the thinnest ({thin} gauge)"
        yield _error("order", said, field, "a bigger gauge number is a thinner needle; swap them")
    low, high = limit.size_low_mm, limit.size_high_mm
    if low is not None and high is not None and low > high:
        yield _error("order", f"'{procedure}': size {low:g} mm is above {high:g} mm", field, "swap low and high")
    numbers = (high, limit.depth_high_cm, limit.energy_high_j, limit.volume_high_ml, limit.rate_high_per_min)
    if any(number is not None and number <= 0.0 for number in numbers):
        yield _error("out of range", f"'{procedure}': a limit of 0 or less", field, "forbid the procedure instead")


def _fault_faults(profile: Profile, known: Known) -> Iterator[Fault]:
    listed = {row.finding for row in profile.findings}
    procedures = {row.procedure for row in profile.procedures}
    for i, fault in enumerate(profile.faults):
        for j, name in enumerate(fault.findings):
            if name not in FINDINGS:
                yield unknown_finding(name, f"faults[{i}].findings[{j}]")
            elif name not in listed:
                said = f"'{name}' is broken, and the profile does not say how it is shown when whole"
                yield _error("not listed", said, f"faults[{i}].findings[{j}]", "add it to findings", is_warning=True)
        for j, words in enumerate(fault.procedures):
            if words not in procedures:
                yield unknown_procedure(words, f"faults[{i}].procedures[{j}]", known)
