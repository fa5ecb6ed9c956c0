"""What is held by hand, and what may be: effectors, outcomes by a named cause, and values on the room monitor."""

import math
from typing import Final

from drillyard.core.body.body import EFFECTORS
from drillyard.core.body.outcomes import OUTCOMES, doing
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.session.run import Run
from drillyard.core.session.state import HoldState
from drillyard.web.messages import HoldableView, HoldCause, HoldView
from drillyard.web.units import label_of, unit_printed

_SHARES: Final[dict[str, str]] = {
    "vascular resistance": "× at rest",
    "contractility": "× at rest",
    "metabolic rate": "× at rest",
    "shunt": "of the flow",
}
"""What the share of a held effector is a share of; the other effectors have a unit."""
_MOVES: Final[dict[str, str]] = {
    "heart rate": "heart_rate_per_min",
    "breathing rate": "respiratory_rate_per_min",
    "breath size": "tidal_volume_ml",
}
"""Effectors that a signal shows as they are; a hold of the others starts from ``_START``."""
_START: Final[dict[str, float]] = {
    "vascular resistance": 1.0,
    "contractility": 1.0,
    "metabolic rate": 1.0,
    "shunt": 0.03,
}
"""As the body's controls start (core/body/controls.py)."""


def hold_views(run: Run) -> list[HoldView]:
    """What is held by hand now, or on its way back."""
    now = run.t_s
    return [_hold(run, hold) for hold in run.state.holds if hold.released_t_s is None or hold.is_releasing(now)]


def _hold(run: Run, hold: HoldState) -> HoldView:
    is_releasing = hold.is_releasing(run.t_s)
    if hold.display_only or hold.what not in OUTCOMES:
        return HoldView(
            what=hold.what,
            label=label_of(hold.what) if hold.display_only else hold.what,
            value=hold.value,
            unit=SIGNALS[hold.what].unit if hold.display_only else _effector_unit(hold.what),
            kind="display" if hold.display_only else "effector",
            display_only=hold.display_only,
            is_releasing=is_releasing,
        )
    does = doing(run.machine.body, hold.what, hold.by)
    unit = OUTCOMES[hold.what].unit
    return HoldView(
        what=hold.what,
        label=hold.what,
        value=hold.value,
        unit=unit,
        kind="outcome",
        display_only=False,
        is_releasing=is_releasing,
        by=hold.by,
        actual_text=f"{does.actual:.0f} {unit}",
        doing=does.text,
        is_at_limit=does.is_at_limit and not is_releasing and abs(does.actual - hold.value) > 0.02 * hold.value,
    )


def holdable_views(run: Run) -> list[HoldableView]:
    """What the operator may hold: effectors and outcomes of the body, and values on the room monitor."""
    signals, shown = run.signals(), run.shown()
    body = [
        HoldableView(
            what=what,
            label=what,
            unit=_effector_unit(what),
            low=low,
            high=high,
            kind="effector",
            display_only=False,
            start=_within(signals[_MOVES[what]] if what in _MOVES else _START[what], low, high),
            signal=_MOVES.get(what),
        )
        for what, (_, _, low, high) in EFFECTORS.items()
    ]
    outcomes = [
        HoldableView(
            what=outcome.name,
            label=outcome.name,
            unit=outcome.unit,
            low=outcome.low,
            high=outcome.high,
            kind="outcome",
            display_only=False,
            causes=[HoldCause(name=cause.name, way=cause.way, limits=cause.limit_text) for cause in outcome.causes],
            start=_within(signals[outcome.signal], outcome.low, outcome.high),
            signal=outcome.signal,
        )
        for outcome in OUTCOMES.values()
    ]
    screen = [
        HoldableView(
            what=signal,
            label=f"{label_of(signal)} on the room monitor",
            unit=SIGNALS[signal].unit,
            low=SIGNALS[signal].low,
            high=SIGNALS[signal].high,
            kind="display",
            display_only=True,
            start=_within(signals.get(signal, math.nan), SIGNALS[signal].low, SIGNALS[signal].high),
            signal=signal,
        )
        for signal in shown
    ]
    return body + outcomes + screen


def _effector_unit(what: str) -> str:
    return _SHARES.get(what) or unit_printed(EFFECTORS[what][1])


def _within(value: float, low: float, high: float) -> float:
    """Where a new hold starts: at the value of now, to three figures, or at the middle where there is none."""
    if not math.isfinite(value):
        return (low + high) / 2.0
    return min(high, max(low, float(f"{value:.3g}")))
