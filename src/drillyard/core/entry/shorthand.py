"""An action as the shorthand that would be typed for it: the inverse of ``parse``.

``parse(shorthand_of(action))`` gives the same action for every action that can be typed; corrections, crew scripts
and completions use it.
"""

from functools import singledispatch
from typing import Final

from drillyard.core.care import actions as care
from drillyard.core.entry.reader import plain
from drillyard.core.entry.words import AIRWAY_WORD, ROUTE_WORD, SENSOR_WORD

_SAY: Final[dict[str, str]] = {
    "order": "order", "read-back": "readback", "call-out": "callout", "asked history": "ask:",
    "asked allergy": "ask allergies", "stated weight": "weight", "leader named": "leader",
    "called for help": "help called", "report started": "report start", "report item": "report:",
    "report ended": "report end", "handover": "handover",
}  # fmt: skip
_HOW: Final = {
    "tourniquet": "tq", "packing": "pack", "direct pressure": "press", "pelvic binder": "binder", "massage": "massage",
}  # fmt: skip
_UNIT: Final = {"ug": "mcg", "mL": "ml"}


def _percent(share: float) -> str:
    return f"{plain(float(f'{share * 100:.12g}'))}%"


def _rate(unit: str) -> str:
    return unit.replace("ug", "mcg").replace("mL", "ml")


def _if(condition: object, text: str) -> str:
    return text if condition else ""


@singledispatch
def shorthand_of(action: object) -> str:
    """The line that, typed, gives this action."""
    raise TypeError(f"no shorthand for {type(action).__name__}")


@shorthand_of.register
def _(action: care.GiveDrug) -> str:
    unit = _UNIT.get(action.dose_unit, action.dose_unit)
    text = f"{action.drug} {plain(action.dose)} {unit} {ROUTE_WORD[action.route]}"
    return text + _if(action.site, f" at {action.site}") + _if(action.over_s, f" over {plain(action.over_s)} s")


@shorthand_of.register
def _(action: care.StartInfusion) -> str:
    text = f"{action.drug} {plain(action.rate)} {_rate(action.rate_unit)}"
    text += _if(action.strength_per_ml, f" of {plain(action.strength_per_ml)} per ml")
    return f"{text} {ROUTE_WORD[action.route]}" + _if(action.site, f" at {action.site}")


@shorthand_of.register
def _(action: care.StopInfusion) -> str:
    return f"{action.drug} stop"


@shorthand_of.register
def _(action: care.StartFluid) -> str:
    text = f"{action.fluid} {plain(action.volume_ml)} ml"
    text += _if(action.rate_ml_per_min, f" at {plain(action.rate_ml_per_min)} ml/min")
    return text + _if(action.line, f" via {action.line}")


@shorthand_of.register
def _(action: care.StopFluid) -> str:
    return f"{action.fluid} stop"


@shorthand_of.register
def _(action: care.PlaceLine) -> str:
    return f"{action.line_kind.lower()} {action.gauge} {action.site}" + _if(not action.patent, " blocked")


@shorthand_of.register
def _(action: care.RemoveLine) -> str:
    return f"line out {action.site}"


@shorthand_of.register
def _(action: care.GiveOxygen) -> str:
    return f"o2 {plain(action.flow_l_per_min)} {action.device}"


@shorthand_of.register
def _(action: care.StopOxygen) -> str:
    return "o2 off"


@shorthand_of.register
def _(action: care.OpenAirway) -> str:
    return action.how + _if(not action.held, " off")


@shorthand_of.register
def _(action: care.PlaceAirway) -> str:
    text = f"{AIRWAY_WORD[action.device]} {plain(action.size)}" + _if(action.depth_cm, f" at {plain(action.depth_cm)}")
    return text + _if(action.place != "trachea", f" {action.place}") + _leak(action.leak_frac, 0.0)


@shorthand_of.register
def _(action: care.RemoveAirway) -> str:
    return "airway out"


