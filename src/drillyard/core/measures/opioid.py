"""Measures of opioid cases: breaths before naloxone, glucose in an altered mind."""

from drillyard.core.care import actions as care
from drillyard.core.measures.general import NO_ZERO
from drillyard.core.measures.record import Record
from drillyard.core.measures.result import (
    MINUTE_S,
    Definition,
    MeasureResult,
    cannot_say,
    interval,
    result_of,
    time_result,
)

VENTILATE_FIRST = Definition(
    id=51,
    title="Ventilated before naloxone",
    definition="first breaths by bag before the first naloxone, and at most 1 min after at patient",
    unit="s",
    target="before naloxone and at most 1:00",
    source="local teaching choice, from memory",
    source_kind="L",
)
GLUCOSE = Definition(
    id=53,
    title="Glucose measured in an altered mind",
    definition="first glucose obtained minus at patient",
    unit="s",
    target="at most 5:00",
    source="local teaching choice, from memory",
    source_kind="L",
)


def ventilate_first(record: Record) -> MeasureResult:
    """T(bag) < T(naloxone) and T(bag) - PT <= 60 s."""
    zero = record.zero
    if zero is None:
        return cannot_say(VENTILATE_FIRST, NO_ZERO)
    bag = record.first(care.Ventilate)
    naloxone = next((moment for moment, _ in record.drugs("naloxone")), None)
    found = interval(zero, bag, record.end)
    status = found.status(MINUTE_S)
    note = "no naloxone was given"
    if naloxone is not None:
        lead = interval(bag, naloxone, record.end) if bag is not None else None
        if lead is None or lead.value_s < -lead.u_s:
            status, note = "not met", "naloxone came first" if bag else "naloxone without breaths by bag"
        elif lead.value_s <= lead.u_s:
            status = "not met" if status == "not met" else "cannot say"
            note = "breaths and naloxone at about the same time"
        else:
            note = f"breaths {lead.value_s:.0f} s before naloxone"
    timed = time_result(VENTILATE_FIRST, found, MINUTE_S, note)
    seqs = (*found.seqs, *((naloxone.seq,) if naloxone else ()))
    return result_of(
        VENTILATE_FIRST, value=timed.value, uncertainty=timed.uncertainty, status=status, text=timed.text,
        is_censored=timed.is_censored, note=note, seqs=seqs, t_s=timed.t_s,
    )  # fmt: skip


def glucose_measured(record: Record) -> MeasureResult:
    """T(glucose obtained) - PT."""
    zero = record.zero
    if zero is None:
        return cannot_say(GLUCOSE, NO_ZERO)
    first = next((moment for moment, _ in record.obtained(["glucose"])), None)
    return time_result(GLUCOSE, interval(zero, first, record.end), 5 * MINUTE_S)
