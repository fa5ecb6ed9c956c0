"""Control of breathing: how hard and how often the patient breathes by itself.

In:       arterial gases and pH, brain carbon dioxide, brain oxygen, opioid and sedation, lung collapse, pressure.
Out:      breathing rate, force of the breathing muscles over time.
Assumes:  drive 1 = quiet breathing.  A central term follows brain CO2 above a threshold (slope 2.6 L/min/mmHg in the
          mean of 126 young adults: Irsigler 1976, Am Rev Respir Dis, seen in abstract), a peripheral one is a hyperbola
          of PaO2 (Weil 1970, J Clin Invest 49:1061) times CO2 and acid; a waking drive keeps a person who is awake
          breathing below the threshold (Fink 1961, J Appl Physiol 16:15).  Drive is shared between size and rate
          (Hey 1966, Respir Physiol 1:193).  Opioids slow the rate first, sedatives shrink the breath.
          Muscles tire where tension x time passes 0.15 of the greatest they can hold, within 0.1 x that to the power
          -3.6 minutes (Bellemare and Grassino 1982, J Appl Physiol 53:1190); overfilled lungs weaken them (order of
          Braun 1982, J Appl Physiol 52:405, from memory).  A dying brain gasps, a few times a minute.
Left out: sighs, periodic breathing, voluntary control, recovery of muscle over days.
"""

from typing import Final

from drillyard.core.body.blood.curves import LN_10
from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp, larger, pow_, smaller
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("breath_phase_frac", 0.9008, "1", "place in the patient's own breath, 0 at its start", "mid", 0.0),
    State("brain_co2_mmhg", 39.79, "mmHg", "carbon dioxide tension that central receptors feel"),
    State("carotid_body_o2_mmhg", 94.58, "mmHg", "oxygen tension that carotid bodies feel", "mid", 0.0),
    State("carotid_body_acid_nmol_per_l", 39.64, "nmol/L", "hydrogen ion that carotid bodies feel", "mid", 0.0),
    State("drive_frac", 0.9737, "1", "breathing drive, 1 at rest", "mid", 0.0),
    State("drive_power_frac", 0.9881, "1", "drive to the power 0.45", "slow", 0.0),
    State("spontaneous_rate_per_min", 13.83, "/min", "the patient's own breathing rate", "mid", 0.0),
    State("breath_force_cmh2o", 4.941, "cmH2O", "peak force of the breathing muscles", "mid", 0.0),
    State("load_frac", 1.013, "1", "effort over that which the wanted breath would need unloaded", "mid", 0.0),
    State("brain_base_mmol_per_l", 0.0, "mmol/L", "base excess that the central receptors have got used to", "mid"),
    State("muscle_fatigue_frac", 0.0, "1", "tiredness of the breathing muscles, 1 no force left", "slow", 0.0),
    State("gasp_s", 0.0, "s", "time for which the dying brain has gasped", "slow", 0.0),
    State("gasp_rate_per_min", 0.0, "/min", "rate of gasps", "slow", 0.0),
    Param("rate_rest_per_min", 14.0, "/min", "breathing rate at rest", "12-20 awake (common textbook value)"),
    Param("longest_breath_per_min", 10.0, "/min", "rate at which breaths are longest; a slower one means pauses",
          "our choice"),
    Param("force_rest_cmh2o", 4.95, "cmH2O", "muscle force of a quiet breath", "tuned to 7 mL/kg"),
    Param("brain_co2_set_mmhg", 40.0, "mmHg", "brain CO2 at which drive is 1", "PaCO2 at rest"),
    Param("central_gain_per_mmhg", 0.28, "1/mmHg", "drive per mmHg of brain CO2",
          "2.6 L/min/mmHg (1.5-5) in hyperoxia over 6.5 L/min, less the peripheral part"),
    Mid("muscle_cmh2o", "cmH2O", "force of the breathing muscles now"),
)  # fmt: skip


