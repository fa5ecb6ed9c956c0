"""Reflexes of the circulation.

In:       pressure at the carotid sinus and in the right atrium, arterial gases, brain and heart oxygen.
Out:      sympathetic and vagal activity (0..1) and, after their own delays, what each effector feels.
Assumes:  one sympathetic and one vagal centre with sigmoid curves (shape of Kent 1972, Cardiology 57:295); carotid
          receptors saturate (slope 12 mmHg as in Ursino 1998, Am J Physiol 275:H1733); low-pressure receptors feel the
          right atrium (Heldt 2002, J Appl Physiol 92:1239); delays and time constants of Ursino 1998: rate 2 s + 2 s
          sympathetic and 1.5 s vagal, resistance 2 s + 6 s, contractility 2 s + 8 s, veins 5 s + 20 s; delays as
          chains of two lags.
          A heart that beats itself empty calls a faint; an ischaemic inferior wall calls the vagus.
Left out: separate nerves to single organs, renin and vasopressin, the faint of emotion or pain, tone that a cut cord
          wins back over weeks.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp, larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

_TUNED = "tuned to haemorrhage, tilt and neck suction (docs/body/nerves.md)"

NAMES: Final = (
    State("carotid_quick_mmhg", 94.56, "mmHg", "carotid pressure, smoothed over a beat"),
    State("carotid_slow_mmhg", 94.35, "mmHg", "carotid pressure, smoothed over some beats"),
    State("filling_mmhg", 5.443, "mmHg", "right atrial pressure over that of the chest, smoothed"),
    State("sympathetic_frac", 0.1763, "1", "sympathetic activity", "mid", 0.0),
    State("vagal_frac", 0.5302, "1", "vagal activity to the heart", "mid", 0.0),
    State("sympathetic_lag_1_frac", 0.1899, "1", "on its way, 1 s", "mid", 0.0),
    State("sympathetic_lag_2_frac", 0.1911, "1", "on its way, 2 s", "mid", 0.0),
    State("sympathetic_lag_5_frac", 0.1902, "1", "on its way, 5 s", "mid", 0.0),
    State("rate_drive_frac", 0.1902, "1", "sympathetic action on the sinus node", "mid", 0.0),
    State("vagal_drive_frac", 0.5148, "1", "vagal action on the sinus node", "mid", 0.0),
    State("resistance_drive_frac", 0.1902, "1", "sympathetic action on small arteries", "mid", 0.0),
    State("vein_drive_frac", 0.1902, "1", "sympathetic action on veins", "mid", 0.0),
    State("strength_drive_frac", 0.1902, "1", "sympathetic action on the strength of the heart", "mid", 0.0),
    Mid("rate_action_frac", "1", "sympathetic action on the sinus node, mean of the coming 50 ms"),
    Mid("vagal_action_frac", "1", "vagal action on the sinus node, mean of the coming 50 ms"),
    Mid("resistance_action_frac", "1", "sympathetic action on small arteries, mean of the coming 50 ms"),
    Mid("vein_action_frac", "1", "sympathetic action on veins, mean of the coming 50 ms"),
    Mid("strength_action_frac", "1", "sympathetic action on the strength of the heart, mean of the coming 50 ms"),
    State("faint_frac", 0.0, "1", "the faint of an emptying heart: 1 full", "slow", 0.0),
    State("chemo_drive_frac", 0.0, "1", "carotid body activity over rest, as the circulation feels it"),
    Param("sympathetic_rest_logit", -1.386, "1", "logit of sympathetic activity at rest (0.2)", _TUNED),
    Param("vagal_rest_logit", 0.0, "1", "logit of vagal activity at rest (0.5)", _TUNED),
    Param("carotid_set_mmhg", 93.5, "mmHg", "carotid pressure at rest", "equals resting mean pressure of the patient"),
    Param("carotid_scale_mmhg", 12.0, "mmHg", "slope of the carotid receptor", "Ursino 1998 ka 11.76 (from memory)"),
    Param("filling_set_mmhg", 5.5, "mmHg", "filling pressure of the right atrium at rest",
          "equals the patient's own at rest"),
    Param("carotid_sympathetic_gain", 4.5, "1", "pull of the carotid reflex on sympathetic activity", _TUNED),
    Param("carotid_vagal_gain", 2.3, "1", "pull of the carotid reflex on vagal activity", _TUNED),
    Param("filling_sympathetic_gain", 0.3, "1", "pull of low-pressure receptors on sympathetic activity", _TUNED),
    Param("filling_vagal_gain", 0.3, "1", "pull of low-pressure receptors on vagal activity", _TUNED),
    Param("chemo_sympathetic_gain", 1.0, "1", "pull of the carotid bodies on sympathetic activity", _TUNED),
    Param("carotid_height_cm", 25.0, "cm", "carotid sinus over the heart", "common textbook value"),
)  # fmt: skip


def logistic(x):
    """1 / (1 + exp(-x))."""
    return 1.0 / (1.0 + exp(-x))


def lagged_frac(value_frac, fed_frac, dt_s, time_constant_s):
    """A lag after one step: the share it goes is right to second order, where dt / tau is not.

    Activity that has died out is nothing.
    """
    return faded(value_frac + (fed_frac - value_frac) * (dt_s / (time_constant_s + 0.5 * dt_s)))


def receptors(
    mean_aorta_mmhg, mean_right_atrium_mmhg, mean_pericardium_mmhg, chest_pressure_mmhg, carotid_quick_mmhg,
    carotid_slow_mmhg, filling_mmhg, neck_suction_mmhg, carotid_column_mmhg, strain_mmhg, dt_mid_s,
):  # fmt: skip
    """What the receptors feel."""
    # 0.6 of a neck suction reaches the sinus wall (Ludbrook 1977, from memory)
    carotid = mean_aorta_mmhg - carotid_column_mmhg + 0.6 * neck_suction_mmhg
    next_carotid_quick_mmhg = carotid_quick_mmhg + (carotid - carotid_quick_mmhg) * (dt_mid_s / 0.7)
    next_carotid_slow_mmhg = carotid_slow_mmhg + (carotid_quick_mmhg - carotid_slow_mmhg) * (dt_mid_s / 8.0)
    filling = mean_right_atrium_mmhg - chest_pressure_mmhg - strain_mmhg - mean_pericardium_mmhg
    next_filling_mmhg = filling_mmhg + (filling - filling_mmhg) * (dt_mid_s / 3.0)
    return next_carotid_quick_mmhg, next_carotid_slow_mmhg, next_filling_mmhg


def centres(
    carotid_quick_mmhg, carotid_slow_mmhg, filling_mmhg, chemo_drive_frac, brain_oxygen_frac,
    mu_opioid_occupancy_frac, central_nervous_depression_frac, sympathetic_depression_frac,
    catecholamine_release_frac, sympathetic_frac, vagal_frac, breathing_frac, ischaemia_inferior_frac, faint_frac,
    lung_vessels_shut_frac,
    sympathetic_rest_logit, vagal_rest_logit, carotid_set_mmhg, carotid_scale_mmhg, filling_set_mmhg,
    carotid_sympathetic_gain, carotid_vagal_gain, filling_sympathetic_gain, filling_vagal_gain, chemo_sympathetic_gain,
    brain_injury_frac, counter_regulation_frac, distress_push, distress_vagal_push,
    cause_carotid_shift_mmhg, dt_calm_s,
):  # fmt: skip
    """Activity of the two centres, 0..1."""
    felt = carotid_quick_mmhg + 0.3 * (carotid_quick_mmhg - carotid_slow_mmhg)
    carotid = logistic((felt - carotid_set_mmhg - cause_carotid_shift_mmhg) / carotid_scale_mmhg) - 0.5
    # drugs that quieten the centre dull its answer as well: propofol at induction took three quarters of the nerves'
    # activity and most of their reflex (Ebert 1992, Anesthesiology 76:725, from memory); ketamine sets it aside
    quiet = (1.0 - sympathetic_depression_frac) * (1.0 - 0.8 * sympathetic_depression_frac)
    carotid = carotid * quiet * (1.0 - 0.5 * catecholamine_release_frac)
    filling = clamp((filling_mmhg - filling_set_mmhg) / 4.0, -1.5, 1.0)
    # a brain that lacks oxygen drives the vessels (Cushing-type response), until it fails itself
    alarm = clamp((0.8 - brain_oxygen_frac) * 4.0, 0.0, 2.0)
    alive = clamp((brain_oxygen_frac - 0.05) * 5.0, 0.0, 1.0) * clamp(1.5 - 1.5 * brain_injury_frac, 0.0, 1.0)
    calm = 1.2 * mu_opioid_occupancy_frac + 1.0 * central_nervous_depression_frac
    push = (
        sympathetic_rest_logit
        - carotid_sympathetic_gain * carotid
        - filling_sympathetic_gain * filling
        + chemo_sympathetic_gain * chemo_drive_frac
        + alarm
        + 0.4 * counter_regulation_frac
        - calm
        + 1.0 * catecholamine_release_frac
        + distress_push
        # clots in the lungs are felt there and in the stretched right heart
        + 1.5 * lung_vessels_shut_frac
    )
    pull = (
        vagal_rest_logit
        + carotid_vagal_gain * carotid
        + filling_vagal_gain * filling
        # without breathing the carotid bodies slow the heart; with it, lung stretch quickens it (Daly 1986, from
        # memory)
        + chemo_drive_frac * (1.5 - 3.3 * breathing_frac)
        + 1.0 * mu_opioid_occupancy_frac
        - 0.6 * alarm
        + distress_vagal_push
        - 1.6 * catecholamine_release_frac
        # an ischaemic inferior wall, and a heart that beats itself empty, call the vagus (Bezold-Jarisch reflex:
        # Mark 1983, J Am Coll Cardiol 1:90, from memory)
        + 1.5 * ischaemia_inferior_frac
        - 2.0 * lung_vessels_shut_frac
        + 2.5 * faint_frac
    )
    s = alive * logistic(push) * quiet * (1.0 - 0.85 * faint_frac)
    v = alive * logistic(pull)
    next_sympathetic_frac = lagged_frac(sympathetic_frac, s, dt_calm_s, 0.5)
    next_vagal_frac = lagged_frac(vagal_frac, v, dt_calm_s, 0.3)
    return next_sympathetic_frac, next_vagal_frac


def faint(
    faint_frac, filling_mmhg, filling_set_mmhg, sympathetic_frac, conscious_frac, anaesthetised, brain_oxygen_frac,
    wound_1_ml_per_min, wound_2_ml_per_min, wound_3_ml_per_min,
):  # fmt: skip
    """The faint of an emptying heart, over one second.

    A heart that beats hard on too little blood lets the vagus go and the vessels fall slack, near a loss of a third of
    the blood (Barcroft 1944, Lancet 243:489, from memory).  Injury holds it back (Little 1989, from memory), and so
    does a brain that is itself without oxygen: then the last drive of the vessels returns.
    """
    empty = clamp((filling_set_mmhg - filling_mmhg - 3.6) / 0.8, 0.0, 1.0)
    driven = clamp((sympathetic_frac - 0.55) / 0.15, 0.0, 1.0)
    hurt = wound_1_ml_per_min + wound_2_ml_per_min + wound_3_ml_per_min > 5.0
    able = (0.0 if hurt else 1.0) * (1.0 - anaesthetised) * clamp((brain_oxygen_frac - 0.55) / 0.2, 0.0, 1.0)
    begins = empty * larger(driven, faint_frac) * able
    lasts_s = 12.0 if begins > faint_frac else 25.0
    next_faint_frac = faded(faint_frac + (begins * conscious_frac - faint_frac) / lasts_s)
    return next_faint_frac


def effector_lags(
    sympathetic_frac, vagal_frac, next_sympathetic_frac, next_vagal_frac, sympathetic_lag_1_frac,
    sympathetic_lag_2_frac, sympathetic_lag_5_frac, rate_drive_frac, vagal_drive_frac, resistance_drive_frac,
    vein_drive_frac, strength_drive_frac, counter_regulation_frac, dt_calm_s,
):  # fmt: skip
    """Delay and time constant of each effector; each stage is fed the mean of the one before over the step."""
    fed = 0.5 * (sympathetic_frac + next_sympathetic_frac)
    next_sympathetic_lag_1_frac = lagged_frac(sympathetic_lag_1_frac, fed, dt_calm_s, 1.0)
    fed = 0.5 * (sympathetic_lag_1_frac + next_sympathetic_lag_1_frac)
    next_sympathetic_lag_2_frac = lagged_frac(sympathetic_lag_2_frac, fed, dt_calm_s, 1.0)
    fed = 0.5 * (sympathetic_lag_2_frac + next_sympathetic_lag_2_frac)
    next_sympathetic_lag_5_frac = lagged_frac(sympathetic_lag_5_frac, fed, dt_calm_s, 3.0)
    next_rate_drive_frac = lagged_frac(rate_drive_frac, fed, dt_calm_s, 2.0)
    next_resistance_drive_frac = lagged_frac(resistance_drive_frac, fed, dt_calm_s, 6.0)
    next_strength_drive_frac = lagged_frac(strength_drive_frac, fed, dt_calm_s, 8.0)
    fed = 0.5 * (sympathetic_lag_5_frac + next_sympathetic_lag_5_frac)
    next_vein_drive_frac = lagged_frac(vein_drive_frac, fed, dt_calm_s, 20.0)
    fed = 0.5 * (vagal_frac + next_vagal_frac)
    next_vagal_drive_frac = lagged_frac(vagal_drive_frac, fed, dt_calm_s, 1.2)
    # effectors are held for a step: at its middle they are right
    rate_action_frac = 0.5 * (rate_drive_frac + next_rate_drive_frac)
    vagal_action_frac = 0.5 * (vagal_drive_frac + next_vagal_drive_frac)
    resistance_action_frac = 0.5 * (resistance_drive_frac + next_resistance_drive_frac)
    vein_action_frac = 0.5 * (vein_drive_frac + next_vein_drive_frac)
    strength_action_frac = 0.5 * (strength_drive_frac + next_strength_drive_frac)
    # the body's own epinephrine in low glucose: heart up, muscle vessels wider (sizes ours)
    if counter_regulation_frac > 0.0:
        rate_action_frac = smaller(rate_action_frac + 0.60 * counter_regulation_frac, 1.0)
        strength_action_frac = smaller(strength_action_frac + 0.45 * counter_regulation_frac, 1.0)
        resistance_action_frac = larger(resistance_action_frac - 0.10 * counter_regulation_frac, 0.0)
    return (
        rate_action_frac, vagal_action_frac, resistance_action_frac, vein_action_frac, strength_action_frac,
        next_sympathetic_lag_1_frac, next_sympathetic_lag_2_frac, next_sympathetic_lag_5_frac, next_rate_drive_frac,
        next_vagal_drive_frac, next_resistance_drive_frac, next_vein_drive_frac, next_strength_drive_frac,
    )  # fmt: skip


PARTS: Final = {"CALM": (centres, effector_lags), "MID": (receptors,), "SLOW": (faint,)}
