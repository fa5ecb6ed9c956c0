"""Oxygen and carbon dioxide in arterial blood, tissues and venous blood.

In:       blood leaving the lungs, blood flow, oxygen used and carbon dioxide made, haemoglobin, base excess.
Out:      gas contents of each pool; tensions, saturation and pH of arterial and mixed venous blood.
Assumes:  well-mixed pools: arterial blood, organs (quick), muscle and rest (slow), venous blood.  Contents are the
          states; tensions follow from them by Newton steps.  Tissue stores are given as the volume of blood that would
          hold as much (Farhi and Rahn 1960, Anesthesiology 21:604, order from memory).
          In the whole body acid is buffered less than in blood alone, because bicarbonate moves into interstitial
          fluid: blood base excess follows standard base excess less 0.07 mmol/L per mmHg of lasting PCO2 change,
          which gives the 0.77 nmol/L per mmHg of Brackett 1965 (N Engl J Med 272:6).
          Carboxy- and methaemoglobin carry no oxygen and hold the rest tighter (lungs/abnormal_haemoglobin).
Left out: 2,3-DPG, pools that shrink when blood is lost.
"""

from typing import Final

from drillyard.core.body.blood.curves import (
    LN_10,
    ML_PER_MMOL_CO2,
    O2_PER_HB,
    O2_SOLUBILITY,
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
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("arterial_o2_ml_per_ml", 0.1922, "mL/mL", "oxygen content of arterial blood", "mid", 0.0),
    State("arterial_co2_ml_per_ml", 0.4605, "mL/mL", "carbon dioxide content of arterial blood", "mid", 0.0),
    State("organ_o2_ml_per_ml", 0.1491, "mL/mL", "oxygen content of blood leaving the organs", "mid", 0.0),
    State("organ_co2_ml_per_ml", 0.496, "mL/mL", "carbon dioxide content of blood leaving the organs", "mid", 0.0),
    State("muscle_o2_ml_per_ml", 0.1491, "mL/mL", "oxygen content of blood leaving muscle", "mid", 0.0),
    State("muscle_co2_ml_per_ml", 0.496, "mL/mL", "carbon dioxide content of blood leaving muscle", "mid", 0.0),
    State("venous_o2_ml_per_ml", 0.1491, "mL/mL", "oxygen content of mixed venous blood", "mid", 0.0),
    State("venous_co2_ml_per_ml", 0.496, "mL/mL", "carbon dioxide content of mixed venous blood", "mid", 0.0),
    State("pao2_mmhg", 94.66, "mmHg", "arterial oxygen tension", "mid", 0.0),
    State("paco2_mmhg", 39.71, "mmHg", "arterial carbon dioxide tension", "mid", 0.0),
    State("ph", 7.402, "1", "arterial pH"),
    State("sao2_frac", 0.9749, "1", "arterial oxygen saturation", "mid", 0.0),
    State("pvo2_mmhg", 41.56, "mmHg", "mixed venous oxygen tension", "mid", 0.0),
    State("pvco2_mmhg", 45.03, "mmHg", "mixed venous carbon dioxide tension", "mid", 0.0),
    State("ph_venous", 7.371, "1", "mixed venous pH"),
    State("svo2_frac", 0.7608, "1", "mixed venous oxygen saturation", "mid", 0.0),
    State("gas_flow_ml_per_s", 95.9, "mL/s", "blood flow that carries gas, smoothed over a beat or two", "mid", 0.0),
    State("blood_base_excess_mmol_per_l", 0.0, "mmol/L", "base excess of blood alone"),
    State("haemoglobin_seen_g_per_dl", 14.5, "g/dL", "haemoglobin of the step before", "mid", 0.0),
    Param("arterial_pool_ml", 900.0, "mL", "arterial blood with lung veins", "about a fifth of blood volume"),
    Param("venous_pool_ml", 2600.0, "mL", "venous blood", "the rest of blood volume, less what tissues hold"),
    Param("organ_o2_store_ml", 1300.0, "mL", "oxygen store of organs, as blood",
          "tissue oxygen 250-300 mL in all (Farhi and Rahn 1955, from memory)"),
    Param("muscle_o2_store_ml", 1100.0, "mL", "oxygen store of muscle, as blood", "as above; myoglobin"),
    Param("organ_co2_store_ml", 2300.0, "mL", "quick carbon dioxide store, as blood",
          "tuned to PaCO2 rise in apnoea, 3-3.5 mmHg/min (Eger and Severinghaus 1961, Anesthesiology 22:419, "
          "from memory)"),
    Param("muscle_co2_store_ml", 20000.0, "mL", "slow carbon dioxide store, as blood", "as above"),
    Param("organ_flow_share_frac", 0.75, "1", "share of cardiac output through the quick tissues", "our choice"),
)  # fmt: skip


