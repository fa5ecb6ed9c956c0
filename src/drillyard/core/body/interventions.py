"""What care does to the body: each action of the shared vocabulary as controls.

Where an action has no effect on a bare body (a look, a word, a sensor) nothing happens here and the log keeps it.
``act`` gives back a sentence when the operator should know something ("no wound there").
"""

from typing import Final, get_args

from drillyard.core.body.problem_effects import WOUNDS, Controlled
from drillyard.core.care.actions import (
    Action,
    ClearAirway,
    Compress,
    ControlBleeding,
    DecompressChest,
    Fluid,
    GiveDrug,
    GiveOxygen,
    OpenAirway,
    PlaceAirway,
    PlaceLine,
    Position,
    ReleaseBleeding,
    RemoveAirway,
    RemoveLine,
    SealChest,
    Shock,
    StartFluid,
    StartInfusion,
    StopCompressions,
    StopFluid,
    StopInfusion,
    StopOxygen,
    StopVentilating,
    Ventilate,
)

OXYGEN_DEVICES: Final = {
    "nasal cannula": 1.0, "simple mask": 2.0, "reservoir mask": 3.0, "bag with reservoir": 4.0,
    "bag without reservoir": 5.0, "tight circuit": 6.0,
}  # fmt: skip
LINE_FLOW_ML_PER_MIN: Final = {14: 240.0, 16: 180.0, 17: 140.0, 18: 90.0, 20: 60.0, 22: 35.0, 24: 20.0}
"""Gravity flow of crystalloid by gauge: order of the figures printed on cannula packs (from memory)."""
IO_FLOW_ML_PER_MIN: Final = 80.0
"""Intraosseous line under a pressure bag (from memory)."""
FLUIDS: Final[tuple[Fluid, ...]] = get_args(Fluid)
BLOOD_FLUIDS: Final[tuple[Fluid, ...]] = ("red cells", "plasma", "whole blood")
NEEDLE_VENT_ML_PER_S_PER_CMH2O: Final = {10: 60.0, 12: 45.0, 14: 30.0, 16: 18.0, 18: 8.0}
"""Outflow of a decompression needle by gauge (from memory: a 14-gauge needle empties litres in a minute)."""
DEEP_TUBE_CM: Final = 27.0
"""Depth at the teeth beyond which an adult tube lies in the right main stem (usual depth 21 to 23 cm, from memory)."""
TILT_DEG: Final = {
    "flat": 0.0, "head up 30": 30.0, "sitting": 70.0, "legs raised": 0.0, "recovery position": 0.0, "left tilt": 0.0,
}  # fmt: skip


def act(body: Controlled, action: Action) -> str:  # noqa: PLR0911, PLR0912 - one case an action, each a few lines
    """Let ``action`` act on ``body``; the sentence to tell the operator, or nothing."""
    match action:
        case GiveDrug():
            body.give(action.drug, action.dose, action.dose_unit, action.route, action.over_s, action.site)
        case StartInfusion():
            body.infuse(action.drug, action.rate, action.rate_unit, action.route, action.site, action.strength_per_ml)
        case StopInfusion():
            return "" if body.stop_infusion(action.drug) else f"No infusion of {action.drug} was running."
        case StartFluid():
            return _start_fluid(body, action)
        case StopFluid():
            body.set_control(f"{_stem(action.fluid)}_ml_per_min", 0.0)
            body.set_control(f"{_stem(action.fluid)}_left_ml", 0.0)
        case PlaceLine():
            flow = IO_FLOW_ML_PER_MIN if action.line_kind == "IO" else LINE_FLOW_ML_PER_MIN.get(action.gauge, 60.0)
            body.notes["lines"][action.site] = str(flow if action.patent else 0.0)
        case RemoveLine():
            return _remove_line(body, action)
        case GiveOxygen():
            body.set_control("oxygen_device_code", OXYGEN_DEVICES[action.device])
            body.set_control("oxygen_flow_l_per_min", action.flow_l_per_min)
        case StopOxygen():
            body.set_control("oxygen_device_code", 0.0)
            body.set_control("oxygen_flow_l_per_min", 0.0)
        case OpenAirway():
            _hold_airway(body, "hand", held=action.held)
        case PlaceAirway():
            return _place_airway(body, action)
        case RemoveAirway():
            body.set_control("airway_device_code", 0.0)
        case ClearAirway():
            for blocked in ("airway_block_frac", "secretions_frac"):
                body.set_control(blocked, body.control(blocked) * (1.0 - action.cleared_frac))
        case Ventilate():
            _ventilate(body, action)
        case StopVentilating():
            body.set_control("given_breath_rate_per_min", 0.0)
        case ControlBleeding():
            return _bleeding(body, action.site, action.stopped_frac)
        case ReleaseBleeding():
            return _bleeding(body, action.site, 0.0)
        case DecompressChest():
            return _decompress(body, action)
        case SealChest():
            return _seal(body, action)
        case Compress():
            body.set_control("compression_rate_per_min", action.rate_per_min)
            body.set_control("compression_depth_cm", action.depth_cm)
            body.set_control("compression_recoil_frac", action.recoil_frac)
        case StopCompressions():
            body.set_control("compression_rate_per_min", 0.0)
        case Shock():
            if action.synchronised and body.read("rhythm_code") > 0.5:
                return "Synchronised: there is no R wave to follow, so no shock is given."
            body.set_control("shock_j", action.energy_j)
        case Position():
            body.set_control("tilt_deg", TILT_DEG[action.posture])
            body.set_control("legs_raised", 1.0 if action.posture == "legs raised" else 0.0)
            body.set_control("uterus_displaced", 1.0 if action.posture in ("left tilt", "recovery position") else 0.0)
            _hold_airway(body, "posture", held=action.posture == "recovery position")
        case _:
            pass
    return ""


