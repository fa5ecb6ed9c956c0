"""The debrief of a stored run, and a what-if, as messages."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drillyard.core.measures import MeasureResult
from drillyard.core.quantities.signals import RHYTHMS, SIGNALS
from drillyard.core.session.events import HoldReleased, HoldSet, TimeJumped
from drillyard.core.session.timeline import record_timeline
from drillyard.service.queries import StoredRun, rhythm_spans
from drillyard.service.records import DebriefNote, LabSettings
from drillyard.web.case_view import problem_text
from drillyard.web.debrief_messages import (
    AxisView,
    DebriefView,
    HeldSpan,
    JumpSpan,
    MeasureView,
    NoteView,
    PhaseSpan,
    ProblemSpan,
    RhythmSpan,
)
from drillyard.web.home_view import local_time
from drillyard.web.log_view import log_lines, rings
from drillyard.web.mark import TRAINING_MARK
from drillyard.web.messages import Track
from drillyard.web.rows import BESIDE, plain, row_of_hold, row_signals, track_signals
from drillyard.web.units import label_of, scale_of, span_of

MOST_POINTS: Final = 3
"""Talking points suggested: one that went well, one gap, one team point; the debriefer picks."""


def debrief_view(stored: StoredRun, settings: LabSettings, body_hash: str | None) -> DebriefView:
    """Everything that a debrief shows, from what was stored.

    Args:
        body_hash: the body that is loaded now, None while there is none.
    """
    record, scenario, state = stored.record, stored.case.scenario, stored.state
    rows = row_signals(scenario.problems)
    block = stored.tracks.block
    return DebriefView(
        run_id=record.run_id,
        title=record.title,
        scenario=record.scenario,
        manikin=stored.case.profile.title,
        crew_text=record.crew_text,
        purpose=record.purpose,
        state=record.state,
        started_wall=local_time(record.created_wall_utc, record.zone),
        end_s=stored.end_s,
        outcome=state.outcome or record.outcome,
        ended_because=state.end_reason,
        phases=_phases(stored),
        rows=[axis_view(signal, settings) for row in rows for signal in (row, *BESIDE.get(row, ()))],
        true_tracks=sent_tracks(block.names, block.true, rows),
        shown_tracks=[track for track in sent_tracks(block.names, block.shown, rows) if _has_any(track)],
        rings=rings(state.obtained, rows, settings),
        log=log_lines(state.log, {}),
        holds=_holds(stored),
        jumps=_jumps(stored),
        problems=[
            ProblemSpan(
                name=problem.problem.name,
                text=problem_text(problem.problem),
                from_s=problem.set_t_s,
                to_s=problem.ended_t_s,
            )
            for problem in state.problems
        ],
        rhythm=[RhythmSpan(from_s=t_s, text=RHYTHMS.get(code, "unknown")) for t_s, code in rhythm_spans(stored)],
        measures=[measure_view(result) for result in stored.measures()],
        notes=[note_view(note, record.zone) for note in stored.notes],
        opening=list(scenario.debrief.opening),
        points=list(scenario.debrief.points[:MOST_POINTS]),
        can_what_if=body_hash is not None,
        what_if_text=_what_if_text(record.body_hash, body_hash),
        training_mark=TRAINING_MARK,
    )


def _what_if_text(made_by: str, now: str | None) -> str:
    if now is None:
        return "The computed patient is still being loaded; what-if needs it."
    if now != made_by:
        return "This run was made by another version of the body: a what-if shows how far today's departs from it."
    return ""


def axis_view(signal: str, settings: LabSettings) -> AxisView:
    """How one signal is drawn in this lab."""
    scale, (low, high) = scale_of(signal, settings), span_of(signal)
    return AxisView(
        signal=signal,
        label=label_of(signal),
        system=SIGNALS[signal].system,
        unit=scale.unit,
        factor=scale.factor,
        offset=scale.offset,
        low=low,
        high=high,
        decimals=scale.decimals,
    )


def sent_tracks(names: Sequence[str], values: NDArray[np.floating], rows: tuple[str, ...]) -> list[Track]:
    """Columns of (seconds, names) as tracks.  Where the finger probe finds no pulse there is no saturation to draw."""
    return [
        Track(signal=signal, t0_s=0.0, dt_s=1.0, values=plain(_known(signal, values[:, names.index(signal)])))
        for signal in track_signals(rows)
        if signal in names
    ]


def _known(signal: str, values: NDArray[np.floating]) -> NDArray[np.floating]:
    return np.where(values > 0.0, values, np.nan) if signal == "spo2_pct" else values


def _has_any(track: Track) -> bool:
    return any(value is not None for value in track.values)


def _phases(stored: StoredRun) -> list[PhaseSpan]:
    entered = stored.state.phases
    ends = [phase.entered_t_s for phase in entered[1:]] + [stored.end_s]
    return [
        PhaseSpan(phase=phase.name, from_s=phase.entered_t_s, to_s=max(to_s, phase.entered_t_s))
        for phase, to_s in zip(entered, ends, strict=False)
    ]


def _holds(stored: StoredRun) -> list[HeldSpan]:
    """Every stretch in which a value was held, its way back included."""
    open_holds: dict[str, HeldSpan] = {}
    done: list[HeldSpan] = []
    for entry in record_timeline(stored.events):
        if entry.is_undone:
            continue
        body = entry.body
        if isinstance(body, HoldSet):
            if body.what in open_holds:
                done.append(open_holds.pop(body.what).model_copy(update={"to_s": entry.t_s}))
            open_holds[body.what] = HeldSpan(
                what=body.what,
                label=label_of(body.what) if body.display_only else body.what,
                row=row_of_hold(body.what, display_only=body.display_only),
                from_s=entry.t_s,
                to_s=stored.end_s,
                display_only=body.display_only,
                reason=body.reason,
            )
        elif isinstance(body, HoldReleased) and body.what in open_holds:
            to_s = min(entry.t_s + body.over_s, stored.end_s)
            done.append(open_holds.pop(body.what).model_copy(update={"to_s": to_s}))
    return sorted([*done, *open_holds.values()], key=lambda span: span.from_s)


def _jumps(stored: StoredRun) -> list[JumpSpan]:
    return [
        JumpSpan(from_s=entry.t_s, to_s=min(entry.t_s + entry.body.minutes * 60.0, stored.end_s), text=entry.body.text)
        for entry in record_timeline(stored.events)
        if isinstance(entry.body, TimeJumped) and not entry.is_undone
    ]


def measure_view(result: MeasureResult) -> MeasureView:
    """One measure as it is read out."""
    uncertainty = "" if result.uncertainty is None else f"± {result.uncertainty:.3g} {result.unit}".strip()
    return MeasureView(
        id=result.id,
        name=result.title,
        definition=result.definition,
        source=result.source,
        source_kind=result.source_kind,
        target=result.target,
        verdict=result.status,
        value=result.value,
        unit=result.unit,
        text=result.text,
        uncertainty=uncertainty,
        is_censored=result.is_censored,
        about="patient, not crew" if result.is_patient_not_crew else "crew",
        seqs=list(result.seqs),
        t_s=result.t_s,
        note=result.note,
    )


def note_view(note: DebriefNote, zone: str) -> NoteView:
    """One note as it is shown."""
    return NoteView(
        note_id=note.note_id,
        author=note.author,
        written_wall=local_time(note.written_wall_utc, zone),
        text=note.text,
        t_s=note.t_s,
        about_seq=note.about_seq,
    )