def nearer_po2_mmhg(po2_mmhg, content_ml_per_ml, saturation_frac, haemoglobin_g_per_dl):
    """One step towards the tension of a content; slope from the Hill form with n = 2.7, at most halving or doubling."""
    p = larger(po2_mmhg, 0.05)
    slope = O2_PER_HB * haemoglobin_g_per_dl * saturation_frac * (1.0 - saturation_frac) * 2.7 / p + O2_SOLUBILITY
    surplus = content_ml_per_ml - o2_content_ml_per_ml(p, saturation_frac, haemoglobin_g_per_dl)
    return clamp(clamp(p + surplus / slope, 0.5 * p, 2.0 * p + 0.1), 0.05, 3000.0)


def nearer_pco2_mmhg(pco2_mmhg, content_ml_per_ml, content_now_ml_per_ml, bicarbonate, buffer_mmol_per_l):
    """One step towards the tension of a content; slope from Henderson-Hasselbalch with the buffer line."""
    slope = (
        0.85 * ML_PER_MMOL_CO2 * (bicarbonate / pco2_mmhg / (1.0 + LN_10 * bicarbonate / buffer_mmol_per_l) + 0.0307)
    )
    step = (content_ml_per_ml - content_now_ml_per_ml) / slope
    return clamp(pco2_mmhg + clamp(step, -0.3 * pco2_mmhg, 0.3 * pco2_mmhg), 1.0, 250.0)


