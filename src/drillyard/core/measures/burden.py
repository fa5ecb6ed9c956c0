"""Burdens: how long and how deep the patient was short of oxygen or pressure.

They read the body and say so: patient, not crew.
"""

from math import hypot

import numpy as np

from drillyard.core.measures.general import NO_ZERO
from drillyard.core.measures.record import TRACK_U_S, Record
from drillyard.core.measures.result import MINUTE_S, Definition, MeasureResult, cannot_say, clock, result_of

SPO2_LIMIT_PCT = 90.0
SBP_LIMIT_MMHG = 90.0
MAP_LIMIT_MMHG = 65.0

HYPOXIA = Definition(
    id=12,
    title="Hypoxia burden",
    definition="integral of max(0, 90 - arterial saturation) dt / 60 from at patient to the end; and time below 90 %",
    unit="%.min",
    target="0",
    source="local teaching choice, limit 90 % from memory",
    source_kind="L",
    is_patient_not_crew=True,
)
LOW_PRESSURE = Definition(
    id=13,
    title="Low-pressure burden",
    definition="time from at patient to the end with systolic pressure below 90 mmHg or mean pressure below 65 mmHg",
    unit="min",
    target="as short as can be",
    source="mean pressure 65 mmHg: surviving sepsis adult guideline as in Scand J Trauma Resusc Emerg Med 2019;27:22 "
    "(doi 10.1186/s13049-019-0596-4), table 4; systolic 90 mmHg from memory",
    source_kind="S",
    is_patient_not_crew=True,
)


def hypoxia(record: Record) -> MeasureResult:
    """Integral of the shortfall below 90 % in %.min, by the trapezoid rule over values one a second.

    Its uncertainty is that of the two ends: the shortfall there times the time uncertainty.
    """
    zero = record.zero
    if zero is None:
        return cannot_say(HYPOXIA, NO_ZERO)
    short = np.maximum(0.0, SPO2_LIMIT_PCT - record.true_from_zero("sao2_pct"))
    if not len(short):
        return cannot_say(HYPOXIA, "there are no tracks after at patient")
    burden = float(np.trapezoid(short)) / MINUTE_S
    below_s = int((short > 0.0).sum())
    u = hypot(float(short[0]) * zero.u_s, float(short[-1]) * record.end.u_s) / MINUTE_S
    return result_of(
        HYPOXIA,
        value=burden,
        uncertainty=u,
        status="met" if burden == 0.0 else "not met",
        text=f"{burden:.1f} %.min, {clock(below_s)} below 90 %",
        seqs=(zero.seq,),
        t_s=zero.t_s + int(np.argmax(short)),
    )


def low_pressure(record: Record) -> MeasureResult:
    """Minutes with systolic pressure < 90 or mean pressure < 65 mmHg."""
    zero = record.zero
    if zero is None:
        return cannot_say(LOW_PRESSURE, NO_ZERO)
    systolic = record.true_from_zero("systolic_pressure_mmhg")
    mean = record.true_from_zero("mean_arterial_pressure_mmhg")
    is_low = (systolic < SBP_LIMIT_MMHG) | (mean < MAP_LIMIT_MMHG)
    if not len(is_low):
        return cannot_say(LOW_PRESSURE, "there are no tracks after at patient")
    low_s = float(is_low.sum())
    crossings = int(np.abs(np.diff(is_low.astype(int))).sum())
    ends = [zero.u_s if is_low[0] else 0.0, record.end.u_s if is_low[-1] else 0.0]
    u_s = hypot(*ends, *([TRACK_U_S] * crossings))
    return result_of(
        LOW_PRESSURE,
        value=low_s / MINUTE_S,
        uncertainty=u_s / MINUTE_S,
        status="no target",
        text=clock(low_s),
        note=f"lowest mean pressure {float(np.min(mean)):.0f} mmHg",
        seqs=(zero.seq,),
        t_s=zero.t_s + int(np.argmin(mean)),
    )
