"""Events: what happened in a run, in the past tense.  The log of a run is a list of these and nothing else.

``Event`` is the envelope; ``body`` is one of the happenings below, told apart by ``kind``.  ``version`` is the
version of that happening's shape.  State, screens, measures, restock lists and learning records are folds of the
log.  An event gets ``seq`` and ``step`` from the room loop alone and exists only once it is on disk.
"""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import Field

from drillyard.core.care import ways
from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Problem

STEPS_PER_S = 100
"""A step is 10 ms of the body."""
STEPS_PER_TICK = 5
"""An event acts at a tick: 50 ms."""

Phase = ways.Phase
WardPhase = ways.WardPhase
How = ways.How
Source = Literal["entry line", "key", "hand-held", "rule", "clock", "server", "script", "device file"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunStarted:
    kind: Literal["run started"] = "run started"
    scenario: str
    scenario_hash: str
    manikin: str
    manikin_hash: str
    body_hash: str
    seed: int
    purpose: Literal["rehearsal", "session"] = "rehearsal"
    crew: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseEntered:
    kind: Literal["phase entered"] = "phase entered"
    phase: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CareGiven:
    """Something the crew did.  ``text`` is the full sentence shown to the operator before Enter; ``warned`` what was
    said beside it about this manikin (a limit, an insert, a procedure that it forbids), empty where nothing was."""

    kind: Literal["care given"] = "care given"
    action: Action
    text: str
    typed: str = ""
    warned: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingObtained:
    """What the crew could know: a finding seen, heard, felt, measured or told, with the value they got."""

    kind: Literal["finding obtained"] = "finding obtained"
    finding: str
    value: float | None = None
    text: str
    how: How
    true_value: float | None = None
    requested_t_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingAsked:
    """The crew asked for a finding that has not been supplied yet."""

    kind: Literal["finding asked"] = "finding asked"
    finding: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CueGiven:
    kind: Literal["cue given"] = "cue given"
    cue: str
    text: str
    how: How = "told"


@dataclass(frozen=True, slots=True, kw_only=True)
class ManikinSet:
    """One row of the set-by-hand list ticked: what the manikin really shows from now on."""

    kind: Literal["manikin set"] = "manikin set"
    finding: str
    setting: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemSet:
    kind: Literal["problem set"] = "problem set"
    problem: Problem
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemEnded:
    kind: Literal["problem ended"] = "problem ended"
    name: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldSet:
    """``what`` is an effector of the body, an outcome of the body held ``by`` a named cause, or a displayed signal
    (``display_only``: a marked lie of the monitor)."""

    kind: Literal["hold set"] = "hold set"
    what: str
    value: float
    display_only: bool
    by: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldReleased:
    kind: Literal["hold released"] = "hold released"
    what: str
    over_s: float = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFired:
    """A rule of the scenario fired; replay compares, what-if recomputes."""

    kind: Literal["rule fired"] = "rule fired"
    rule: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Paused:
    kind: Literal["paused"] = "paused"
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed:
    kind: Literal["resumed"] = "resumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeJumped:
    """Only where the case declares it: ``minutes`` of simulated time pass at once."""

    kind: Literal["time jumped"] = "time jumped"
    minutes: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryUndone:
    """Takes back an earlier event.  ``effect`` as in decision 6: record only, or the body recomputed."""

    kind: Literal["entry undone"] = "entry undone"
    target_seq: int
    effect: Literal["record only", "rebase"] = "rebase"
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryCorrected:
    """Replaces the happening (and, if given, the time) of an earlier event."""

    kind: Literal["entry corrected"] = "entry corrected"
    target_seq: int
    action: Action
    text: str
    t_s: float | None = None
    effect: Literal["record only", "rebase"] = "rebase"
    warned: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LateEntry:
    """Care that happened earlier at ``t_s`` and is entered only now."""

    kind: Literal["late entry"] = "late entry"
    action: Action
    text: str
    t_s: float
    effect: Literal["record only", "rebase"] = "rebase"
    warned: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteWritten:
    kind: Literal["note written"] = "note written"
    text: str
    about_seq: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StopWordSaid:
    kind: Literal["stop word said"] = "stop word said"


@dataclass(frozen=True, slots=True, kw_only=True)
class RealEmergency:
    kind: Literal["real emergency"] = "real emergency"


@dataclass(frozen=True, slots=True, kw_only=True)
class ServerRecovered:
    """The server came back; the run goes on at the moment derived from the wall clock, or paused."""

    kind: Literal["server recovered"] = "server recovered"
    outage_s: float
    resumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RunEnded:
    kind: Literal["run ended"] = "run ended"
    reason: str
    outcome: Literal["alive", "arrested", "dead"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FalseStart:
    """The run is void and is started again; it stays in the log and counts for nothing."""

    kind: Literal["false start"] = "false start"
    reason: str = ""


Happening = Annotated[
    RunStarted
    | PhaseEntered
    | CareGiven
    | FindingObtained
    | FindingAsked
    | CueGiven
    | ManikinSet
    | ProblemSet
    | ProblemEnded
    | HoldSet
    | HoldReleased
    | RuleFired
    | Paused
    | Resumed
    | TimeJumped
    | EntryUndone
    | EntryCorrected
    | LateEntry
    | NoteWritten
    | StopWordSaid
    | RealEmergency
    | ServerRecovered
    | RunEnded
    | FalseStart,
    Field(discriminator="kind"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """The envelope of one happening.

    ``t_sim_s`` is seconds from time zero of the run; ``step`` the body step at which it acts; ``t_wall_utc``
    an ISO 8601 time with offset; ``u_s`` the uncertainty of the time; ``client_id`` the sender's own unique id.
    """

    seq: int
    step: int
    t_sim_s: float
    t_wall_utc: str
    source: Source
    actor: str
    client_id: str
    body: Happening
    version: int = 1
    u_s: float = 1.0
    approx: bool = False
    tags: tuple[str, ...] = field(default=())
