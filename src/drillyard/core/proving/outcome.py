"""What came of a rehearsal, in a few numbers."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from drillyard.core.proving.player import Rehearsal
from drillyard.core.session.events import RunEnded


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """``arrest_at_s``: first second without a carotid pulse; None if there always was one.  ``lowest_spo2_pct`` is what
    an oximeter on the finger would have shown at least while it found a pulse; None if it never did.  ``body_hash`` is
    that of the patient's whole state at the end, ``model_hash`` that of the body's text and drugs."""

    outcome: Literal["alive", "arrested", "dead"]
    arrest_at_s: float | None
    lowest_map_mmhg: float
    lowest_spo2_pct: float | None
    lowest_sao2_pct: float
    blood_lost_ml: float
    end_s: float
    end_reason: str
    body_hash: str
    model_hash: str
    n_not_done: int


def outcome_of(rehearsal: Rehearsal) -> Outcome:
    """The numbers of one rehearsal, from its tracks and its last event."""
    run = rehearsal.run
    tracks = run.tracks
    without_pulse = np.flatnonzero(tracks.column("has_pulse") < 0.5)
    spo2 = tracks.column("spo2_pct")
    found = spo2[spo2 > 0.0]
    ended = next((event.body for event in reversed(run.events) if isinstance(event.body, RunEnded)), None)
    return Outcome(
        outcome=ended.outcome if ended is not None else run.machine.outcome(),
        arrest_at_s=float(without_pulse[0]) if len(without_pulse) else None,
        lowest_map_mmhg=round(float(tracks.column("mean_arterial_pressure_mmhg").min()), 1),
        lowest_spo2_pct=round(float(found.min()), 1) if len(found) else None,
        lowest_sao2_pct=round(float(tracks.column("sao2_pct").min()), 1),
        blood_lost_ml=round(float(tracks.column("blood_lost_ml")[-1])),
        end_s=run.t_s,
        end_reason=ended.reason if ended is not None else (run.frozen.said if run.frozen else ""),
        body_hash=run.machine.body.state_hash(),
        model_hash=run.machine.body.model_hash(),
        n_not_done=len(rehearsal.not_done),
    )
