"""Gas between lungs and blood, and the capnogram.

In:       lung volumes and flows, inspired oxygen, blood flow through each lung, gas contents of venous blood.
Out:      alveolar oxygen and carbon dioxide of two lungs, gas contents of the blood that leaves the lungs, CO2 at the
          mouth.
Assumes:  blood leaves open alveoli in equilibrium with them; what is shunted passes unchanged; a share of each breath
          reaches alveoli without blood flow (Riley and Cournand 1949, J Appl Physiol 1:825: dead space, ideal, shunt).
          In sick lungs a further share of blood meets alveoli with a tenth of the ventilation, which oxygen helps.
          Gas amounts are kept as mL at body temperature, saturated, so that nothing is lost.
Left out: diffusion limit, the whole spread of ventilation over blood flow.
"""

from typing import Final

from drillyard.core.body.blood.curves import (
    bicarbonate_from,
    bound_base_mmol_per_l,
    buffer_value_mmol_per_l,
    co2_content_ml_per_ml,
    o2_content_ml_per_ml,
    o2_saturation_frac,
    ph_nearer,
)
from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

WATER_MMHG: Final = 47.0
"""Water vapour pressure at 37 degC (common textbook value)."""

N2_SOLUBILITY: Final = 1.67e-5
"""mL/mL/mmHg of nitrogen in blood at 37 degC (0.0127 mL/mL at 760 mmHg, from memory)."""

NAMES: Final = (
    State("alveolar_o2_left_ml", 163.0, "mL", "oxygen in the left lung (BTPS)", "mid", 0.0),
    State("alveolar_o2_right_ml", 194.1, "mL", "oxygen in the right lung (BTPS)", "mid", 0.0),
    State("alveolar_co2_left_ml", 65.85, "mL", "carbon dioxide in the left lung (BTPS)", "mid", 0.0),
    State("alveolar_co2_right_ml", 76.8, "mL", "carbon dioxide in the right lung (BTPS)", "mid", 0.0),
    State("dead_o2_frac", 0.1455, "1", "oxygen fraction of the gas last breathed out", "mid", 0.0),
    State("dead_co2_frac", 0.05494, "1", "carbon dioxide fraction of the gas last breathed out", "mid", 0.0),
    State("ph_left_lung", 7.394, "1", "pH of blood leaving the left lung"),
    State("ph_right_lung", 7.396, "1", "pH of blood leaving the right lung"),
    State("airway_co2_mmhg", 0.0, "mmHg", "carbon dioxide tension at the mouth", "mid", 0.0),
    State("alveolar_pco2_mmhg", 40.68, "mmHg", "alveolar carbon dioxide tension, mean of both lungs", "mid", 0.0),
    State("still_s", 0.0, "s", "time without air flow", "mid", 0.0),
    State("low_po2_mmhg", 100.0, "mmHg", "oxygen tension of badly ventilated alveoli", "mid", 0.0),
    State("outflow_ml", 0.0, "mL", "breathed out so far in this breath", "mid", 0.0),
    State("quick_n2_mmhg", 570.0, "mmHg", "nitrogen tension of blood and of tissues with much of it", "mid", 0.0),
    State("slow_n2_mmhg", 570.0, "mmHg", "nitrogen tension of muscle and fat", "mid", 0.0),
    State("left_shunt_frac", 0.03, "1", "share of left lung blood flow that is shunted", "mid", 0.0),
    State("right_shunt_frac", 0.03, "1", "share of right lung blood flow that is shunted", "mid", 0.0),
    Param("least_lung_ml", 50.0, "mL", "gas of a lung that cannot be pressed out", "our choice"),
    Param("shunt_rest_frac", 0.03, "1", "shunt in health, with the low ventilation of parts of a lung counted in",
          "2-5 % (Riley and Cournand 1949, from memory)"),
    Param("alveolar_dead_frac", 0.064, "1", "share of alveolar ventilation without blood flow in health",
          "arterial to end-tidal difference 2-5 mmHg (Nunn and Hill 1960, J Appl Physiol 15:383, from memory)"),
    Param("quick_n2_ml", 9000.0, "mL", "blood that would hold the nitrogen of the quick tissues",
          "washed out in minutes (order of Jones 1951, from memory)"),
    Param("slow_n2_ml", 60000.0, "mL", "the same, muscle and fat; nitrogen dissolves five times better in fat",
          "about 1 L of nitrogen in all (common textbook value)"),
    Param("low_vq_ratio", 0.1, "1", "ventilation over blood flow of badly ventilated alveoli",
          "0.005-0.1 is called low (Wagner 1974, J Appl Physiol 36:588, from memory)"),
    Mid("left_pao2_mmhg", "mmHg", "alveolar oxygen tension, left"),
    Mid("right_pao2_mmhg", "mmHg", "alveolar oxygen tension, right"),
    Mid("lung_o2_content_ml_per_ml", "mL/mL", "oxygen content of blood leaving both lungs"),
    Mid("lung_co2_content_ml_per_ml", "mL/mL", "carbon dioxide content of blood leaving both lungs"),
    Mid("left_uptake_ml_per_s", "mL/s", "oxygen that blood takes from the left lung (dry, 0 degC)"),
    Mid("right_uptake_ml_per_s", "mL/s", "the same, right"),
    Mid("left_co2_output_ml_per_s", "mL/s", "carbon dioxide that blood gives to the left lung (dry, 0 degC)"),
    Mid("right_co2_output_ml_per_s", "mL/s", "the same, right"),
    Mid("left_n2_output_ml_per_s", "mL/s", "nitrogen that blood gives to the left lung (dry, 0 degC)"),
    Mid("right_n2_output_ml_per_s", "mL/s", "the same, right"),
    Mid("oxygen_from_lungs_ml_per_s", "mL/s", "oxygen taken up by blood (dry, 0 degC)"),
    Mid("co2_to_lungs_ml_per_s", "mL/s", "carbon dioxide given off by blood (dry, 0 degC)"),
)  # fmt: skip


