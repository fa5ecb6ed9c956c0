"""Wire messages between the server and its screens.  TypeScript types are generated from these models.

One socket a screen: ``/ws/room/{room}?screen=control`` or ``?screen=monitor``.  The server sends ``snapshot`` first and
after every reconnect, then ``delta`` (4 a second at most), ``look_ahead`` when a new one is ready, ``ack``/``refused``
for the sender's commands, and waves as binary frames (to the monitor only).  The client sends ``command``.

The monitor gets only what a learner may see: run head, monitor and waves.  Its snapshot has no numbers, tracks, log,
cues, problems, holds or look-ahead, nothing in it tells that a value is held, and a command from it is refused.
"""

from typing import Annotated, Literal

from pydantic import Field

from drillyard.core.care.actions import Action
from drillyard.core.session.events import How
from drillyard.web.mark import TRAINING_MARK
from drillyard.web.wire import Wire


class PhaseView(Wire):
    key: str = Field(description="the single key that enters the phase")
    name: str
    entered_t_s: float | None = None
    is_current: bool = False


class NumberView(Wire):
    """One row of the river: truth and what the crew can see, raw values in core units."""

    signal: str
    label: str
    system: str
    unit: str
    value: float | None
    text: str = Field(description="as shown, in the lab's unit; E3 V4 M6 for the mind")
    sub_text: str = ""
    shown_text: str | None = Field(
        default=None, description="what the room monitor shows the crew, null when no sensor is on"
    )
    low: float
    high: float
    is_held: bool = False


class Track(Wire):
    """A signal over time: equally spaced from ``t0_s``; null where unknown."""

    signal: str
    t0_s: float
    dt_s: float
    values: list[float | None]


class Ring(Wire):
    """What the crew obtained: drawn as a ring on the river."""

    t_s: float
    signal: str
    value: float | None
    text: str
    how: How


class LogLine(Wire):
    seq: int
    t_s: float
    kind: str
    text: str
    by: str = ""
    is_undone: bool = False
    is_late: bool = False
    is_cut: bool = Field(default=False, description="an intervention, drawn as a thin line through the river")
    cut_label: str = ""
    can_undo: bool = False
    action: Action | None = None
    typed: str = Field(default="", description="what was typed, so that a correction starts from it")
    note: str = ""


class CueView(Wire):
    id: str
    key: str = Field(description="F1, F2 ...")
    words: str
    why: str
    how: How = "told"
    finding: str | None = None


class SetByHandView(Wire):
    finding: str
    label: str
    from_setting: str
    to_setting: str


class SupplyView(Wire):
    """The answer to 'can they get it?'."""

    finding: str
    label: str
    way: Literal["obtain", "told", "card", "print", "prop", "room monitor", "own device", "cannot be supplied"]
    detail: str = ""


class AnswerView(Wire):
    """One line of the question-and-answer card that holds now."""

    asked: str
    who: str
    said: str


class ProblemView(Wire):
    name: str
    kind: str
    text: str
    size_text: str
    is_ended: bool = False
    size: float | None = Field(
        default=None, description="what ChangeProblem changes, in core units; null: cannot be changed"
    )
    size_unit: str = ""
    size_low: float = 0.0
    size_high: float = 1.0


class HoldView(Wire):
    what: str
    label: str
    value: float
    unit: str
    display_only: bool
    is_releasing: bool = False


class HoldableView(Wire):
    """Something the operator may hold: an effector of the body, or a signal on the room monitor (display only)."""

    what: str
    label: str
    unit: str
    low: float
    high: float
    display_only: bool


class Threshold(Wire):
    signal: str
    t_s: float
    text: str = Field(description="'SpO2 below 80' - the client adds the time to go")


class LookAhead(Wire):
    type: Literal["look_ahead"] = "look_ahead"
    from_s: float
    tracks: list[Track]
    thresholds: list[Threshold]


class MonitorSensor(Wire):
    sensor: str
    is_on: bool
    site: str = ""


