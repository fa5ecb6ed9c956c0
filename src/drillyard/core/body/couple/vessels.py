"""Conductance of each bed, unstressed volume of veins, posture, from all that acts on them."""

from typing import Final

from drillyard.core.body.couple.receptor import together_frac
from drillyard.core.numerics.elementary import clamp, larger, sin
from drillyard.core.numerics.names import Mid, Param, State

_TUNED = "tuned so that the reference adult rests at published pressures and flow (docs/body)"
MMHG_PER_CM_BLOOD: Final = 0.779
"""Column of blood, density 1.06 (reckoned)."""

NAMES: Final = (
    State("vessel_tone_frac", 1.0, "1", "ability of vessels to stay narrow; falls without oxygen", "mid", 0.0),
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
    Mid("lung_column_mmhg", "mmHg", "column of blood from the heart to the upper half of the lungs"),
)  # fmt: skip


def vessel_effectors(
    resistance_action_frac, vein_action_frac, alpha1_occupancy_frac, beta2_occupancy_frac, vessel_tone_frac,
    brain_conductance_frac, strength_now_frac, heart_rate_now_per_min, heart_rate_rest_per_min, tilt_deg, legs_raised,
    stomach_air_ml, hold_resistance_weight_frac, hold_resistance_frac, splanchnic_conductance_rest,
    limb_conductance_rest, upper_skin_conductance_rest, brain_conductance_rest, heart_conductance_rest,
    closing_pressure_rest_mmhg, splanchnic_unstressed_rest_ml, limb_unstressed_rest_ml, splanchnic_gives_ml,
    limb_gives_ml, limb_column_cm, splanchnic_column_cm, carotid_height_cm, frc_ml,
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
    splanchnic_unstressed_ml = (
        splanchnic_unstressed_rest_ml - splanchnic_gives_ml * draw * tone + 0.37 * splanchnic_gives_ml * (1.0 - tone)
    )
    limb_unstressed_ml = limb_unstressed_rest_ml - limb_gives_ml * draw * tone
    up = sin(tilt_deg * 0.017453292519943295) if tilt_deg != 0.0 else 0.0
    limb_column_mmhg = MMHG_PER_CM_BLOOD * (limb_column_cm * up - (9.0 if legs_raised > 0.5 else 0.0))
    splanchnic_column_mmhg = MMHG_PER_CM_BLOOD * splanchnic_column_cm * up
    carotid_column_mmhg = MMHG_PER_CM_BLOOD * carotid_height_cm * up
    # upright, the upper half of the lungs lies some 8 cm over the heart
    lung_column_mmhg = MMHG_PER_CM_BLOOD * 8.0 * up
    splanchnic_outside_mmhg = 7.5 * stomach_air_ml / frc_ml
    return (
        splanchnic_conductance, limb_conductance, upper_conductance, skin_flow_frac, closing_pressure_mmhg,
        splanchnic_unstressed_ml, limb_unstressed_ml, limb_column_mmhg, splanchnic_column_mmhg, carotid_column_mmhg,
        splanchnic_outside_mmhg, lung_column_mmhg,
    )  # fmt: skip


def vessel_tone(vessel_tone_frac, organ_o2_ml_per_ml, dt_calm_s):
    """Vessels lose their tone without oxygen (our choice: minutes to lose, minutes to regain)."""
    kept = 0.35 + 0.65 * clamp((organ_o2_ml_per_ml - 0.01) / 0.05, 0.0, 1.0)
    next_vessel_tone_frac = vessel_tone_frac + (kept - vessel_tone_frac) * (dt_calm_s / 150.0)
    return next_vessel_tone_frac


PARTS: Final = {"CALM": (vessel_effectors, vessel_tone)}