@shorthand_of.register
def _(action: care.ClearAirway) -> str:
    return action.how + _if(action.cleared_frac != 1, f" {_percent(action.cleared_frac)}")


@shorthand_of.register
def _(action: care.Ventilate) -> str:
    return f"bag {plain(action.rate_per_min)} {plain(action.volume_ml)} ml" + _leak(action.leak_frac, 0.1)


def _leak(leak_frac: float, usual_frac: float) -> str:
    return _if(leak_frac != usual_frac, f" leak {_percent(leak_frac)}")


@shorthand_of.register
def _(action: care.SetVentilator) -> str:
    above = f"{plain(action.pressure_cmh2o)} over {plain(action.peep_cmh2o)}"
    match action.mode:
        case "CPAP":
            text = f"cpap {plain(action.peep_cmh2o)}"
        case "bilevel":
            text = f"bilevel {above} rate {plain(action.rate_per_min)}"
        case "pressure":
            text = f"vent pressure {plain(action.rate_per_min)} {above}"
        case _:
            volume = f"{plain(action.volume_ml)} ml peep {plain(action.peep_cmh2o)}"
            text = f"vent volume {plain(action.rate_per_min)} {volume}"
    return f"{text} {_percent(action.o2_frac)}{_leak(action.leak_frac, 0.0)}"


@shorthand_of.register
def _(action: care.StopVentilating) -> str:
    return "bag stop"


@shorthand_of.register
def _(action: care.ControlBleeding) -> str:
    return f"{_HOW[action.how]} {action.site}" + _if(action.stopped_frac != 1, f" {_percent(action.stopped_frac)}")


@shorthand_of.register
def _(action: care.ReleaseBleeding) -> str:
    return f"release {action.site}"


@shorthand_of.register
def _(action: care.DecompressChest) -> str:
    return f"needle {action.side} {action.space} {action.line} {action.gauge}g"


@shorthand_of.register
def _(action: care.InsertChestTube) -> str:
    return f"chest tube {action.side}"


@shorthand_of.register
def _(action: care.SealChest) -> str:
    return f"seal {action.side}" + _if(not action.vented, " unvented")


@shorthand_of.register
def _(action: care.Compress) -> str:
    text = f"cpr {plain(action.rate_per_min)}/min {plain(action.depth_cm)} cm"
    return text + _if(action.recoil_frac != 1, f" recoil {_percent(action.recoil_frac)}")


@shorthand_of.register
def _(action: care.StopCompressions) -> str:
    return "cpr stop"


@shorthand_of.register
def _(action: care.Shock) -> str:
    return f"shock {plain(action.energy_j)} j" + _if(action.synchronised, " sync")


@shorthand_of.register
def _(action: care.Position) -> str:
    return f"position {action.posture}"


@shorthand_of.register
def _(action: care.Attach) -> str:
    return f"{SENSOR_WORD[action.sensor]} on" + _if(action.site, f" {action.site}")


@shorthand_of.register
def _(action: care.Detach) -> str:
    return f"{SENSOR_WORD[action.sensor]} off"


@shorthand_of.register
def _(action: care.MeasurePressure) -> str:
    return f"bp {action.site}"


@shorthand_of.register
def _(action: care.RepeatPressure) -> str:
    if action.every_s <= 0.0:
        return "cuff auto off"
    return f"cuff auto {plain(action.every_s)} s" + _if(action.site, f" {action.site}")


@shorthand_of.register
def _(action: care.Examine) -> str:
    return f"look {_if(action.side, f'{action.side} ')}{action.finding}"


@shorthand_of.register
def _(action: care.Survey) -> str:
    return f"survey {action.part}"


@shorthand_of.register
def _(action: care.Say) -> str:
    return f"{_SAY[action.what]} {action.text}".strip()


@shorthand_of.register
def _(action: care.Other) -> str:
    return f"other {action.text}"
