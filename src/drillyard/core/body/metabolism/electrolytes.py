"""Potassium of plasma and cells, calcium, magnesium, sodium; once a second.

In:       what drugs bring, insulin and beta-2 action, acidity, the kidneys' flow, cell damage, succinylcholine.
Out:      plasma levels; the potassium that the heart's membranes feel, calcium's protection taken off.
Assumes:  potassium passes between fluid outside cells (0.2 L/kg) and cells with a time constant of 20 min towards a
          level that follows what the cells hold (300 mmol lost lower it by 1 mmol/L: Sterns 1981, Medicine 60:339,
          from memory), less 1.2 mmol/L at full beta-2 (half at a third of it) and 1.4 at full insulin action,
          more in acid: 0.1 mmol/L a tenth of pH, and 0.6 with mineral acid (common teaching).  Kidneys clear
          what is above rest, food replaces what is lost at rest.
Left out: aldosterone, magnesium's hold on potassium, protein-bound calcium, cell swelling, free water.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("potassium_mmol_per_l", 4.2, "mmol/L", "plasma potassium", "slow", 0.0),
    State("cell_potassium_mmol", 0.0, "mmol", "potassium of cells over that in health", "slow"),
    State("membrane_potassium_mmol_per_l", 4.2, "mmol/L",
          "plasma potassium that would act alike at normal calcium: what the heart's membranes feel", "slow", 0.0),
    State("potassium_in_urine_mmol", 0.0, "mmol", "potassium lost in urine over what food replaces", "slow"),
    State("potassium_freed_mmol", 0.0, "mmol", "potassium that came from outside these pools", "slow"),
    State("ionised_calcium_mmol_per_l", 1.2, "mmol/L", "ionised calcium", "slow", 0.0),
    State("calcium_over_mmol_per_l", 0.0, "mmol/L", "ionised calcium that was given", "slow", 0.0),
    State("magnesium_mmol_per_l", 0.85, "mmol/L", "plasma magnesium", "slow", 0.0),
    State("sodium_over_mmol", 0.0, "mmol", "sodium over that in health", "slow"),
    Param("potassium_rest_mmol_per_l", 4.2, "mmol/L", "plasma potassium at rest", "3.5-5.0 (common textbook value)"),
    Param("outside_cells_l", 14.0, "L", "fluid outside cells", "0.2 L/kg (common textbook value)"),
    Param("body_water_l", 42.0, "L", "water of the body", "0.6 L/kg (common textbook value)"),
    Param("cell_potassium_mmol_per_step", 300.0, "mmol", "cell potassium that moves plasma by 1 mmol/L",
          "200-400 (Sterns 1981, from memory)"),
    Param("potassium_kidney_l_per_s", 0.0025, "L/s", "clearance of potassium over rest",
          "0.15 L/min: tenfold of rest at 8 mmol/L (order, from memory)"),
    Param("succinylcholine_mmol_per_s", 0.021, "mmol/s", "potassium that its full release lets out of muscle",
          "plasma +0.5 mmol/L after 1 mg/kg (Goodman & Gilman 2023, from memory)"),
)  # fmt: skip


def potassium(
    potassium_mmol_per_l, cell_potassium_mmol, potassium_in_urine_mmol, potassium_freed_mmol,
    potassium_given_mmol_per_s,
    potassium_load_mmol_per_l, potassium_release_mmol_per_min, potassium_release_frac, insulin_share_frac,
    beta2_occupancy_frac, beta2_block_frac, counter_regulation_frac, ph, mineral_base_mmol_per_l, kidney_lost_frac,
    loop_diuretic_frac, organ_o2_ml_per_ml, glomerular_frac, potassium_rest_mmol_per_l, outside_cells_l,
    cell_potassium_mmol_per_step, potassium_kidney_l_per_s, succinylcholine_mmol_per_s, dt_slow_s,
):  # fmt: skip
    """Both pools over one second."""
    beta2 = clamp(beta2_occupancy_frac + 0.35 * counter_regulation_frac * (1.0 - beta2_block_frac), 0.0, 1.0)
    level = (
        potassium_rest_mmol_per_l
        + cell_potassium_mmol / cell_potassium_mmol_per_step
        - 1.6 * beta2 / (beta2 + 0.3)
        - 1.6 * larger(insulin_share_frac - 0.1212, 0.0)
        + 0.5 * larger(0.1212 - insulin_share_frac, 0.0) / 0.1212
        + clamp(7.40 - ph, -0.5, 0.8)
        - 0.075 * clamp(mineral_base_mmol_per_l, -30.0, 15.0)
    )
    # the small offset of resting pH from 7.40 is none
    into_cells = outside_cells_l / 1200.0 * (potassium_mmol_per_l - larger(level, 1.0))
    into_cells = into_cells - succinylcholine_mmol_per_s * potassium_release_frac
    # cells without oxygen leak
    into_cells = into_cells - 0.02 * clamp((0.02 - organ_o2_ml_per_ml) / 0.02, 0.0, 1.0)
    kidney = clamp(glomerular_frac, 0.0, 1.0) * (1.0 - clamp(kidney_lost_frac, 0.0, 1.0))
    lost = kidney * (
        potassium_kidney_l_per_s * (potassium_mmol_per_l - potassium_rest_mmol_per_l)
        + 0.004 * loop_diuretic_frac * clamp(potassium_mmol_per_l - 2.5, 0.0, 1.5)
    )
    # an illness's load: plasma and cells together, so that it stays
    size = potassium_load_mmol_per_l if potassium_load_mmol_per_l > 0.0 else -potassium_load_mmol_per_l
    loaded = potassium_load_mmol_per_l if size < 0.01 else potassium_load_mmol_per_l / 20.0 * dt_slow_s
    next_potassium_load_mmol_per_l = potassium_load_mmol_per_l - loaded
    freed = potassium_given_mmol_per_s + potassium_release_mmol_per_min / 60.0
    next_potassium_mmol_per_l = larger(
        potassium_mmol_per_l + loaded + (freed - into_cells - lost) / outside_cells_l * dt_slow_s, 0.2
    )
    next_cell_potassium_mmol = cell_potassium_mmol + loaded * cell_potassium_mmol_per_step + into_cells * dt_slow_s
    next_potassium_in_urine_mmol = potassium_in_urine_mmol + lost * dt_slow_s
    next_potassium_freed_mmol = (
        potassium_freed_mmol + freed * dt_slow_s + loaded * (outside_cells_l + cell_potassium_mmol_per_step)
    )
    return (
        next_potassium_load_mmol_per_l, next_potassium_mmol_per_l, next_cell_potassium_mmol,
        next_potassium_in_urine_mmol, next_potassium_freed_mmol,
    )  # fmt: skip


def membrane(membrane_potassium_mmol_per_l, potassium_mmol_per_l, ionised_calcium_mmol_per_l, dt_slow_s):
    """Calcium holds the threshold of the heart's membranes away from where potassium has brought their rest.

    1 g of calcium chloride takes back about 1.5 mmol/L for the ECG, within one to three minutes (Weisberg 2008, Crit
    Care Med 36:3246: time; size our choice).
    """
    guarded = 4.0 * clamp(ionised_calcium_mmol_per_l - 1.2, -0.6, 0.5)
    felt = larger(potassium_mmol_per_l - guarded, 0.2)
    next_membrane_potassium_mmol_per_l = membrane_potassium_mmol_per_l + (felt - membrane_potassium_mmol_per_l) * (
        dt_slow_s / 60.0
    )
    return next_membrane_potassium_mmol_per_l


def calcium_magnesium_sodium(
    calcium_over_mmol_per_l, calcium_bound_mmol_per_l, magnesium_mmol_per_l, sodium_over_mmol, calcium_given_mmol_per_s,
    magnesium_given_mmol_per_s, sodium_given_mmol_per_s, kidney_lost_frac, outside_cells_l, dt_slow_s,
):  # fmt: skip
    """Simple pools: calcium given is gone within the hour, magnesium by the kidney, sodium over a day."""
    kidney = 1.0 - clamp(kidney_lost_frac, 0.0, 1.0)
    next_calcium_over_mmol_per_l = faded(
        calcium_over_mmol_per_l
        + (calcium_given_mmol_per_s / outside_cells_l - calcium_over_mmol_per_l / 2400.0) * dt_slow_s
    )
    next_ionised_calcium_mmol_per_l = larger(1.2 + next_calcium_over_mmol_per_l - calcium_bound_mmol_per_l, 0.1)
    # 0.35 L/kg; half gone in about five hours (order of the US prescribing information: magnesium sulphate)
    given = magnesium_given_mmol_per_s / (1.75 * outside_cells_l)
    next_magnesium_mmol_per_l = larger(
        magnesium_mmol_per_l + (given - 3.9e-5 * kidney * (magnesium_mmol_per_l - 0.85)) * dt_slow_s, 0.0
    )
    next_sodium_over_mmol = (
        sodium_over_mmol + (sodium_given_mmol_per_s - 1.2e-5 * kidney * sodium_over_mmol) * dt_slow_s
    )
    return (
        next_calcium_over_mmol_per_l, next_ionised_calcium_mmol_per_l, next_magnesium_mmol_per_l, next_sodium_over_mmol,
    )  # fmt: skip


def sodium_reading(sodium_over_mmol, body_water_l, glucose_mg_per_dl):
    """Plasma sodium: 1.6 mmol/L lower a 100 mg/dL of glucose that draws water out of cells (Katz 1973, N Engl J Med
    289:843, from memory)."""
    sodium_mmol_per_l = clamp(140.0 + sodium_over_mmol / body_water_l - 0.016 * (glucose_mg_per_dl - 90.0), 60.0, 220.0)
    return sodium_mmol_per_l


PARTS: Final = {"SLOW": (potassium, membrane, calcium_magnesium_sodium), "SHOW": (sodium_reading,)}
