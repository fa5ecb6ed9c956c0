"""Brain: blood flow, oxygen, consciousness, injury.

In:       pressure, arterial gases, drugs, pressure in the skull, seizure.
Out:      tone of brain vessels, brain oxygen, consciousness, injury.
Assumes:  flow held by vessels that widen and narrow within limits over seconds (static autoregulation); 3-4 % per mmHg
          CO2 (reference: Reivich 1964, Am J Physiol 206:25, from memory); widening in hypoxia.  Consciousness is lost
          6-7 s after flow stops (Rossen 1943, Arch Neurol Psychiatry 50:510) and when delivery falls under about 45 %.
          Without oxygen the brain is lost after about ten minutes.
Left out: single regions (``stroke.py`` only shows what a problem says).
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.body.nerves.seizure import general_frac
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("brain_tone_frac", 1.191, "1", "conductance of brain vessels over rest, by autoregulation", "mid", 0.0),
    State("brain_flow_frac", 1.011, "1", "brain blood flow over rest", "mid", 0.0),
    State("brain_oxygen_frac", 0.9977, "1",
          "oxygen delivered to the brain over its need at rest, as the tissue feels it", "mid", 0.0),
    State("brain_squeezed_frac", 0.0, "1", "share of the pressure that drives its flow taken by the skull", "mid", 0.0),
    State("head_arteries_mmhg", 82.0, "mmHg", "pressure in small arteries at heart level, mean of 10 ms"),
    State("head_veins_mmhg", 3.0, "mmHg", "pressure in the great veins, mean of 10 ms"),
    State("conscious_frac", 1.0, "1", "consciousness, 1 awake", "mid", 0.0),
    State("brain_injury_frac", 0.0, "1", "harm done by lack of oxygen; 1 beyond recovery", "slow", 0.0),
    Param("brain_flow_rest_ml_per_s", 12.5, "mL/s", "brain blood flow at rest",
          "50 mL/100 g/min (Kety and Schmidt 1948)"),
    Param("arterial_o2_rest_ml_per_ml", 0.1925, "mL/mL", "oxygen content at rest", "Hb 14.5 g/dL, 97 %"),
    Mid("brain_width_frac", "1", "conductance of brain vessels over rest, as far as their own width goes"),
    Mid("brain_conductance_frac", "1", "conductance of the brain over rest, as the circulation meets it"),
)  # fmt: skip


def brain_conductance(
    brain_tone_frac, paco2_mmhg, pao2_mmhg, brain_activity_frac, brain_squeezed_frac, neck_compressed_frac,
):  # fmt: skip
    """Tone, CO2, oxygen and work of the brain together; pressure in the skull takes part of it away."""
    co2 = clamp(1.0 + 0.032 * (paco2_mmhg - 40.0), 0.5, 2.0)
    low_o2 = 1.0 + 0.9 * clamp((55.0 - pao2_mmhg) / 30.0, 0.0, 1.0)
    brain_width_frac = clamp(brain_tone_frac * co2 * low_o2 * brain_activity_frac, 0.15, 3.2)
    brain_conductance_frac = brain_width_frac * (1.0 - brain_squeezed_frac) * (1.0 - neck_compressed_frac)
    return brain_width_frac, brain_conductance_frac


def brain_oxygen(
    brain_tone_frac, brain_flow_frac, brain_oxygen_frac, brain_width_frac, brain_activity_frac,
    intracranial_pressure_mmhg, neck_compressed_frac,
    head_arteries_mmhg, head_veins_mmhg, closing_pressure_mmhg, carotid_column_mmhg,
    arterial_o2_ml_per_ml, arterial_o2_rest_ml_per_ml, carotid_set_mmhg, brain_need_frac, dt_calm_s,
):  # fmt: skip
    """Flow and oxygen over one step."""
    head = head_arteries_mmhg - carotid_column_mmhg
    # the highest of what closes the vessels stands against the flow: their own tone, the skull, the veins
    against = larger(closing_pressure_mmhg, larger(intracranial_pressure_mmhg, head_veins_mmhg - carotid_column_mmhg))
    squeezed = larger(against - closing_pressure_mmhg, 0.0) / larger(head - closing_pressure_mmhg, 1.0)
    next_brain_squeezed_frac = clamp(squeezed, 0.0, 1.0)
    push = larger(head - against, 0.0) * (1.0 - neck_compressed_frac) / (carotid_set_mmhg - 18.0)
    next_brain_flow_frac = faded(brain_flow_frac + (brain_width_frac * push - brain_flow_frac) * (dt_calm_s / 1.0))
    wanted_tone = clamp(1.0 / larger(push, 0.05), 0.55, 1.9)
    next_brain_tone_frac = brain_tone_frac + (wanted_tone - brain_tone_frac) * (dt_calm_s / 5.0)
    # the last quarter of the oxygen cannot be drawn out of the blood
    delivered = brain_flow_frac * larger(1.35 * arterial_o2_ml_per_ml / arterial_o2_rest_ml_per_ml - 0.35, 0.0)
    next_brain_oxygen_frac = faded(
        brain_oxygen_frac
        + (clamp(delivered / (brain_need_frac * brain_activity_frac), 0.0, 1.6) - brain_oxygen_frac) * (dt_calm_s / 5.9)
    )
    return next_brain_flow_frac, next_brain_tone_frac, next_brain_oxygen_frac, next_brain_squeezed_frac


def consciousness(
    conscious_frac, brain_oxygen_frac, asleep_by_drugs_frac, mu_opioid_occupancy_frac, anaesthetised, brain_co2_mmhg,
    brain_injury_frac, brain_glucose_frac, thermal_mind_frac,
    seizure_frac, postictal_frac, pressed_left_frac, pressed_right_frac, stem_pressed_frac,
    dt_calm_s,
):  # fmt: skip
    """How awake the patient is, over one step.

    An overdose of an opioid puts to sleep at doses that stop breathing (common practice, no source); what a sedative
    adds is part of ``asleep_by_drugs_frac``.
    """
    awake = (
        clamp((brain_oxygen_frac - 0.38) / 0.2, 0.0, 1.0)
        * clamp((brain_glucose_frac - 0.12) / 0.62, 0.0, 1.0)
        * thermal_mind_frac
        * clamp(1.08 - 1.15 * asleep_by_drugs_frac, 0.0, 1.0)
        * clamp(1.35 - 1.5 * mu_opioid_occupancy_frac, 0.0, 1.0)
        * clamp((115.0 - brain_co2_mmhg) / 35.0, 0.0, 1.0)
        * (0.0 if anaesthetised > 0.5 else 1.0)
        * clamp(1.0 - 2.0 * brain_injury_frac, 0.0, 1.0)
        * (1.0 - general_frac(seizure_frac))
        * (1.0 - 0.95 * postictal_frac)
        * (1.0 - 0.7 * larger(pressed_left_frac, pressed_right_frac))
        * larger(1.0 - 1.3 * stem_pressed_frac, 0.0)
    )
    tau = 1.5 if awake < conscious_frac else 8.0 + 120.0 * brain_injury_frac
    next_conscious_frac = faded(conscious_frac + (awake - conscious_frac) * dt_calm_s / tau)
    return next_conscious_frac


def brain_readings(
    brain_flow_frac, brain_flow_rest_ml_per_s, brain_oxygen_frac, brain_activity_frac, arterial_o2_rest_ml_per_ml,
):  # fmt: skip
    """Flow to the brain and oxygen that it uses: a third of what arrives at rest."""
    brain_blood_flow_ml_per_min = 60.0 * brain_flow_rest_ml_per_s * brain_flow_frac
    met = clamp(brain_oxygen_frac / 0.6, 0.0, 1.0)
    need = 0.34 * 60.0 * brain_flow_rest_ml_per_s * arterial_o2_rest_ml_per_ml
    brain_oxygen_use_ml_per_min = need * brain_activity_frac * met
    return brain_blood_flow_ml_per_min, brain_oxygen_use_ml_per_min


def head_pressures(mean_small_arteries_mmhg, mean_chest_veins_mmhg):
    """Pressures that feed and drain the brain, at heart level, of the last 10 ms."""
    next_head_arteries_mmhg = mean_small_arteries_mmhg
    next_head_veins_mmhg = mean_chest_veins_mmhg
    return next_head_arteries_mmhg, next_head_veins_mmhg


def brain_injury(brain_injury_frac, brain_oxygen_frac, brain_need_frac):
    """Harm grows while oxygen is short and heals slowly while it is still small.

    Ten minutes without any oxygen are beyond recovery (common teaching, no source), longer in the cold, as need falls.
    """
    short = clamp((0.30 - brain_oxygen_frac) / 0.30, 0.0, 1.0)
    heal = 1.0 / 7200.0 if brain_injury_frac < 0.9 else 0.0
    next_brain_injury_frac = clamp(
        brain_injury_frac + short * brain_need_frac / 600.0 - heal * brain_injury_frac * (1.0 - short), 0.0, 1.0
    )
    return next_brain_injury_frac


PARTS: Final = {
    "CALM": (brain_conductance, brain_oxygen, consciousness),
    "MID": (head_pressures,),
    "SLOW": (brain_injury,),
    "SHOW": (brain_readings,),
}
