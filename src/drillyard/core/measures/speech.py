"""Measures of the radio report: how long, and what was in it."""

import re
from functools import cache
from typing import Final

from drillyard.core.measures.record import Record
from drillyard.core.measures.result import (
    MINUTE_S,
    Definition,
    MeasureResult,
    cannot_say,
    interval,
    not_applicable,
    result_of,
    time_result,
)

LENGTH = Definition(
    id=18,
    title="Report length",
    definition="report ended minus report started",
    unit="s",
    target="at most 1:00",
    source="trade teaching on radio reports: one minute or less (lightssirensactionems.com), about 30 s (ems1.com)",
    source_kind="S",
)
CONTENT = Definition(
    id=19,
    title="Report content",
    definition="required items that a report item named, over all required items",
    unit="%",
    target="at least 90 %",
    source="items after Sacramento County EMS Agency policy 2525.02 and ASTM F2076; share: local teaching choice",
    source_kind="L",
)

REQUIRED: Final[dict[str, str]] = {
    "unit": "unit, medic, crew, ambulance",
    "time to arrival": "eta, arriv*, minutes out, min out",
    "age and sex": "year*, yo, male, female, man, woman",
    "complaint or mechanism": "complain*, mechanism, found, fell, roll*, crash*, overdose*, opioid*, collaps*, took, "
    "trapped, injur*, trauma",
    "mental state": "gcs, alert, conscious, unconscious, unresponsive, respond*, mental, awake, drowsy, mind",
    "vital signs": "bp, pressure, pulse, heart rate, hr, sats, spo2, etco2, rr, resp*, breathing",
    "key findings": "pupil*, wound*, bleed*, chest, breath sound*, skin, exam, finding*, thigh, pale, glucose, sugar",
    "treatment": "given, gave, treat*, tourniquet, tq, decompress*, needle*, bag*, oxygen, naloxone, mg, mcg, txa, "
    "tranexamic, fluid*, crystalloid, iv",
    "request or alert": "request*, trauma alert, pre-alert, we need, needs, ready, activate, standby",
}
"""Items of a radio report and the words by which an entry is taken to name them ("*": any ending).  The items are
published, the words are our choice."""


@cache
def _pattern(item: str) -> re.Pattern[str]:
    words = [re.escape(word.strip()).replace(r"\*", r"\w*") for word in REQUIRED[item].split(",")]
    return re.compile(rf"\b(?:{'|'.join(words)})\b", re.IGNORECASE)


def report_length(record: Record) -> MeasureResult:
    """T(report ended) - T(report started)."""
    started = next((moment for moment, _ in record.said("report started")), None)
    if started is None:
        return not_applicable(LENGTH, "no report was started")
    ended = next((moment for moment, _ in record.said("report ended") if moment.t_s >= started.t_s), None)
    return time_result(LENGTH, interval(started, ended, record.end), MINUTE_S)


def report_content(record: Record) -> MeasureResult:
    """Share of the required items named."""
    items = record.said("report item")
    if not items and not record.said("report started"):
        return not_applicable(CONTENT, "no report was started")
    if not items:
        return cannot_say(CONTENT, "a report was given, but none of its items was entered")
    named = {item for item in REQUIRED if any(_pattern(item).search(text) for _, text in items)}
    missing = [item for item in REQUIRED if item not in named]
    share_pct = 100.0 * len(named) / len(REQUIRED)
    return result_of(
        CONTENT,
        value=share_pct,
        uncertainty=0.0,
        status="met" if share_pct >= 90.0 else "not met",
        text=f"{share_pct:.0f} % ({len(named)} of {len(REQUIRED)})",
        note=f"not named: {', '.join(missing)}" if missing else "",
        seqs=tuple(moment.seq for moment, _ in items),
        t_s=items[0][0].t_s,
    )