def open_lung_frac(volume_ml, frc_ml):
    """Share of a lung that is open: all above 45 % of its resting volume, none below 15 % (our choice)."""
    return clamp((volume_ml / frc_ml - 0.15) / 0.30, 0.0, 1.0)


def shunts(
    lung_left_ml, lung_right_ml, left_shunt_frac, right_shunt_frac, frc_ml, left_lung_share_frac, shunt_rest_frac,
    added_shunt_frac, lung_vessels_shut_frac, hold_shunt_weight_frac, hold_shunt_frac, left_solid_frac,
    right_solid_frac, left_solid_shunt_frac, right_solid_shunt_frac, cause_open_frac, dt_slow_s,
):  # fmt: skip
    """Shunt of each lung: health, problem, solid lung, collapse.  Lungs reopen and collapse over seconds."""
    base = 1.0 - (1.0 - shunt_rest_frac) * (1.0 - clamp(added_shunt_frac, 0.0, 0.98)) * cause_open_frac
    # blood turned away by clots floods what is left: more of it than the air there can serve (size our choice)
    base = 1.0 - (1.0 - base) * (1.0 - 0.3 * lung_vessels_shut_frac)
    left_frc = left_lung_share_frac * frc_ml * (1.0 - left_solid_frac)
    right_frc = (1.0 - left_lung_share_frac) * frc_ml * (1.0 - right_solid_frac)
    left = 1.0 - (1.0 - base) * (1.0 - left_solid_shunt_frac) * (0.05 + 0.95 * open_lung_frac(lung_left_ml, left_frc))
    right = 1.0 - (1.0 - base) * (1.0 - right_solid_shunt_frac) * (
        0.05 + 0.95 * open_lung_frac(lung_right_ml, right_frc)
    )
    left = left + hold_shunt_weight_frac * (hold_shunt_frac - left)
    right = right + hold_shunt_weight_frac * (hold_shunt_frac - right)
    next_left_shunt_frac = left_shunt_frac + (left - left_shunt_frac) * (dt_slow_s / 3.0)
    next_right_shunt_frac = right_shunt_frac + (right - right_shunt_frac) * (dt_slow_s / 3.0)
    return next_left_shunt_frac, next_right_shunt_frac


