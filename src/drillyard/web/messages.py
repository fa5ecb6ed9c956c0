"""Wire messages between the server and its screens.  TypeScript types are generated from these models.

One socket a screen: ``/ws/room/{room}?screen=control`` or ``?screen=monitor``.  The server sends ``snapshot`` first and
after every reconnect, then ``delta`` (4 a second at most), ``look_ahead`` when a new one is ready, ``ack``/``refused``
for the sender's commands, and waves as binary frames (to the monitor only).  The client sends ``command``.

Commands and their answers are in ``command_messages.py``.

The monitor gets only what a learner may see: run head, monitor and waves.  Its snapshot has no numbers, tracks, log,
cues, problems, holds or look-ahead, and nothing in it tells that a value is held.  It may start the cuff; any other
command from it is refused.
"""

from typing import Literal

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


HoldKind = Literal["effector", "outcome", "display"]


class HoldView(Wire):
    """Something held: an effector of the body, an outcome of the body by a named cause, or a value on the monitor."""

    what: str
    label: str
    value: float
    unit: str
    kind: HoldKind
    display_only: bool
    is_releasing: bool = False
    by: str = Field(default="", description="the cause that moves an outcome")
    actual_text: str = Field(default="", description="what an outcome is now, with its unit")
    doing: str = Field(default="", description="what its cause does now")
    is_at_limit: bool = False


class HoldCause(Wire):
    """A cause by which an outcome may be held."""

    name: str
    way: Literal["lowers", "raises", "lowers or raises"]
    limits: str


class HoldableView(Wire):
    """Something the operator may hold: an effector of the body, an outcome of the body by one of ``causes``, or a
    signal on the room monitor (display only)."""

    what: str
    label: str
    unit: str
    low: float
    high: float
    kind: HoldKind
    display_only: bool
    causes: list[HoldCause] = Field(default_factory=list)
    start: float = Field(description="the value from which a new hold starts: that of now, where there is one")
    signal: str | None = Field(default=None, description="the signal that shows it as it is")


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
    pressure_unit: str = "mmHg"
    gas_tension_unit: str = "mmHg"
    temperature_unit: str = "°C"
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


# ---- waves: binary frames --------------------------------------------------------------------------------------
# Little endian: u8 format (1), u8 count of waves, u16 rate of the index a second, u32 index of the first sample; then
# for each wave u8 code, u16 count of samples, float32 samples.  Packed by core/signals/waves.py, which has the codes
# and rates.  Only waves whose sensor is on are sent.
