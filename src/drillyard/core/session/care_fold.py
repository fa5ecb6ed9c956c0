"""What an action of the crew changes in the state of the run: lines, airways, oxygen, breaths, sensors as objects."""

from dataclasses import replace

from drillyard.core.care.actions import (
    Action,
    Attach,
    Compress,
    ControlBleeding,
    Detach,
    GiveOxygen,
    OpenAirway,
    PlaceAirway,
    PlaceLine,
    Position,
    ReleaseBleeding,
    RemoveAirway,
    RemoveLine,
    RepeatPressure,
    SetVentilator,
    StartFluid,
    StopCompressions,
    StopFluid,
    StopOxygen,
    StopVentilating,
    Ventilate,
)
from drillyard.core.session.state import (
    AirwayState,
    BleedingControl,
    CompressionState,
    FluidState,
    LineState,
    OxygenState,
    RunState,
    SensorState,
    VentilationState,
)


def apply_care(state: RunState, t_s: float, seq: int, action: Action) -> RunState:  # noqa: C901, PLR0911, PLR0912 - one case an action
    """The state after ``action`` at ``t_s``.  Actions that leave nothing behind (a dose, a look) change nothing here;
    the log has them."""
    match action:
        case PlaceLine():
            line = LineState(
                seq=seq,
                line_kind=action.line_kind,
                site=action.site,
                gauge=action.gauge,
                is_patent=action.patent,
                placed_t_s=t_s,
            )
            return replace(state, all_lines=(*_lines_out(state, action.site, t_s), line))
        case RemoveLine():
            return replace(state, all_lines=_lines_out(state, action.site, t_s))
        case PlaceAirway():
            airway = AirwayState(
                seq=seq,
                device=action.device,
                size=action.size,
                depth_cm=action.depth_cm,
                place=action.place,
                leak_frac=action.leak_frac,
                placed_t_s=t_s,
            )
            return replace(state, all_airways=(*_airways_out(state, t_s), airway))
        case RemoveAirway():
            return replace(state, all_airways=_airways_out(state, t_s))
        case GiveOxygen():
            oxygen = OxygenState(device=action.device, flow_l_per_min=action.flow_l_per_min, since_t_s=t_s)
            return replace(state, oxygen=oxygen)
        case StopOxygen():
            return replace(state, oxygen=None)
        case Ventilate():
            ventilation = VentilationState(
                rate_per_min=action.rate_per_min,
                volume_ml=action.volume_ml,
                leak_frac=action.leak_frac,
                since_t_s=t_s,
            )
            return replace(state, ventilation=ventilation)
        case SetVentilator():
            ventilation = VentilationState(
                rate_per_min=0.0 if action.mode == "CPAP" else action.rate_per_min,
                volume_ml=action.volume_ml if action.mode == "volume" else 0.0,
                leak_frac=action.leak_frac,
                since_t_s=t_s,
            )
            return replace(state, ventilation=ventilation)
        case StopVentilating():
            return replace(state, ventilation=None)
        case Compress():
            compressions = CompressionState(
                rate_per_min=action.rate_per_min,
                depth_cm=action.depth_cm,
                recoil_frac=action.recoil_frac,
                since_t_s=t_s,
            )
            return replace(state, compressions=compressions)
        case StopCompressions():
            return replace(state, compressions=None)
        case OpenAirway():
            return replace(state, airway_held_open=action.how if action.held else "")
        case StartFluid():
            fluid = FluidState(
                seq=seq,
                fluid=action.fluid,
                volume_ml=action.volume_ml,
                rate_ml_per_min=action.rate_ml_per_min,
                line=action.line,
                since_t_s=t_s,
            )
            return replace(state, fluids=(*state.fluids, fluid))
        case StopFluid():
            return replace(state, fluids=tuple(f for f in state.fluids if f.fluid != action.fluid))
        case ControlBleeding():
            control = BleedingControl(how=action.how, site=action.site, stopped_frac=action.stopped_frac, since_t_s=t_s)
            others = tuple(b for b in state.bleeding_controls if (b.site, b.how) != (action.site, action.how))
            return replace(state, bleeding_controls=(*others, control))
        case ReleaseBleeding():
            others = tuple(b for b in state.bleeding_controls if b.site != action.site)
            return replace(state, bleeding_controls=others)
        case Position():
            return replace(state, posture=action.posture)
        case Attach():
            sensor = SensorState(sensor=action.sensor, site=action.site, since_t_s=t_s)
            return replace(state, sensors=(*(s for s in state.sensors if s.sensor != action.sensor), sensor))
        case Detach():
            left = tuple(s for s in state.sensors if s.sensor != action.sensor)
            repeat_s = 0.0 if action.sensor == "pressure cuff" else state.cuff_repeat_s
            return replace(state, sensors=left, cuff_repeat_s=repeat_s)
        case RepeatPressure():
            return replace(state, cuff_repeat_s=action.every_s)
        case _:
            return state


def _lines_out(state: RunState, site: str, t_s: float) -> tuple[LineState, ...]:
    return tuple(
        replace(line, removed_t_s=t_s) if line.site == site and line.removed_t_s is None else line
        for line in state.all_lines
    )


def _airways_out(state: RunState, t_s: float) -> tuple[AirwayState, ...]:
    return tuple(
        replace(airway, removed_t_s=t_s) if airway.removed_t_s is None else airway for airway in state.all_airways
    )
