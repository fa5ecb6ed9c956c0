"""Measures for every case: first look, survey, vital sets, reassessment, times on scene, leader."""

from typing import Final

from drillyard.core.care import actions as care
from drillyard.core.measures.observed import Observed
from drillyard.core.measures.record import Record
from drillyard.core.measures.result import (
    MINUTE_S,
    Definition,
    Interval,
    MeasureResult,
    Moment,
    cannot_say,
    clock,
    interval,
    not_applicable,
    result_of,
    time_result,
)

NO_ZERO: Final = "the phase 'at patient' was not entered, so there is no zero to count from"

SURVEY_FINDINGS: Final[dict[str, tuple[str, ...]]] = {
    "airway": ("airway noise", "speech"),
    "breathing": (
        "breathing", "work of breathing", "chest rise left", "chest rise right", "left breath sound",
        "right breath sound",
    ),
    "circulation": (
        "radial pulse", "femoral pulse", "carotid pulse", "pulse rate", "capillary refill", "skin", "skin colour",
        "bleeding seen", "pressure",
    ),
    "mind": ("mind", "pupils"),
    "exposure": ("wound", "needle mark", "skin patch", "rash"),
}  # fmt: skip
"""Looks that count as a part of the survey where the part itself was not entered (our choice)."""

FIRST_LOOK = Definition(
    id=1,
    title="Time to first look",
    definition="first examination or part of the survey, minus at patient",
    unit="s",
    target="at most 30 s",
    source="local teaching choice, from memory",
    source_kind="L",
)
SURVEY = Definition(
    id=2,
    title="Primary survey complete",
    definition="airway, breathing, circulation, mind and exposure all looked at; last of them minus at patient",
    unit="s",
    target="at most 2:00",
    source="local teaching choice, from memory",
    source_kind="L",
)
FIRST_SET = Definition(
    id=3,
    title="First full vital set",
    definition="heart rate, pressure, breathing rate, SpO2 and mind all observed; last of them minus at patient",
    unit="s",
    target="at most 5:00",
    source="local teaching choice, from memory",
    source_kind="L",
)
BOTH_BREATHING = Definition(
    id=4,
    title="SpO2 and breathing rate both observed",
    definition="both observed at least once after at patient: yes or no",
    unit="yes/no",
    target="yes",
    source="idea after National EMS Quality Alliance, paediatric respiratory measure (eVitals.12 with eVitals.14); "
    "definition our own",
    source_kind="S",
)
SET_INTERVAL = Definition(
    id=5,
    title="Vital-set interval",
    definition="longest time from one full vital set to the next, the last one counted to the end of the run",
    unit="s",
    target="at most 5:00 while unstable, 15:00 while stable",
    source="local teaching choice, from memory",
    source_kind="L",
)
REASSESS = Definition(
    id=6,
    title="Reassessed after treatment",
    definition="for each drug, fluid or procedure the time to the next look, feel, listen or cuff reading that bears "
    "on it; the longest of them (a number merely standing on the monitor does not count)",
    unit="s",
    target="at most 5:00",
    source="local teaching choice, from memory",
    source_kind="L",
)
SCENE = Definition(
    id=14,
    title="Scene time",
    definition="leaving scene minus on scene (eTimes.09 - eTimes.06)",
    unit="s",
    target="by case",
    source="element names: NEMSIS data dictionary v3.5.0, eTimes",
    source_kind="S",
)
LEADER = Definition(
    id=17,
    title="Leader named",
    definition="first time somebody is named as leader, minus at patient",
    unit="s",
    target="at most 1:00",
    source="local teaching choice, from memory",
    source_kind="L",
)

UNSTABLE_BELOW: Final = {"systolic_pressure_mmhg": 90.0, "spo2_pct": 90.0, "gcs_total": 13.0}
"""Observed values below these make the patient unstable for measure 5 (our choice, from memory)."""


def first_look(record: Record) -> MeasureResult:
    """T(first assessment) - PT."""
    zero = record.zero
    if zero is None:
        return cannot_say(FIRST_LOOK, NO_ZERO)
    first = next((moment for moment, _ in record.looks()), None)
    return time_result(FIRST_LOOK, interval(zero, first, record.end), 30.0)


