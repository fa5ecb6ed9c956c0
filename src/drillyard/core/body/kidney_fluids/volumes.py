"""Plasma, red cells and what moves between vessels and tissues.

In:       bleeding and blood draws, infusions, blood volume (sum of all stores).
Out:      red cell volume, haemoglobin, infusion flow into the great veins, fluid drawn from tissues, urine.
Assumes:  infused crystalloid is followed as a fluid of its own between plasma and tissue with elimination (volume
          kinetics: Hahn 2010, Anesthesiology 113:470; elimination slows as pressure falls); a lack of blood volume
          draws
          tissue fluid back at about 100 mL/h per 15 % (Moore 1965, from memory).  Blood lost takes red cells and
          infused fluid with it in proportion.
Left out: protein as a state of its own, capillary leak, glycocalyx, salt balance.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("red_cells_ml", 2094.0, "mL", "red cells in the circulation", "mid", 0.0),
    State("fluid_in_plasma_ml", 0.0, "mL", "infused crystalloid still in plasma", "mid", 0.0),
    State("fluid_in_tissue_ml", 0.0, "mL", "infused crystalloid in tissues", "mid", 0.0),
    State("urine_ml", 0.0, "mL", "urine made since the start", "mid", 0.0),
    State("blood_lost_ml", 0.0, "mL", "blood lost since the start", "mid", 0.0),
    State("blood_lost_seen_ml", 0.0, "mL", "blood lost that the stores have taken their share of", "calm", 0.0),
    State("bleeding_now_ml_per_s", 0.0, "mL/s", "bleeding, smoothed over a few beats", "mid", 0.0),
    State("clot_frac", 0.0, "1", "share of a wound that has clotted", "mid", 0.0),
    Param("blood_volume_rest_ml", 4820.0, "mL", "blood volume in health", "Nadler 1962, Surgery 51:224"),
    Param("red_cell_hb_g_per_ml", 0.334, "g/mL", "haemoglobin in red cells",
          "mean cell concentration 33-34 g/dL (textbook)"),
    Param("fluid_to_tissue_per_s", 4.7e-4, "/s", "share of infused plasma fluid that leaves a second",
          "tuned to 50-60 % left after a 30 min infusion, 15-20 % 30 min later (Hahn 2010)"),
    Param("fluid_to_plasma_per_s", 1.0e-4, "/s", "share of infused tissue fluid that comes back", "as above"),
    Param("fluid_eliminated_per_s", 3.1e-4, "/s", "share of infused plasma fluid eliminated", "as above"),
    Param("refill_per_s", 3.9e-5, "/s", "share of a lack of blood volume drawn from tissues", "100 mL/h at 15 % loss"),
    Param("urine_rest_ml_per_s", 0.0194, "mL/s", "urine at rest", "1 mL/kg/h (common textbook value)"),
    Mid("blood_volume_ml", "mL", "all blood"),
    Mid("haematocrit_frac", "1", "red cells over blood"),
    Mid("haemoglobin_g_per_dl", "g/dL", "haemoglobin"),
    Mid("infusion_ml_per_s", "mL/s", "all infusions"),
    Mid("crystalloid_ml_per_s", "mL/s", "crystalloid running in"),
    Mid("red_cells_ml_per_s", "mL/s", "packed red cells running in"),
    Mid("splanchnic_refill_ml_per_s", "mL/s", "fluid drawn from tissues, less what leaves and urine"),
    Mid("urine_ml_per_s", "mL/s", "urine"),
    Mid("draw_ml_per_s", "mL/s", "blood draw"),
    Mid("wound_conductance_ml_per_s_per_mmhg", "mL/s/mmHg", "bleeding per pressure, all wounds"),
)  # fmt: skip


def blood_state(
    left_atrium_ml, left_ventricle_ml, right_atrium_ml, right_ventricle_ml, aorta_ml, large_arteries_ml,
    small_arteries_ml, splanchnic_veins_ml, limb_veins_ml, chest_veins_ml, lung_arteries_ml, lung_veins_ml,
    red_cells_ml, blood_lost_ml, blood_lost_seen_ml, red_cell_hb_g_per_ml,
):  # fmt: skip
    """Blood volume, haematocrit, haemoglobin."""
    blood_volume_ml = (
        left_atrium_ml + left_ventricle_ml + right_atrium_ml + right_ventricle_ml + aorta_ml + large_arteries_ml
        + small_arteries_ml + splanchnic_veins_ml + limb_veins_ml + chest_veins_ml + lung_arteries_ml + lung_veins_ml
    )  # fmt: skip
    # the red cells that left since the stores last took their share are still counted, and so is their blood
    counted_ml = blood_volume_ml + blood_lost_ml - blood_lost_seen_ml
    haematocrit_frac = clamp(red_cells_ml / larger(counted_ml, 100.0), 0.0, 0.8)
    haemoglobin_g_per_dl = larger(100.0 * haematocrit_frac * red_cell_hb_g_per_ml, 0.5)
    return blood_volume_ml, haematocrit_frac, haemoglobin_g_per_dl


def fluid_flows(
    crystalloid_ml_per_min, crystalloid_left_ml, red_cells_ml_per_min, red_cells_left_ml, venesection_ml_per_min,
    wound_1_ml_per_min, wound_2_ml_per_min, wound_3_ml_per_min, wound_1_controlled_frac, wound_2_controlled_frac,
    wound_3_controlled_frac, clot_frac, fluid_in_plasma_ml, fluid_in_tissue_ml, blood_volume_ml, blood_volume_rest_ml,
    fluid_to_tissue_per_s, fluid_to_plasma_per_s, fluid_eliminated_per_s, refill_per_s, urine_rest_ml_per_s,
    mean_arterial_pressure_mmhg, carotid_set_mmhg, gas_flow_ml_per_s, cardiac_output_rest_ml_per_s,
    lung_filtration_ml_per_s,
):  # fmt: skip
    """What runs in, leaks and is drawn, held for 50 ms."""
    crystalloid_ml_per_s = crystalloid_ml_per_min / 60.0 if crystalloid_left_ml > 0.0 else 0.0
    red_cells_ml_per_s = red_cells_ml_per_min / 60.0 if red_cells_left_ml > 0.0 else 0.0
    infusion_ml_per_s = crystalloid_ml_per_s + red_cells_ml_per_s
    draw_ml_per_s = venesection_ml_per_min / 60.0
    wound_conductance_ml_per_s_per_mmhg = (
        (
            wound_1_ml_per_min * (1.0 - wound_1_controlled_frac)
            + wound_2_ml_per_min * (1.0 - wound_2_controlled_frac)
            + wound_3_ml_per_min * (1.0 - wound_3_controlled_frac)
        )
        * (1.0 - clot_frac)
        / (60.0 * 93.0)
    )
    perfusion = clamp(gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 1.0)
    lack = larger(blood_volume_rest_ml - blood_volume_ml, 0.0)
    # capillaries of an arrested or nearly arrested circulation exchange little
    refill = refill_per_s * lack * perfusion
    out = (
        fluid_to_tissue_per_s * fluid_in_plasma_ml * perfusion - fluid_to_plasma_per_s * fluid_in_tissue_ml * perfusion
    )
    # kidneys stop at a mean pressure of about 50 mmHg in adults (common textbook value)
    kidney = clamp((mean_arterial_pressure_mmhg / carotid_set_mmhg - 0.535) / 0.374, 0.0, 1.0)
    urine_ml_per_s = kidney * (urine_rest_ml_per_s * kidney + fluid_eliminated_per_s * fluid_in_plasma_ml)
    # drink and tissue water replace the urine made at rest
    splanchnic_refill_ml_per_s = refill - out - (urine_ml_per_s - kidney * kidney * urine_rest_ml_per_s)
    # what wet lungs take from plasma
    splanchnic_refill_ml_per_s = splanchnic_refill_ml_per_s - lung_filtration_ml_per_s
    return (
        crystalloid_ml_per_s, red_cells_ml_per_s, infusion_ml_per_s, draw_ml_per_s,
        wound_conductance_ml_per_s_per_mmhg, splanchnic_refill_ml_per_s, urine_ml_per_s,
    )  # fmt: skip


def blood_loss(mean_bleeding_flow_ml_per_s, mean_drawn_flow_ml_per_s, bleeding_now_ml_per_s):
    """Blood lost over one step, summed so that the calmer stores can take their share of it."""
    d_blood_lost_ml_per_s = mean_bleeding_flow_ml_per_s + mean_drawn_flow_ml_per_s
    d_bleeding_now_ml_per_s_per_s = (mean_bleeding_flow_ml_per_s - bleeding_now_ml_per_s) / 2.0
    return d_blood_lost_ml_per_s, d_bleeding_now_ml_per_s_per_s


def fluid_stores(
    red_cells_ml, fluid_in_plasma_ml, fluid_in_tissue_ml, crystalloid_ml_per_s, red_cells_ml_per_s,
    crystalloid_left_ml, red_cells_left_ml, blood_volume_ml,
    fluid_to_tissue_per_s, fluid_to_plasma_per_s, fluid_eliminated_per_s, mean_arterial_pressure_mmhg, carotid_set_mmhg,
    gas_flow_ml_per_s, cardiac_output_rest_ml_per_s, urine_ml_per_s, haematocrit_frac, blood_lost_ml,
    blood_lost_seen_ml, dt_calm_s,
):  # fmt: skip
    """Stores over one step; what was lost is what was lost since the last one."""
    lost = (blood_lost_ml - blood_lost_seen_ml) / dt_calm_s
    next_blood_lost_seen_ml = blood_lost_ml
    perfusion = clamp(gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 1.0)
    kidney = clamp((mean_arterial_pressure_mmhg / carotid_set_mmhg - 0.535) / 0.374, 0.0, 1.0)
    out = (
        fluid_to_tissue_per_s * fluid_in_plasma_ml * perfusion - fluid_to_plasma_per_s * fluid_in_tissue_ml * perfusion
    )
    d_red_cells_ml_per_s = 0.6 * red_cells_ml_per_s - haematocrit_frac * lost
    d_fluid_in_plasma_ml_per_s = (
        crystalloid_ml_per_s
        - out
        - kidney * fluid_eliminated_per_s * fluid_in_plasma_ml
        - lost * fluid_in_plasma_ml / larger(blood_volume_ml, 100.0)
    )
    d_fluid_in_tissue_ml_per_s = out
    d_urine_ml_per_s = urine_ml_per_s
    next_crystalloid_left_ml = larger(crystalloid_left_ml - crystalloid_ml_per_s * dt_calm_s, 0.0)
    next_red_cells_left_ml = larger(red_cells_left_ml - red_cells_ml_per_s * dt_calm_s, 0.0)
    return (
        d_red_cells_ml_per_s, d_fluid_in_plasma_ml_per_s, d_fluid_in_tissue_ml_per_s, d_urine_ml_per_s,
        next_blood_lost_seen_ml, next_crystalloid_left_ml, next_red_cells_left_ml,
    )  # fmt: skip


def clotting(clot_frac, antifibrinolysis_frac, mean_arterial_pressure_mmhg, bleeding_now_ml_per_s):
    """Wounds clot slowly, better where pressure is low and lysis is held back (times are our choice)."""
    calm = clamp((100.0 - mean_arterial_pressure_mmhg) / 50.0, 0.0, 1.0) / (1.0 + bleeding_now_ml_per_s)
    kept = 0.4 + 0.6 * antifibrinolysis_frac
    next_clot_frac = clamp(clot_frac + (calm * kept * (1.0 - clot_frac) - 0.2 * clot_frac) / 2400.0, 0.0, 0.9)
    return next_clot_frac


PARTS: Final = {"CALM": (blood_state, fluid_flows, fluid_stores), "MID": (blood_loss,), "SLOW": (clotting,)}
