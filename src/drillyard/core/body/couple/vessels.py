"""Small arteries and veins: conductance of each bed and unstressed volume, from all that acts on them.

In:       nerves and drugs at their receptors, lack of oxygen, problems that widen vessels, autoregulation of the beds.
Out:      conductance of each bed, closing pressure, unstressed volume of veins.
Assumes:  nerves and constrictor drugs share one scale of narrowing, 0 none to 1 full; what relaxes the muscle of the
          vessel wall itself (nitric oxide, calcium channel block, mediators of sepsis) multiplies its tone.  The
          beds are gut with liver, kidneys, muscle, skin of limbs and trunk, skin of the upper body, brain and heart;
          they drain into three stores of veins (``vessels/circulation.py``).
Left out: vessels of bone and fat as beds of their own, capillary pressure, epinephrine of the patient's own at beta-2
          receptors, so that a beta-2 blocker alone does nothing here.
"""

from typing import Final

from drillyard.core.body.couple.receptor import together_frac
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

_TUNED = "tuned so that the reference adult rests at published pressures and flow (docs/body)"
_SHARES = "shares of resting flow: gut and liver 25 %, kidneys 20 %, muscle 18 %, skin 8 % (textbook); " + _TUNED

NAMES: Final = (
    State("vessel_tone_frac", 1.0, "1", "ability of vessels to stay narrow; falls without oxygen", "mid", 0.0),
    Param("gut_conductance_rest", 0.32, "mL/s/mmHg", "conductance of gut and liver at rest", _SHARES),
    Param("kidney_conductance_rest", 0.28, "mL/s/mmHg", "conductance of the kidneys at rest", _SHARES),
    Param("muscle_conductance_rest", 0.29, "mL/s/mmHg", "conductance of muscle at rest", _SHARES),
    Param("limb_skin_conductance_rest", 0.10, "mL/s/mmHg", "conductance of skin of limbs and trunk at rest", _SHARES),
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
    Param("splanchnic_slackens_ml", 400.0, "mL", "blood that fully relaxed splanchnic veins take up",
          "nitroglycerin takes 1-2 mmHg of right and a third of left filling pressure (Goldstein 1971, from memory)"),
    Param("limb_slackens_ml", 170.0, "mL", "blood that fully relaxed limb veins take up", "as above"),
    Param("veins_pressed_frac", 0.0, "1", "how far the womb closes the great vein of the belly when lying flat",
          "by week of pregnancy, core/body/pregnancy.py"),
    Mid("limb_outflow_now_ml_per_s_per_mmhg", "mL/s/mmHg", "conductance of limb veins, less where a womb lies on them"),
    Mid("narrowing_frac", "1", "narrowing by nerves and constrictor drugs; 0.15 at rest"),
    Mid("wall_tone_frac", "1", "ability of small arteries to stay narrow, less what relaxes them"),
    Mid("vein_slack_frac", "1", "relaxation of veins over that of the full share of a nitrate"),
    Mid("splanchnic_conductance", "mL/s/mmHg", "conductance of gut, liver and kidneys"),
    Mid("kidney_conductance", "mL/s/mmHg", "of it that of the kidneys"),
    Mid("limb_conductance", "mL/s/mmHg", "conductance of muscle and the skin of limbs and trunk"),
    Mid("upper_conductance", "mL/s/mmHg", "conductance of the upper body with brain and heart"),
    Mid("skin_flow_frac", "1", "skin blood flow over rest"),
    Mid("closing_pressure_mmhg", "mmHg", "pressure below which small arteries close"),
    Mid("splanchnic_unstressed_ml", "mL", "unstressed volume of splanchnic veins"),
    Mid("limb_unstressed_ml", "mL", "unstressed volume of limb veins"),
)  # fmt: skip