def gas_pools(
    arterial_o2_ml_per_ml, arterial_co2_ml_per_ml, organ_o2_ml_per_ml, organ_co2_ml_per_ml, muscle_o2_ml_per_ml,
    muscle_co2_ml_per_ml, venous_o2_ml_per_ml, venous_co2_ml_per_ml, gas_flow_ml_per_s, haemoglobin_seen_g_per_dl,
    haemoglobin_g_per_dl, lung_o2_content_ml_per_ml, lung_co2_content_ml_per_ml, organ_o2_use_ml_per_s,
    muscle_o2_use_ml_per_s, organ_co2_made_ml_per_s, muscle_co2_made_ml_per_s, arterial_pool_ml, venous_pool_ml,
    organ_o2_store_ml, muscle_o2_store_ml, organ_co2_store_ml, muscle_co2_store_ml, organ_flow_share_frac,
    shivering_frac, convulsion_frac, dt_calm_s,
):  # fmt: skip
    """Contents of all pools over one step.  Haemoglobin that is diluted takes its oxygen with it."""
    next_haemoglobin_seen_g_per_dl = haemoglobin_g_per_dl
    ratio = haemoglobin_g_per_dl / larger(haemoglobin_seen_g_per_dl, 0.1)
    flow = gas_flow_ml_per_s * dt_calm_s
    # working muscle draws blood to itself: up to two thirds of it
    work = clamp(shivering_frac + convulsion_frac, 0.0, 1.0)
    to_organs = organ_flow_share_frac * (1.0 - 0.55 * work) * flow
    to_muscle = flow - to_organs
    next_arterial_o2_ml_per_ml = ratio * (
        arterial_o2_ml_per_ml + flow / arterial_pool_ml * (lung_o2_content_ml_per_ml - arterial_o2_ml_per_ml)
    )
    next_arterial_co2_ml_per_ml = arterial_co2_ml_per_ml + flow / arterial_pool_ml * (
        lung_co2_content_ml_per_ml - arterial_co2_ml_per_ml
    )
    next_organ_o2_ml_per_ml = larger(
        ratio
        * (
            organ_o2_ml_per_ml
            + (to_organs * (arterial_o2_ml_per_ml - organ_o2_ml_per_ml) - organ_o2_use_ml_per_s * dt_calm_s)
            / organ_o2_store_ml
        ),
        0.0,
    )
    next_muscle_o2_ml_per_ml = larger(
        ratio
        * (
            muscle_o2_ml_per_ml
            + (to_muscle * (arterial_o2_ml_per_ml - muscle_o2_ml_per_ml) - muscle_o2_use_ml_per_s * dt_calm_s)
            / muscle_o2_store_ml
        ),
        0.0,
    )
    next_organ_co2_ml_per_ml = (
        organ_co2_ml_per_ml
        + (to_organs * (arterial_co2_ml_per_ml - organ_co2_ml_per_ml) + organ_co2_made_ml_per_s * dt_calm_s)
        / organ_co2_store_ml
    )
    next_muscle_co2_ml_per_ml = (
        muscle_co2_ml_per_ml
        + (to_muscle * (arterial_co2_ml_per_ml - muscle_co2_ml_per_ml) + muscle_co2_made_ml_per_s * dt_calm_s)
        / muscle_co2_store_ml
    )
    next_venous_o2_ml_per_ml = ratio * (
        venous_o2_ml_per_ml
        + (to_organs * organ_o2_ml_per_ml + to_muscle * muscle_o2_ml_per_ml - flow * venous_o2_ml_per_ml)
        / venous_pool_ml
    )
    next_venous_co2_ml_per_ml = (
        venous_co2_ml_per_ml
        + (to_organs * organ_co2_ml_per_ml + to_muscle * muscle_co2_ml_per_ml - flow * venous_co2_ml_per_ml)
        / venous_pool_ml
    )
    return (
        next_haemoglobin_seen_g_per_dl, next_arterial_o2_ml_per_ml,
        next_arterial_co2_ml_per_ml, next_organ_o2_ml_per_ml, next_organ_co2_ml_per_ml, next_muscle_o2_ml_per_ml,
        next_muscle_co2_ml_per_ml, next_venous_o2_ml_per_ml, next_venous_co2_ml_per_ml,
    )  # fmt: skip


def gas_flow(gas_flow_ml_per_s, mean_lung_flow_ml_per_s, dt_mid_s):
    """Blood flow that carries gas: that through the lungs, smoothed over a beat or two."""
    next_gas_flow_ml_per_s = faded(gas_flow_ml_per_s + (mean_lung_flow_ml_per_s - gas_flow_ml_per_s) * (dt_mid_s / 1.5))
    return next_gas_flow_ml_per_s


