"""Outcomes held by a named cause: mean pressure, arterial saturation, end-tidal carbon dioxide.

In:       what is wanted and by which cause (controls), the outcome as it is.
Out:      what the cause does now: width of small arteries, strength of the heart, blood drawn off, open share of the
          lungs, drive to breathe; and by how much the set point of the opposing reflex is moved along.
Assumes:  a servo on the logarithm of the cause, limited in speed and size, that does not wind up: it stands still at
          its limits, and while the heart moves next to no blood.  The goal moves from the value of now to the wanted
          one and waits for the patient, and the set point of the carotid reflex (of the central carbon dioxide reflex)
          moves by as much as the goal has moved: the reflexes go on answering everything else.  Speeds and limits are
          our choice.
Left out: moving the carotid bodies along when saturation is held: breathing harder does next to nothing against a
          shunt, and a patient who is short of oxygen is to look it.  Lost blood does not come back on release.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp, larger, log
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("hold_pressure_weight_frac", 0.0, "1", "weight of the hold on mean pressure", "slow", 0.0),
    State("held_pressure_seen_mmhg", 0.0, "mmHg", "mean pressure that the servo sees, smoothed over a breath"),
    State("held_pressure_goal_mmhg", 0.0, "mmHg", "mean pressure that it asks for now"),
    State("held_pressure_moved_mmhg", 0.0, "mmHg", "by how much the goal has moved since the hold began"),
    State("held_width_log", 0.0, "1", "logarithm of resting over held resistance: above 0 wider"),
    State("held_weakness_log", 0.0, "1", "logarithm of own over held strength of the heart", "slow", 0.0),
    State("held_loss_ml_per_s", 0.0, "mL/s", "blood that the servo asks for now", "slow", 0.0),
    State("held_lost_ml", 0.0, "mL", "blood that it has taken since the hold began", "slow", 0.0),
    State("cause_resistance_frac", 1.0, "1", "resistance by the cause of a hold, 1 none", "slow", 0.0),
    State("cause_strength_frac", 1.0, "1", "strength of the heart by the cause of a hold, 1 none", "slow", 0.0),
    State("cause_loss_ml_per_s", 0.0, "mL/s", "blood drawn off by the cause of a hold", "slow", 0.0),
    State("cause_carotid_shift_mmhg", 0.0, "mmHg", "set point of the carotid reflex, moved along with a hold"),
    State("hold_saturation_weight_frac", 0.0, "1", "weight of the hold on arterial saturation", "slow", 0.0),
    State("held_saturation_goal_frac", 0.0, "1", "arterial saturation that the servo asks for now", "slow", 0.0),
    State("held_shunt_log", 0.0, "1", "logarithm of own over held open share of the lungs", "slow", 0.0),
    State("cause_open_frac", 1.0, "1", "open share of the lungs by the cause of a hold, 1 none", "slow", 0.0),
    State("hold_etco2_weight_frac", 0.0, "1", "weight of the hold on end-tidal carbon dioxide", "slow", 0.0),
    State("held_etco2_goal_mmhg", 0.0, "mmHg", "end-tidal carbon dioxide that the servo asks for now"),
    State("held_etco2_moved_mmhg", 0.0, "mmHg", "by how much the goal has moved since the hold began"),
    State("held_drive_log", 0.0, "1", "logarithm of held over own drive to breathe, the lasting part"),
    State("cause_drive_frac", 1.0, "1", "drive to breathe by the cause of a hold, 1 none", "slow", 0.0),
    State("cause_co2_shift_mmhg", 0.0, "mmHg", "set point of the central carbon dioxide reflex, moved along"),
)  # fmt: skip


def weight_nearer(weight_frac, on_frac, most_frac):
    """Weight of a hold after a second, moved by ``most_frac`` at most; a slower release is followed."""
    return weight_frac + clamp(on_frac - weight_frac, -most_frac, 0.2)


def goal_step(seen, goal, wanted, most, near):
    """How far a goal moves in a second: ``most`` at most, and only while what is seen is ``near`` enough to it."""
    step = clamp(wanted - goal, -most, most)
    waits = (step < 0.0 and seen - goal > near) or (step > 0.0 and goal - seen > near)
    return 0.0 if waits else step


def pressure_hold(
    hold_pressure_on, hold_pressure_mmhg, hold_pressure_cause_code, hold_pressure_weight_frac,
    held_pressure_seen_mmhg, held_pressure_goal_mmhg, held_pressure_moved_mmhg, held_width_log, held_weakness_log,
    held_loss_ml_per_s, held_lost_ml, cause_resistance_frac, cause_strength_frac, cause_loss_ml_per_s,
    cause_carotid_shift_mmhg, mean_arterial_pressure_mmhg, blood_volume_rest_ml, dt_slow_s,
):  # fmt: skip
    """Mean pressure by vessels (code 1 wider, 2 narrower), a weaker heart (3) or blood loss (4), over one second."""
    next_hold_pressure_weight_frac = hold_pressure_weight_frac
    next_held_pressure_seen_mmhg = held_pressure_seen_mmhg
    next_held_pressure_goal_mmhg = held_pressure_goal_mmhg
    next_held_pressure_moved_mmhg = held_pressure_moved_mmhg
    next_held_width_log = held_width_log
    next_held_weakness_log = held_weakness_log
    next_held_loss_ml_per_s = held_loss_ml_per_s
    next_held_lost_ml = held_lost_ml
    next_cause_resistance_frac = cause_resistance_frac
    next_cause_strength_frac = cause_strength_frac
    next_cause_loss_ml_per_s = cause_loss_ml_per_s
    next_cause_carotid_shift_mmhg = cause_carotid_shift_mmhg
    if hold_pressure_on + hold_pressure_weight_frac > 0.0:
        if hold_pressure_weight_frac <= 0.0:
            # a new hold starts from the patient as found
            next_held_pressure_seen_mmhg = mean_arterial_pressure_mmhg
            next_held_pressure_goal_mmhg = mean_arterial_pressure_mmhg
            next_held_pressure_moved_mmhg = 0.0
            next_held_width_log = 0.0
            next_held_weakness_log = 0.0
            next_held_loss_ml_per_s = 0.0
            next_held_lost_ml = 0.0
        next_held_pressure_seen_mmhg = next_held_pressure_seen_mmhg + (
            mean_arterial_pressure_mmhg - next_held_pressure_seen_mmhg
        ) * (dt_slow_s / 3.0)
        next_hold_pressure_weight_frac = weight_nearer(hold_pressure_weight_frac, hold_pressure_on, 0.2)
        seen = next_held_pressure_seen_mmhg
        if hold_pressure_on >= 1.0 and seen > 20.0:
            goal = next_held_pressure_goal_mmhg
            step = goal_step(seen, goal, hold_pressure_mmhg, 0.012 * goal, 0.08 * goal)
            next_held_pressure_goal_mmhg = goal + step
            next_held_pressure_moved_mmhg = next_held_pressure_moved_mmhg + step
            over = log(seen / larger(next_held_pressure_goal_mmhg, 5.0))
            push = clamp(over / 10.0, -0.04, 0.04)
            low = -1.4 if hold_pressure_cause_code > 1.5 and hold_pressure_cause_code < 2.5 else 0.0
            high = 2.0 if hold_pressure_cause_code < 1.5 else 0.0
            # a cause that is no longer the chosen one goes back as the other takes over
            widen = push if low < high else 0.0
            wanted_width = clamp(next_held_width_log + widen, low, high)
            next_held_width_log = next_held_width_log + clamp(wanted_width - next_held_width_log, -0.04, 0.04)
            is_pump = hold_pressure_cause_code > 2.5 and hold_pressure_cause_code < 3.5
            weaken = 1.5 * push if is_pump else -0.04
            next_held_weakness_log = clamp(next_held_weakness_log + weaken, 0.0, 2.3)
            asked = 0.0
            if hold_pressure_cause_code > 3.5 and next_held_lost_ml < 0.45 * blood_volume_rest_ml:
                asked = clamp(over / 50.0, 0.0, 0.0012) * blood_volume_rest_ml
            next_held_loss_ml_per_s = next_held_loss_ml_per_s + clamp(asked - next_held_loss_ml_per_s, -1.0, 1.0)
        elif hold_pressure_on < 1.0:
            next_held_loss_ml_per_s = 0.0
        weight = next_hold_pressure_weight_frac
        next_cause_resistance_frac = exp(-weight * next_held_width_log)
        next_cause_strength_frac = exp(-weight * next_held_weakness_log)
        next_cause_loss_ml_per_s = faded(weight * next_held_loss_ml_per_s)
        next_held_lost_ml = next_held_lost_ml + cause_loss_ml_per_s * dt_slow_s
        next_cause_carotid_shift_mmhg = weight * next_held_pressure_moved_mmhg
    return (
        next_hold_pressure_weight_frac, next_held_pressure_seen_mmhg, next_held_pressure_goal_mmhg,
        next_held_pressure_moved_mmhg, next_held_width_log, next_held_weakness_log, next_held_loss_ml_per_s,
        next_held_lost_ml, next_cause_resistance_frac, next_cause_strength_frac, next_cause_loss_ml_per_s,
        next_cause_carotid_shift_mmhg,
    )  # fmt: skip


def saturation_hold(
    hold_saturation_on, hold_saturation_pct, hold_saturation_weight_frac, held_saturation_goal_frac, held_shunt_log,
    cause_open_frac, sao2_frac,
):  # fmt: skip
    """Arterial saturation by a shunt, over one second."""
    next_hold_saturation_weight_frac = hold_saturation_weight_frac
    next_held_saturation_goal_frac = held_saturation_goal_frac
    next_held_shunt_log = held_shunt_log
    next_cause_open_frac = cause_open_frac
    if hold_saturation_on + hold_saturation_weight_frac > 0.0:
        if hold_saturation_weight_frac <= 0.0:
            next_held_saturation_goal_frac = sao2_frac
            next_held_shunt_log = 0.0
        next_hold_saturation_weight_frac = weight_nearer(hold_saturation_weight_frac, hold_saturation_on, 0.2)
        at_once = 0.0
        if hold_saturation_on >= 1.0:
            goal = next_held_saturation_goal_frac
            wanted = 0.01 * hold_saturation_pct
            next_held_saturation_goal_frac = goal + goal_step(sao2_frac, goal, wanted, 0.004, 0.02)
            over = sao2_frac - next_held_saturation_goal_frac
            at_once = clamp(5.0 * over, -0.3, 0.3)
            next_held_shunt_log = clamp(next_held_shunt_log + clamp(0.2 * over, -0.02, 0.02), 0.0, 1.9)
        shunted = clamp(next_held_shunt_log + at_once, 0.0, 1.9)
        next_cause_open_frac = exp(-next_hold_saturation_weight_frac * shunted)
    return next_hold_saturation_weight_frac, next_held_saturation_goal_frac, next_held_shunt_log, next_cause_open_frac


def etco2_hold(
    hold_etco2_on, hold_etco2_mmhg, hold_etco2_weight_frac, held_etco2_goal_mmhg, held_etco2_moved_mmhg,
    held_drive_log, cause_drive_frac, cause_co2_shift_mmhg, end_tidal_co2_mmhg,
):  # fmt: skip
    """End-tidal carbon dioxide by the drive to breathe, over one second."""
    next_hold_etco2_weight_frac = hold_etco2_weight_frac
    next_held_etco2_goal_mmhg = held_etco2_goal_mmhg
    next_held_etco2_moved_mmhg = held_etco2_moved_mmhg
    next_held_drive_log = held_drive_log
    next_cause_drive_frac = cause_drive_frac
    next_cause_co2_shift_mmhg = cause_co2_shift_mmhg
    if hold_etco2_on + hold_etco2_weight_frac > 0.0:
        if hold_etco2_weight_frac <= 0.0:
            next_held_etco2_goal_mmhg = end_tidal_co2_mmhg
            next_held_etco2_moved_mmhg = 0.0
            next_held_drive_log = 0.0
        next_hold_etco2_weight_frac = weight_nearer(hold_etco2_weight_frac, hold_etco2_on, 0.0125)
        at_once = 0.0
        if hold_etco2_on >= 1.0 and end_tidal_co2_mmhg > 8.0:
            goal = next_held_etco2_goal_mmhg
            step = goal_step(end_tidal_co2_mmhg, goal, hold_etco2_mmhg, 0.25, 0.12 * goal)
            next_held_etco2_goal_mmhg = goal + step
            next_held_etco2_moved_mmhg = next_held_etco2_moved_mmhg + step
            over = log(end_tidal_co2_mmhg / larger(next_held_etco2_goal_mmhg, 5.0))
            at_once = clamp(5.0 * over, -1.0, 1.0)
            next_held_drive_log = clamp(next_held_drive_log + clamp(0.2 * over, -0.02, 0.02), -2.0, 1.2)
        weight = next_hold_etco2_weight_frac
        next_cause_drive_frac = exp(weight * clamp(next_held_drive_log + at_once, -2.0, 1.2))
        next_cause_co2_shift_mmhg = weight * next_held_etco2_moved_mmhg
    return (
        next_hold_etco2_weight_frac, next_held_etco2_goal_mmhg, next_held_etco2_moved_mmhg, next_held_drive_log,
        next_cause_drive_frac, next_cause_co2_shift_mmhg,
    )  # fmt: skip


PARTS: Final = {"SLOW": (pressure_hold, saturation_hold, etco2_hold)}
