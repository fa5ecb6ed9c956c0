"""The place where all reflexes, drugs, problems and holds meet.

Each effector of the circulation and of breathing is composed here once every 50 ms, the tick at which commands act, and
held until the next: rate and strength of the heart, conductance of each bed, unstressed volume of veins, lung vessels,
oxygen demand.

Drugs and the body's own nerves meet at the receptor: share occupied = 1 - (1 - nerves)(1 - drug), so that together they
never exceed the full effect.  A hold replaces the effector with a weight that moves over three seconds; the reflex
branch behind it goes on running, so that release is smooth.
"""

from typing import Final

from drillyard.core.body.lungs.exchange import open_lung_frac
from drillyard.core.numerics.elementary import clamp, larger, sin
from drillyard.core.numerics.names import Mid, Param, State

_TUNED = "tuned so that the reference adult rests at published pressures and flow (docs/body)"
MMHG_PER_CM_BLOOD: Final = 0.779
"""Column of blood, density 1.06 (reckoned)."""

NAMES: Final = (
    State("vessel_tone_frac", 1.0, "1", "ability of vessels to stay narrow; falls without oxygen", "mid", 0.0),
    State("hold_rate_of_heart_weight_frac", 0.0, "1", "weight of the hold on heart rate", "mid", 0.0),
    State("hold_rate_weight_frac", 0.0, "1", "weight of the hold on breathing rate", "mid", 0.0),
    State("hold_tidal_weight_frac", 0.0, "1", "weight of the hold on breath size", "mid", 0.0),
    State("hold_resistance_weight_frac", 0.0, "1", "weight of the hold on resistance", "mid", 0.0),
    State("hold_strength_weight_frac", 0.0, "1", "weight of the hold on contractility", "mid", 0.0),
    State("hold_shunt_weight_frac", 0.0, "1", "weight of the hold on shunt", "mid", 0.0),
    State("hold_metabolic_weight_frac", 0.0, "1", "weight of the hold on metabolic rate", "mid", 0.0),
    Param("heart_rate_intrinsic_per_min", 98.0, "/min", "rate of the sinus node without nerves",
          "118.1 - 0.57 x age (Jose 1966 and 1970, seen)"),
    Param("rate_sympathetic_gain", 0.88, "1", "rise of rate at full sympathetic action",
          "to 208 - 0.7 x age (Tanaka 2001, J Am Coll Cardiol 37:153)"),
    Param("rate_vagal_gain", 1.1, "1", "slowing at full vagal action", _TUNED),
    Param("heart_rate_rest_per_min", 68.0, "/min", "heart rate at rest", "follows from the three numbers above"),
    Param("cardiac_output_rest_ml_per_s", 90.0, "mL/s", "cardiac output at rest",
          "3.1 L/min/m2 (common textbook value)"),
    Param("lv_strength_mmhg_per_ml", 3.3, "mmHg/mL", "end-systolic elastance of the left ventricle at rest",
          "2.76 +- 0.68 in the young (Chen 2001-type single beat, as in the reference table); " + _TUNED),
    Param("rv_strength_mmhg_per_ml", 0.6, "mmHg/mL", "end-systolic elastance of the right ventricle at rest", _TUNED),
    Param("splanchnic_conductance_rest", 0.60, "mL/s/mmHg", "conductance of gut, liver and kidneys at rest", _TUNED),
    Param("limb_conductance_rest", 0.39, "mL/s/mmHg", "conductance of limbs and trunk at rest", _TUNED),
    Param("upper_skin_conductance_rest", 0.165, "mL/s/mmHg", "conductance of head skin and arms at rest", _TUNED),
    Param("brain_conductance_rest", 0.20, "mL/s/mmHg", "conductance of the brain at rest",
          "12.5 mL/s over about 62 mmHg"),
    Param("heart_conductance_rest", 0.06, "mL/s/mmHg", "conductance of heart vessels at rest",
          "about 4 mL/s (5 % of output)"),
    Param("closing_pressure_rest_mmhg", 20.0, "mmHg", "pressure below which small arteries close",
          "arterial pressure stays at 24 mmHg after the heart stops (Schipke 2003, seen)"),
    Param("splanchnic_unstressed_rest_ml", 1985.0, "mL", "splanchnic venous volume at zero pressure, at rest", _TUNED),
    Param("limb_unstressed_rest_ml", 830.0, "mL", "limb venous volume at zero pressure, at rest", _TUNED),
    Param("splanchnic_gives_ml", 950.0, "mL", "blood that full sympathetic action moves out of splanchnic veins",
          "order of Ursino 1998 (from memory), " + _TUNED),
    Param("limb_gives_ml", 300.0, "mL", "blood that full sympathetic action moves out of limb veins", _TUNED),
    Param("limb_column_cm", 26.0, "cm", "effective height of limb veins under the heart, standing", "tuned to tilt"),
    Param("splanchnic_column_cm", 6.0, "cm", "effective height of splanchnic veins under the heart, standing",
          "tuned to tilt"),
    Param("lung_resistance_rest_mmhg_s_per_ml", 0.078, "mmHg s/mL", "resistance of both lungs",
          "mean pulmonary pressure 14 mmHg supine (Kovacs 2009, seen)"),
    Mid("heart_rate_now_per_min", "/min", "rate of the sinus node, or of the ventricle if it is slower"),
    Mid("is_beating", "1", "1 in sinus rhythm"),
    Mid("window_limit_s", "s", "longest time over which a beat's figures are gathered"),
    Mid("systole_per_frac", "1", "beat length over systole length"),
    Mid("atrial_start_frac", "1", "phase at which the atria contract"),
    Mid("atrial_per_frac", "1", "beat length over length of atrial contraction"),
    Mid("atrial_strength_frac", "1", "strength of the atria over rest"),
    Mid("strength_now_frac", "1", "strength of the ventricles over rest"),
    Mid("lv_elastance_mmhg_per_ml", "mmHg/mL", "left ventricular end-systolic elastance now"),
    Mid("rv_elastance_mmhg_per_ml", "mmHg/mL", "right ventricular end-systolic elastance now"),
    Mid("splanchnic_conductance", "mL/s/mmHg", "conductance of the splanchnic bed"),
    Mid("limb_conductance", "mL/s/mmHg", "conductance of the limb bed"),
    Mid("upper_conductance", "mL/s/mmHg", "conductance of the upper body with brain and heart"),
    Mid("skin_flow_frac", "1", "skin blood flow over rest"),
    Mid("closing_pressure_mmhg", "mmHg", "pressure below which small arteries close"),
    Mid("splanchnic_unstressed_ml", "mL", "unstressed volume of splanchnic veins"),
    Mid("limb_unstressed_ml", "mL", "unstressed volume of limb veins"),
    Mid("limb_column_mmhg", "mmHg", "column of blood from limb veins to the heart"),
    Mid("splanchnic_column_mmhg", "mmHg", "column of blood from splanchnic veins to the heart"),
    Mid("splanchnic_outside_mmhg", "mmHg", "pressure in the belly"),
    Mid("carotid_column_mmhg", "mmHg", "column of blood from heart to neck"),
    Mid("lung_conductance_ml_per_s_per_mmhg", "mL/s/mmHg", "conductance of both lungs"),
    Mid("lung_column_mmhg", "mmHg", "column of blood from the heart to the upper half of the lungs"),
    Mid("lung_back_pressure_mmhg", "mmHg", "pressure that lung capillaries must exceed to be open"),
    Mid("chest_veins_now_ml_per_s_per_mmhg", "mL/s/mmHg", "conductance of the great veins, less where they are bent"),
    Mid("left_blood_share_frac", "1", "share of blood flow through the left lung"),
    Mid("alveolar_dead_now_frac", "1", "share of alveolar ventilation without blood flow"),
    Mid("collapse_frac", "1", "lung collapse that is felt"),
    Mid("carotid_body_drive_frac", "1", "breathing drive of the carotid bodies over rest"),
    Mid("cardiac_output_frac", "1", "cardiac output over rest"),
    Mid("oxygen_demand_ml_per_s", "mL/s", "oxygen that tissues want"),
    Mid("stress_lactate_mmol_per_s", "mmol/s", "lactate made under adrenergic drive and in ill-perfused gut"),
)  # fmt: skip


