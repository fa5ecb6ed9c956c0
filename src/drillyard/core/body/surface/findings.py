"""What can be seen, felt and heard on the patient's surface.

In:       states and intermediates of all organs.
Out:      coma scale and its parts, pupils, skin, refill, neck veins, pulses by site, chest rise and breath sounds by
          side, windpipe.
Assumes:  scales from 0 to 1 are steps of a teaching finding, not measurements.  Pulses fail in the order radial,
          femoral,
          carotid (Deakin and Low 2000, BMJ 321:673: the order holds, fixed pressure limits do not).  Blue skin needs
          about
          4-5 g/dL of unsaturated haemoglobin in capillaries (Lundsgaard 1919, from memory).
Left out: rashes, injuries, focal weakness, single-sided pupil signs (scripted findings).
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, floor, larger
from drillyard.core.numerics.names import Param

NAMES: Final = (Param("tidal_rest_ml", 490.0, "mL", "breath at rest", "7 mL/kg (common textbook value)"),)


def coma_scale(conscious_frac, limb_power_frac, airway_device_code, stem_pressed_frac):
    """Eye, verbal and motor parts (Teasdale and Jennett 1974, Lancet 2:81); thresholds are our choice.

    What is seen: a patient who cannot move scores as low as one who sleeps, and a tube in the windpipe takes speech.
    """
    c = conscious_frac * clamp(5.0 * limb_power_frac, 0.0, 1.0)
    gcs_eye = 1.0 + floor(3.0 * clamp((c - 0.05) / 0.85, 0.0, 1.0) + 0.02)
    gcs_verbal = 1.0 + floor(4.0 * clamp((c - 0.08) / 0.84, 0.0, 1.0) + 0.02)
    in_windpipe = (airway_device_code > 2.5 and airway_device_code < 3.5) or airway_device_code > 4.5
    if in_windpipe:
        gcs_verbal = 1.0
    gcs_motor = 1.0 + floor(5.0 * clamp((c - 0.01) / 0.75, 0.0, 1.0) + 0.02)
    if stem_pressed_frac > 0.35 and limb_power_frac > 0.2:
        # flexion, then extension, then nothing
        gcs_motor = 3.0 if stem_pressed_frac < 0.6 else (2.0 if stem_pressed_frac < 0.9 else 1.0)
    gcs_total = gcs_eye + gcs_verbal + gcs_motor
    return gcs_eye, gcs_verbal, gcs_motor, gcs_total


def pupils(
    mu_opioid_occupancy_frac, vagal_block_frac, sympathetic_frac, asleep_by_drugs_frac, nmda_block_frac,
    brain_oxygen_frac, brain_injury_frac, pressed_left_frac, pressed_right_frac,
):  # fmt: skip
    """Size of each pupil and how briskly it answers light (sizes are our choice).

    Opioids narrow it, with half effect at an occupancy of about 0.2; a brain that dies widens it and takes its answer;
    a pressed third nerve widens the one of its side;
    atropine and fright widen it a little; deep sleep by drugs makes the answer sluggish.
    """
    narrow = mu_opioid_occupancy_frac / (mu_opioid_occupancy_frac + 0.2)
    wide = 1.0 * clamp((sympathetic_frac - 0.4) / 0.4, 0.0, 1.0) + 1.2 * vagal_block_frac + 0.8 * nmda_block_frac
    pupil = 4.0 + wide * (1.0 - narrow) - 2.9 * narrow
    dying = clamp((0.25 - brain_oxygen_frac) * 6.0, 0.0, 1.0)
    dying = larger(dying, clamp(brain_injury_frac * 2.0 - 0.5, 0.0, 1.0))
    left = larger(dying, pressed_left_frac)
    right = larger(dying, pressed_right_frac)
    pupil_left_mm = pupil + left * (7.0 - pupil)
    pupil_right_mm = pupil + right * (7.0 - pupil)
    answer = clamp((1.0 - 0.6 * asleep_by_drugs_frac) * (1.0 - 0.5 * vagal_block_frac), 0.0, 1.0)
    pupil_left_reaction_frac = answer * (1.0 - left)
    pupil_right_reaction_frac = answer * (1.0 - right)
    return pupil_left_mm, pupil_right_mm, pupil_left_reaction_frac, pupil_right_reaction_frac


def skin(
    skin_flow_frac, haemoglobin_g_per_dl, sao2_frac, mean_arterial_pressure_mmhg, carotid_set_mmhg, sympathetic_frac,
    gas_flow_ml_per_s, cardiac_output_rest_ml_per_s, counter_regulation_frac,
):  # fmt: skip
    """Colour, sweat, refill."""
    flow = clamp(gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 1.5)
    thin = clamp((11.0 - haemoglobin_g_per_dl) / 6.0, 0.0, 1.0)
    shut = clamp((0.85 - skin_flow_frac) / 0.55, 0.0, 1.0)
    empty = clamp((0.75 - flow) / 0.6, 0.0, 1.0)
    skin_pallor_frac = clamp(larger(larger(shut, thin), empty), 0.0, 1.0)
    unsaturated = haemoglobin_g_per_dl * (1.0 - sao2_frac) + 0.9 * empty
    skin_cyanosis_frac = clamp((unsaturated - 2.2) / 4.5, 0.0, 1.0)
    skin_sweat_frac = clamp(larger((sympathetic_frac - 0.5) / 0.4, 1.4 * (counter_regulation_frac - 0.4)), 0.0, 1.0)
    pressure = clamp(mean_arterial_pressure_mmhg / carotid_set_mmhg, 0.05, 1.3)
    capillary_refill_s = clamp(1.4 / (clamp(skin_flow_frac, 0.15, 1.5) * pressure), 0.8, 15.0)
    return skin_pallor_frac, skin_cyanosis_frac, skin_sweat_frac, capillary_refill_s


def pulses(
    systolic_pressure_mmhg, diastolic_pressure_mmhg, central_venous_pressure_mmhg, resistance_drive_frac,
    pressure_size_frac,
):  # fmt: skip
    """Strength of the pulse by site; neck veins.  The vein of the neck is full at about 8-10 mmHg (textbook)."""
    width = larger(systolic_pressure_mmhg - diastolic_pressure_mmhg, 0.0)
    wave = clamp(width / (20.0 * pressure_size_frac), 0.0, 1.0)
    # as it would be in an adult
    systolic = systolic_pressure_mmhg / pressure_size_frac
    narrowed = 10.0 * resistance_drive_frac
    pulse_radial_frac = wave * clamp((systolic - 58.0 - narrowed) / 45.0, 0.0, 1.0)
    pulse_femoral_frac = wave * clamp((systolic - 42.0 - 0.5 * narrowed) / 50.0, 0.0, 1.0)
    pulse_carotid_frac = wave * clamp((systolic - 28.0) / 50.0, 0.0, 1.0)
    neck_veins_frac = clamp(0.5 + (central_venous_pressure_mmhg - 5.0) / 12.0, 0.0, 1.0)
    return pulse_radial_frac, pulse_femoral_frac, pulse_carotid_frac, neck_veins_frac


def chest(
    tidal_volume_ml, tidal_left_ml, tidal_rest_ml, left_lung_share_frac, pleural_air_left_ml, pleural_air_right_ml,
    mediastinum_shift_ml, since_breath_s,
):  # fmt: skip
    """Rise and breath sounds by side; the windpipe moves away from the fuller side."""
    left = tidal_left_ml / (left_lung_share_frac * tidal_rest_ml)
    right = (tidal_volume_ml - tidal_left_ml) / ((1.0 - left_lung_share_frac) * tidal_rest_ml)
    still = 1.0 if since_breath_s < 20.0 else 0.0
    chest_rise_left_frac = clamp(left * still, 0.0, 2.0)
    chest_rise_right_frac = clamp(right * still, 0.0, 2.0)
    breath_sound_left_frac = clamp(left * still, 0.0, 1.0) / (1.0 + pleural_air_left_ml / 500.0)
    breath_sound_right_frac = clamp(right * still, 0.0, 1.0) / (1.0 + pleural_air_right_ml / 500.0)
    trachea_shift_frac = clamp(mediastinum_shift_ml / 500.0, -1.0, 1.0)
    return (
        chest_rise_left_frac, chest_rise_right_frac, breath_sound_left_frac, breath_sound_right_frac,
        trachea_shift_frac,
    )  # fmt: skip


PARTS: Final = {"SHOW": (coma_scale, pupils, skin, pulses, chest)}
