"""The state of a run as its log tells it: plain frozen records.

Three truths are kept apart.  What the body is lives in ``core/body`` and is not here.  ``RunState.manikin`` is what
the manikin was set to show.  ``RunState.obtained`` is what the crew saw, heard, felt, measured or was told; only
that is ever scored.
"""

from dataclasses import dataclass
from typing import Literal

from drillyard.core.care.actions import Action, AirwayDevice, Fluid, OxygenDevice, Sensor, TubePlace
from drillyard.core.care.problems import Problem
from drillyard.core.session.events import How, RunStarted


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseState:
    name: str
    entered_t_s: float
    seq: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LineState:
    """A line in a vein or bone.  It stays in the list after it is out."""

    seq: int
    line_kind: Literal["IV", "IO"]
    site: str
    gauge: int
    is_patent: bool
    placed_t_s: float
    removed_t_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AirwayState:
    """An airway device or tube.  It stays in the list after it is out."""

    seq: int
    device: AirwayDevice
    size: float
    depth_cm: float
    place: TubePlace
    leak_frac: float
    placed_t_s: float
    removed_t_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OxygenState:
    device: OxygenDevice
    flow_l_per_min: float
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VentilationState:
    rate_per_min: float
    volume_ml: float
    leak_frac: float
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CompressionState:
    rate_per_min: float
    depth_cm: float
    recoil_frac: float
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FluidState:
    """A fluid put up.  The log knows when it was started and stopped; the body knows how much has run in."""

    seq: int
    fluid: Fluid
    volume_ml: float
    rate_ml_per_min: float
    line: str
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BleedingControl:
    how: Literal["tourniquet", "packing", "direct pressure", "pelvic binder", "massage"]
    site: str
    stopped_frac: float
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorState:
    sensor: Sensor
    site: str
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemState:
    """A problem of the case, of a rule or of the operator.  ``is_ended`` keeps it in the list."""

    problem: Problem
    set_t_s: float
    ended_t_s: float | None = None
    reason: str = ""
    by: Literal["case", "rule", "operator"] = "case"

    @property
    def is_ended(self) -> bool:
        return self.ended_t_s is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldState:
    """A value held by hand; ``released_t_s`` while it goes back over ``over_s``."""

    what: str
    value: float
    display_only: bool
    since_t_s: float
    by: str = ""
    reason: str = ""
    released_t_s: float | None = None
    over_s: float = 0.0

    def is_releasing(self, t_s: float) -> bool:
        return self.released_t_s is not None and t_s < self.released_t_s + self.over_s


@dataclass(frozen=True, slots=True, kw_only=True)
class ObtainedFinding:
    seq: int
    t_s: float
    finding: str
    value: float | None
    text: str
    how: How
    true_value: float | None = None
    requested_t_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFinding:
    seq: int
    t_s: float
    finding: str
    text: str
    answered_t_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenCue:
    seq: int
    t_s: float
    cue: str
    text: str
    how: How


@dataclass(frozen=True, slots=True, kw_only=True)
class ManikinSetting:
    finding: str
    setting: str
    since_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredRule:
    seq: int
    t_s: float
    rule: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteState:
    seq: int
    t_s: float
    text: str
    about_seq: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLineState:
    """One line of the log as the operator reads it.  ``t_s`` is when it happened, ``entered_t_s`` when entered."""

    seq: int
    t_s: float
    entered_t_s: float
    kind: str
    text: str
    by: str
    action: Action | None = None
    is_undone: bool = False
    is_late: bool = False
    is_corrected: bool = False
    is_derived: bool = False
    can_undo: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunState:
    """The whole state.  Lists are in order of time; what was taken back is in ``log`` only."""

    started: RunStarted | None = None
    last_seq: int = 0
    phase: str = ""
    phases: tuple[PhaseState, ...] = ()
    is_running: bool = False
    is_ended: bool = False
    is_void: bool = False
    ended_t_s: float | None = None
    outcome: Literal["alive", "arrested", "dead"] | None = None
    end_reason: str = ""
    is_stopped_for_safety: bool = False
    is_real_emergency: bool = False
    recovered_text: str = ""

    all_lines: tuple[LineState, ...] = ()
    all_airways: tuple[AirwayState, ...] = ()
    oxygen: OxygenState | None = None
    ventilation: VentilationState | None = None
    compressions: CompressionState | None = None
    airway_held_open: str = ""
    fluids: tuple[FluidState, ...] = ()
    bleeding_controls: tuple[BleedingControl, ...] = ()
    posture: str = "flat"
    sensors: tuple[SensorState, ...] = ()
    cuff_repeat_s: float = 0.0

    problems: tuple[ProblemState, ...] = ()
    holds: tuple[HoldState, ...] = ()
    manikin: tuple[ManikinSetting, ...] = ()
    obtained: tuple[ObtainedFinding, ...] = ()
    asked: tuple[AskedFinding, ...] = ()
    cues: tuple[GivenCue, ...] = ()
    rules: tuple[FiredRule, ...] = ()
    notes: tuple[NoteState, ...] = ()
    jumps_min: tuple[float, ...] = ()
    log: tuple[LogLineState, ...] = ()

    @property
    def lines(self) -> tuple[LineState, ...]:
        """Lines that are in now."""
        return tuple(line for line in self.all_lines if line.removed_t_s is None)

    @property
    def airway(self) -> AirwayState | None:
        """The airway device in place now."""
        return next((airway for airway in reversed(self.all_airways) if airway.removed_t_s is None), None)

    @property
    def waiting(self) -> tuple[AskedFinding, ...]:
        """Findings asked for and not supplied yet."""
        return tuple(asked for asked in self.asked if asked.answered_t_s is None)

    def sensor(self, name: str) -> SensorState | None:
        """The sensor if it is on."""
        return next((sensor for sensor in self.sensors if sensor.sensor == name), None)

    def hold(self, what: str) -> HoldState | None:
        """The hold on an effector or shown value, releasing ones included, if there is one."""
        return next((hold for hold in self.holds if hold.what == what), None)