def together_frac(nerves_frac, drug_frac):
    """Share of a receptor occupied by the body's own transmitter and a drug."""
    return 1.0 - (1.0 - clamp(nerves_frac, 0.0, 1.0)) * (1.0 - clamp(drug_frac, 0.0, 1.0))


def heart_effectors(
    sao2_frac,
    rate_action_frac, vagal_action_frac, strength_action_frac, beta1_occupancy_frac, autonomic_block, rhythm_code,
    heart_energy_frac, node_energy_frac, stunning_frac, temperature_core_degc, ph, compression_rate_per_min,
    hold_rate_of_heart_weight_frac, hold_heart_rate_per_min, hold_strength_weight_frac, hold_contractility_frac,
    heart_rate_intrinsic_per_min, rate_sympathetic_gain, rate_vagal_gain, lv_strength_mmhg_per_ml,
    rv_strength_mmhg_per_ml,
):  # fmt: skip
    """Rate, timing and strength of the heart."""
    nerves = 1.0 - autonomic_block
    fast = together_frac(rate_action_frac * nerves, beta1_occupancy_frac)
    rate = (
        heart_rate_intrinsic_per_min
        * (1.0 + rate_sympathetic_gain * fast * (1.0 - 0.7 * vagal_action_frac * nerves))
        / (1.0 + rate_vagal_gain * vagal_action_frac * nerves)
    )
    rate = rate * clamp(1.0 + 0.1 * (temperature_core_degc - 37.0), 0.3, 1.5)
    # deep hypoxaemia slows the node directly, before its energy is gone (terminal bradycardia of asphyxia)
    rate = rate * (0.3 + 0.7 * clamp((sao2_frac - 0.05) / 0.30, 0.0, 1.0))
    rate = rate * (0.25 + 0.75 * clamp((node_energy_frac - 0.1) / 0.5, 0.0, 1.0))
    rate = rate + hold_rate_of_heart_weight_frac * (hold_heart_rate_per_min - rate)
    heart_rate_now_per_min = clamp(rate, 8.0, 230.0)
    is_beating = 1.0 if rhythm_code < 0.5 else 0.0
    window_limit_s = 8.0
    if rhythm_code > 0.5:
        window_limit_s = 60.0 / compression_rate_per_min if compression_rate_per_min > 20.0 else 1.0
    beat_s = 60.0 / heart_rate_now_per_min
    # length of systole: Ursino 1998 0.5 - 0.075/T, from memory; agrees with Weissler 1968 within 5 %
    systole_s = clamp(0.5 - 0.075 / beat_s, 0.18, 0.45)
    systole_per_frac = beat_s / systole_s
    atrial_s = clamp(0.17 * beat_s, 0.06, 0.15)
    atrial_per_frac = beat_s / atrial_s
    atrial_start_frac = 0.985 - atrial_s / beat_s
    strong = together_frac(strength_action_frac * nerves, beta1_occupancy_frac)
    energy = clamp((heart_energy_frac - 0.08) / 0.5, 0.0, 1.0)
    acid = clamp(1.0 - 0.9 * (7.2 - ph), 0.4, 1.0)
    # heart muscle fails within a minute when blood holds next to no oxygen
    starved = clamp((sao2_frac - 0.03) / 0.14, 0.0, 1.0)
    strength_now_frac = (0.8 + strong) * energy * starved * (1.0 - 0.5 * stunning_frac) * acid
    strength_now_frac = strength_now_frac + hold_strength_weight_frac * (hold_contractility_frac - strength_now_frac)
    atrial_strength_frac = clamp(strength_now_frac, 0.0, 1.5) * is_beating
    lv_elastance_mmhg_per_ml = lv_strength_mmhg_per_ml * strength_now_frac
    rv_elastance_mmhg_per_ml = rv_strength_mmhg_per_ml * strength_now_frac
    return (
        heart_rate_now_per_min, is_beating, window_limit_s, systole_per_frac, atrial_start_frac, atrial_per_frac,
        atrial_strength_frac, strength_now_frac, lv_elastance_mmhg_per_ml, rv_elastance_mmhg_per_ml,
    )  # fmt: skip


