"""Two lungs in a chest: volumes, pressures, air flow, air in the pleural spaces.

In:       breathing muscle pressure and given breaths, upper and lower airways, solid lung, holes, vents, blood in the
          pleural spaces and broken ribs by side, gas taken up by blood.
Out:      lung volumes, air flow, pleural and alveolar pressure, capnogram timing.
Assumes:  each half chest is lung plus pleural air inside half a chest wall; the mediastinum gives way between them;
          lungs stiffen when full and close when empty (pressure-volume shape of Venegas 1998, J Appl Physiol 84:389,
          here
          piecewise); dead space is passed as a front (plug flow).  Values: Albanese 2016, Am J Physiol 310:H844.
          Breathing out, flow is limited by recoil (Mead 1967).  A flail side loses a share of muscle force.
Left out: stretch of single airways, gravity within a lung, inward movement of single ribs.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

MMHG_PER_CMH2O: Final = 0.7356
"""1 cmH2O in mmHg (definition of the units)."""
_AIRWAY_WALL_CMH2O: Final = 2.0
"""Pressure by which the wall of large airways withstands collapse (our choice)."""
_CHEST_TUBE_ML_PER_S_PER_CMH2O: Final = 200.0
"""Outflow of air through a chest tube under water: far more than any needle (order, from memory)."""
_SUCTION_CMH2O: Final = 15.0
"""Suction on a chest tube (10-20 in common practice, no source)."""
_ALBANESE = "order of Albanese 2016, Am J Physiol 310:H844 (from memory)"

NAMES: Final = (
    State("lung_left_ml", 1150.0, "mL", "gas in the left lung", "mid", 0.0),
    State("lung_right_ml", 1350.0, "mL", "gas in the right lung", "mid", 0.0),
    State("pleural_air_left_ml", 0.0, "mL", "air in the left pleural space", "mid", 0.0),
    State("pleural_air_right_ml", 0.0, "mL", "air in the right pleural space", "mid", 0.0),
    State("fresh_front_ml", 0.0, "mL", "fresh gas in the dead space", "mid", 0.0),
    State("chest_pressure_mmhg", -3.679, "mmHg", "pressure around heart and great vessels", "mid"),
    State("alveolar_pressure_mmhg", 0.0, "mmHg", "alveolar pressure, mean of both lungs", "mid"),
    State("airway_flow_ml_per_s", 0.0, "mL/s", "air flow at the mouth, inwards positive", "mid"),
    State("airway_pressure_cmh2o", 0.0, "cmH2O", "pressure at the mouth", "mid"),
    State("mediastinum_shift_ml", 0.0, "mL", "chest volume given by the left side to the right; minus the reverse",
          "mid"),
    State("stomach_air_ml", 0.0, "mL", "air blown into the stomach", "mid", 0.0),
    State("vent_left_open_frac", 1.0, "1", "how far the left needle or tube is still open", "mid", 0.0),
    State("vent_right_open_frac", 1.0, "1", "how far the right needle or tube is still open", "mid", 0.0),
    Param("frc_ml", 2500.0, "mL", "gas in both lungs at the end of a quiet breath, lying",
          "about 3.0 L upright, 0.6-0.8 L less lying (common textbook values)"),
    Param("left_lung_share_frac", 0.46, "1", "share of the left lung", "common textbook value"),
    Param("lung_compliance_ml_per_cmh2o", 200.0, "mL/cmH2O", "compliance of both lungs", _ALBANESE),
    Param("wall_compliance_ml_per_cmh2o", 200.0, "mL/cmH2O", "compliance of the chest wall", _ALBANESE),
    Param("pleural_rest_cmh2o", 5.0, "cmH2O", "recoil of the lungs at the end of a quiet breath", _ALBANESE),
    Param("lung_full_ml", 5200.0, "mL", "lung volume above which the lungs are stiff",
          "about 85 % of total lung capacity 6 L"),
    Param("lower_airway_ml_per_s_per_cmh2o", 800.0, "mL/s/cmH2O", "conductance of all airways below the windpipe",
          _ALBANESE),
    Param("wall_slack_frac", 0.23, "1", "fall of the volume at which the wall rests, without muscle tone, over frc",
          "gives 15 % less resting volume (Wahba 1991, Can J Anaesth 38:384, from memory)"),
    Param("upright_rest_frac", 0.48, "1", "growth of that volume from lying to standing, over frc",
          "0.6-0.8 L more gas upright (common textbook value)"),
    Param("mediastinum_ml_per_cmh2o", 50.0, "mL/cmH2O", "how far the mediastinum gives way", "our choice"),
    Mid("left_flow_ml_per_s", "mL/s", "flow into the left lung"),
    Mid("right_flow_ml_per_s", "mL/s", "flow into the right lung"),
    Mid("lung_flow_total_ml_per_s", "mL/s", "flow into both lungs"),
    Mid("left_leak_ml_per_s", "mL/s", "flow from left lung to pleural space"),
    Mid("right_leak_ml_per_s", "mL/s", "flow from right lung to pleural space"),
)  # fmt: skip


def lung_recoil_cmh2o(volume_ml, frc_ml, recoil_cmh2o, compliance_ml_per_cmh2o, full_ml):
    """Recoil of one lung: ``recoil_cmh2o`` at its resting volume, none at a quarter of it (the lung let go of).

    Below that small airways close and what is left is hard to press out; above ``full_ml`` it is stiff.
    """
    over = volume_ml - frc_ml
    if over >= 0.0:
        recoil = recoil_cmh2o + over / compliance_ml_per_cmh2o
        recoil = recoil + larger(volume_ml - full_ml, 0.0) / (0.12 * compliance_ml_per_cmh2o)
    else:
        recoil = recoil_cmh2o * (1.0 + over / (0.75 * frc_ml))
        if recoil < 0.0:
            recoil = recoil * 4.0 * 0.25 * frc_ml / larger(volume_ml, 0.03 * frc_ml)
    return recoil


def wall_cmh2o(volume_ml, rest_ml, compliance_ml_per_cmh2o, full_ml):
    """Pressure inside half a relaxed chest; ``rest_ml`` is its volume at zero pressure."""
    return (volume_ml - rest_ml) / compliance_ml_per_cmh2o + larger(volume_ml - full_ml, 0.0) / (
        0.25 * compliance_ml_per_cmh2o
    )


def leak_flow_ml_per_s(airway_cmh2o, pleural_cmh2o, hole_ml_per_s_per_cmh2o, is_valve):
    """Flow from a lung's airways into its pleural space through a hole; a valve lets none back.

    Airway pressure drives it, so that a valve goes on filling the space when the lung has collapsed, as far as
    breathing
    effort or given breaths can lower pleural under airway pressure: tension.
    """
    flow = hole_ml_per_s_per_cmh2o * (airway_cmh2o - pleural_cmh2o)
    return larger(flow, 0.0) if is_valve > 0.5 else flow


def wound_flow_ml_per_s(pleural_cmh2o, wound_ml_per_s_per_cmh2o, vent_ml_per_s_per_cmh2o, drain, air_ml):
    """Flow into a pleural space from the room: wounds both ways, vents outward only, a chest tube by suction."""
    flow = -wound_ml_per_s_per_cmh2o * pleural_cmh2o
    if pleural_cmh2o > 0.0:
        flow = flow - vent_ml_per_s_per_cmh2o * pleural_cmh2o
    if drain > 0.5:
        flow = flow - _CHEST_TUBE_ML_PER_S_PER_CMH2O * larger(pleural_cmh2o + _SUCTION_CMH2O, 0.0)
    return larger(flow, -5.0 * air_ml)


def chest_and_flows(
    anaesthetised, paralysed,
    lung_left_ml, lung_right_ml, pleural_air_left_ml, pleural_air_right_ml, stomach_air_ml, vent_left_open_frac,
    vent_right_open_frac, muscle_cmh2o, chest_squeeze_mmhg, given_inflow_ml_per_s, given_breath_is_circuit,
    airway_device_code, upper_conductance_ml_per_s_per_cmh2o, left_lung_open_frac,
    lung_leak_left_ml_per_s_per_cmh2o, lung_leak_right_ml_per_s_per_cmh2o, lung_leak_left_is_valve,
    lung_leak_right_is_valve, chest_wound_left_ml_per_s_per_cmh2o, chest_wound_right_ml_per_s_per_cmh2o,
    chest_vent_left_ml_per_s_per_cmh2o, chest_vent_right_ml_per_s_per_cmh2o, chest_vent_clot_time_s, frc_ml,
    left_lung_share_frac, lung_compliance_ml_per_cmh2o, wall_compliance_ml_per_cmh2o, pleural_rest_cmh2o, lung_full_ml,
    lower_airway_ml_per_s_per_cmh2o, mediastinum_ml_per_cmh2o, wall_slack_frac, least_lung_ml, least_flow_ml_per_s,
    mouth_cmh2o, ventilator_mode_code, airway_resistance_frac, left_solid_frac, right_solid_frac,
    pleural_blood_left_ml, pleural_blood_right_ml, chest_drain_left, chest_drain_right, flail_left_frac,
    flail_right_frac, upright_frac, upright_rest_frac, dt_mid_s,
):  # fmt: skip
    """Pressures in the chest and the flows they drive."""
    left = left_lung_share_frac
    right = 1.0 - left_lung_share_frac
    # a slack chest wall holds less
    slack = clamp(anaesthetised + paralysed, 0.0, 1.0)
    # upright, the belly pulls the diaphragm down
    wall_rest = (
        frc_ml * (1.0 - wall_slack_frac * slack + upright_rest_frac * upright_frac)
        + pleural_rest_cmh2o * wall_compliance_ml_per_cmh2o
    )
    wall_full = lung_full_ml + 600.0
    # solid lung keeps its room in the chest, but takes and gives no gas
    left_frc = left * frc_ml * (1.0 - left_solid_frac)
    right_frc = right * frc_ml * (1.0 - right_solid_frac)
    half_left = lung_left_ml + pleural_air_left_ml + pleural_blood_left_ml + left * frc_ml * left_solid_frac
    half_right = lung_right_ml + pleural_air_right_ml + pleural_blood_right_ml + right * frc_ml * right_solid_frac
    # the mediastinum moves until its own stiffness carries the difference (linear in the shift)
    lean = (half_left - left * frc_ml) - (half_right - right * frc_ml)
    shift = mediastinum_ml_per_cmh2o * lean / (0.5 * wall_compliance_ml_per_cmh2o + 2.0 * mediastinum_ml_per_cmh2o)
    next_mediastinum_shift_ml = shift
    squeeze = 0.10 * chest_squeeze_mmhg / MMHG_PER_CMH2O
    pleural_left = (
        wall_cmh2o(half_left - shift, left * wall_rest, left * wall_compliance_ml_per_cmh2o, left * wall_full)
        - muscle_cmh2o * (1.0 - flail_left_frac)
        + squeeze
    )
    pleural_right = (
        wall_cmh2o(half_right + shift, right * wall_rest, right * wall_compliance_ml_per_cmh2o, right * wall_full)
        - muscle_cmh2o * (1.0 - flail_right_frac)
        + squeeze
    )
    left_recoil = lung_recoil_cmh2o(
        lung_left_ml, left_frc, pleural_rest_cmh2o, left * lung_compliance_ml_per_cmh2o * (1.0 - left_solid_frac),
        left * lung_full_ml * (1.0 - left_solid_frac),
    )  # fmt: skip
    right_recoil = lung_recoil_cmh2o(
        lung_right_ml, right_frc, pleural_rest_cmh2o, right * lung_compliance_ml_per_cmh2o * (1.0 - right_solid_frac),
        right * lung_full_ml * (1.0 - right_solid_frac),
    )  # fmt: skip
    alveolar_left = pleural_left + left_recoil
    alveolar_right = pleural_right + right_recoil
    g_left = left * lower_airway_ml_per_s_per_cmh2o * clamp(lung_left_ml / (0.15 * left_frc), 0.02, 1.0)
    g_left = g_left * (left_lung_open_frac + 0.002)
    g_right = right * lower_airway_ml_per_s_per_cmh2o * clamp(lung_right_ml / (0.15 * right_frc), 0.02, 1.0)
    if airway_resistance_frac > 1.0:
        # narrow airways widen with the lung around them
        narrow = airway_resistance_frac - 1.0
        g_left = g_left / (1.0 + narrow * left_frc / larger(lung_left_ml, 0.5 * left_frc))
        g_right = g_right / (1.0 + narrow * right_frc / larger(lung_right_ml, 0.5 * right_frc))
    g_both = g_left + g_right
    inside = (g_left * alveolar_left + g_right * alveolar_right) / g_both
    g_upper = upper_conductance_ml_per_s_per_cmh2o
    stomach = 0.0
    if given_inflow_ml_per_s > 0.0:
        inflow = given_inflow_ml_per_s
        mouth = inside + inflow * (1.0 / g_both + 1.0 / larger(g_upper, 0.01))
        if given_breath_is_circuit < 0.5:
            # by hand and mask no more than about 45 cmH2O is reached before gas escapes; a ventilator stops at 60
            limit = 45.0 if ventilator_mode_code < 0.5 else 60.0
            if mouth > limit:
                inflow = larger(limit - inside, 0.0) * g_both * g_upper / (g_both + larger(g_upper, 0.01))
                mouth = limit
            if airway_device_code < 1.5 and mouth > 20.0:
                # the upper gullet opens at about 20 cmH2O (Lawes 1987, Br J Anaesth 59:315, from memory)
                stomach = smaller(least_flow_ml_per_s * (mouth - 20.0), 0.6 * inflow)
                inflow = inflow - stomach
        windpipe = inside + inflow / g_both
        next_airway_pressure_cmh2o = mouth
    else:
        windpipe = (g_both * inside + g_upper * mouth_cmh2o) / (g_both + g_upper)
        next_airway_pressure_cmh2o = mouth_cmh2o
    # breathing out, airways collapse where pressure in them falls under that around them: recoil alone then drives
    # the flow (Mead 1967, J Appl Physiol 22:95), however hard the patient presses
    left_flow_ml_per_s = g_left * larger(windpipe - alveolar_left, -larger(left_recoil + _AIRWAY_WALL_CMH2O, 0.5))
    right_flow_ml_per_s = g_right * larger(windpipe - alveolar_right, -larger(right_recoil + _AIRWAY_WALL_CMH2O, 0.5))
    left_flow_ml_per_s = larger(left_flow_ml_per_s, -3.0 * larger(lung_left_ml - 1.2 * least_lung_ml, 0.0))
    right_flow_ml_per_s = larger(right_flow_ml_per_s, -3.0 * larger(lung_right_ml - 1.2 * least_lung_ml, 0.0))
    lung_flow_total_ml_per_s = left_flow_ml_per_s + right_flow_ml_per_s
    next_airway_flow_ml_per_s = lung_flow_total_ml_per_s
    left_leak_ml_per_s = leak_flow_ml_per_s(
        windpipe, pleural_left, lung_leak_left_ml_per_s_per_cmh2o, lung_leak_left_is_valve
    )
    left_leak_ml_per_s = clamp(
        left_leak_ml_per_s, -5.0 * pleural_air_left_ml, 2.0 * larger(lung_left_ml - 1.2 * least_lung_ml, 0.0)
    )
    right_leak_ml_per_s = leak_flow_ml_per_s(
        windpipe, pleural_right, lung_leak_right_ml_per_s_per_cmh2o, lung_leak_right_is_valve
    )
    right_leak_ml_per_s = clamp(
        right_leak_ml_per_s, -5.0 * pleural_air_right_ml, 2.0 * larger(lung_right_ml - 1.2 * least_lung_ml, 0.0)
    )
    left_vent = chest_vent_left_ml_per_s_per_cmh2o * vent_left_open_frac
    right_vent = chest_vent_right_ml_per_s_per_cmh2o * vent_right_open_frac
    next_pleural_air_left_ml = larger(
        pleural_air_left_ml
        + dt_mid_s
        * (
            left_leak_ml_per_s
            + wound_flow_ml_per_s(
                pleural_left, chest_wound_left_ml_per_s_per_cmh2o, left_vent, chest_drain_left, pleural_air_left_ml
            )
        ),
        0.0,
    )
    next_pleural_air_right_ml = larger(
        pleural_air_right_ml
        + dt_mid_s
        * (
            right_leak_ml_per_s
            + wound_flow_ml_per_s(
                pleural_right, chest_wound_right_ml_per_s_per_cmh2o, right_vent, chest_drain_right, pleural_air_right_ml
            )
        ),
        0.0,
    )
    # a needle stays open for most of its clotting time, then closes
    clot = 1.0 / larger(chest_vent_clot_time_s, 1.0) if chest_vent_clot_time_s > 0.0 else 0.0
    next_vent_left_open_frac = (
        larger(vent_left_open_frac - dt_mid_s * clot, 0.0)
        if left_vent > 0.0
        else (vent_left_open_frac if chest_vent_left_ml_per_s_per_cmh2o > 0.0 else 1.0)
    )
    next_vent_right_open_frac = (
        larger(vent_right_open_frac - dt_mid_s * clot, 0.0)
        if right_vent > 0.0
        else (vent_right_open_frac if chest_vent_right_ml_per_s_per_cmh2o > 0.0 else 1.0)
    )
    d_stomach_air_ml_per_s = stomach if stomach_air_ml < 1.2 * frc_ml else 0.0
    next_chest_pressure_mmhg = MMHG_PER_CMH2O * 0.5 * (pleural_left + pleural_right - 2.0 * squeeze)
    next_alveolar_pressure_mmhg = MMHG_PER_CMH2O * 0.5 * (alveolar_left + alveolar_right)
    return (
        next_mediastinum_shift_ml, next_airway_pressure_cmh2o, left_flow_ml_per_s, right_flow_ml_per_s,
        lung_flow_total_ml_per_s, next_airway_flow_ml_per_s, left_leak_ml_per_s, right_leak_ml_per_s,
        next_pleural_air_left_ml, next_pleural_air_right_ml, next_vent_left_open_frac, next_vent_right_open_frac,
        d_stomach_air_ml_per_s, next_chest_pressure_mmhg, next_alveolar_pressure_mmhg,
    )  # fmt: skip


def dead_space_front(fresh_front_ml, lung_flow_total_ml_per_s, dead_space_now_ml, dt_mid_s):
    """Fresh gas moves in with inspiration and out with expiration."""
    next_fresh_front_ml = clamp(fresh_front_ml + lung_flow_total_ml_per_s * dt_mid_s, 0.0, dead_space_now_ml)
    return next_fresh_front_ml


PARTS: Final = {"MID": (chest_and_flows, dead_space_front)}