def drive(
    brain_co2_mmhg, carotid_body_o2_mmhg, carotid_body_acid_nmol_per_l, drive_frac, paco2_mmhg, pao2_mmhg, ph,
    base_excess_mmol_per_l, brain_base_mmol_per_l, brain_oxygen_frac, brain_flow_frac, conscious_frac,
    carotid_slow_mmhg,
    mu_opioid_occupancy_frac, breathing_depression_frac, anaesthetised, collapse_frac, brain_injury_frac,
    brain_co2_set_mmhg, central_gain_per_mmhg, carotid_set_mmhg, carotid_body_drive_frac, sympathetic_frac,
    lung_irritation_frac, co2_set_shift_mmhg, renal_base_before_mmol_per_l, base_rest_mmol_per_l, septic_frac,
    stem_drive_frac, seizure_breath_frac, cause_drive_frac, cause_co2_shift_mmhg, dt_slow_s,
):  # fmt: skip
    """Drive of the breathing centre from all that it feels."""
    # brain tissue follows arterial CO2 the faster the more blood it gets
    tau = 45.0 / clamp(brain_flow_frac, 0.05, 2.0)
    next_brain_co2_mmhg = brain_co2_mmhg + (paco2_mmhg - brain_co2_mmhg) * dt_slow_s / tau
    next_carotid_body_o2_mmhg = carotid_body_o2_mmhg + (pao2_mmhg - carotid_body_o2_mmhg) * (dt_slow_s / 4.0)
    acid = exp(LN_10 * (9.0 - ph))
    next_carotid_body_acid_nmol_per_l = carotid_body_acid_nmol_per_l + (acid - carotid_body_acid_nmol_per_l) * (
        dt_slow_s / 6.0
    )
    # bicarbonate of brain fluid follows that of blood over hours
    next_brain_base_mmol_per_l = brain_base_mmol_per_l + (
        base_excess_mmol_per_l - base_rest_mmol_per_l - renal_base_before_mmol_per_l - brain_base_mmol_per_l
    ) * (dt_slow_s / 14400.0)
    set_mmhg = brain_co2_set_mmhg + co2_set_shift_mmhg + cause_co2_shift_mmhg
    over = brain_co2_mmhg - (set_mmhg + 1.2 * brain_base_mmol_per_l)
    awake = conscious_frac
    central = central_gain_per_mmhg * over
    if over < 0.0:
        # awake, little is lost below the set point; asleep, breathing stops about 4-5 mmHg below it
        central = central * (0.15 * awake + 0.85 * (1.0 - awake))
    # fight and flight: a strongly driven circulation drives breathing too
    arousal = 1.2 * larger(sympathetic_frac - 0.35, 0.0) * awake
    low = clamp((carotid_set_mmhg - 15.0 - carotid_slow_mmhg) / 30.0, 0.0, 1.0)
    wanted = 1.0 + central + carotid_body_drive_frac + 5.0 * collapse_frac + 0.6 * low + arousal
    wanted = wanted + 1.8 * septic_frac
    wanted = wanted + lung_irritation_frac * (0.3 + 0.7 * awake)
    quiet = (
        clamp(1.0 - 1.1 * mu_opioid_occupancy_frac, 0.0, 1.0)
        * clamp(1.0 - 0.9 * breathing_depression_frac, 0.0, 1.0)
        * (0.75 if anaesthetised > 0.5 else 1.0)
        * cause_drive_frac
    )
    # very high CO2 and a brain without oxygen end drive; a few gasps come in between
    narcosis = clamp((140.0 - brain_co2_mmhg) / 40.0, 0.0, 1.0)
    alive = clamp((brain_oxygen_frac - 0.12) / 0.30, 0.0, 1.0) * clamp(1.5 - 1.5 * brain_injury_frac, 0.0, 1.0)
    # a pressed brain stem breathes out of order, a seizure holds the breath
    wanted = clamp(wanted, 0.0, 12.0) * quiet * alive * narcosis * stem_drive_frac * seizure_breath_frac
    moved = drive_frac + (wanted - drive_frac) * (dt_slow_s / 4.0)
    next_drive_frac = moved if moved > 1e-9 else 0.0
    # drive is shared between size and rate of breaths by this power
    next_drive_power_frac = pow_(next_drive_frac, 0.45)
    return (
        next_brain_co2_mmhg, next_carotid_body_o2_mmhg, next_carotid_body_acid_nmol_per_l, next_brain_base_mmol_per_l,
        next_drive_frac, next_drive_power_frac,
    )  # fmt: skip


