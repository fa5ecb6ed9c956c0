"""What care does to the body: each action of the shared vocabulary as controls.

Where an action has no effect on a bare body (a look, a word, a sensor) nothing happens here and the log keeps it.
``act`` gives back a sentence when the operator should know something ("no wound there").
"""

from typing import Final

from drillyard.core.body import lines
from drillyard.core.body.problem_effects import WOUNDS, Controlled
from drillyard.core.care.actions import (
    Action,
    ClearAirway,
    Compress,
    ControlBleeding,
    DecompressChest,
    GiveDrug,
    GiveOxygen,
    InsertChestTube,
    OpenAirway,
    PlaceAirway,
    PlaceLine,
    Position,
    ReleaseBleeding,
    RemoveAirway,
    RemoveLine,
    SealChest,
    SetVentilator,
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
    "bag without reservoir": 5.0, "tight circuit": 6.0, "high-flow nasal cannula": 7.0,
}  # fmt: skip
VENTILATOR_MODES: Final = {"volume": 1.0, "pressure": 2.0, "CPAP": 3.0, "bilevel": 4.0}
WOMB_WORDS: Final = ("womb", "uterus")
BINDER_STOPS_FRAC: Final = 0.5
"""Most that a binder stops of a bleeding pelvis: veins and bone, not arteries (our choice)."""
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
            return lines.give(body, action)
        case StartInfusion():
            return lines.infuse(body, action)
        case StopInfusion():
            return "" if body.stop_infusion(action.drug) else f"No infusion of {action.drug} was running."
        case StartFluid():
            return lines.start_fluid(body, action)
        case StopFluid():
            lines.stop_fluid(body, action.fluid)
        case PlaceLine():
            lines.place_line(body, action)
        case RemoveLine():
            return lines.remove_line(body, action)
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
        case SetVentilator():
            _set_ventilator(body, action)
        case StopVentilating():
            body.set_control("given_breath_rate_per_min", 0.0)
            body.set_control("ventilator_mode_code", 0.0)
        case ControlBleeding():
            return _control_bleeding(body, action)
        case ReleaseBleeding():
            if action.site in WOMB_WORDS:
                body.set_control("womb_massage_frac", 0.0)
                body.set_control("womb_packed_frac", 0.0)
                return ""
            return _bleeding(body, action.site, 0.0)
        case DecompressChest():
            return _decompress(body, action)
        case InsertChestTube():
            body.set_control(f"chest_drain_{action.side}", 1.0)
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


def _set_ventilator(body: Controlled, action: SetVentilator) -> None:
    body.set_control("given_breath_rate_per_min", 0.0)
    body.set_control("ventilator_mode_code", VENTILATOR_MODES[action.mode])
    # steady pressure gives no breaths of its own
    body.set_control("ventilator_rate_per_min", 0.0 if action.mode == "CPAP" else action.rate_per_min)
    body.set_control("ventilator_volume_ml", action.volume_ml)
    body.set_control("ventilator_pressure_cmh2o", action.pressure_cmh2o)
    body.set_control("ventilator_peep_cmh2o", action.peep_cmh2o)
    body.set_control("ventilator_o2_frac", action.o2_frac)
    if body.control("airway_device_code") < 2.0 or action.leak_frac > 0.0:
        body.set_control("airway_device_leak_frac", action.leak_frac)


def _ventilate(body: Controlled, action: Ventilate) -> None:
    body.set_control("ventilator_mode_code", 0.0)
    body.set_control("given_breath_rate_per_min", action.rate_per_min)
    body.set_control("given_breath_volume_ml", action.volume_ml)
    if body.control("airway_device_code") < 2.0:  # a mask leaks by the hand that holds it, a device by its own cuff
        body.set_control("airway_device_leak_frac", action.leak_frac)
    # whoever bags takes the oxygen that flows over to the bag
    if body.control("oxygen_flow_l_per_min") > 0.0 and body.control("oxygen_device_code") < 4.0:
        body.set_control("oxygen_device_code", 4.0)


def _control_bleeding(body: Controlled, action: ControlBleeding) -> str:
    """By hand, band or packing.  Where blood goes into a cavity nothing from outside reaches the vessel."""
    if action.site in WOMB_WORDS:
        control = "womb_massage_frac" if action.how == "massage" else "womb_packed_frac"
        body.set_control(control, action.stopped_frac)
        return "" if body.control("womb_ml_per_min") > 0.0 else "The womb does not bleed: nothing changes."
    if action.how == "massage":
        return "Massage stops the bleeding of a womb and nothing else: nothing changes."
    inside = [place for place in _places_of(body, action.site) if place]
    if "pelvis" in inside and action.how == "pelvic binder":
        return _bleeding(body, action.site, min(action.stopped_frac, BINDER_STOPS_FRAC))
    if inside:
        return f"It bleeds into the {inside[0]}: nothing from outside reaches the vessel."
    if action.how == "pelvic binder":
        return "A binder holds a broken pelvis and nothing else: nothing changes."
    return _bleeding(body, action.site, action.stopped_frac)


def _places_of(body: Controlled, site: str) -> list[str]:
    """Where the wounds of a site bleed to: "" is outside."""
    numbers = [entry.partition("|") for entry in body.notes["wounds"].values()]
    codes = [body.control(f"wound_{n}_into_chest_code") for n, _, place in numbers if _same_place(site, place)]
    return [{1.0: "chest", 2.0: "chest", 3.0: "belly", 4.0: "pelvis"}.get(code, "") for code in codes]


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