def primary_survey(record: Record) -> MeasureResult:
    """Last of the five parts' first times - PT."""
    zero = record.zero
    if zero is None:
        return cannot_say(SURVEY, NO_ZERO)
    firsts: dict[str, Moment | None] = {part: _first_part(record, part) for part in SURVEY_FINDINGS}
    done = [moment for moment in firsts.values() if moment is not None]
    missing = [part for part, moment in firsts.items() if moment is None]
    last = max(done, key=lambda moment: moment.t_s) if not missing else None
    note = f"not seen: {', '.join(missing)}" if missing else ""
    found = interval(zero, last, record.end)
    seqs = tuple(dict.fromkeys((zero.seq, *(moment.seq for moment in done))))
    return time_result(SURVEY, Interval(found.value_s, found.u_s, found.is_open, seqs, found.t_s), 120.0, note)


def _first_part(record: Record, part: str) -> Moment | None:
    wanted = SURVEY_FINDINGS[part]
    for moment, action in record.looks():
        is_part = isinstance(action, care.Survey) and action.part == part
        if is_part or (isinstance(action, care.Examine) and action.finding in wanted):
            return moment
    return None


def first_full_set(record: Record) -> MeasureResult:
    """T(all five observed) - PT."""
    zero = record.zero
    if zero is None:
        return cannot_say(FIRST_SET, NO_ZERO)
    observed = Observed(record)
    complete = observed.next_set(zero.t_s)
    missing = observed.missing(zero.t_s)
    note = f"not observed: {', '.join(missing)}" if missing else ""
    return time_result(FIRST_SET, interval(zero, complete, record.end), 300.0, note)


def both_breathing(record: Record) -> MeasureResult:
    """SpO2 and breathing rate both present."""
    zero = record.zero
    if zero is None:
        return cannot_say(BOTH_BREATHING, NO_ZERO)
    observed = Observed(record)
    found = {vital: observed.next(vital, zero.t_s) for vital in ("oxygen", "breathing")}
    missing = [{"oxygen": "SpO2", "breathing": "breathing rate"}[vital] for vital, at in found.items() if at is None]
    return result_of(
        BOTH_BREATHING,
        value=0.0 if missing else 1.0,
        status="not met" if missing else "met",
        text="no" if missing else "yes",
        note=f"not observed: {', '.join(missing)}" if missing else "",
        seqs=tuple(at.seq for at in found.values() if at is not None and at.seq),
    )


def vital_set_interval(record: Record) -> MeasureResult:
    """Longest gap between full sets; the gap still open at the end is a lower bound."""
    zero = record.zero
    if zero is None:
        return cannot_say(SET_INTERVAL, NO_ZERO)
    observed = Observed(record)
    sets: list[Moment] = []
    at = observed.next_set(zero.t_s)
    while at is not None and at.t_s <= record.end.t_s:
        sets.append(at)
        at = observed.next_set(at.t_s)
    if not sets:
        return cannot_say(SET_INTERVAL, "there was no full vital set")
    gaps = [interval(sets[k], sets[k + 1], record.end) for k in range(len(sets) - 1)]
    gaps.append(interval(sets[-1], None, record.end))
    longest = max(gaps, key=lambda gap: gap.value_s)
    unstable = _unstable_signs(record)
    most_s = 300.0 if unstable else 900.0
    state = f"unstable ({', '.join(unstable)})" if unstable else "stable by what was observed"
    found = "met" if longest.is_open and longest.value_s + longest.u_s <= most_s else longest.status(most_s)
    return result_of(
        SET_INTERVAL,
        value=longest.value_s,
        uncertainty=longest.u_s,
        status=found,
        text=f"{'> ' if longest.is_open else ''}{clock(longest.value_s)}",
        is_censored=longest.is_open,
        note=f"{len(sets)} full sets; {state}",
        seqs=longest.seqs,
        t_s=longest.t_s,
    )