def vessel_effectors(
    resistance_action_frac, vein_action_frac, alpha1_occupancy_frac, beta2_occupancy_frac, vessel_tone_frac,
    brain_conductance_frac, strength_now_frac, heart_rate_now_per_min, heart_rate_rest_per_min, tilt_deg, legs_raised,
    stomach_air_ml, hold_resistance_weight_frac, hold_resistance_frac, splanchnic_conductance_rest,
    limb_conductance_rest, upper_skin_conductance_rest, brain_conductance_rest, heart_conductance_rest,
    closing_pressure_rest_mmhg, splanchnic_unstressed_rest_ml, limb_unstressed_rest_ml, splanchnic_gives_ml,
    limb_gives_ml, limb_column_cm, splanchnic_column_cm, carotid_height_cm,
):  # fmt: skip
    """Conductance of each bed, veins, posture.  0.2 is the sympathetic activity at rest."""
    # nerves alone reach three quarters of what a drug can
    narrow = together_frac(0.75 * resistance_action_frac, alpha1_occupancy_frac)
    widen = beta2_occupancy_frac * (1.0 - alpha1_occupancy_frac)
    # a vasoconstrictor wins back half of what lack of oxygen has taken
    tone = vessel_tone_frac + 0.5 * alpha1_occupancy_frac * (1.0 - vessel_tone_frac)
    hold = hold_resistance_weight_frac
    held = 1.0 / larger(hold_resistance_frac, 0.05)
    gut = (1.0 + 0.4 * widen) / ((0.58 + 2.80 * narrow) * tone)
    limb = (1.0 + 1.6 * widen) / ((0.64 + 2.40 * narrow) * tone)
    skin_flow_frac = 1.0 / (0.37 + 4.2 * narrow)
    skin = skin_flow_frac / tone
    splanchnic_conductance = splanchnic_conductance_rest * (gut + hold * (held - gut))
    limb_conductance = limb_conductance_rest * (limb + hold * (held - limb))
    work = clamp(strength_now_frac * heart_rate_now_per_min / heart_rate_rest_per_min, 0.5, 4.0)
    upper_conductance = (
        upper_skin_conductance_rest * (skin + hold * (held - skin))
        + brain_conductance_rest * brain_conductance_frac
        + heart_conductance_rest * work
    )
    closing_pressure_mmhg = closing_pressure_rest_mmhg * (0.9 + 0.5 * narrow) * tone * tone
    draw = together_frac(vein_action_frac, 0.7 * alpha1_occupancy_frac) - 0.2
    splanchnic_unstressed_ml = splanchnic_unstressed_rest_ml - splanchnic_gives_ml * draw * tone + 350.0 * (1.0 - tone)
    limb_unstressed_ml = limb_unstressed_rest_ml - limb_gives_ml * draw * tone
    up = sin(tilt_deg * 0.017453292519943295) if tilt_deg != 0.0 else 0.0
    limb_column_mmhg = MMHG_PER_CM_BLOOD * (limb_column_cm * up - (9.0 if legs_raised > 0.5 else 0.0))
    splanchnic_column_mmhg = MMHG_PER_CM_BLOOD * splanchnic_column_cm * up
    carotid_column_mmhg = MMHG_PER_CM_BLOOD * carotid_height_cm * up
    # upright, the upper half of the lungs lies some 8 cm over the heart
    lung_column_mmhg = MMHG_PER_CM_BLOOD * 8.0 * up
    splanchnic_outside_mmhg = 0.003 * stomach_air_ml
    return (
        splanchnic_conductance, limb_conductance, upper_conductance, skin_flow_frac, closing_pressure_mmhg,
        splanchnic_unstressed_ml, limb_unstressed_ml, limb_column_mmhg, splanchnic_column_mmhg, carotid_column_mmhg,
        splanchnic_outside_mmhg, lung_column_mmhg,
    )  # fmt: skip


