"""Every action as one full sentence, with the words of it that deserve weight.

The sentence is what the operator sees before Enter, what the log keeps and what the debrief reads out.
"""

from drillyard.core.care import actions as care
from drillyard.core.entry.grammar.bleeding_chest import space_text
from drillyard.core.entry.grammar.drugs import dose_text
from drillyard.core.entry.reader import plain

Said = tuple[str, tuple[str, ...]]
"""A sentence and the words of it that deserve weight."""


def sentence_of(action: care.Action) -> str:
    """The full sentence of an action."""
    return said_of(action)[0]


def said_of(action: care.Action) -> Said:
    """The full sentence of an action and its emphasised words (side, dose, route, size)."""
    text, emphasis = _drugs_and_lines(action) or _airway(action) or _trauma_and_heart(action) or _rest(action)
    sentence = text[:1].upper() + text[1:]
    return sentence, tuple(sentence[: len(word)] if text.startswith(word) else word for word in emphasis if word)


def _drugs_and_lines(action: care.Action) -> Said | None:
    match action:
        case care.GiveDrug():
            dose = dose_text(action.dose, action.dose_unit)
            text = f"{action.drug} {dose} {action.route}" + (f", {action.site}" if action.site else "")
            text += f", over {time_text(action.over_s)}" if action.over_s else ""
            text += " (unusual dose, confirmed)" if action.confirmed_unusual else ""
            return text, (dose, action.route)
        case care.StartFluid():
            volume = f"{plain(action.volume_ml)} mL"
            text = f"start {action.fluid} {volume}"
            text += f" at {plain(action.rate_ml_per_min)} mL/min" if action.rate_ml_per_min else ", wide open"
            return text + (f", line at the {action.line}" if action.line else ""), (action.fluid, volume)
        case care.StopFluid():
            return f"stop {action.fluid}", (action.fluid,)
        case care.PlaceLine():
            text = f"{action.line_kind} line, {action.gauge} G, {action.site}"
            return text + ("" if action.patent else ", blocked"), (action.line_kind, action.site)
        case care.RemoveLine():
            return f"line taken out, {action.site}", (action.site,)
    return None


def _airway(action: care.Action) -> Said | None:
    match action:
        case care.GiveOxygen():
            flow = f"{plain(action.flow_l_per_min)} L/min"
            return f"oxygen {flow} by {action.device}", (flow, action.device)
        case care.StopOxygen():
            return "oxygen off", ("off",)
        case care.OpenAirway():
            return (f"{action.how}, held" if action.held else f"{action.how} let go"), (action.how,)
        case care.PlaceAirway():
            size = plain(action.size)
            text = f"{action.device}" + (f", size {size}" if action.size else "")
            text += f" at {plain(action.depth_cm)} cm" if action.depth_cm else ""
            text += f", in the {action.place}" if action.device == "tracheal tube" else ""
            leak = f", leak {_percent(action.leak_frac)}" if action.leak_frac else ""
            return text + leak, (size, action.place if action.device == "tracheal tube" else "")
        case care.RemoveAirway():
            return "airway device taken out", ("out",)
        case care.ClearAirway():
            text = f"airway cleared by {action.how}"
            return text + (f", {_percent(action.cleared_frac)} clear" if action.cleared_frac < 1 else ""), (action.how,)
        case care.Ventilate():
            rate = f"{plain(action.rate_per_min)}/min"
            volume = f"{plain(action.volume_ml)} mL"
            return (f"breaths by bag {rate}, {volume}, leak {_percent(action.leak_frac)}", (rate, volume))
        case care.StopVentilating():
            return "breaths by bag stopped", ("stopped",)
    return None


def _trauma_and_heart(action: care.Action) -> Said | None:
    match action:
        case care.ControlBleeding():
            text = f"{action.how}, {action.site}"
            share = f", {_percent(action.stopped_frac)} stopped" if action.stopped_frac < 1 else ""
            return text + share, (action.site,)
        case care.ReleaseBleeding():
            return f"tourniquet or packing taken off, {action.site}", (action.site,)
        case care.DecompressChest():
            text = f"decompress the {action.side} chest, {space_text(action.space)} space, {action.line} line, "
            return text + f"{action.gauge} G", (action.side, space_text(action.space), action.line)
        case care.SealChest():
            return (f"{'vented' if action.vented else 'unvented'} chest seal, {action.side} side", (action.side,))
        case care.Compress():
            rate, depth = (f"{plain(action.rate_per_min)}/min", f"{plain(action.depth_cm)} cm")
            recoil = f", recoil {_percent(action.recoil_frac)}" if action.recoil_frac < 1 else ""
            return f"chest compressions {rate}, {depth}{recoil}", (rate, depth)
        case care.StopCompressions():
            return "chest compressions stopped", ("stopped",)
        case care.Shock():
            energy = f"{plain(action.energy_j)} J"
            return f"{'synchronised ' if action.synchronised else ''}shock {energy}", (energy,)
    return None


def _rest(action: care.Action) -> Said:
    match action:
        case care.Position():
            posture = {"legs raised": "flat with legs raised", "head up 30": "head up 30 degrees"}
            return f"patient {posture.get(action.posture, action.posture)}", (action.posture,)
        case care.Attach():
            return f"{action.sensor} on" + (f", {action.site}" if action.site else ""), (action.sensor, "on")
        case care.Detach():
            return f"{action.sensor} off", (action.sensor, "off")
        case care.MeasurePressure():
            return f"measure pressure by cuff, {action.site}", (action.site,)
        case care.Examine():
            return f"examine {action.finding}" + (f", {action.side}" if action.side else ""), (action.side or "",)
        case care.Survey():
            return f"primary survey: {action.part} done", (action.part,)
        case care.Say():
            return f"{action.what}" + (f": {action.text}" if action.text else ""), ()
        case care.Other():
            return (f"{action.text} (kept in the log; not modelled, the body does not change)", ("not modelled",))
    raise TypeError(f"no sentence for {type(action).__name__}")


def _percent(share: float) -> str:
    return f"{plain(float(f'{share * 100:.12g}'))} %"


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