def _hold_airway(body: Controlled, by: str, *, held: bool) -> None:
    """A hand and the recovery position each hold the airway open; it falls back when the last of them lets go."""
    holders = body.notes.setdefault("airway", {})
    if held:
        holders[by] = "held"
    elif holders.pop(by, None) is None:
        return
    body.set_control("airway_held_open", 1.0 if holders else 0.0)


def _stem(fluid: str) -> str:
    return fluid.replace(" ", "_")


def _start_fluid(body: Controlled, action: StartFluid) -> str:
    flows = {site: float(flow) for site, flow in body.notes["lines"].items()}
    limit = flows.get(action.line, 0.0) if action.line else max(flows.values(), default=0.0)
    if limit <= 0.0:
        return "No patent line: the fluid does not run. Log a line first."
    rate = min(action.rate_ml_per_min, limit) if action.rate_ml_per_min > 0.0 else limit
    if action.fluid in BLOOD_FLUIDS and action.rate_ml_per_min <= 0.0:
        rate = min(rate, 0.5 * limit)  # thicker than crystalloid
    stem = _stem(action.fluid)
    if action.temperature_degc is not None:
        body.set_control(
            "blood_bag_degc" if action.fluid in BLOOD_FLUIDS else "fluid_degc",
            min(max(action.temperature_degc, 0.0), 43.0),
        )
    body.set_control(f"{stem}_ml_per_min", rate)
    body.set_control(f"{stem}_left_ml", body.control(f"{stem}_left_ml") + action.volume_ml)
    return "" if rate >= action.rate_ml_per_min else f"This line lets {rate:.0f} mL/min through."


def _remove_line(body: Controlled, action: RemoveLine) -> str:
    lines = body.notes["lines"]
    lines.pop(action.site, None)
    running = [stem for stem in map(_stem, FLUIDS) if body.control(f"{stem}_left_ml") > 0.0]
    if not running or any(float(flow) > 0.0 for flow in lines.values()):
        return ""
    for fluid in running:
        body.set_control(f"{fluid}_left_ml", 0.0)
    return "That was the last patent line: the fluid has stopped."


def _place_airway(body: Controlled, action: PlaceAirway) -> str:
    if action.device == "pharyngeal airway":
        code = 1.0
    elif action.device == "supraglottic airway":
        code = 2.0
    else:
        place = action.place
        if place == "trachea" and action.depth_cm >= DEEP_TUBE_CM:
            place = "right main stem"
        code = {"trachea": 3.0, "gullet": 4.0, "right main stem": 5.0}[place]
    body.set_control("airway_device_code", code)
    body.set_control("airway_device_leak_frac", action.leak_frac)
    if code == 5.0 and action.place == "trachea":
        return f"At {action.depth_cm:.0f} cm the tube lies in the right main stem."
    return ""


def _ventilate(body: Controlled, action: Ventilate) -> None:
    body.set_control("given_breath_rate_per_min", action.rate_per_min)
    body.set_control("given_breath_volume_ml", action.volume_ml)
    if body.control("airway_device_code") < 2.0:  # a mask leaks by the hand that holds it, a device by its own cuff
        body.set_control("airway_device_leak_frac", action.leak_frac)
    # whoever bags takes the oxygen that flows over to the bag
    if body.control("oxygen_flow_l_per_min") > 0.0 and body.control("oxygen_device_code") < 4.0:
        body.set_control("oxygen_device_code", 4.0)


def _bleeding(body: Controlled, site: str, stopped_frac: float) -> str:
    found = False
    for entry in body.notes["wounds"].values():
        number, _, wound_site = entry.partition("|")
        if 1 <= int(number) <= WOUNDS and _same_place(site, wound_site):
            body.set_control(f"wound_{number}_controlled_frac", stopped_frac)
            found = True
    return "" if found else f"No bleeding wound at the {site}: nothing changes."


def _same_place(said: str, wound: str) -> bool:
    """A tourniquet on the thigh also stops what bleeds below it."""
    said_words, wound_words = said.lower().split(), wound.lower().split()
    if said_words == wound_words:
        return True
    limb = {"leg": {"leg", "foot"}, "thigh": {"thigh", "leg", "foot"}, "arm": {"arm", "hand"}}
    return (
        len(said_words) == 2
        and len(wound_words) == 2
        and said_words[0] == wound_words[0]
        and wound_words[1] in limb.get(said_words[1], set())
    )


def _decompress(body: Controlled, action: DecompressChest) -> str:
    right_place = (action.space in (4, 5) and action.line != "mid clavicular") or (
        action.space in (2, 3) and action.line == "mid clavicular"
    )
    if not right_place:
        return f"Space {action.space}, {action.line} line is not a place where air is reached: nothing changes."
    flow = NEEDLE_VENT_ML_PER_S_PER_CMH2O.get(action.gauge, 8.0)
    body.set_control(f"chest_vent_{action.side}_ml_per_s_per_cmh2o", flow)
    body.open_vent(action.side)
    return ""


def _seal(body: Controlled, action: SealChest) -> str:
    wound = f"chest_wound_{action.side}_ml_per_s_per_cmh2o"
    open_flow = body.control(wound)
    body.notes["chest"][action.side] = "sealed"
    body.set_control(wound, 0.0)
    if open_flow <= 0.0:
        return f"No open wound on the {action.side} chest: nothing changes."
    if action.vented:
        vent = f"chest_vent_{action.side}_ml_per_s_per_cmh2o"
        body.set_control(vent, max(body.control(vent), open_flow))
    return ""