def hypoxic_width_frac(pao2_mmhg):
    """Width of lung vessels over rest: narrower where alveolar oxygen is low (half effect at 45 mmHg).

    Shape after Marshall 1994-type sigmoid curves (from memory); full effect halves conductance.
    """
    x = pao2_mmhg / 45.0
    return 1.0 - 0.5 / (1.0 + x * x * x)


def lung_vessels(
    lung_left_ml, lung_right_ml, alveolar_o2_left_ml, alveolar_o2_right_ml, gas_flow_ml_per_s, frc_ml,
    left_lung_share_frac, ambient_pressure_mmhg, alveolar_dead_frac, cardiac_output_rest_ml_per_s,
    lung_resistance_rest_mmhg_s_per_ml, cardiac_output_ml_per_s, mediastinum_shift_ml, chest_veins_ml_per_s_per_mmhg,
):  # fmt: skip
    """Resistance of the lungs, how blood divides between them, dead space that grows as flow falls."""
    dry = ambient_pressure_mmhg - 47.0
    left = left_lung_share_frac * hypoxic_width_frac(dry * alveolar_o2_left_ml / larger(lung_left_ml, 50.0))
    left = left * (0.35 + 0.65 * open_lung_frac(lung_left_ml, left_lung_share_frac * frc_ml))
    right = (1.0 - left_lung_share_frac) * hypoxic_width_frac(dry * alveolar_o2_right_ml / larger(lung_right_ml, 50.0))
    right = right * (0.35 + 0.65 * open_lung_frac(lung_right_ml, (1.0 - left_lung_share_frac) * frc_ml))
    lung_conductance_ml_per_s_per_mmhg = (left + right) / (0.955 * lung_resistance_rest_mmhg_s_per_ml)
    left_blood_share_frac = left / (left + right)
    lack = clamp(1.0 - gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 1.0)
    alveolar_dead_now_frac = alveolar_dead_frac + 0.5 * lack
    # felt collapse: a lung smaller than at rest
    collapse_frac = clamp(1.0 - (lung_left_ml + lung_right_ml) / (0.95 * frc_ml), 0.0, 1.0)
    # a mediastinum far out of place bends the great veins (common teaching, no measured source)
    bend = larger(mediastinum_shift_ml, -mediastinum_shift_ml) / 250.0 - 0.8
    bend = larger(bend, 0.0)
    chest_veins_now_ml_per_s_per_mmhg = chest_veins_ml_per_s_per_mmhg / (1.0 + 90.0 * bend * bend)
    cardiac_output_frac = cardiac_output_ml_per_s / cardiac_output_rest_ml_per_s
    return (
        lung_conductance_ml_per_s_per_mmhg, left_blood_share_frac, alveolar_dead_now_frac, collapse_frac,
        cardiac_output_frac, chest_veins_now_ml_per_s_per_mmhg,
    )  # fmt: skip


