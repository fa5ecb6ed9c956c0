"""A what-if as a message: both courses, where they part, and what comes sooner, later or not at all."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.session.events import RuleFired
from drillyard.core.session.look_ahead import LIMITS, Limit
from drillyard.core.session.tracks import Tracks
from drillyard.core.session.what_if import Departure, Playing, WhatIf
from drillyard.service.queries import StoredRun
from drillyard.service.records import LabSettings
from drillyard.web.debrief_messages import Milestone, WhatIfAnswer
from drillyard.web.debrief_view import sent_tracks
from drillyard.web.rows import limit_text, row_signals
from drillyard.web.units import label_of

SAME_S: Final = 2.0
"""Two crossings that lie no further apart than this came at the same time: tracks have a value a second."""
LASTS_S: Final = 5
"""A limit counts as crossed once it has been for so many values in a row: a beat's flicker is no event (our choice)."""
SAID: Final[dict[str, str]] = {"has_pulse": "no pulse at the neck"}
"""What the curves show, where the live look-ahead has a graver word for it."""


def what_if_view(stored: StoredRun, done: WhatIf, sentence: str, took_ms: float, settings: LabSettings) -> WhatIfAnswer:
    """Both courses, and what came out differently."""
    rows = row_signals(stored.case.scenario.problems)
    return WhatIfAnswer(
        sentence=sentence,
        from_s=done.from_s,
        tracks=sent_tracks(Tracks.names, done.changed.tracks.true, rows),
        baseline=sent_tracks(Tracks.names, done.base.tracks.true, rows),
        outcome=done.changed.outcome,
        baseline_outcome=done.base.outcome,
        milestones=milestones(done.base.tracks, done.changed.tracks, done.from_s, settings),
        rule_changes=_rule_changes(done.base, done.changed),
        departure_text=departure_text(done.departures),
        took_ms=round(took_ms, 1),
    )


# ---- limits crossed ---------------------------------------------------------------------------------------------


def milestones(base: Tracks, changed: Tracks, from_s: float, settings: LabSettings) -> list[Milestone]:
    """Limits that one course crosses and the other does not, or at another time; gravest first.

    Only limits of signals that are stored with a run; one that was crossed before the two part is no difference.
    """
    found = []
    for limit in reversed(LIMITS):
        if limit.signal not in Tracks.names:
            continue
        was_s = first_crossing_s(base.column(limit.signal), limit, from_s)
        is_s = first_crossing_s(changed.column(limit.signal), limit, from_s)
        if was_s == is_s or (was_s is not None and is_s is not None and abs(was_s - is_s) <= SAME_S):
            continue
        text = SAID.get(limit.signal) or limit_text(limit, settings)
        said = _said(was_s, is_s)
        if is_s is not None and not _is_crossed(changed.column(limit.signal), limit)[-LASTS_S:].any():
            said += "; it passes"
        found.append(Milestone(text=text, in_run_s=was_s, what_if_s=is_s, said=said))
    return found


def first_crossing_s(values: NDArray[np.floating], limit: Limit, from_s: float) -> float | None:
    """The second at which a column first crosses a limit to stay there for a while, after ``from_s``.

    None where it does not, or where it had been crossed when the two part.
    """
    is_crossed = _is_crossed(values, limit)
    start = int(from_s)
    if len(is_crossed) < LASTS_S or is_crossed[start : start + 1].any():
        return None
    windows = np.lib.stride_tricks.sliding_window_view(is_crossed, LASTS_S)
    after = windows[start + 1 :].sum(axis=1) == LASTS_S
    at = np.flatnonzero(after)
    return float(at[0]) + start + 1 if len(at) else None


def _is_crossed(values: NDArray[np.floating], limit: Limit) -> NDArray[np.bool_]:
    is_crossed: NDArray[np.bool_] = values < limit.value if limit.way == "falls below" else values > limit.value
    # A finger probe without a pulse reads 0: that is no saturation.
    return is_crossed & (values > 0.0) if limit.signal == "spo2_pct" else is_crossed


def _said(was_s: float | None, is_s: float | None) -> str:
    if is_s is None:
        return f"does not come; in the run at {_clock(was_s or 0.0)}"
    if was_s is None:
        return f"comes at {_clock(is_s)}; not in the run"
    by_s = is_s - was_s
    return f"{_clock(abs(by_s))} {'later' if by_s > 0 else 'sooner'}: at {_clock(is_s)}, in the run at {_clock(was_s)}"


# ---- rules and departure ----------------------------------------------------------------------------------------


def _rule_changes(base: Playing, changed: Playing) -> list[str]:
    before, after = _fired(base), _fired(changed)
    gone = [f"'{rule}' does not fire" for rule in before if rule not in after]
    new = [f"'{rule}' fires at {_clock(t_s)}" for rule, t_s in after.items() if rule not in before]
    moved = [
        f"'{rule}' fires at {_clock(after[rule])} instead of {_clock(t_s)}"
        for rule, t_s in before.items()
        if rule in after and after[rule] != t_s
    ]
    return [*gone, *new, *moved]


def _fired(playing: Playing) -> dict[str, float]:
    fired: dict[str, float] = {}
    for event in playing.events:
        if isinstance(event.body, RuleFired):
            fired.setdefault(event.body.rule, event.t_sim_s)
    return fired


def departure_text(departures: Sequence[Departure]) -> str:
    """How far today's body is from the one that ran; empty where it is the same to the bit of the store."""
    if not departures:
        return ""
    worst = departures[0]
    unit = SIGNALS[worst.signal].unit
    size = f"{worst.largest:.3g} {unit if unit != '1' else ''}".strip()
    return (
        f"Today's body is not the one that ran: {label_of(worst.signal)} departs by up to {size} "
        f"at {_clock(worst.at_s)} from what was stored."
    )


def _clock(t_s: float) -> str:
    return f"{int(t_s) // 60}:{int(t_s) % 60:02d}"
