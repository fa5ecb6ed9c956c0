"""Carbon monoxide and methaemoglobin: how they get in and out, and what is left of the blood's oxygen carriage.

In:       carbon monoxide in the room, amounts set by a problem, alveolar ventilation and oxygen, haemoglobin.
Out:      shares of haemoglobin that carry carbon monoxide or are methaemoglobin, haemoglobin that carries oxygen, shift
          of the oxygen curve, reading of a two-wavelength oximeter.
Assumes:  uptake and washout by Coburn, Forster and Kane 1965 (J Clin Invest 44:1899); diffusing capacity by Roughton
          and Forster 1957 (J Appl Physiol 11:290), so that oxygen slows it; affinity by Haldane's rule with M = 218.
          By the same rule what haemoglobin is left holds its oxygen as if tension were 1 / (1 - share) higher: half
          saturation
          falls from 26.6 to 18.4 mmHg at 30 % (reckoned from the standard curve).  Methaemoglobin shifts as much
          (Darling and Roughton 1942, Am J Physiol 137:56, from memory) and goes with a half-life of about two hours
          (one to three: Wright 1999, Ann Emerg Med 34:646, from memory).
Left out: carbon monoxide made by the body (0.5 %); methylene blue; cyanide of smoke; the late harm.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp, larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("cohb_frac", 0.0, "1", "share of haemoglobin that carries carbon monoxide", "slow", 0.0),
    State("methb_frac", 0.0, "1", "share of haemoglobin that is methaemoglobin", "slow", 0.0),
    State("muscle_co_frac", 0.0, "1", "carboxyhaemoglobin that the carbon monoxide of muscle would balance",
          "slow", 0.0),
    State("lungs_po2_smooth_mmhg", 100.0, "mmHg", "alveolar oxygen tension, smoothed over some breaths", "slow", 0.0),
    Param("haldane_ratio", 218.0, "1", "affinity of haemoglobin for carbon monoxide over oxygen",
          "200-250 (Rodkey 1974, Clin Chem 20:83)"),
    Param("membrane_ml_per_min_per_mmhg", 57.0, "mL/min/mmHg", "diffusing capacity of the membrane for CO",
          "Roughton and Forster 1957 (from memory)"),
    Param("capillary_blood_ml", 79.0, "mL", "blood in lung capillaries", "Roughton and Forster 1957 (from memory)"),
    Param("muscle_co_store_frac", 0.18, "1", "carbon monoxide of muscle, over that of blood in balance with it",
          "10-15 % of all lies outside the vessels (Coburn 1970, N Engl J Med 282:207, from memory)"),
    Param("muscle_co_time_s", 1800.0, "s", "time constant of its exchange with blood",
          "tens of minutes (order of Bruce and Bruce 2003, J Appl Physiol 95:1235, from memory)"),
    Param("methb_half_life_s", 7200.0, "s", "half-life of methaemoglobin", "1-3 h (Wright 1999, from memory)"),
    Mid("oxygen_hb_g_per_dl", "g/dL", "haemoglobin that can carry oxygen"),
    Mid("hb_hold_frac", "1", "factor on oxygen tension by which the curve is shifted to the left, 1 in health"),
)  # fmt: skip


def oxygen_carriage(cohb_frac, methb_frac, haemoglobin_g_per_dl):
    """Haemoglobin left for oxygen and how tightly it holds it."""
    spared = clamp(1.0 - cohb_frac - methb_frac, 0.05, 1.0)
    oxygen_hb_g_per_dl = haemoglobin_g_per_dl * spared
    hb_hold_frac = 1.0 / spared
    return oxygen_hb_g_per_dl, hb_hold_frac


def carbon_monoxide(
    cohb_frac, methb_frac, cohb_order_frac, methb_order_frac, ambient_co_ppm, ambient_pressure_mmhg,
    lungs_po2_smooth_mmhg, left_pao2_mmhg, right_pao2_mmhg, left_blood_share_frac, minute_ventilation_ml_per_s,
    breath_interval_s, dead_space_now_ml, blood_volume_ml, haemoglobin_g_per_dl, sao2_frac, haldane_ratio,
    membrane_ml_per_min_per_mmhg, capillary_blood_ml, methb_half_life_s, tidal_volume_ml,
    inspired_o2_frac, ambient_o2_frac, left_shunt_frac, right_shunt_frac, muscle_co_frac,
    muscle_co_store_frac, muscle_co_time_s, dt_slow_s,
):  # fmt: skip
    """Carbon monoxide over one second (Coburn, Forster and Kane), methaemoglobin on its way out."""
    next_cohb_frac = cohb_frac
    next_methb_frac = methb_frac
    next_cohb_order_frac = -1.0
    next_methb_order_frac = -1.0
    lungs = left_blood_share_frac * left_pao2_mmhg + (1.0 - left_blood_share_frac) * right_pao2_mmhg
    next_lungs_po2_smooth_mmhg = lungs_po2_smooth_mmhg + (lungs - lungs_po2_smooth_mmhg) * (dt_slow_s / 10.0)
    next_muscle_co_frac = muscle_co_frac
    if cohb_frac > 0.0 or ambient_co_ppm > 0.0:
        dry = ambient_pressure_mmhg - 47.0
        # an oxygen device brings gas without carbon monoxide
        room = clamp((1.0 - inspired_o2_frac) / larger(1.0 - ambient_o2_frac, 0.01), 0.0, 1.0)
        inspired = ambient_co_ppm * 1.0e-6 * dry * room
        po2 = larger(lungs_po2_smooth_mmhg, 20.0)
        # speed of the reaction with blood falls as oxygen rises; haemoglobin 14.6 g/dL in the source
        per_blood = (1.3 + 0.0041 * po2) * 14.6 / larger(haemoglobin_g_per_dl, 1.0) / capillary_blood_ml
        breaths = 1.0 / larger(breath_interval_s, 0.5)
        alveolar = larger(minute_ventilation_ml_per_s - smaller(dead_space_now_ml, tidal_volume_ml) * breaths, 0.0)
        # mL/min at 0 degC, dry
        alveolar = larger(alveolar * 60.0 * dry / 863.0, 1.0)
        resistance = 1.0 / membrane_ml_per_min_per_mmhg + per_blood + dry / alveolar
        ratio = cohb_frac / larger((1.0 - cohb_frac - methb_frac) * sao2_frac, 0.02)
        back = ratio * po2 / haldane_ratio
        capacity = 0.0134 * haemoglobin_g_per_dl * larger(blood_volume_ml, 500.0)
        uptake = (inspired - back) / resistance / capacity / 60.0
        shunted = left_blood_share_frac * left_shunt_frac + (1.0 - left_blood_share_frac) * right_shunt_frac
        to_muscle = (cohb_frac - muscle_co_frac) * dt_slow_s / muscle_co_time_s
        next_muscle_co_frac = faded(muscle_co_frac + to_muscle)
        change = uptake * (1.0 - shunted) * dt_slow_s - muscle_co_store_frac * to_muscle
        next_cohb_frac = faded(clamp(cohb_frac + change, 0.0, 0.9))
        if next_cohb_frac < 1e-9:
            next_cohb_frac = 0.0
    if methb_frac > 0.0:
        next_methb_frac = faded(methb_frac * exp(-0.693147 * dt_slow_s / methb_half_life_s))
    if cohb_order_frac >= 0.0:
        next_cohb_frac = smaller(cohb_order_frac, 0.9)
        next_muscle_co_frac = next_cohb_frac
    if methb_order_frac >= 0.0:
        next_methb_frac = smaller(methb_order_frac, 0.9)
    next_methb_frac = smaller(next_methb_frac, 0.94 - next_cohb_frac)
    return (
        next_cohb_frac, next_methb_frac, next_cohb_order_frac, next_methb_order_frac, next_lungs_po2_smooth_mmhg,
        next_muscle_co_frac,
    )  # fmt: skip


PARTS: Final = {"CALM": (oxygen_carriage,), "SLOW": (carbon_monoxide,)}