def blood_gas_exchange(
    lung_left_ml, lung_right_ml, alveolar_o2_left_ml, alveolar_o2_right_ml, alveolar_co2_left_ml,
    alveolar_co2_right_ml, ph_left_lung, ph_right_lung, left_shunt_frac, right_shunt_frac, ambient_pressure_mmhg,
    gas_flow_ml_per_s, left_blood_share_frac, venous_o2_ml_per_ml, venous_co2_ml_per_ml, haemoglobin_g_per_dl,
    blood_base_excess_mmol_per_l, temperature_core_degc, least_lung_ml, low_po2_mmhg, low_vq_share_frac,
    low_vq_ratio, inspired_o2_frac, oxygen_hb_g_per_dl, hb_hold_frac,
    quick_n2_mmhg, slow_n2_mmhg, quick_n2_ml, slow_n2_ml, organ_flow_share_frac, dt_calm_s,
):  # fmt: skip
    """What blood takes from and gives to the gas of both lungs, held until the next calm step on both sides."""
    dry = ambient_pressure_mmhg - WATER_MMHG
    left_dry = dry / larger(lung_left_ml, least_lung_ml)
    right_dry = dry / larger(lung_right_ml, least_lung_ml)
    left_pao2_mmhg = alveolar_o2_left_ml * left_dry
    right_pao2_mmhg = alveolar_o2_right_ml * right_dry
    left_pco2 = alveolar_co2_left_ml * left_dry
    right_pco2 = alveolar_co2_right_ml * right_dry

    buffer = buffer_value_mmol_per_l(haemoglobin_g_per_dl)
    saturation = o2_saturation_frac(left_pao2_mmhg * hb_hold_frac, ph_left_lung, temperature_core_degc)
    base = bound_base_mmol_per_l(blood_base_excess_mmol_per_l, saturation, haemoglobin_g_per_dl)
    next_ph_left_lung = ph_nearer(ph_left_lung, left_pco2, base, buffer)
    left_c_o2 = o2_content_ml_per_ml(left_pao2_mmhg, saturation, oxygen_hb_g_per_dl)
    left_c_co2 = co2_content_ml_per_ml(
        left_pco2,
        next_ph_left_lung,
        bicarbonate_from(next_ph_left_lung, base, buffer),
        saturation,
        haemoglobin_g_per_dl,
    )
    saturation = o2_saturation_frac(right_pao2_mmhg * hb_hold_frac, ph_right_lung, temperature_core_degc)
    base = bound_base_mmol_per_l(blood_base_excess_mmol_per_l, saturation, haemoglobin_g_per_dl)
    next_ph_right_lung = ph_nearer(ph_right_lung, right_pco2, base, buffer)
    right_c_o2 = o2_content_ml_per_ml(right_pao2_mmhg, saturation, oxygen_hb_g_per_dl)
    right_c_co2 = co2_content_ml_per_ml(
        right_pco2,
        next_ph_right_lung,
        bicarbonate_from(next_ph_right_lung, base, buffer),
        saturation,
        haemoglobin_g_per_dl,
    )

    next_low_po2_mmhg = 100.0
    if low_vq_share_frac > 0.001:
        # alveoli with little air for their blood: their oxygen is what air brings and blood leaves (Riley and Cournand)
        saturation = o2_saturation_frac(low_po2_mmhg * hb_hold_frac, next_ph_left_lung, temperature_core_degc)
        low_c_o2 = o2_content_ml_per_ml(low_po2_mmhg, saturation, oxygen_hb_g_per_dl)
        brought = low_vq_ratio / 863.0
        inspired = inspired_o2_frac * dry
        slope = 0.0362 * oxygen_hb_g_per_dl * saturation * (1.0 - saturation) / low_po2_mmhg + 3.0e-5
        surplus = brought * (inspired - low_po2_mmhg) - (low_c_o2 - venous_o2_ml_per_ml)
        step = 0.3 * surplus / (brought + slope)
        next_low_po2_mmhg = clamp(clamp(low_po2_mmhg + step, 0.7 * low_po2_mmhg, 1.4 * low_po2_mmhg), 1.0, 2000.0)
        # they never hold more than their well ventilated neighbours
        left_c_o2 = left_c_o2 + low_vq_share_frac * (smaller(low_c_o2, left_c_o2) - left_c_o2)
        right_c_o2 = right_c_o2 + low_vq_share_frac * (smaller(low_c_o2, right_c_o2) - right_c_o2)
        # and clear about a third of the carbon dioxide
        left_c_co2 = left_c_co2 + 0.67 * low_vq_share_frac * (venous_co2_ml_per_ml - left_c_co2)
        right_c_co2 = right_c_co2 + 0.67 * low_vq_share_frac * (venous_co2_ml_per_ml - right_c_co2)
    left_through = gas_flow_ml_per_s * left_blood_share_frac * (1.0 - left_shunt_frac)
    right_through = gas_flow_ml_per_s * (1.0 - left_blood_share_frac) * (1.0 - right_shunt_frac)
    left_uptake_ml_per_s = left_through * (left_c_o2 - venous_o2_ml_per_ml)
    right_uptake_ml_per_s = right_through * (right_c_o2 - venous_o2_ml_per_ml)
    left_co2_output_ml_per_s = left_through * (venous_co2_ml_per_ml - left_c_co2)
    right_co2_output_ml_per_s = right_through * (venous_co2_ml_per_ml - right_c_co2)
    # nitrogen follows its tension: what lungs have lost is brought back from tissues for many minutes
    mixed_n2 = quick_n2_mmhg + (1.0 - organ_flow_share_frac) * (slow_n2_mmhg - quick_n2_mmhg)
    left_n2_output_ml_per_s = left_through * N2_SOLUBILITY * (mixed_n2 - larger(dry - left_pao2_mmhg - left_pco2, 0.0))
    right_n2_output_ml_per_s = (
        right_through * N2_SOLUBILITY * (mixed_n2 - larger(dry - right_pao2_mmhg - right_pco2, 0.0))
    )
    given = (left_n2_output_ml_per_s + right_n2_output_ml_per_s) / N2_SOLUBILITY
    flow_n2 = larger(gas_flow_ml_per_s, 1e-6)
    arterial_n2 = mixed_n2 - given / flow_n2
    moved = flow_n2 * dt_calm_s
    next_quick_n2_mmhg = larger(
        quick_n2_mmhg + moved * organ_flow_share_frac / quick_n2_ml * (arterial_n2 - quick_n2_mmhg), 0.0
    )
    next_slow_n2_mmhg = larger(
        slow_n2_mmhg + moved * (1.0 - organ_flow_share_frac) / slow_n2_ml * (arterial_n2 - slow_n2_mmhg), 0.0
    )
    oxygen_from_lungs_ml_per_s = left_uptake_ml_per_s + right_uptake_ml_per_s
    co2_to_lungs_ml_per_s = left_co2_output_ml_per_s + right_co2_output_ml_per_s
    per_passing = 1.0 / larger(gas_flow_ml_per_s, 1e-6)
    lung_o2_content_ml_per_ml = venous_o2_ml_per_ml + oxygen_from_lungs_ml_per_s * per_passing
    lung_co2_content_ml_per_ml = venous_co2_ml_per_ml - co2_to_lungs_ml_per_s * per_passing
    return (
        left_pao2_mmhg, right_pao2_mmhg, lung_o2_content_ml_per_ml, lung_co2_content_ml_per_ml,
        left_uptake_ml_per_s, right_uptake_ml_per_s, left_co2_output_ml_per_s, right_co2_output_ml_per_s,
        oxygen_from_lungs_ml_per_s, co2_to_lungs_ml_per_s, next_ph_left_lung, next_ph_right_lung, next_low_po2_mmhg,
        left_n2_output_ml_per_s, right_n2_output_ml_per_s, next_quick_n2_mmhg, next_slow_n2_mmhg,
    )  # fmt: skip