def arterial_tensions(
    arterial_o2_ml_per_ml, arterial_co2_ml_per_ml, pao2_mmhg, paco2_mmhg, ph, haemoglobin_g_per_dl,
    blood_base_excess_mmol_per_l, temperature_core_degc, oxygen_hb_g_per_dl, hb_hold_frac,
):  # fmt: skip
    """Tensions of arterial blood from its contents: two Newton steps each second from where they were."""
    buffer = buffer_value_mmol_per_l(haemoglobin_g_per_dl)
    saturation = o2_saturation_frac(pao2_mmhg * hb_hold_frac, ph, temperature_core_degc)
    po2 = nearer_po2_mmhg(pao2_mmhg, arterial_o2_ml_per_ml, saturation, oxygen_hb_g_per_dl)
    base = bound_base_mmol_per_l(blood_base_excess_mmol_per_l, saturation, haemoglobin_g_per_dl)
    acidity = ph_nearer(ph, paco2_mmhg, base, buffer)
    bicarbonate = bicarbonate_from(acidity, base, buffer)
    content = co2_content_ml_per_ml(paco2_mmhg, acidity, bicarbonate, saturation, haemoglobin_g_per_dl)
    pco2 = nearer_pco2_mmhg(paco2_mmhg, arterial_co2_ml_per_ml, content, bicarbonate, buffer)
    next_sao2_frac = o2_saturation_frac(po2 * hb_hold_frac, acidity, temperature_core_degc)
    next_pao2_mmhg = nearer_po2_mmhg(po2, arterial_o2_ml_per_ml, next_sao2_frac, oxygen_hb_g_per_dl)
    base = bound_base_mmol_per_l(blood_base_excess_mmol_per_l, next_sao2_frac, haemoglobin_g_per_dl)
    next_ph = ph_nearer(acidity, pco2, base, buffer)
    bicarbonate = bicarbonate_from(next_ph, base, buffer)
    content = co2_content_ml_per_ml(pco2, next_ph, bicarbonate, next_sao2_frac, haemoglobin_g_per_dl)
    next_paco2_mmhg = nearer_pco2_mmhg(pco2, arterial_co2_ml_per_ml, content, bicarbonate, buffer)
    return next_sao2_frac, next_pao2_mmhg, next_ph, next_paco2_mmhg


def venous_tensions(
    venous_o2_ml_per_ml, venous_co2_ml_per_ml, pvo2_mmhg, pvco2_mmhg, ph_venous, haemoglobin_g_per_dl,
    blood_base_excess_mmol_per_l, temperature_core_degc, oxygen_hb_g_per_dl, hb_hold_frac,
):  # fmt: skip
    """The same for mixed venous blood, once a second."""
    next_svo2_frac = o2_saturation_frac(pvo2_mmhg * hb_hold_frac, ph_venous, temperature_core_degc)
    next_pvo2_mmhg = nearer_po2_mmhg(pvo2_mmhg, venous_o2_ml_per_ml, next_svo2_frac, oxygen_hb_g_per_dl)
    buffer = buffer_value_mmol_per_l(haemoglobin_g_per_dl)
    base = bound_base_mmol_per_l(blood_base_excess_mmol_per_l, next_svo2_frac, haemoglobin_g_per_dl)
    next_ph_venous = ph_nearer(ph_venous, pvco2_mmhg, base, buffer)
    bicarbonate = bicarbonate_from(next_ph_venous, base, buffer)
    content = co2_content_ml_per_ml(pvco2_mmhg, next_ph_venous, bicarbonate, next_svo2_frac, haemoglobin_g_per_dl)
    next_pvco2_mmhg = nearer_pco2_mmhg(pvco2_mmhg, venous_co2_ml_per_ml, content, bicarbonate, buffer)
    return next_svo2_frac, next_pvo2_mmhg, next_ph_venous, next_pvco2_mmhg


def blood_base(
    blood_base_excess_mmol_per_l, base_excess_mmol_per_l, next_base_excess_mmol_per_l, pvco2_mmhg, dt_slow_s
):
    """Blood base excess: standard one less what interstitial fluid has taken (time constant 2 min, our choice)."""
    lasting = smaller(pvco2_mmhg - 6.0, 150.0) - 40.0
    taken = base_excess_mmol_per_l - blood_base_excess_mmol_per_l
    moved = next_base_excess_mmol_per_l - base_excess_mmol_per_l
    next_blood_base_excess_mmol_per_l = (
        blood_base_excess_mmol_per_l + moved + (taken - 0.07 * lasting) * (dt_slow_s / 120.0)
    )
    return next_blood_base_excess_mmol_per_l


PARTS: Final = {"CALM": (gas_pools,), "MID": (gas_flow,), "SLOW": (arterial_tensions, venous_tensions, blood_base)}
