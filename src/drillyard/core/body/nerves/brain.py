"""Brain: blood flow, oxygen, consciousness, injury.

In:       pressure, arterial gases, drugs.
Out:      tone of brain vessels, brain oxygen, consciousness, injury.
Assumes:  flow held by vessels that widen and narrow within limits over seconds (static autoregulation); 3-4 % per mmHg
          CO2 (reference: Reivich 1964, Am J Physiol 206:25, from memory); widening in hypoxia.  Consciousness is lost
          6-7 s after flow stops (Rossen 1943, Arch Neurol Psychiatry 50:510) and when delivery falls under about 45 %.
          Without oxygen the brain is lost after about ten minutes.
Left out: pressure in the skull, swelling, seizures, single regions.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("brain_tone_frac", 1.191, "1", "conductance of brain vessels over rest, by autoregulation", "mid", 0.0),
    State("brain_flow_frac", 1.011, "1", "brain blood flow over rest", "mid", 0.0),
    State("brain_oxygen_frac", 0.9977, "1",
          "oxygen delivered to the brain over its need at rest, as the tissue feels it", "mid", 0.0),
    State("head_arteries_mmhg", 82.0, "mmHg", "pressure in small arteries at heart level, mean of 10 ms"),
    State("head_veins_mmhg", 3.0, "mmHg", "pressure in the great veins, mean of 10 ms"),
    State("conscious_frac", 1.0, "1", "consciousness, 1 awake", "mid", 0.0),
    State("brain_injury_frac", 0.0, "1", "harm done by lack of oxygen; 1 beyond recovery", "slow", 0.0),
    Param("brain_flow_rest_ml_per_s", 12.5, "mL/s", "brain blood flow at rest",
          "50 mL/100 g/min (Kety and Schmidt 1948)"),
    Param("arterial_o2_rest_ml_per_ml", 0.1925, "mL/mL", "oxygen content at rest", "Hb 14.5 g/dL, 97 %"),
    Mid("brain_conductance_frac", "1", "conductance of brain vessels over rest"),
)  # fmt: skip


def brain_conductance(brain_tone_frac, paco2_mmhg, pao2_mmhg):
    """Tone, CO2 and oxygen together."""
    co2 = clamp(1.0 + 0.032 * (paco2_mmhg - 40.0), 0.5, 2.0)
    low_o2 = 1.0 + 0.9 * clamp((55.0 - pao2_mmhg) / 30.0, 0.0, 1.0)
    brain_conductance_frac = clamp(brain_tone_frac * co2 * low_o2, 0.15, 3.2)
    return brain_conductance_frac


def brain_oxygen(
    brain_tone_frac, brain_flow_frac, brain_oxygen_frac, brain_conductance_frac,
    head_arteries_mmhg, head_veins_mmhg, closing_pressure_mmhg, carotid_column_mmhg,
    arterial_o2_ml_per_ml, arterial_o2_rest_ml_per_ml, carotid_set_mmhg, brain_need_frac, dt_calm_s,
):  # fmt: skip
    """Flow and oxygen over one step."""
    head = head_arteries_mmhg - carotid_column_mmhg
    # ten mmHg of pressure in the skull at least stand against the flow
    against = larger(closing_pressure_mmhg, larger(10.0, head_veins_mmhg - carotid_column_mmhg))
    push = larger(head - against, 0.0) / (carotid_set_mmhg - 18.0)
    next_brain_flow_frac = faded(
        brain_flow_frac + (brain_conductance_frac * push - brain_flow_frac) * (dt_calm_s / 1.0)
    )
    wanted_tone = clamp(1.0 / larger(push, 0.05), 0.55, 1.9)
    next_brain_tone_frac = brain_tone_frac + (wanted_tone - brain_tone_frac) * (dt_calm_s / 5.0)
    # the last quarter of the oxygen cannot be drawn out of the blood
    delivered = brain_flow_frac * larger(1.35 * arterial_o2_ml_per_ml / arterial_o2_rest_ml_per_ml - 0.35, 0.0)
    next_brain_oxygen_frac = faded(
        brain_oxygen_frac + (clamp(delivered / brain_need_frac, 0.0, 1.6) - brain_oxygen_frac) * (dt_calm_s / 5.9)
    )
    return next_brain_flow_frac, next_brain_tone_frac, next_brain_oxygen_frac


def consciousness(
    conscious_frac, brain_oxygen_frac, asleep_by_drugs_frac, mu_opioid_occupancy_frac, anaesthetised, brain_co2_mmhg,
    brain_injury_frac, brain_glucose_frac, thermal_mind_frac, dt_calm_s,
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
    )
    tau = 1.5 if awake < conscious_frac else 8.0 + 120.0 * brain_injury_frac
    next_conscious_frac = faded(conscious_frac + (awake - conscious_frac) * dt_calm_s / tau)
    return next_conscious_frac


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
}
