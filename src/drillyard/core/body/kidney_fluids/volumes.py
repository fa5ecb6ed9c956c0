"""Blood volume, red cells, plasma protein; wounds and what is lost through them.

In:       bleeding and blood draws, infusions, blood volume (sum of all stores), protein that leaves by capillaries.
Out:      red cell volume, haematocrit, haemoglobin, plasma volume, plasma protein, conductance of all wounds.
Assumes:  blood lost takes red cells, protein and clotting factors with it in proportion.  A wound is an orifice.
Left out: viscosity, spleen, haematocrit that differs between vessels.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("red_cells_ml", 2094.0, "mL", "red cells in the circulation", "calm", 0.0),
    State("plasma_protein_g", 191.0, "g", "protein in plasma", "calm", 0.0),
    State("clotting_factors_ml", 2728.0, "mL", "clotting factors in plasma, as normal plasma", "calm", 0.0),
    State("blood_lost_ml", 0.0, "mL", "blood lost since the start", "mid", 0.0),
    State("blood_lost_seen_ml", 0.0, "mL", "blood lost that the stores have taken their share of", "calm", 0.0),
    State("bleeding_now_ml_per_s", 0.0, "mL/s", "bleeding, smoothed over a few beats", "mid", 0.0),
    State("inner_blood_ml", 0.0, "mL", "blood shed into belly and pelvis", "slow", 0.0),
    Param("blood_volume_rest_ml", 4820.0, "mL", "blood volume in health", "Nadler 1962, Surgery 51:224"),
    Param("red_cell_hb_g_per_ml", 0.334, "g/mL", "haemoglobin in red cells",
          "mean cell concentration 33-34 g/dL (textbook)"),
    Mid("blood_volume_ml", "mL", "all blood"),
    Mid("plasma_ml", "mL", "plasma"),
    Mid("haematocrit_frac", "1", "red cells over blood"),
    Mid("haemoglobin_g_per_dl", "g/dL", "haemoglobin"),
    Mid("draw_ml_per_s", "mL/s", "blood draw"),
    Mid("wound_conductance_ml_per_s_per_mmhg", "mL/s/mmHg", "bleeding per pressure, all wounds"),
)  # fmt: skip


def blood_state(
    left_atrium_ml, left_ventricle_ml, right_atrium_ml, right_ventricle_ml, aorta_ml, large_arteries_ml,
    small_arteries_ml, splanchnic_veins_ml, limb_veins_ml, chest_veins_ml, lung_arteries_ml, lung_veins_ml,
    red_cells_ml, blood_lost_ml, blood_lost_seen_ml, red_cell_hb_g_per_ml,
):  # fmt: skip
    """Blood volume, plasma, haematocrit, haemoglobin."""
    blood_volume_ml = (
        left_atrium_ml + left_ventricle_ml + right_atrium_ml + right_ventricle_ml + aorta_ml + large_arteries_ml
        + small_arteries_ml + splanchnic_veins_ml + limb_veins_ml + chest_veins_ml + lung_arteries_ml + lung_veins_ml
    )  # fmt: skip
    # the red cells that left since the stores last took their share are still counted, and so is their blood
    counted_ml = blood_volume_ml + blood_lost_ml - blood_lost_seen_ml
    haematocrit_frac = clamp(red_cells_ml / larger(counted_ml, 100.0), 0.0, 0.8)
    haemoglobin_g_per_dl = larger(100.0 * haematocrit_frac * red_cell_hb_g_per_ml, 0.5)
    plasma_ml = larger(counted_ml - red_cells_ml, 20.0)
    return blood_volume_ml, haematocrit_frac, haemoglobin_g_per_dl, plasma_ml


def wounds(
    venesection_ml_per_min, wound_1_ml_per_min, wound_2_ml_per_min, wound_3_ml_per_min, wound_1_controlled_frac,
    wound_2_controlled_frac, wound_3_controlled_frac, clot_frac, womb_flow_ml_per_min,
    cause_loss_ml_per_s,
):  # fmt: skip
    """What wounds and needles let out, held for 50 ms."""
    draw_ml_per_s = venesection_ml_per_min / 60.0 + cause_loss_ml_per_s
    wound_conductance_ml_per_s_per_mmhg = (
        (
            wound_1_ml_per_min * (1.0 - wound_1_controlled_frac)
            + wound_2_ml_per_min * (1.0 - wound_2_controlled_frac)
            + wound_3_ml_per_min * (1.0 - wound_3_controlled_frac)
            + womb_flow_ml_per_min
        )
        * (1.0 - clot_frac)
        / (60.0 * 93.0)
    )
    return draw_ml_per_s, wound_conductance_ml_per_s_per_mmhg


def blood_loss(mean_bleeding_flow_ml_per_s, mean_drawn_flow_ml_per_s, bleeding_now_ml_per_s):
    """Blood lost over one step, summed so that the calmer stores can take their share of it."""
    d_blood_lost_ml_per_s = mean_bleeding_flow_ml_per_s + mean_drawn_flow_ml_per_s
    d_bleeding_now_ml_per_s_per_s = (mean_bleeding_flow_ml_per_s - bleeding_now_ml_per_s) / 2.0
    return d_blood_lost_ml_per_s, d_bleeding_now_ml_per_s_per_s


def blood_stores(
    red_cells_ml, plasma_protein_g, clotting_factors_ml, haematocrit_frac, plasma_ml, blood_lost_ml,
    blood_lost_seen_ml, red_cells_in_ml_per_s, protein_in_g_per_s, factors_in_ml_per_s, protein_escape_g_per_s,
    dt_calm_s,
):  # fmt: skip
    """Stores over one step; what was lost is what was lost since the last one."""
    lost = blood_lost_ml - blood_lost_seen_ml
    next_blood_lost_seen_ml = blood_lost_ml
    next_red_cells_ml = larger(red_cells_ml + red_cells_in_ml_per_s * dt_calm_s - haematocrit_frac * lost, 0.0)
    kept = clamp(1.0 - (1.0 - haematocrit_frac) * lost / plasma_ml, 0.0, 1.0)
    next_plasma_protein_g = larger(
        plasma_protein_g * kept + (protein_in_g_per_s - protein_escape_g_per_s) * dt_calm_s, 0.0
    )
    next_clotting_factors_ml = clotting_factors_ml * kept + factors_in_ml_per_s * dt_calm_s
    return next_blood_lost_seen_ml, next_red_cells_ml, next_plasma_protein_g, next_clotting_factors_ml


def inner_blood(
    inner_blood_ml, wound_1_ml_per_min, wound_2_ml_per_min, wound_3_ml_per_min, wound_1_controlled_frac,
    wound_2_controlled_frac, wound_3_controlled_frac, wound_1_into_chest_code, wound_2_into_chest_code,
    wound_3_into_chest_code, womb_flow_ml_per_min, bleeding_now_ml_per_s, dt_slow_s,
):  # fmt: skip
    """Blood shed into belly and pelvis over one second."""
    first = wound_1_ml_per_min * (1.0 - wound_1_controlled_frac)
    second = wound_2_ml_per_min * (1.0 - wound_2_controlled_frac)
    third = wound_3_ml_per_min * (1.0 - wound_3_controlled_frac)
    inner = (
        (first if wound_1_into_chest_code > 2.5 else 0.0)
        + (second if wound_2_into_chest_code > 2.5 else 0.0)
        + (third if wound_3_into_chest_code > 2.5 else 0.0)
    )
    share = inner / larger(first + second + third + womb_flow_ml_per_min, 1e-9)
    next_inner_blood_ml = inner_blood_ml + share * bleeding_now_ml_per_s * dt_slow_s
    return next_inner_blood_ml


PARTS: Final = {"CALM": (blood_state, wounds, blood_stores), "MID": (blood_loss,), "SLOW": (inner_blood,)}
