"""Messages of the debrief: ``GET /api/runs/{id}/debrief``, ``POST /api/runs/{id}/what-if``, ``.../notes``.

A debrief reads what was stored while the run was live and computes no patient.  A what-if does: it replays the run
with one event changed and shows both curves, with the distance between today's replay and what was stored.
"""

from typing import Annotated, Literal

from pydantic import Field

from drillyard.web.messages import LogLine, Ring, Track
from drillyard.web.wire import Wire


class PhaseSpan(Wire):
    phase: str
    from_s: float
    to_s: float


class HeldSpan(Wire):
    """A value held by hand; shown to operator and debriefer, never to learners while they played."""

    what: str
    label: str
    row: str = Field(default="", description="the row of the river that shows it; empty where none does")
    from_s: float
    to_s: float
    display_only: bool
    reason: str = ""


class ProblemSpan(Wire):
    name: str
    text: str
    from_s: float
    to_s: float | None = None


class JumpSpan(Wire):
    """Time that passed at once: nobody lived through it."""

    from_s: float
    to_s: float
    text: str


class RhythmSpan(Wire):
    from_s: float
    text: str


class AxisView(Wire):
    """How one row of the river is drawn: the signal's own name, unit as shown and the factor from core unit.

    A drawn value is ``value * factor + offset``.
    """

    signal: str
    label: str
    system: str
    unit: str
    factor: float = 1.0
    offset: float = 0.0
    low: float
    high: float
    decimals: int = 0


class MeasureView(Wire):
    """One measure.  Crew measures read what the crew could know; a burden reads the body and says so."""

    id: int
    name: str
    definition: str
    source: str
    target: str
    source_kind: Literal["S", "L", "memory"] = Field(
        description="S: the target comes from the published source; L: a local teaching choice; memory: not looked up"
    )
    verdict: Literal["met", "not met", "cannot say", "not applicable", "no target"]
    value: float | None
    unit: str
    text: str
    uncertainty: str = Field(default="", description="one standard deviation, as printed")
    is_censored: bool = Field(default=False, description="not done by the end: the true value is larger")
    about: Literal["crew", "patient, not crew"] = "crew"
    seqs: list[int] = Field(default_factory=list, description="events that the value rests on")
    t_s: float | None = Field(default=None, description="where the cursor goes when the measure is opened")
    note: str = ""


class NoteView(Wire):
    note_id: str
    author: str
    written_wall: str
    text: str
    t_s: float | None = None
    about_seq: int | None = None


class DebriefView(Wire):
    run_id: str
    title: str
    scenario: str
    manikin: str
    crew_text: str
    purpose: Literal["rehearsal", "session"]
    state: Literal["open", "ended", "void"]
    started_wall: str
    end_s: float
    outcome: str | None
    ended_because: str = ""
    phases: list[PhaseSpan]
    rows: list[AxisView]
    true_tracks: list[Track]
    shown_tracks: list[Track]
    rings: list[Ring]
    log: list[LogLine]
    holds: list[HeldSpan]
    jumps: list[JumpSpan]
    problems: list[ProblemSpan]
    rhythm: list[RhythmSpan]
    measures: list[MeasureView]
    notes: list[NoteView]
    opening: list[str] = Field(default_factory=list, description="questions to open with, from the scenario's plan")
    points: list[str] = Field(
        default_factory=list, description="at most three talking points that the objectives suggest"
    )
    can_what_if: bool
    what_if_text: str = Field(
        default="", description="a sentence when a what-if is not possible or the body is another one"
    )
    training_mark: str


# ---- what-if ---------------------------------------------------------------------------------------------------


class RemoveEvent(Wire):
    do: Literal["remove"]
    seq: int = Field(ge=1)


class MoveEvent(Wire):
    do: Literal["move"]
    seq: int = Field(ge=1)
    t_s: float = Field(ge=0.0, le=86_400.0)


class AddEntry(Wire):
    """An entry as it would have been typed, at another time."""

    do: Literal["add"]
    typed: str = Field(min_length=1, max_length=200)
    t_s: float = Field(ge=0.0, le=86_400.0)


class ReplaceEvent(Wire):
    do: Literal["replace"]
    seq: int = Field(ge=1)
    typed: str = Field(min_length=1, max_length=200)


WhatIfChange = Annotated[RemoveEvent | MoveEvent | AddEntry | ReplaceEvent, Field(discriminator="do")]


class WhatIfAsked(Wire):
    change: WhatIfChange


class Milestone(Wire):
    """A limit that the two courses cross at different times, or only one of them."""

    text: str
    in_run_s: float | None
    what_if_s: float | None
    said: str = Field(description="the difference in words: sooner, later, or not at all")


class WhatIfAnswer(Wire):
    """``tracks`` are the changed run, ``baseline`` the unchanged run replayed today.

    ``departure_text`` says how far today's body departs from what was stored, empty when it is the same to the bit.
    """

    sentence: str = Field(description="what was changed, in words")
    from_s: float = Field(description="where the two runs part")
    tracks: list[Track]
    baseline: list[Track]
    outcome: str | None
    baseline_outcome: str | None
    milestones: list[Milestone] = Field(default_factory=list, description="gravest first")
    rule_changes: list[str] = Field(default_factory=list)
    departure_text: str = ""
    took_ms: float


class NoteAsked(Wire):
    text: str = Field(min_length=1, max_length=4000)
    author: str = Field(default="debriefer", min_length=1, max_length=120)
    t_s: float | None = Field(default=None, ge=0.0, le=86_400.0)
    about_seq: int | None = Field(default=None, ge=1)
