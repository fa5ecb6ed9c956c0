"""The rows of the river: one thing about the patient each, truth beside what the crew can see."""

import math
from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drillyard.core.care.problems import Bleeding, Haemothorax, Pneumothorax, Problem
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.session.look_ahead import Ahead, Limit
from drillyard.core.session.run import Run
from drillyard.core.session.tracks import Tracks
from drillyard.service.records import LabSettings
from drillyard.web.messages import LookAhead, NumberView, Threshold, Track
from drillyard.web.units import label_of, mind_text, scale_of, span_of

Values = Mapping[str, float | None]

ALWAYS: Final = (
    "heart_rate_per_min", "systolic_pressure_mmhg", "spo2_pct", "etco2_mmhg", "respiratory_rate_per_min", "gcs_total",
)  # fmt: skip
BESIDE: Final[dict[str, tuple[str, ...]]] = {
    "systolic_pressure_mmhg": ("diastolic_pressure_mmhg", "mean_arterial_pressure_mmhg"),
}
"""Tracks that are drawn in the row of another signal."""
TRACK_S: Final = 1800
"""Seconds of a track that a snapshot brings; a debrief has them all."""
MOVED_BY: Final[dict[str, str]] = {
    "heart rate": "heart_rate_per_min",
    "breathing rate": "respiratory_rate_per_min",
    "breath size": "respiratory_rate_per_min",
    "vascular resistance": "systolic_pressure_mmhg",
    "contractility": "systolic_pressure_mmhg",
    "shunt": "spo2_pct",
    "metabolic rate": "etco2_mmhg",
    "mean pressure": "systolic_pressure_mmhg",
    "oxygen saturation": "spo2_pct",
    "end-tidal carbon dioxide": "etco2_mmhg",
}
"""The row that shows that an effector or an outcome of the body is held."""
RING_ROW: Final[dict[str, str]] = {
    "pulse_rate_per_min": "heart_rate_per_min",
    "spontaneous_rate_per_min": "respiratory_rate_per_min",
    "gcs_eye": "gcs_total",
    "diastolic_pressure_mmhg": "systolic_pressure_mmhg",
}
"""The row in which a finding about another signal is drawn."""


def row_signals(problems: tuple[Problem, ...]) -> tuple[str, ...]:
    """The rows of a case: the same for all, and what this case needs beside them."""
    more = ["blood_lost_ml"] if any(isinstance(problem, Bleeding | Haemothorax) for problem in problems) else []
    more += [f"pleural_air_{problem.side}_ml" for problem in problems if isinstance(problem, Pneumothorax)]
    return (*ALWAYS, *dict.fromkeys(more))


def numbers(run: Run, rows: tuple[str, ...], settings: LabSettings) -> list[NumberView]:
    """Every row as it stands now."""
    signals, shown, held = run.signals(), run.shown(), held_rows(run)
    return [number(row, signals, shown, settings, is_held=row in held) for row in rows]


def held_rows(run: Run) -> set[str]:
    """Rows in which something is held by hand, or on its way back."""
    now = run.t_s
    held = [hold for hold in run.state.holds if hold.released_t_s is None or hold.is_releasing(now)]
    return {row_of_hold(hold.what, display_only=hold.display_only) for hold in held}


def row_of_hold(what: str, *, display_only: bool) -> str:
    """The row in which a held value or effector is seen; empty where there is none."""
    row = what if display_only else MOVED_BY.get(what, "")
    return RING_ROW.get(row, row)