class MonitorView(Wire):
    """Everything that the room monitor may show; null until its sensor is on."""

    sensors: list[MonitorSensor]
    heart_rate: str | None = None
    spo2: str | None = None
    etco2: str | None = None
    respiratory_rate: str | None = None
    temperature: str | None = None
    cuff_text: str | None = None
    cuff_mean: str | None = None
    cuff_t_s: float | None = None
    cuff_state: Literal["idle", "inflating", "measuring", "failed"] = "idle"
    cuff_cycle_s: float | None = None
    cuff_next_s: float | None = None
    cuff_pressure_mmhg: float | None = None
    alarms: list[str] = Field(
        default_factory=list, description="each begins with its priority mark: '!!! ' high, '!! ' medium, '! ' low"
    )


class RunHead(Wire):
    run_id: str
    room: str
    title: str
    scenario: str
    manikin: str
    crew_text: str
    purpose: Literal["rehearsal", "session"]
    is_running: bool
    is_ended: bool
    outcome: str | None = None
    stop_word: str = "Stop, stop, stop"
    emergency_word: str = "Real emergency"
    time_jumps_min: list[float] = Field(default_factory=list)
    time_cap_s: float = 0.0
    dispatch: str = ""
    patient_text: str = ""
    recovered_text: str = ""
    good_t_s: float | None = Field(
        default=None, description="where the last good snapshot lies while the body is frozen"
    )
    fault_text: str = Field(default="", description="a sentence when the body froze or the disk refuses")


class Snapshot(Wire):
    type: Literal["snapshot"] = "snapshot"
    server_id: str
    clock_s: float
    run: RunHead | None
    phases: list[PhaseView] = Field(default_factory=list)
    numbers: list[NumberView] = Field(default_factory=list)
    tracks: list[Track] = Field(default_factory=list)
    rings: list[Ring] = Field(default_factory=list)
    log: list[LogLine] = Field(default_factory=list)
    cues: list[CueView] = Field(default_factory=list)
    set_by_hand: list[SetByHandView] = Field(default_factory=list)
    supply: list[SupplyView] = Field(default_factory=list)
    problems: list[ProblemView] = Field(default_factory=list)
    holds: list[HoldView] = Field(default_factory=list)
    holdables: list[HoldableView] = Field(default_factory=list)
    answers: list[AnswerView] = Field(default_factory=list)
    notices: list[str] = Field(default_factory=list, description="what the case wants the operator to know now")
    look_ahead: LookAhead | None = None
    monitor: MonitorView | None = None
    training_mark: str = TRAINING_MARK


class Delta(Wire):
    """What changed since the last message; absent parts are unchanged.  ``track_tail`` is appended."""

    type: Literal["delta"] = "delta"
    clock_s: float
    run: RunHead | None = None
    phases: list[PhaseView] | None = None
    numbers: list[NumberView] | None = None
    track_tail: list[Track] = Field(default_factory=list)
    rings: list[Ring] | None = None
    log: list[LogLine] | None = Field(default=None, description="whole list when changed")
    cues: list[CueView] | None = None
    set_by_hand: list[SetByHandView] | None = None
    supply: list[SupplyView] | None = None
    problems: list[ProblemView] | None = None
    holds: list[HoldView] | None = None
    answers: list[AnswerView] | None = None
    notices: list[str] | None = None
    monitor: MonitorView | None = None


# ---- commands, client to server -------------------------------------------------------------------------------


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
    reason: str = ""


class ReleaseHold(Wire):
    do: Literal["release"] = "release"
    what: str


class EndProblem(Wire):
    do: Literal["end problem"] = "end problem"
    name: str


class ChangeProblem(Wire):
    do: Literal["change problem"] = "change problem"
    name: str
    size: float


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


# ---- waves: binary frames --------------------------------------------------------------------------------------
# Little endian: u8 format (1), u8 count of waves, u16 rate of the index a second, u32 index of the first sample; then
# for each wave u8 code, u16 count of samples, float32 samples.  Packed by core/signals/waves.py, which has the codes
# and rates.  Only waves whose sensor is on are sent.

ServerMessage = Annotated[Snapshot | Delta | LookAhead | Ack | Refused, Field(discriminator="type")]