def alveolar_gas(
    lung_left_ml, lung_right_ml, alveolar_o2_left_ml, alveolar_o2_right_ml, alveolar_co2_left_ml,
    alveolar_co2_right_ml, dead_o2_frac, dead_co2_frac, fresh_front_ml, left_flow_ml_per_s, right_flow_ml_per_s,
    lung_flow_total_ml_per_s, left_leak_ml_per_s, right_leak_ml_per_s, inspired_o2_frac, ambient_co2_frac,
    dead_space_now_ml, ambient_pressure_mmhg, alveolar_dead_now_frac, left_uptake_ml_per_s, right_uptake_ml_per_s,
    left_co2_output_ml_per_s, right_co2_output_ml_per_s, left_n2_output_ml_per_s, right_n2_output_ml_per_s,
    least_lung_ml, dt_mid_s,
):  # fmt: skip
    """Alveolar gas of both lungs over one step."""
    dry = ambient_pressure_mmhg - WATER_MMHG
    expand = 863.0 / dry
    per_dead_space = 1.0 / dead_space_now_ml
    # composition of what is breathed in: first what was breathed out last, then fresh gas
    front = fresh_front_ml + 0.5 * dt_mid_s * lung_flow_total_ml_per_s  # in the middle of the step
    fresh = clamp((front * per_dead_space - 0.75) * 4.0, 0.0, 1.0) * (1.0 - alveolar_dead_now_frac)
    in_o2 = dead_o2_frac + fresh * (inspired_o2_frac - dead_o2_frac)
    in_co2 = dead_co2_frac + fresh * (ambient_co2_frac - dead_co2_frac)

    left_volume = larger(lung_left_ml, least_lung_ml)
    right_volume = larger(lung_right_ml, least_lung_ml)
    per_left = 1.0 / left_volume
    per_right = 1.0 / right_volume
    left_o2 = alveolar_o2_left_ml * per_left
    right_o2 = alveolar_o2_right_ml * per_right
    left_co2 = alveolar_co2_left_ml * per_left
    right_co2 = alveolar_co2_right_ml * per_right

    alveolar = dry * (alveolar_co2_left_ml + alveolar_co2_right_ml) / (left_volume + right_volume)
    next_alveolar_pco2_mmhg = smaller(alveolar, 250.0)

    left_o2_moved = in_o2 if left_flow_ml_per_s > 0.0 else left_o2
    left_co2_moved = in_co2 if left_flow_ml_per_s > 0.0 else left_co2
    right_o2_moved = in_o2 if right_flow_ml_per_s > 0.0 else right_o2
    right_co2_moved = in_co2 if right_flow_ml_per_s > 0.0 else right_co2
    # air that comes back from a pleural space is taken as alveolar gas of that lung
    d_alveolar_o2_left_ml_per_s = (
        left_o2_moved * left_flow_ml_per_s - left_o2 * left_leak_ml_per_s - expand * left_uptake_ml_per_s
    )
    d_alveolar_o2_right_ml_per_s = (
        right_o2_moved * right_flow_ml_per_s - right_o2 * right_leak_ml_per_s - expand * right_uptake_ml_per_s
    )
    d_alveolar_co2_left_ml_per_s = (
        left_co2_moved * left_flow_ml_per_s - left_co2 * left_leak_ml_per_s + expand * left_co2_output_ml_per_s
    )
    d_alveolar_co2_right_ml_per_s = (
        right_co2_moved * right_flow_ml_per_s - right_co2 * right_leak_ml_per_s + expand * right_co2_output_ml_per_s
    )
    d_lung_left_ml_per_s = (
        left_flow_ml_per_s
        - left_leak_ml_per_s
        - expand * (left_uptake_ml_per_s - left_co2_output_ml_per_s - left_n2_output_ml_per_s)
    )
    d_lung_right_ml_per_s = (
        right_flow_ml_per_s
        - right_leak_ml_per_s
        - expand * (right_uptake_ml_per_s - right_co2_output_ml_per_s - right_n2_output_ml_per_s)
    )

    left_out = larger(-left_flow_ml_per_s, 0.0)
    right_out = larger(-right_flow_ml_per_s, 0.0)
    out = left_out + right_out
    mixing = clamp(2.0 * out * dt_mid_s * per_dead_space, 0.0, 1.0)
    per_out = 1.0 / larger(out, 1e-9)
    expired_o2 = (left_o2 * left_out + right_o2 * right_out) * per_out
    expired_co2 = (left_co2 * left_out + right_co2 * right_out) * per_out
    next_dead_o2_frac = dead_o2_frac + mixing * (expired_o2 - dead_o2_frac)
    next_dead_co2_frac = dead_co2_frac + mixing * (expired_co2 - dead_co2_frac)
    return (
        d_alveolar_o2_left_ml_per_s, d_alveolar_o2_right_ml_per_s, d_alveolar_co2_left_ml_per_s,
        d_alveolar_co2_right_ml_per_s, d_lung_left_ml_per_s, d_lung_right_ml_per_s, next_dead_o2_frac,
        next_dead_co2_frac, next_alveolar_pco2_mmhg,
    )  # fmt: skip


