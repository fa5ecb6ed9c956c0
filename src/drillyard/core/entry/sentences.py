"""Every action as one full sentence, with the words of it that deserve weight.

The sentence is what the operator sees before Enter, what the log keeps and what the debrief reads out.
"""

from functools import singledispatch

from drillyard.core.care import actions as care
from drillyard.core.entry.grammar.bleeding_chest import space_text
from drillyard.core.entry.grammar.dose_texts import dose_text
from drillyard.core.entry.reader import plain

Said = tuple[str, tuple[str, ...]]
"""A sentence and the words of it that deserve weight."""


def sentence_of(action: care.Action) -> str:
    """The full sentence of an action."""
    return said_of(action)[0]


def said_of(action: care.Action) -> Said:
    """The full sentence of an action and its emphasised words (side, dose, route, size)."""
    text, emphasis = _said(action)
    sentence = text[:1].upper() + text[1:]
    return sentence, tuple(sentence[: len(word)] if text.startswith(word) else word for word in emphasis if word)


def _percent(share: float) -> str:
    return f"{plain(float(f'{share * 100:.12g}'))} %"


def _if(condition: object, text: str) -> str:
    return text if condition else ""


@singledispatch
def _said(action: object) -> Said:
    raise TypeError(f"no sentence for {type(action).__name__}")


# ---- drugs, fluids and lines ---------------------------------------------------------------------------------------


@_said.register
def _(action: care.GiveDrug) -> Said:
    dose = dose_text(action.dose, action.dose_unit)
    text = f"{action.drug} {dose} {action.route}" + _if(action.site, f", {action.site}")
    text += _if(action.over_s, f", over {time_text(action.over_s)}")
    return text + _if(action.confirmed_unusual, " (unusual dose, confirmed)"), (dose, action.route)


@_said.register
def _(action: care.StartInfusion) -> Said:
    rate = dose_text(action.rate, action.rate_unit)
    strength = f" of {plain(action.strength_per_ml)} per mL" if action.strength_per_ml else ""
    text = f"{action.drug} infusion {rate}{strength} {action.route}" + _if(action.site, f", {action.site}")
    return text + _if(action.confirmed_unusual, " (unusual rate, confirmed)"), (rate, action.route)


@_said.register
def _(action: care.StopInfusion) -> Said:
    return f"stop {action.drug} infusion", (action.drug,)


@_said.register
def _(action: care.StartFluid) -> Said:
    volume = f"{plain(action.volume_ml)} mL"
    pace = f" at {plain(action.rate_ml_per_min)} mL/min" if action.rate_ml_per_min else ", wide open"
    text = f"start {action.fluid} {volume}{pace}" + _if(action.line, f", line at the {action.line}")
    return text, (action.fluid, volume)


@_said.register
def _(action: care.StopFluid) -> Said:
    return f"stop {action.fluid}", (action.fluid,)


@_said.register
def _(action: care.PlaceLine) -> Said:
    text = f"{action.line_kind} line, {action.gauge} G, {action.site}" + _if(not action.patent, ", blocked")
    return text, (action.line_kind, action.site)


@_said.register
def _(action: care.RemoveLine) -> Said:
    return f"line taken out, {action.site}", (action.site,)


# ---- airway, oxygen and breaths ------------------------------------------------------------------------------------


@_said.register
def _(action: care.GiveOxygen) -> Said:
    flow = f"{plain(action.flow_l_per_min)} L/min"
    return f"oxygen {flow} by {action.device}", (flow, action.device)


@_said.register
def _(action: care.StopOxygen) -> Said:
    return "oxygen off", ("off",)


@_said.register
def _(action: care.OpenAirway) -> Said:
    return (f"{action.how}, held" if action.held else f"{action.how} let go"), (action.how,)


@_said.register
def _(action: care.PlaceAirway) -> Said:
    is_tube = action.device == "tracheal tube"
    text = action.device + _if(action.size, f", size {plain(action.size)}")
    text += _if(action.depth_cm, f" at {plain(action.depth_cm)} cm") + _if(is_tube, f", in the {action.place}")
    text += _if(action.leak_frac, f", leak {_percent(action.leak_frac)}")
    return text, (_if(action.size, plain(action.size)), _if(is_tube, action.place))


@_said.register
def _(action: care.RemoveAirway) -> Said:
    return "airway device taken out", ("out",)


@_said.register
def _(action: care.ClearAirway) -> Said:
    text = f"airway cleared by {action.how}"
    return text + _if(action.cleared_frac < 1, f", {_percent(action.cleared_frac)} clear"), (action.how,)


@_said.register
def _(action: care.Ventilate) -> Said:
    rate, volume = f"{plain(action.rate_per_min)}/min", f"{plain(action.volume_ml)} mL"
    return f"breaths by bag {rate}, {volume}, leak {_percent(action.leak_frac)}", (rate, volume)