def number(
    signal: str, signals: Mapping[str, float], shown: Values, settings: LabSettings, *, is_held: bool
) -> NumberView:
    """One row."""
    scale, (low, high) = scale_of(signal, settings), span_of(signal)
    text, sub, on_screen = scale.text(signals[signal]), "", _shown_text(signal, shown, settings)
    match signal:
        case "systolic_pressure_mmhg":
            sub = f"mean {scale.text(signals['mean_arterial_pressure_mmhg'])}"
            text = f"{text}/{scale.text(signals['diastolic_pressure_mmhg'])}"
        case "gcs_total":
            sub = f"GCS {signals['gcs_total']:.0f}"
            text = mind_text(signals["gcs_eye"], signals["gcs_verbal"], signals["gcs_motor"])
        case "heart_rate_per_min":
            sub = "" if signals["has_pulse"] > 0.5 else "no pulse"
        case "respiratory_rate_per_min":
            sub = f"{signals['tidal_volume_ml']:.0f} mL a breath" if signals[signal] > 0.5 else "no breath"
        case "blood_lost_ml":
            sub = f"now {signals['bleeding_ml_per_min']:.0f} mL/min"
        case _:
            pass
    return NumberView(
        signal=signal,
        label=label_of(signal),
        system=SIGNALS[signal].system,
        unit=scale.unit,
        value=_value(signals[signal]),
        text=text,
        sub_text=sub,
        shown_text=on_screen,
        low=low,
        high=high,
        is_held=is_held,
    )


def _shown_text(signal: str, shown: Values, settings: LabSettings) -> str | None:
    value = shown.get(signal)
    if value is None:
        return None
    text = scale_of(signal, settings).text(value)
    below = shown.get("diastolic_pressure_mmhg")
    if signal == "systolic_pressure_mmhg" and below is not None:
        return f"{text}/{scale_of(signal, settings).text(below)}"
    return text


# ---- tracks ---------------------------------------------------------------------------------------------------------


def track_signals(rows: tuple[str, ...]) -> list[str]:
    """All signals whose tracks are sent for these rows."""
    return [name for row in rows for name in (row, *BESIDE.get(row, ())) if name in Tracks.names]


def tracks_since(tracks: Tracks, rows: tuple[str, ...], from_s: int, to_s: int) -> list[Track]:
    """True values of the rows' signals for the seconds ``from_s`` up to and without ``to_s``."""
    if to_s <= from_s:
        return []
    return [
        Track(signal=name, t0_s=float(from_s), dt_s=1.0, values=plain(tracks.column(name)[from_s:to_s]))
        for name in track_signals(rows)
    ]


def plain(values: NDArray[np.floating]) -> list[float | None]:
    """Numbers for the wire: two decimals, null where there is none."""
    return [None if math.isnan(value) else round(value, 2) for value in values.tolist()]


def _value(value: float) -> float | None:
    return round(value, 2) if math.isfinite(value) else None


def look_ahead_view(ahead: Ahead, rows: tuple[str, ...], settings: LabSettings) -> LookAhead:
    """A look-ahead as the river draws it."""
    names = [name for name in track_signals(rows) if name in ahead.names]
    tracks = [
        Track(signal=name, t0_s=ahead.from_s, dt_s=ahead.dt_s, values=plain(ahead.column(name))) for name in names
    ]
    thresholds = [
        Threshold(
            signal=row_of_limit(crossing.limit.signal),
            t_s=crossing.t_s,
            text=limit_text(crossing.limit, settings),
        )
        for crossing in ahead.crossings
    ]
    return LookAhead(from_s=ahead.from_s, tracks=tracks, thresholds=thresholds)


def limit_text(limit: Limit, settings: LabSettings) -> str:
    """A limit in words, in the lab's unit where the words name one."""
    unit, scale = SIGNALS[limit.signal].unit, scale_of(limit.signal, settings)
    if unit in ("1", scale.unit) or unit not in limit.text:
        return limit.text
    way = "below" if limit.way == "falls below" else "above"
    return f"{label_of(limit.signal).lower()} {way} {scale.text(limit.value)} {scale.unit}"


_LIMIT_ROW: Final[dict[str, str]] = {
    "pulse_radial_frac": "systolic_pressure_mmhg",
    "is_breathing": "respiratory_rate_per_min",
    "has_pulse": "heart_rate_per_min",
    "is_alive": "gcs_total",
}


def row_of_limit(signal: str) -> str:
    """The row in which the crossing of a limit is written."""
    return _LIMIT_ROW.get(signal, signal)
