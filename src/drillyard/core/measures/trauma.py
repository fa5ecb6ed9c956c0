"""Measures of injury: bleeding stopped, tranexamic acid, scene time, decompression."""

from typing import Final

from drillyard.core.care import actions as care
from drillyard.core.care.problems import Bleeding, Pneumothorax
from drillyard.core.measures.drugs import same_place
from drillyard.core.measures.general import NO_ZERO, scene_time
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

THREE_HOURS_S: Final = 3 * 3600.0

STOPPED = Definition(
    id=59,
    title="Bleeding stopped",
    definition="tourniquet, packing or pressure on every wound that can be seen; last of their first times minus at "
    "patient",
    unit="s",
    target="at most 1:00",
    source="local teaching choice, from memory",
    source_kind="L",
)
TXA = Definition(
    id=60,
    title="Tranexamic acid in time",
    definition="first tranexamic acid minus injury",
    unit="s",
    target="under 3 h, the sooner the better",
    source="NICE guideline NG39, major trauma: initial assessment and management (2016)",
    source_kind="S",
)
TRAUMA_SCENE = Definition(
    id=61,
    title="Trauma scene time",
    definition="leaving scene minus on scene",
    unit="s",
    target="at most 10:00",
    source="local teaching choice, from memory",
    source_kind="L",
)
DECOMPRESSED = Definition(
    id=62,
    title="Tension relieved",
    definition="first needle on the side of the injury minus recognition (first breath sound, percussion, chest rise, "
    "windpipe or neck veins obtained, or tension said aloud); site 4th or 5th space, anterior to mid axillary (adult)",
    unit="s",
    target="at most 2:00, side of the injury, 4th or 5th space",
    source="site: American College of Surgeons, trauma course manual, 10th edition (2018), seen in summaries only; "
    "time: local teaching choice, from memory",
    source_kind="S",
)


def bleeding_stopped(record: Record) -> MeasureResult:
    """Last of the wounds' first control - PT."""
    zero = record.zero
    if zero is None:
        return cannot_say(STOPPED, NO_ZERO)
    wounds = [problem for problem in record.problems(Bleeding) if not problem.hidden]
    if not wounds:
        return not_applicable(STOPPED, "the case has no bleeding that can be seen")
    firsts: list[Moment] = []
    missing: list[str] = []
    for site in dict.fromkeys(wound.site for wound in wounds):
        first = next((m for m, action in record.care(care.ControlBleeding) if same_place(action.site, site)), None)
        if first is None:
            missing.append(site)
        else:
            firsts.append(first)
    last = max(firsts, key=lambda moment: moment.t_s) if not missing else None
    return time_result(
        STOPPED,
        interval(zero, last, record.end),
        MINUTE_S,
        f"nothing on the {', '.join(missing)}" if missing else "",
    )


def tranexamic_in_time(record: Record) -> MeasureResult:
    """T(tranexamic acid) - injury, the injury being the start of the first bleeding."""
    wounds = record.problems(Bleeding)
    if not wounds:
        return not_applicable(TXA, "the case has no bleeding")
    injury = Moment(min(wound.start_s for wound in wounds), 0.0)
    first = next((moment for moment, _ in record.drugs("tranexamic acid")), None)
    return time_result(TXA, interval(injury, first, record.end, of_patient=True), THREE_HOURS_S)


def trauma_scene_time(record: Record) -> MeasureResult:
    """Measure 14 against ten minutes."""
    plain = scene_time(record)
    if plain.value is None or plain.uncertainty is None:
        return cannot_say(TRAUMA_SCENE, plain.note)
    found = Interval(plain.value, plain.uncertainty, plain.is_censored, plain.seqs, plain.t_s)
    return time_result(TRAUMA_SCENE, found, 10 * MINUTE_S)


def decompressed(record: Record) -> MeasureResult:
    """T(needle on the right side) - REC, with side and site."""
    chests = [problem for problem in record.problems(Pneumothorax) if problem.valve]
    if not chests:
        return not_applicable(DECOMPRESSED, "the case has no tension pneumothorax")
    side = chests[0].side
    needles = list(record.care(care.DecompressChest))
    wrong = [moment for moment, action in needles if action.side != side]
    right = next(((moment, action) for moment, action in needles if action.side == side), None)
    note = [f"{len(wrong)} on the wrong side"] if wrong else []
    seen = _recognised(record, side)
    if seen is None:
        why = "no sign of it on that chest was obtained and nothing was said, so recognition has no time"
        if right is None:
            return result_of(
                DECOMPRESSED, status="not met", text="no needle on that side", note="; ".join([*note, why])
            )
        return cannot_say(DECOMPRESSED, "; ".join([*note, why]), (right[0].seq,))
    found = interval(seen, right[0] if right else None, record.end)
    status = found.status(2 * MINUTE_S)
    if right is not None:
        is_site = right[1].space in (4, 5) and right[1].line in ("anterior axillary", "mid axillary")
        note.append(f"{right[1].space}th space, {right[1].line}" if right[1].space > 3 else f"space {right[1].space}")
        if not is_site:
            note.append("site outside the target")
            status = "not met"
    if wrong and (right is None or wrong[0].t_s < right[0].t_s):
        status = "not met"
    onset = Moment(chests[0].start_s, 0.0)
    note.append(
        f"from onset {clock(interval(onset, right[0] if right else None, record.end, of_patient=True).value_s)}"
    )
    timed = time_result(DECOMPRESSED, found, None)
    return result_of(
        DECOMPRESSED, value=timed.value, uncertainty=timed.uncertainty, status=status, text=timed.text,
        is_censored=timed.is_censored, note="; ".join(note),
        seqs=(*timed.seqs, *(moment.seq for moment in wrong)), t_s=timed.t_s,
    )  # fmt: skip


def _recognised(record: Record, side: str) -> Moment | None:
    """REC: the first sign obtained, or the word said aloud, whichever came first."""
    signs = record.obtained(
        (f"{side} breath sound", f"percussion {side}", f"chest rise {side}", "windpipe", "neck veins")
    )
    said = [
        moment
        for what in ("call-out", "order", "report item")
        for moment, text in record.said(what)
        if "tension" in text.lower() or "pneumothorax" in text.lower() or "decompress" in text.lower()
    ]
    moments = [moment for moment, _ in signs] + said
    return min(moments, key=lambda moment: moment.t_s) if moments else None