@_said.register
def _(action: care.SetVentilator) -> Said:
    oxygen, peep = f"{_percent(action.o2_frac)} oxygen", f"{plain(action.peep_cmh2o)} cmH2O"
    above = f"{plain(action.pressure_cmh2o)} over {peep}"
    rate, volume = f"{plain(action.rate_per_min)}/min", f"{plain(action.volume_ml)} mL"
    leak = _if(action.leak_frac, f", leak {_percent(action.leak_frac)}")
    match action.mode:
        case "CPAP":
            return f"CPAP {peep}, {oxygen}{leak}", (peep, oxygen)
        case "bilevel":
            return f"bilevel pressure {above}, at least {rate}, {oxygen}{leak}", (above, oxygen)
        case "pressure":
            return f"ventilator {rate}, {above}, {oxygen}{leak}", (rate, above, oxygen)
        case _:
            return f"ventilator {rate}, {volume}, end-expiratory {peep}, {oxygen}{leak}", (rate, volume, oxygen)


@_said.register
def _(action: care.StopVentilating) -> Said:
    return "breaths by bag stopped", ("stopped",)


# ---- bleeding, chest, heart ----------------------------------------------------------------------------------------


@_said.register
def _(action: care.ControlBleeding) -> Said:
    share = _if(action.stopped_frac < 1, f", {_percent(action.stopped_frac)} stopped")
    return f"{action.how}, {action.site}{share}", (action.site,)


@_said.register
def _(action: care.ReleaseBleeding) -> Said:
    return f"tourniquet or packing taken off, {action.site}", (action.site,)


@_said.register
def _(action: care.DecompressChest) -> Said:
    space = space_text(action.space)
    text = f"decompress the {action.side} chest, {space} space, {action.line} line, {action.gauge} G"
    return text, (action.side, space, action.line)


@_said.register
def _(action: care.InsertChestTube) -> Said:
    return f"chest tube, {action.side} side", (action.side,)


@_said.register
def _(action: care.SealChest) -> Said:
    return f"{'vented' if action.vented else 'unvented'} chest seal, {action.side} side", (action.side,)


@_said.register
def _(action: care.Compress) -> Said:
    rate, depth = f"{plain(action.rate_per_min)}/min", f"{plain(action.depth_cm)} cm"
    recoil = _if(action.recoil_frac < 1, f", recoil {_percent(action.recoil_frac)}")
    return f"chest compressions {rate}, {depth}{recoil}", (rate, depth)


@_said.register
def _(action: care.StopCompressions) -> Said:
    return "chest compressions stopped", ("stopped",)


@_said.register
def _(action: care.Shock) -> Said:
    energy = f"{plain(action.energy_j)} J"
    return f"{_if(action.synchronised, 'synchronised ')}shock {energy}", (energy,)


# ---- posture, sensors, looks, words --------------------------------------------------------------------------------


@_said.register
def _(action: care.Position) -> Said:
    posture = {"legs raised": "flat with legs raised", "head up 30": "head up 30 degrees"}
    return f"patient {posture.get(action.posture, action.posture)}", (action.posture,)


@_said.register
def _(action: care.Attach) -> Said:
    return f"{action.sensor} on" + _if(action.site, f", {action.site}"), (action.sensor, "on")


@_said.register
def _(action: care.Detach) -> Said:
    return f"{action.sensor} off", (action.sensor, "off")


@_said.register
def _(action: care.MeasurePressure) -> Said:
    return f"measure pressure by cuff, {action.site}", (action.site,)


@_said.register
def _(action: care.RepeatPressure) -> Said:
    if action.every_s <= 0.0:
        return "cuff no longer cycles by itself", ("no longer",)
    every = f"every {time_text(action.every_s)}"
    return f"cuff cycles by itself {every}" + _if(action.site, f", {action.site}"), (every, action.site)


@_said.register
def _(action: care.Examine) -> Said:
    return f"examine {action.finding}" + _if(action.side, f", {action.side}"), (action.side or "",)


@_said.register
def _(action: care.Survey) -> Said:
    return f"primary survey: {action.part} done", (action.part,)


@_said.register
def _(action: care.Say) -> Said:
    return action.what + _if(action.text, f": {action.text}"), ()


@_said.register
def _(action: care.Other) -> Said:
    return f"{action.text} (kept in the log; not modelled, the body does not change)", ("not modelled",)


# ---- times ---------------------------------------------------------------------------------------------------------


def time_text(seconds: float) -> str:
    """A length of time as said: "10 min", "30 s", "90 s"."""
    return f"{plain(seconds / 60)} min" if seconds >= 60 and seconds % 60 == 0 else f"{plain(seconds)} s"


def clock_text(seconds: float) -> str:
    """A time of the run: "2:10", "-0:30", "1:02:10"."""
    whole = round(abs(seconds))
    sign = "-" if seconds < 0 and whole else ""
    hours, rest = divmod(whole, 3600)
    text = f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}"
    return sign + text