def breath_pattern(
    drive_power_frac,
    load_frac, tidal_volume_ml, tidal_rest_ml, conscious_frac,
    drive_frac, breath_force_cmh2o, mu_opioid_occupancy_frac,
    collapse_frac, rate_rest_per_min, force_rest_cmh2o, hold_rate_weight_frac, hold_respiratory_rate_per_min,
    hold_tidal_weight_frac, hold_tidal_volume_ml, breath_power_frac, strongest_breath_cmh2o, sympathetic_frac,
    lung_compliance_ml_per_cmh2o, wall_compliance_ml_per_cmh2o, muscle_fatigue_frac, lung_left_ml, lung_right_ml,
    frc_ml, gasp_rate_per_min, temperature_core_degc, set_point_degc, dt_calm_s,
):  # fmt: skip
    """Rate and size of breaths."""
    d = larger(drive_frac, 0.0)
    # opioids slow; stretch receptors of a squeezed lung make breaths quick and shallow
    rate_part = clamp(
        drive_power_frac
        * (1.0 - 0.5 * mu_opioid_occupancy_frac)
        * (1.0 + 0.5 * collapse_frac)
        * (1.0 + 0.6 * larger(sympathetic_frac - 0.35, 0.0))
        # a warm patient breathes faster (Jensen 2019, Acute Med 18:141: 1.4 /min a degree)
        * (1.0 + 0.06 * clamp(temperature_core_degc - set_point_degc, 0.0, 4.0)),
        0.0,
        4.0,
    )
    rate = rate_rest_per_min * rate_part
    force = force_rest_cmh2o * d / larger(rate_part, 0.05)
    rate = clamp(rate, 0.0, 3.57 * rate_rest_per_min)
    # a loaded breath is met with more force, the more so the more awake the patient is
    wanted_ml = tidal_rest_ml * d / larger(rate_part, 0.05)
    short = clamp(wanted_ml / larger(tidal_volume_ml, 0.126 * tidal_rest_ml), 1.0, 3.0)
    load = 1.0 + (short - 1.0) * (0.4 + 0.6 * conscious_frac) if d > 0.1 else 1.0
    next_load_frac = load_frac + (load - load_frac) * (dt_calm_s / 12.0)
    over = clamp((lung_left_ml + lung_right_ml) / frc_ml - 1.1, 0.0, 0.9)
    most = strongest_breath_cmh2o * (1.0 - 0.85 * over)
    force = clamp(force * load_frac, 0.0, smaller(35.0, 0.7 * most))
    if muscle_fatigue_frac > 0.0:
        # tired muscles: breaths shrink, at first more often
        force = force * (1.0 - 0.85 * muscle_fatigue_frac)
        rate = rate * (1.0 + 0.8 * muscle_fatigue_frac * (1.0 - muscle_fatigue_frac))
    if d < 0.06:
        rate = 0.0
        if gasp_rate_per_min > 0.0:
            rate = gasp_rate_per_min
            force = 3.0 * force_rest_cmh2o
    rate = rate + hold_rate_weight_frac * (hold_respiratory_rate_per_min - rate)
    stiff = 1.0 / lung_compliance_ml_per_cmh2o + 1.0 / wall_compliance_ml_per_cmh2o
    force = force + hold_tidal_weight_frac * (1.12 * hold_tidal_volume_ml * stiff - force)
    # a relaxed muscle gives what is left of its greatest force, whatever the centre asks for
    force = smaller(force, strongest_breath_cmh2o * breath_power_frac)
    next_spontaneous_rate_per_min = rate if breath_power_frac > 0.005 else 0.0
    next_breath_force_cmh2o = faded(breath_force_cmh2o + (force - breath_force_cmh2o) * (dt_calm_s / 1.0))
    return next_spontaneous_rate_per_min, next_breath_force_cmh2o, next_load_frac


