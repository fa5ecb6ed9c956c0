"""Recovery: a run that was live when the server stopped is rebuilt from its log, to the bit.

The log says what happened; the newest stored snapshot proves that today's replay is the body that ran.  Where the run
goes on is worked out from the wall clock; after too long an outage it stands still where it was last known to be.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import STEPS_PER_S, Event, TimeJumped
from drillyard.core.session.run import Run, replay
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.timeline import is_derived, tick_of
from drillyard.service.records import LastMoment, SnapshotRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Where a run goes on: the step, how long the server was away, and whether time runs on at once."""

    step: int
    outage_s: float
    resumes: bool


def moment_to_resume(
    events: Sequence[Event],
    was_running: bool,
    known_alive_s: float,
    now: datetime,
    limit_s: float,
    last: LastMoment | None = None,
) -> Moment:
    """The moment derived from the wall clock.

    Args:
        events: the log, with at least its first event.
        was_running: whether time ran at the end of the log.
        known_alive_s: the latest simulated second that is known to have been lived (stored tracks or snapshots).
        now: the time of day.
        limit_s: the longest outage after which time runs on by itself.
        last: the moment that was written each second, None for a run of a lab that did not write it yet.
    """
    anchor = max((event for event in events if not is_derived(event)), key=lambda event: event.seq)
    anchor_s = anchor.t_sim_s
    if isinstance(anchor.body, TimeJumped):
        anchor_s += anchor.body.minutes * 60.0
    anchor_wall = datetime.fromisoformat(anchor.t_wall_utc)
    if not was_running:
        away_s = max(0.0, (now - anchor_wall).total_seconds())
        return Moment(step=tick_of(anchor_s), outage_s=away_s, resumes=False)
    # Derived events and stored tracks may have lived longer than the last command.
    alive_s = max(anchor_s, known_alive_s, *(event.t_sim_s for event in events))
    alive_wall = anchor_wall + timedelta(seconds=alive_s - anchor_s)
    if last is not None and last.step / STEPS_PER_S > alive_s:
        # It was written after all the rest, with the time of day at which the patient stood there.
        alive_s, alive_wall = last.step / STEPS_PER_S, datetime.fromisoformat(last.t_wall_utc)
    # A wall clock that was set back during the outage must not take time back.
    outage_s = max(0.0, (now - alive_wall).total_seconds())
    if outage_s > limit_s:
        return Moment(step=tick_of(alive_s), outage_s=outage_s, resumes=False)
    return Moment(step=tick_of(alive_s + outage_s), outage_s=outage_s, resumes=True)


def rebuilt(setup: RunSetup, events: Sequence[Event], stored: SnapshotRecord | None, body_hash: str) -> Run:
    """The run that the log tells, at its last event, checked against the stored snapshot.

    Raises:
        Refusal: the run was made by another version of the body, or today's replay is not the patient that ran.
    """
    made_by = body_hash
    if stored is not None:
        lived = replay(setup, [event for event in events if event.seq <= stored.seq], stored.step)
        made_by = lived.machine.body.model_hash()
        if made_by == body_hash and lived.machine.body.snapshot() != stored.blob:
            _refuse_other_body(
                "the patient computed again from its log is not the one that ran"
                f" (at {stored.step / STEPS_PER_S:.0f} s)"
            )
    run = replay(setup, events)
    if run.machine.body.model_hash() != body_hash or made_by != body_hash:
        _refuse_other_body("this run was made by another version of the body")
    return run


def _refuse_other_body(said: str) -> None:
    raise Refusal(
        Fault(
            code="another body",
            said=f"{said}, so it is not resumed",
            remedy="end it and look at its debrief, which needs no body, or start the case again",
        )
    )