def lung_back_pressure(alveolar_pressure_mmhg, lung_column_mmhg):
    """What stands against the flow through the lungs: the gas in them and their height over the heart."""
    lung_back_pressure_mmhg = alveolar_pressure_mmhg + lung_column_mmhg
    return lung_back_pressure_mmhg


def demands(
    carotid_body_o2_mmhg, carotid_body_acid_nmol_per_l, temperature_core_degc, anaesthetised,
    central_nervous_depression_frac, hold_metabolic_weight_frac, hold_metabolic_rate_frac, oxygen_use_rest_ml_per_s,
    sympathetic_frac, beta2_occupancy_frac,
):  # fmt: skip
    """Carotid body drive and oxygen demand.

    Drive: Weil 1970 (J Clin Invest 49:1061) A/(PO2 - 32) with A 180 over a resting 6.5 L/min, times acid.  Demand: 10 %
    per degC (Du Bois 1921), 15 % less under anaesthesia (from memory).
    """
    acid = carotid_body_acid_nmol_per_l - 40.0
    carotid_body_drive_frac = (
        27.7 / larger(carotid_body_o2_mmhg - 32.0, 7.0) * clamp(1.0 + 0.04 * acid, 0.2, 3.0) - 0.44 + 0.04 * acid
    )
    carotid_body_drive_frac = clamp(carotid_body_drive_frac, -0.7, 5.0)
    deep = clamp(anaesthetised + central_nervous_depression_frac, 0.0, 1.0)
    factor = clamp(1.0 + 0.10 * (temperature_core_degc - 37.0), 0.2, 1.6) * (1.0 - 0.15 * deep)
    factor = factor * (1.0 + 0.12 * (sympathetic_frac - 0.2) + 0.15 * beta2_occupancy_frac)
    factor = factor + hold_metabolic_weight_frac * (hold_metabolic_rate_frac - factor)
    oxygen_demand_ml_per_s = oxygen_use_rest_ml_per_s * factor
    stress_lactate_mmol_per_s = 0.12 * larger(sympathetic_frac - 0.5, 0.0) + 0.01 * beta2_occupancy_frac
    return carotid_body_drive_frac, oxygen_demand_ml_per_s, stress_lactate_mmol_per_s


