"""What a control room sends through its socket, and the answers; the entry line as it is typed.

The client sends ``CommandSent``; it gets one ``Ack`` or ``Refused`` with the same ``client_id``.  The entry line asks
``POST /api/room/{room}/parse`` while it is typed.
"""

from typing import Annotated, Literal

from pydantic import Field

from drillyard.core.session.events import How
from drillyard.web.messages import LookAhead
from drillyard.web.wire import Wire


class EnterText(Wire):
    """Enter on the entry line.  The server parses again; a refusal comes back as ``refused`` with a question."""

    do: Literal["enter"] = "enter"
    typed: str = Field(max_length=200)
    confirmed: bool = False
    late_t_s: float | None = None
    late_effect: Literal["record only", "rebase"] = "rebase"


class EnterPhase(Wire):
    do: Literal["phase"] = "phase"
    phase: str


class GiveCue(Wire):
    do: Literal["cue"] = "cue"
    id: str


class TickSet(Wire):
    do: Literal["set"] = "set"
    finding: str
    setting: str


class SupplyFinding(Wire):
    """The operator supplied a finding (told, card ...) or saw the crew obtain it."""

    do: Literal["supply"] = "supply"
    finding: str
    how: How


class AskFinding(Wire):
    """The crew asked for a finding that has not been supplied yet."""

    do: Literal["ask"] = "ask"
    finding: str


class Undo(Wire):
    do: Literal["undo"] = "undo"
    seq: int | None = Field(default=None, description="null takes back the newest entry that can be taken back")
    effect: Literal["record only", "rebase"] = "rebase"


class Correct(Wire):
    do: Literal["correct"] = "correct"
    seq: int
    typed: str
    t_s: float | None = None
    effect: Literal["record only", "rebase"] = "rebase"
    confirmed: bool = False


class SetHold(Wire):
    do: Literal["hold"] = "hold"
    what: str
    value: float
    display_only: bool
    by: str = Field(default="", max_length=80, description="the cause that is to move an outcome")
    reason: str = ""


class ReleaseHold(Wire):
    do: Literal["release"] = "release"
    what: str
    over_s: float | None = Field(default=None, ge=0.0, le=600.0, description="null: the usual time of what is held")


class EndProblem(Wire):
    do: Literal["end problem"] = "end problem"
    name: str


class ChangeProblem(Wire):
    do: Literal["change problem"] = "change problem"
    name: str
    size: float


class SetProblem(Wire):
    """Starts a problem of ``CauseChoices``, or changes one that is there, to a size in its own unit."""

    do: Literal["set problem"] = "set problem"
    cause: str = Field(max_length=200)
    size: float
    reason: str = Field(default="", max_length=300)


class Pause(Wire):
    do: Literal["pause"] = "pause"


class Resume(Wire):
    do: Literal["resume"] = "resume"


class JumpTime(Wire):
    do: Literal["jump"] = "jump"
    minutes: float


class WriteNote(Wire):
    do: Literal["note"] = "note"
    text: str = Field(min_length=1, max_length=2000)
    seq: int | None = None


class SayStopWord(Wire):
    do: Literal["stop word"] = "stop word"


class SayEmergency(Wire):
    do: Literal["real emergency"] = "real emergency"


class EndRun(Wire):
    do: Literal["end"] = "end"
    reason: str = "operator ended the run"


class StartAgain(Wire):
    """False start: void this run and start the same case again."""

    do: Literal["start again"] = "start again"
    reason: str = ""


class GoBackToGood(Wire):
    """Only while the body is frozen: back to the last good snapshot, paused; entries after it are taken back."""

    do: Literal["go back to good"] = "go back to good"


Command = Annotated[
    EnterText
    | EnterPhase
    | GiveCue
    | TickSet
    | SupplyFinding
    | AskFinding
    | Undo
    | Correct
    | SetHold
    | ReleaseHold
    | EndProblem
    | ChangeProblem
    | SetProblem
    | Pause
    | Resume
    | JumpTime
    | WriteNote
    | SayStopWord
    | SayEmergency
    | EndRun
    | StartAgain
    | GoBackToGood,
    Field(discriminator="do"),
]


class CommandSent(Wire):
    """A command kept longer than 5 s is refused, never fired unasked.  A repeated ``client_id`` is acknowledged again
    and not done twice."""

    type: Literal["command"] = "command"
    client_id: str = Field(min_length=8, max_length=64, pattern="^[A-Za-z0-9-]+$")
    actor: str = Field(default="operator", min_length=1, max_length=80)
    age_ms: float = Field(default=0.0, ge=0.0, description="how long the client has kept it")
    command: Command


class Ack(Wire):
    type: Literal["ack"] = "ack"
    client_id: str
    seq: int | None
    text: str = ""


class Refused(Wire):
    type: Literal["refused"] = "refused"
    client_id: str
    sentence: str
    needs_confirmation: bool = False
    suggestions: list[str] = Field(default_factory=list)


# ---- the entry line as it is typed: POST /api/room/{room}/parse ----------------------------------------------


class ParseAsked(Wire):
    """``predict`` false leaves the predicted effect out and answers at once: the sentence first, the effect after."""

    typed: str = Field(max_length=200)
    predict: bool = True


class Completion(Wire):
    insert: str
    label: str


class ParseAnswer(Wire):
    """``echo`` is the full sentence; ``emphasis`` are words of it that deserve weight (side, dose)."""

    is_complete: bool
    echo: str
    emphasis: list[str] = Field(default_factory=list)
    ghost: str = Field(default="", description="grey continuation of what is typed")
    predicted: str = Field(default="", description="predicted effect, empty when none is modelled")
    warning: str = ""
    needs_confirmation: bool = False
    not_modelled: bool = False
    question: str = Field(default="", description="asked when the entry is ambiguous")
    completions: list[Completion] = Field(default_factory=list)


# ---- find the cause: /api/room/{room}/causes and /find-cause ---------------------------------------------------


class CauseView(Wire):
    """A problem whose size may be searched for; ``least`` and ``most`` in ``unit``."""

    id: str
    label: str
    unit: str
    least: float
    most: float
    is_present: bool


class FindSignal(Wire):
    """A signal that may be asked for, in the lab's unit; ``now`` as it is."""

    signal: str
    label: str
    unit: str
    now: float | None


class CauseChoices(Wire):
    causes: list[CauseView]
    signals: list[FindSignal]


class FindAsked(Wire):
    """Which size of ``cause`` makes ``signal`` come to ``value`` (in the lab's unit) in ``minutes``?"""

    cause: str = Field(max_length=200)
    signal: str = Field(max_length=80)
    value: float
    minutes: float


class FindAnswer(Wire):
    """``size`` is what ``SetProblem`` takes; ``ahead`` the course with it, nothing else being done."""

    cause: str
    label: str
    sentence: str
    is_reached: bool
    size: float
    size_text: str
    value_text: str
    reason: str = Field(description="what the log is to say beside the problem, if it is set")
    n_runs: int
    took_ms: float
    ahead: LookAhead