def artery_tone(
    resistance_action_frac, alpha1_occupancy_frac, alpha1_block_frac, v1_vasopressin_frac, nerves_cut_vessels_frac,
    vessel_tone_frac, nitric_oxide_frac, nitric_oxide_scavenging_frac, calcium_channel_block_frac,
    arterial_dilation_frac, histamine_release_frac, adenosine_a1_frac,
    sympathetic_depression_frac, vessel_dilation_frac, cause_resistance_frac,
):  # fmt: skip
    """What narrows small arteries and what relaxes their wall.

    Nerves alone reach three quarters of what a drug can.  Full shares of the relaxing drugs are set so that usual doses
    lower resistance as published (docs/body/vessels.md).
    """
    nerves = 0.75 * resistance_action_frac * (1.0 - alpha1_block_frac) * (1.0 - nerves_cut_vessels_frac)
    drugs = together_frac(alpha1_occupancy_frac, 0.65 * v1_vasopressin_frac)
    narrowing_frac = together_frac(nerves, drugs)
    # lack of oxygen and mediators (nitric oxide of the body's own) take tone; a constrictor wins back half of it
    lost = 1.0 - vessel_tone_frac * (1.0 - 0.75 * vessel_dilation_frac)
    kept = 1.0 - lost * (1.0 - 0.5 * drugs) * (1.0 - 0.5 * nitric_oxide_scavenging_frac)
    relaxed = (
        (1.0 - 0.35 * nitric_oxide_frac * nitric_oxide_frac)
        * (1.0 - 0.35 * calcium_channel_block_frac)
        * (1.0 - 0.55 * arterial_dilation_frac)
        * (1.0 - 0.35 * histamine_release_frac)
        * (1.0 - 0.35 * adenosine_a1_frac)
        * (1.0 + 0.35 * nitric_oxide_scavenging_frac)
    )
    wall_tone_frac = kept * relaxed * cause_resistance_frac
    slack = together_frac(nitric_oxide_frac, 0.6 * histamine_release_frac)
    slack = together_frac(slack, 0.5 * sympathetic_depression_frac)
    vein_slack_frac = slack + 1.2 * vessel_dilation_frac
    return narrowing_frac, wall_tone_frac, vein_slack_frac


def beds(
    narrowing_frac, wall_tone_frac, alpha1_occupancy_frac, beta2_occupancy_frac, dopamine_d1_frac, kidney_width_frac,
    muscle_width_frac, brain_conductance_frac, heart_conductance_frac,
    hold_resistance_weight_frac, hold_resistance_frac, gut_conductance_rest, kidney_conductance_rest,
    muscle_conductance_rest, limb_skin_conductance_rest, upper_skin_conductance_rest, brain_conductance_rest,
    heart_conductance_rest, closing_pressure_rest_mmhg, thermal_skin_flow_frac, shivering_frac,
):  # fmt: skip
    """Conductance of each bed.  Each form is 1 at the narrowing of rest, 0.15.

    Skin answers most and muscle least; kidneys defend their flow until nerves are strongly active (order of the
    changes in graded bleeding: textbook).
    """
    narrow = narrowing_frac
    widen = beta2_occupancy_frac * (1.0 - alpha1_occupancy_frac)
    hold = hold_resistance_weight_frac
    held = 1.0 / larger(hold_resistance_frac, 0.05)
    gut = (1.0 + 0.4 * widen) * (1.0 + 0.3 * dopamine_d1_frac) / ((0.58 + 2.80 * narrow) * wall_tone_frac)
    kidney = kidney_width_frac * (1.0 + 0.5 * dopamine_d1_frac) / ((0.865 + 6.0 * narrow * narrow) * wall_tone_frac)
    # shivering muscle widens its vessels
    muscle = muscle_width_frac * (1.0 + 1.5 * shivering_frac)
    muscle = muscle * (1.0 + 3.2 * widen) / ((0.67 + 2.20 * narrow) * wall_tone_frac)
    skin_flow_frac = thermal_skin_flow_frac / (0.37 + 4.2 * narrow)
    skin = skin_flow_frac / wall_tone_frac
    kidney_conductance = kidney_conductance_rest * (kidney + hold * (held - kidney))
    splanchnic_conductance = gut_conductance_rest * (gut + hold * (held - gut)) + kidney_conductance
    limb_conductance = muscle_conductance_rest * (muscle + hold * (held - muscle)) + limb_skin_conductance_rest * (
        skin + hold * (held - skin)
    )
    upper_conductance = (
        upper_skin_conductance_rest * (skin + hold * (held - skin))
        + brain_conductance_rest * brain_conductance_frac
        + heart_conductance_rest * heart_conductance_frac
    )
    closing_pressure_mmhg = closing_pressure_rest_mmhg * (0.9 + 0.5 * narrow) * wall_tone_frac * wall_tone_frac
    return (
        splanchnic_conductance, kidney_conductance, limb_conductance, upper_conductance, skin_flow_frac,
        closing_pressure_mmhg,
    )  # fmt: skip