def toward(weight_frac, on, dt_s):
    """Weight of a hold, moved over about three seconds."""
    return weight_frac + (clamp(on, 0.0, 1.0) - weight_frac) * (dt_s / 1.5)


def holds_and_tone(
    hold_rate_of_heart_weight_frac, hold_rate_weight_frac, hold_tidal_weight_frac, hold_resistance_weight_frac,
    hold_strength_weight_frac, hold_shunt_weight_frac, hold_metabolic_weight_frac, hold_heart_rate_on,
    hold_respiratory_rate_on, hold_tidal_volume_on, hold_resistance_on, hold_contractility_on, hold_shunt_on,
    hold_metabolic_rate_on, vessel_tone_frac, organ_o2_ml_per_ml, carotid_body_drive_frac, chemo_drive_frac, dt_calm_s,
):  # fmt: skip
    """Weights of holds; vessels that lose their tone without oxygen (our choice: minutes to lose, minutes to
    regain)."""
    next_hold_rate_of_heart_weight_frac = toward(hold_rate_of_heart_weight_frac, hold_heart_rate_on, dt_calm_s)
    next_hold_rate_weight_frac = toward(hold_rate_weight_frac, hold_respiratory_rate_on, dt_calm_s)
    next_hold_tidal_weight_frac = toward(hold_tidal_weight_frac, hold_tidal_volume_on, dt_calm_s)
    next_hold_resistance_weight_frac = toward(hold_resistance_weight_frac, hold_resistance_on, dt_calm_s)
    next_hold_strength_weight_frac = toward(hold_strength_weight_frac, hold_contractility_on, dt_calm_s)
    next_hold_shunt_weight_frac = toward(hold_shunt_weight_frac, hold_shunt_on, dt_calm_s)
    next_hold_metabolic_weight_frac = toward(hold_metabolic_weight_frac, hold_metabolic_rate_on, dt_calm_s)
    kept = 0.35 + 0.65 * clamp((organ_o2_ml_per_ml - 0.01) / 0.05, 0.0, 1.0)
    next_vessel_tone_frac = vessel_tone_frac + (kept - vessel_tone_frac) * (dt_calm_s / 150.0)
    felt = clamp(carotid_body_drive_frac, -0.2, 4.0) * 0.5
    next_chemo_drive_frac = chemo_drive_frac + (felt - chemo_drive_frac) * (dt_calm_s / 3.0)
    return (
        next_hold_rate_of_heart_weight_frac, next_hold_rate_weight_frac, next_hold_tidal_weight_frac,
        next_hold_resistance_weight_frac, next_hold_strength_weight_frac, next_hold_shunt_weight_frac,
        next_hold_metabolic_weight_frac, next_vessel_tone_frac, next_chemo_drive_frac,
    )  # fmt: skip


PARTS: Final = {
    "CALM": (heart_effectors, vessel_effectors, lung_vessels, demands, holds_and_tone),
    "OUT": (lung_back_pressure,),
}
