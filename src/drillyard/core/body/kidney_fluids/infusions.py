"""Fluids that run in: what each of them is made of.

In:       rates and bags of the controls, their temperature, water that drugs bring.
Out:      volume, red cells, protein, clotting factors and citrate that enter the blood; heat that warms them.
Assumes:  red cells in additive solution, haematocrit 0.6, with next to no plasma; whole blood of haematocrit 0.40;
          plasma and whole blood diluted by their citrate (textbook compositions of blood packs, from memory).
          Protein is counted as the plasma protein of equal oncotic pressure, so that 5 % albumin (20 mmHg) counts as
          0.060 g/mL, 20 % albumin as 0.21 and a 6 % synthetic colloid as 0.072.
Left out: potassium and haemolysis of stored cells, transfusion reactions, difference between saline and balanced fluid.
"""

from typing import Final

from drillyard.core.numerics.names import Mid

NAMES: Final = (
    Mid("infusion_ml_per_s", "mL/s", "all that runs into the veins"),
    Mid("red_cells_in_ml_per_s", "mL/s", "red cells that run in"),
    Mid("protein_in_g_per_s", "g/s", "plasma protein, or what acts like it, that runs in"),
    Mid("factors_in_ml_per_s", "mL/s", "clotting factors that run in, as normal plasma"),
    Mid("citrate_in_mmol_per_s", "mmol/s", "citrate that runs in"),
    Mid("fluid_chill_w", "W", "heat that warms what runs in"),
)


def running_ml_per_s(rate_ml_per_min, left_ml):
    """Flow of a bag until it is empty."""
    return rate_ml_per_min / 60.0 if left_ml > 0.0 else 0.0


def left_after_ml(left_ml, flow_ml_per_s, dt_s):
    """What a bag still holds."""
    left = left_ml - flow_ml_per_s * dt_s
    return left if left > 0.0 else 0.0


def infusions(
    crystalloid_ml_per_min, crystalloid_left_ml, red_cells_ml_per_min, red_cells_left_ml, plasma_ml_per_min,
    plasma_left_ml, whole_blood_ml_per_min, whole_blood_left_ml, albumin_ml_per_min, albumin_left_ml,
    concentrated_albumin_ml_per_min, concentrated_albumin_left_ml, colloid_ml_per_min, colloid_left_ml, fluid_degc,
    blood_bag_degc, water_given_ml_per_s, temperature_core_degc, dt_calm_s,
):  # fmt: skip
    """What runs in, held for 50 ms."""
    crystalloid = running_ml_per_s(crystalloid_ml_per_min, crystalloid_left_ml)
    red_cells = running_ml_per_s(red_cells_ml_per_min, red_cells_left_ml)
    plasma = running_ml_per_s(plasma_ml_per_min, plasma_left_ml)
    whole_blood = running_ml_per_s(whole_blood_ml_per_min, whole_blood_left_ml)
    albumin = running_ml_per_s(albumin_ml_per_min, albumin_left_ml)
    concentrated_albumin = running_ml_per_s(concentrated_albumin_ml_per_min, concentrated_albumin_left_ml)
    colloid = running_ml_per_s(colloid_ml_per_min, colloid_left_ml)
    clear = crystalloid + albumin + concentrated_albumin + colloid
    from_blood = red_cells + plasma + whole_blood
    infusion_ml_per_s = clear + from_blood + water_given_ml_per_s
    red_cells_in_ml_per_s = 0.6 * red_cells + 0.40 * whole_blood
    protein_in_g_per_s = (
        0.060 * plasma + 0.034 * whole_blood + 0.060 * albumin + 0.21 * concentrated_albumin + 0.072 * colloid
    )
    factors_in_ml_per_s = 0.85 * plasma + 0.50 * whole_blood
    citrate_in_mmol_per_s = 0.020 * plasma + 0.013 * whole_blood + 0.004 * red_cells
    fluid_chill_w = 4.2 * (clear + water_given_ml_per_s) * (temperature_core_degc - fluid_degc) + 3.9 * from_blood * (
        temperature_core_degc - blood_bag_degc
    )
    next_crystalloid_left_ml = left_after_ml(crystalloid_left_ml, crystalloid, dt_calm_s)
    next_red_cells_left_ml = left_after_ml(red_cells_left_ml, red_cells, dt_calm_s)
    next_plasma_left_ml = left_after_ml(plasma_left_ml, plasma, dt_calm_s)
    next_whole_blood_left_ml = left_after_ml(whole_blood_left_ml, whole_blood, dt_calm_s)
    next_albumin_left_ml = left_after_ml(albumin_left_ml, albumin, dt_calm_s)
    next_concentrated_albumin_left_ml = left_after_ml(concentrated_albumin_left_ml, concentrated_albumin, dt_calm_s)
    next_colloid_left_ml = left_after_ml(colloid_left_ml, colloid, dt_calm_s)
    return (
        infusion_ml_per_s, red_cells_in_ml_per_s, protein_in_g_per_s, factors_in_ml_per_s, citrate_in_mmol_per_s,
        fluid_chill_w, next_crystalloid_left_ml, next_red_cells_left_ml, next_plasma_left_ml, next_whole_blood_left_ml,
        next_albumin_left_ml, next_concentrated_albumin_left_ml, next_colloid_left_ml,
    )  # fmt: skip


PARTS: Final = {"CALM": (infusions,)}