def veins(
    vein_action_frac, alpha1_occupancy_frac, alpha1_block_frac, v1_vasopressin_frac, nerves_cut_vessels_frac,
    vessel_tone_frac, vein_slack_frac, limb_creep_ml, splanchnic_unstressed_rest_ml, limb_unstressed_rest_ml,
    splanchnic_gives_ml, limb_gives_ml, splanchnic_slackens_ml, limb_slackens_ml,
):  # fmt: skip
    """Unstressed volume of veins.  0.2 is the sympathetic activity at rest."""
    nerves = vein_action_frac * (1.0 - alpha1_block_frac) * (1.0 - nerves_cut_vessels_frac)
    drugs = together_frac(0.7 * alpha1_occupancy_frac, 0.25 * v1_vasopressin_frac)
    draw = (together_frac(nerves, drugs) - 0.2) * vessel_tone_frac
    lost = (1.0 - vessel_tone_frac) * (1.0 - 0.5 * alpha1_occupancy_frac)
    slack = vein_slack_frac * (1.0 - 0.5 * drugs)
    splanchnic_unstressed_ml = (
        splanchnic_unstressed_rest_ml
        - splanchnic_gives_ml * draw
        + 0.37 * splanchnic_gives_ml * lost
        + splanchnic_slackens_ml * slack
    )
    limb_unstressed_ml = limb_unstressed_rest_ml - limb_gives_ml * draw + limb_slackens_ml * slack + limb_creep_ml
    return splanchnic_unstressed_ml, limb_unstressed_ml


def vessel_tone(vessel_tone_frac, organ_o2_ml_per_ml, dt_calm_s):
    """Vessels lose their tone without oxygen (our choice: minutes to lose, minutes to regain)."""
    kept = 0.35 + 0.65 * clamp((organ_o2_ml_per_ml - 0.01) / 0.05, 0.0, 1.0)
    next_vessel_tone_frac = vessel_tone_frac + (kept - vessel_tone_frac) * (dt_calm_s / 150.0)
    return next_vessel_tone_frac


def pressed_veins(veins_pressed_frac, limb_outflow_ml_per_s_per_mmhg, tilt_deg, uterus_displaced):
    """A womb at term on the great vein of a woman who lies flat.

    Pressure in the veins of the legs rises to about 20 mmHg and output falls by a tenth to a quarter (Bieniarz 1966, Am
    J Obstet Gynecol 95:795; Milsom 1984, Acta Obstet Gynecol Scand 63:191, from memory).  What is left is the way round
    by other veins (our choice).
    """
    lies = clamp(1.0 - tilt_deg / 30.0, 0.0, 1.0) * clamp(1.0 - uterus_displaced, 0.0, 1.0)
    limb_outflow_now_ml_per_s_per_mmhg = limb_outflow_ml_per_s_per_mmhg * (1.0 - 0.94 * veins_pressed_frac * lies)
    return limb_outflow_now_ml_per_s_per_mmhg


PARTS: Final = {"CALM": (artery_tone, beds, veins, pressed_veins, vessel_tone)}
