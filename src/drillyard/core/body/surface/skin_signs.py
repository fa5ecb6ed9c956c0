"""What skin and muscle show slowly, and what the stomach does.

In:       skin blood flow, saturation, haemoglobin, mediators, drugs, consciousness, pressure in the skull.
Out:      mottling, flush, rash, swelling, central and peripheral blueness, muscle tone, nausea, vomiting, danger of
          breathing it in.
Assumes:  skin at the knees mottles over minutes where its flow stays low (score of Ait-Oufella 2011, Intensive Care Med
          37:801: the sign, not the score).  Central blueness where the mean of arterial and venous blood in the tongue
          holds 5 g/dL of reduced haemoglobin (Lundsgaard 1919, J Exp Med 30:259, from memory), peripheral where slow
          flow takes more oxygen out.  Nausea by opioids, pressure in the skull, mediators, low
          pressure; a patient vomits above a threshold of his own.  Sizes are our choice.
Left out: where on the body a rash lies, jaundice, sores, what a stomach holds; vomit that goes into the lungs does so
          only by the problem ``aspiration`` or ``shunt``: here is only its danger.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, noise_unit
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("skin_mottling_frac", 0.0, "1", "mottled skin at the knees: 0 none, 1 over the thighs", "slow", 0.0),
    State("nausea_frac", 0.0, "1", "nausea: 0 none, 1 retching", "slow", 0.0),
    State("vomited", 0.0, "1", "times that the patient has vomited", "slow", 0.0),
    State("since_vomit_s", 1.0e4, "s", "time since the patient last vomited, 10 000 at most", "slow", 0.0),
)


def mottling(
    skin_mottling_frac, skin_flow_frac, mean_arterial_pressure_mmhg, carotid_set_mmhg, gas_flow_ml_per_s,
    cardiac_output_rest_ml_per_s, dt_slow_s,
):  # fmt: skip
    """Mottling comes and goes over minutes."""
    pressure = clamp(mean_arterial_pressure_mmhg / carotid_set_mmhg, 0.0, 1.2)
    flow = clamp(gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 1.2)
    fed = larger(skin_flow_frac * pressure, 0.0) * (0.4 + 0.6 * flow)
    mottled = clamp((0.32 - fed) / 0.25, 0.0, 1.0)
    lasts_s = 400.0 if mottled > skin_mottling_frac else 600.0
    next_skin_mottling_frac = faded(skin_mottling_frac + (mottled - skin_mottling_frac) * dt_slow_s / lasts_s)
    return next_skin_mottling_frac


def vomiting(
    nausea_frac, vomited, since_vomit_s, mu_opioid_occupancy_frac, dopamine_d2_block_frac, antiemetic_frac,
    mediator_level_frac, intracranial_pressure_mmhg, mean_arterial_pressure_mmhg, carotid_set_mmhg, pain_frac,
    stomach_full_frac, conscious_frac, asleep_by_drugs_frac, limb_power_frac, brain_injury_frac, step_count, seed,
    dt_slow_s,
):  # fmt: skip
    """Nausea and vomiting over one second."""
    dose = 0.55 * clamp(2.0 * mu_opioid_occupancy_frac, 0.0, 1.0)
    skull = clamp((intracranial_pressure_mmhg - 20.0) / 20.0, 0.0, 1.0)
    low = 0.6 * clamp((0.65 - mean_arterial_pressure_mmhg / carotid_set_mmhg) / 0.2, 0.0, 1.0)
    cause = larger(larger(dose, skull), larger(larger(low, 0.8 * mediator_level_frac), 0.4 * pain_frac))
    cause = cause * (1.0 - 0.7 * antiemetic_frac) * (1.0 - 0.5 * dopamine_d2_block_frac)
    next_nausea_frac = faded(nausea_frac + (cause - nausea_frac) * (dt_slow_s / 90.0))
    able = clamp(1.0 - 2.0 * asleep_by_drugs_frac, 0.0, 1.0) * clamp(1.0 - 4.0 * brain_injury_frac, 0.0, 1.0)
    able = able if limb_power_frac > 0.3 and conscious_frac > 0.05 else 0.0
    next_vomited = vomited
    next_since_vomit_s = since_vomit_s + dt_slow_s if since_vomit_s < 1.0e4 else since_vomit_s
    # each patient has a threshold of his own, the same all through a run
    threshold = 0.45 + 0.5 * noise_unit(seed, 35.0, 1.0)
    up = next_nausea_frac * able * clamp(3.0 * stomach_full_frac, 0.0, 1.0)
    # once past it some time within the next two minutes, not oftener than every four
    if up > threshold and since_vomit_s > 240.0 and noise_unit(seed, 36.0, step_count) < 0.01:
        next_vomited = vomited + 1.0
        next_since_vomit_s = 0.0
    return next_nausea_frac, next_vomited, next_since_vomit_s


def signs_seen(
    haemoglobin_g_per_dl, sao2_frac, skin_flow_frac, temperature_core_degc, skin_flush_frac,
    mediator_swelling_frac, conscious_frac, limb_power_frac, convulsion_frac, stem_pressed_frac, seizure_s,
    asleep_by_drugs_frac, airway_device_code, nausea_frac, since_vomit_s, stomach_full_frac,
):  # fmt: skip
    """Colour by place, flush, tone, danger from the stomach."""
    # blood of the tongue loses 3.4 g/dL of oxygenated haemoglobin on its way, that of skin more as flow falls
    reduced = haemoglobin_g_per_dl * (1.0 - sao2_frac)
    skin_cyanosis_central_frac = clamp((reduced + 1.7 - 4.4) / 3.0, 0.0, 1.0)
    slowed = 0.6 / clamp(skin_flow_frac, 0.12, 2.0) - 0.6
    skin_cyanosis_peripheral_frac = clamp((reduced + 1.7 + slowed - 4.4) / 3.0, 0.0, 1.0)
    warm = clamp((skin_flow_frac - 1.25) / 1.2, 0.0, 1.0) * clamp((temperature_core_degc - 34.0) / 2.0, 0.0, 1.0)
    skin_redness_frac = clamp(larger(warm, skin_flush_frac), 0.0, 1.0) * clamp(2.0 * skin_flow_frac, 0.0, 1.0)
    face_swelling_frac = clamp(mediator_swelling_frac / 0.75, 0.0, 1.0)
    awake = 0.25 + 0.75 * conscious_frac
    stiff = larger(
        convulsion_frac * clamp((30.0 - seizure_s) / 10.0, 0.4, 1.0),
        0.9 * clamp((stem_pressed_frac - 0.3) / 0.2, 0.0, 1.0) * clamp((0.95 - stem_pressed_frac) / 0.1, 0.0, 1.0),
    )
    muscle_tone_frac = clamp(
        (0.5 * awake * (1.0 - 0.5 * asleep_by_drugs_frac) + 0.5 * stiff) * limb_power_frac, 0.0, 1.0
    )
    in_windpipe = (airway_device_code > 2.5 and airway_device_code < 3.5) or airway_device_code > 4.5
    open_to_it = clamp((0.75 - conscious_frac) / 0.5, 0.0, 1.0) * (0.1 if in_windpipe else 1.0)
    fresh = clamp((180.0 - since_vomit_s) / 120.0, 0.0, 1.0)
    aspiration_risk_frac = clamp(open_to_it * stomach_full_frac * (0.4 + 0.3 * nausea_frac + 0.6 * fresh), 0.0, 1.0)
    return (
        skin_cyanosis_central_frac, skin_cyanosis_peripheral_frac, skin_redness_frac, face_swelling_frac,
        muscle_tone_frac, aspiration_risk_frac,
    )  # fmt: skip


PARTS: Final = {"SLOW": (mottling, vomiting), "SHOW": (signs_seen,)}