def capnogram(
    airway_co2_mmhg, still_s, fresh_front_ml, dead_co2_frac, lung_flow_total_ml_per_s, dead_space_now_ml,
    ambient_pressure_mmhg, ambient_co2_frac, alveolar_dead_now_frac, least_flow_ml_per_s, outflow_ml, uneven_frac,
    tidal_volume_ml, dt_mid_s,
):  # fmt: skip
    """CO2 at the mouth: fresh gas first, then a mixed front, then alveolar gas; lag of a mainstream sensor 50 ms.

    Where lungs empty unevenly, units with little CO2 empty first and those with much last: the plateau slopes up.
    """
    moving = lung_flow_total_ml_per_s > least_flow_ml_per_s or lung_flow_total_ml_per_s < -least_flow_ml_per_s
    next_still_s = 0.0 if moving else still_s + dt_mid_s
    target = airway_co2_mmhg
    lag_s = 0.05
    next_outflow_ml = outflow_ml
    if lung_flow_total_ml_per_s > least_flow_ml_per_s:
        next_outflow_ml = 0.0
        target = ambient_co2_frac * (ambient_pressure_mmhg - WATER_MMHG)
    elif lung_flow_total_ml_per_s < -least_flow_ml_per_s:
        front = clamp(1.0 - 2.5 * fresh_front_ml / dead_space_now_ml, 0.0, 1.0)
        next_outflow_ml = outflow_ml - lung_flow_total_ml_per_s * dt_mid_s
        left_to_come = clamp(1.0 - outflow_ml / larger(tidal_volume_ml, 1.0), 0.0, 1.0)
        front = front * (1.0 - uneven_frac * left_to_come)
        target = front * dead_co2_frac * (1.0 - alveolar_dead_now_frac) * (ambient_pressure_mmhg - WATER_MMHG)
    elif still_s > 8.0:
        # nothing moves: room air spreads into the mouth
        target = 0.0
        lag_s = 3.0
    next_airway_co2_mmhg = faded(airway_co2_mmhg + (target - airway_co2_mmhg) * dt_mid_s / lag_s)
    return next_still_s, next_airway_co2_mmhg, next_outflow_ml


PARTS: Final = {"CALM": (blood_gas_exchange,), "MID": (alveolar_gas, capnogram), "SLOW": (shunts,)}