def breaths(
    breath_phase_frac, spontaneous_rate_per_min, breath_force_cmh2o, paralysed, longest_breath_per_min, dt_mid_s,
):  # fmt: skip
    """Place in the breath, and the muscle force of this instant."""
    # a breath once begun is finished; the next begins when there is a rate
    phase = breath_phase_frac + larger(spontaneous_rate_per_min, longest_breath_per_min) / 60.0 * dt_mid_s
    next_breath_phase_frac = phase
    if phase >= 1.0:
        next_breath_phase_frac = phase - 1.0 if spontaneous_rate_per_min >= 1.0 else 1.0
    if (
        spontaneous_rate_per_min < longest_breath_per_min
        and spontaneous_rate_per_min >= 1.0
        and breath_phase_frac > 0.6
    ):
        # a slow rate means long pauses, not slow breaths
        pause = 60.0 / spontaneous_rate_per_min - 36.0 / longest_breath_per_min
        next_breath_phase_frac = breath_phase_frac + 0.4 * dt_mid_s / pause
        if next_breath_phase_frac >= 1.0:
            next_breath_phase_frac = 0.0
    # force in the middle of the step
    middle = breath_phase_frac + larger(spontaneous_rate_per_min, longest_breath_per_min) / 120.0 * dt_mid_s
    position = middle / 0.375
    pull = position * (2.0 - position) if position < 1.0 else larger(1.0 - 4.0 * (middle - 0.375), 0.0)
    pull = pull if position < 1.0 else pull * pull * pull
    muscle_cmh2o = breath_force_cmh2o * pull * (0.0 if paralysed > 0.5 else 1.0)
    return next_breath_phase_frac, muscle_cmh2o


def muscle_fatigue(
    muscle_fatigue_frac, breath_force_cmh2o, spontaneous_rate_per_min, strongest_breath_cmh2o, lung_left_ml,
    lung_right_ml, frc_ml, pao2_mmhg, gas_flow_ml_per_s, cardiac_output_rest_ml_per_s, dt_slow_s,
):  # fmt: skip
    """Tiredness grows with tension x time, faster without oxygen or flow; it goes over half an hour."""
    over = clamp((lung_left_ml + lung_right_ml) / frc_ml - 1.1, 0.0, 0.9)
    most = strongest_breath_cmh2o * (1.0 - 0.85 * over) * (1.0 - 0.6 * muscle_fatigue_frac)
    duty = 0.375 if spontaneous_rate_per_min >= 10.0 else 0.0375 * spontaneous_rate_per_min
    tension_time = clamp(breath_force_cmh2o / most * duty, 0.0, 0.5)
    grown = 0.0
    if tension_time > 0.15:
        fed = clamp(pao2_mmhg / 60.0, 0.4, 1.0) * clamp(
            gas_flow_ml_per_s / (0.7 * cardiac_output_rest_ml_per_s), 0.4, 1.0
        )
        # 1 / time to exhaustion, in seconds
        grown = pow_(tension_time, 3.6) / 6.0 / fed
    rest = clamp(1.0 - tension_time / 0.15, 0.0, 1.0)
    next_muscle_fatigue_frac = faded(
        clamp(muscle_fatigue_frac + dt_slow_s * (grown - rest * muscle_fatigue_frac / 1800.0), 0.0, 0.98)
    )
    return next_muscle_fatigue_frac


def gasps(
    gasp_s, drive_frac, brain_oxygen_frac, brain_injury_frac, mu_opioid_occupancy_frac, dt_slow_s,
):  # fmt: skip
    """Gasps of a brain stem without oxygen: from half a minute on, six to ten a minute, over within some minutes.

    In pigs with fibrillation first gasps came after about a minute and went within four to six; compressions keep them
    up (Yang 1994, Zuercher 2010: orders from memory).  Opioids hold them down.
    """
    dying = 1.0 if drive_frac < 0.06 and brain_oxygen_frac < 0.28 and mu_opioid_occupancy_frac < 0.3 else 0.0
    next_gasp_s = gasp_s + dt_slow_s if dying > 0.5 else 0.0
    next_gasp_rate_per_min = 0.0
    if dying > 0.5 and next_gasp_s > 10.0:
        next_gasp_rate_per_min = 8.0 * clamp((0.55 - brain_injury_frac) / 0.4, 0.0, 1.0)
        if next_gasp_rate_per_min < 1.0:
            next_gasp_rate_per_min = 0.0
    return next_gasp_s, next_gasp_rate_per_min


PARTS: Final = {"CALM": (breath_pattern,), "MID": (breaths,), "SLOW": (drive, muscle_fatigue, gasps)}
