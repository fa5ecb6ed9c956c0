"""An action as the shorthand that would be typed for it: the inverse of ``parse``.

``parse(shorthand_of(action))`` gives the same action for every action that can be typed; corrections, crew scripts
and completions use it.
"""

from drillyard.core.care import actions as care
from drillyard.core.entry.reader import plain
from drillyard.core.entry.words import AIRWAY_WORD, ROUTE_WORD, SENSOR_WORD

_SAY = {
    "order": "order", "read-back": "readback", "call-out": "callout", "asked history": "ask:",
    "asked allergy": "ask allergies", "stated weight": "weight", "leader named": "leader",
    "called for help": "help called", "report started": "report start", "report item": "report:",
    "report ended": "report end", "handover": "handover",
}  # fmt: skip


def shorthand_of(action: care.Action) -> str:
    """The line that, typed, gives this action."""
    return _drugs_and_lines(action) or _airway(action) or _trauma_and_heart(action) or _rest(action)


def _percent(share: float) -> str:
    return f"{plain(float(f'{share * 100:.12g}'))}%"


def _drugs_and_lines(action: care.Action) -> str:
    match action:
        case care.GiveDrug():
            unit = {"ug": "mcg", "mL": "ml"}.get(action.dose_unit, action.dose_unit)
            text = f"{action.drug} {plain(action.dose)} {unit} {ROUTE_WORD[action.route]}"
            text += f" at {action.site}" if action.site else ""
            return text + (f" over {plain(action.over_s)} s" if action.over_s else "")
        case care.StartFluid():
            text = f"{action.fluid} {plain(action.volume_ml)} ml"
            text += f" at {plain(action.rate_ml_per_min)} ml/min" if action.rate_ml_per_min else ""
            return text + (f" via {action.line}" if action.line else "")
        case care.StopFluid():
            return f"{action.fluid} stop"
        case care.PlaceLine():
            return f"{action.line_kind.lower()} {action.gauge} {action.site}" + ("" if action.patent else " blocked")
        case care.RemoveLine():
            return f"line out {action.site}"
    return ""


def _airway(action: care.Action) -> str:
    match action:
        case care.GiveOxygen():
            return f"o2 {plain(action.flow_l_per_min)} {action.device}"
        case care.StopOxygen():
            return "o2 off"
        case care.OpenAirway():
            return action.how + ("" if action.held else " off")
        case care.PlaceAirway():
            text = f"{AIRWAY_WORD[action.device]} {plain(action.size)}"
            text += f" at {plain(action.depth_cm)}" if action.depth_cm else ""
            text += f" {action.place}" if action.place != "trachea" else ""
            return text + (f" leak {_percent(action.leak_frac)}" if action.leak_frac else "")
        case care.RemoveAirway():
            return "airway out"
        case care.ClearAirway():
            return action.how + (f" {_percent(action.cleared_frac)}" if action.cleared_frac != 1 else "")
        case care.Ventilate():
            text = f"bag {plain(action.rate_per_min)} {plain(action.volume_ml)} ml"
            return text + (f" leak {_percent(action.leak_frac)}" if action.leak_frac != 0.1 else "")
        case care.StopVentilating():
            return "bag stop"
    return ""


def _trauma_and_heart(action: care.Action) -> str:
    match action:
        case care.ControlBleeding():
            word = {"tourniquet": "tq", "packing": "pack"}.get(action.how, "press")
            share = f" {_percent(action.stopped_frac)}" if action.stopped_frac != 1 else ""
            return f"{word} {action.site}{share}"
        case care.ReleaseBleeding():
            return f"release {action.site}"
        case care.DecompressChest():
            return f"needle {action.side} {action.space} {action.line} {action.gauge}g"
        case care.SealChest():
            return f"seal {action.side}" + ("" if action.vented else " unvented")
        case care.Compress():
            text = f"cpr {plain(action.rate_per_min)}/min {plain(action.depth_cm)} cm"
            return text + (f" recoil {_percent(action.recoil_frac)}" if action.recoil_frac != 1 else "")
        case care.StopCompressions():
            return "cpr stop"
        case care.Shock():
            return f"shock {plain(action.energy_j)} j" + (" sync" if action.synchronised else "")
    return ""


def _rest(action: care.Action) -> str:
    match action:
        case care.Position():
            return f"position {action.posture}"
        case care.Attach():
            return f"{SENSOR_WORD[action.sensor]} on" + (f" {action.site}" if action.site else "")
        case care.Detach():
            return f"{SENSOR_WORD[action.sensor]} off"
        case care.MeasurePressure():
            return f"bp {action.site}"
        case care.Examine():
            return f"look {f'{action.side} ' if action.side else ''}{action.finding}"
        case care.Survey():
            return f"survey {action.part}"
        case care.Say():
            return f"{_SAY[action.what]} {action.text}".strip()
        case care.Other():
            return f"other {action.text}"
    raise TypeError(f"no shorthand for {type(action).__name__}")