def _unstable_signs(record: Record) -> list[str]:
    """Observed values that say unstable: of the screens and of what was obtained, never of the body."""
    signs = []
    low = UNSTABLE_BELOW
    pressures = [body.value for _, body in record.obtained(["pressure"]) if body.value is not None]
    if any(value < low["systolic_pressure_mmhg"] for value in pressures):
        signs.append("systolic pressure below 90")
    shown = record.tracks.shown_column("spo2_pct")
    got = [body.value for _, body in record.obtained(["SpO2"]) if body.value is not None]
    if bool((shown < low["spo2_pct"]).any()) or any(value < low["spo2_pct"] for value in got):
        signs.append("SpO2 below 90")
    minds = [body.value for _, body in record.obtained(["mind"]) if body.value is not None]
    if any(value < low["gcs_total"] for value in minds):
        signs.append("coma scale below 13")
    return signs


PULSES: Final = ("radial pulse", "femoral pulse", "carotid pulse", "pulse rate")
BREATHING: Final = (
    "breathing", "work of breathing", "chest rise left", "chest rise right", "left breath sound",
    "right breath sound", "SpO2", "exhaled CO2",
)  # fmt: skip
BEARS_ON: Final[dict[type, tuple[str, ...]]] = {
    care.GiveDrug: ("pressure", "breathing", "mind", "SpO2", "heart rate", *PULSES),
    care.StartFluid: ("pressure", "capillary refill", "skin", "skin colour", *PULSES),
    care.GiveOxygen: BREATHING,
    care.PlaceAirway: ("airway noise", *BREATHING),
    care.Ventilate: ("airway noise", *BREATHING),
    care.SetVentilator: ("pressure", *BREATHING),
    care.ControlBleeding: ("bleeding seen", "wound", "pressure", *PULSES),
    care.DecompressChest: ("hiss of air", "windpipe", "neck veins", "pressure", *BREATHING, *PULSES),
    care.InsertChestTube: ("windpipe", "neck veins", "pressure", *BREATHING, *PULSES),
    care.SealChest: ("wound", *BREATHING),
}
"""Which findings bear on a treatment (our choice)."""


def reassessed(record: Record) -> MeasureResult:
    """Longest time from a treatment to the next finding obtained that bears on it."""
    gaps: list[tuple[Interval, str]] = []
    for moment, action in record.care(*BEARS_ON):
        wanted = BEARS_ON[type(action)]
        after = next((at for at, _ in record.obtained(wanted) if at.t_s > moment.t_s), None)
        gaps.append((interval(moment, after, record.end), action.kind))
    if not gaps:
        return not_applicable(REASSESS, "no treatment was given")
    longest, kind = max(gaps, key=lambda row: row[0].value_s)
    n_open = sum(gap.is_open for gap, _ in gaps)
    note = f"longest after '{kind}'; {len(gaps)} treatments"
    note += f", {n_open} of them not looked at again before the end" if n_open else ""
    statuses = {gap.status(300.0) for gap, _ in gaps}
    result = time_result(REASSESS, longest, 300.0, note)
    if "not met" in statuses or "cannot say" not in statuses or result.status == "cannot say":
        return result
    return result_of(
        REASSESS, value=longest.value_s, uncertainty=longest.u_s, status="cannot say", text=result.text,
        is_censored=longest.is_open, note=note, seqs=longest.seqs, t_s=longest.t_s,
    )  # fmt: skip


def scene_time(record: Record) -> MeasureResult:
    """Leaving scene - on scene."""
    start = record.phase("on scene")
    if start is None:
        return cannot_say(SCENE, "the phase 'on scene' was not entered")
    return time_result(SCENE, interval(start, record.phase("leaving scene"), record.end, of_patient=True), None)


def leader_named(record: Record) -> MeasureResult:
    """T(role) - PT."""
    zero = record.zero
    if zero is None:
        return cannot_say(LEADER, NO_ZERO)
    first = next((moment for moment, _ in record.said("leader named")), None)
    return time_result(LEADER, interval(zero, first, record.end), MINUTE_S)
