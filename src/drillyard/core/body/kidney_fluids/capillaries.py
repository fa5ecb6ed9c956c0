"""Fluid and protein between plasma, tissue and cells, once a second.

In:       venous pressure and blood flow, plasma and its protein, leak of capillaries, osmoles that drugs bring.
Out:      fluid that enters the veins from tissues, less what leaves and what the kidneys take; tissue fluid; oedema.
Assumes:  one capillary bed (Starling): filtration = conductance x (capillary - tissue pressure - reflection x oncotic
          difference), oncotic pressure after Landis and Pappenheimer 1963 (from memory), reflection 0.9, conductance
          2 mL/min/mmHg, capillary pressure 17 mmHg at rest and made of venous pressure and blood flow (textbook).
          Protein goes with what filters and by exchange, 4-5 % of it an hour; lymph brings both back and flows faster
          the fuller the tissue is.  Tissue is stiff until its pressure reaches that of the air, then soft (Guyton
          1965, Circ Res 16:452, order from memory).  Water moves between cells and the fluid outside within minutes
          until both have the same osmolality; a third of it enters plasma first.
          Each patient's tissue is in balance with the capillary pressure of rest.
Left out: glycocalyx, single organs, lung capillaries (``lungs``), salt balance, albumin made by the liver.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Param, State

OSMOLES_PER_ML: Final = 0.29
"""Osmolality of body water, mosm/mL (textbook)."""
CELL_SHARE: Final = 0.667
"""Share of body water that lies in cells (textbook)."""

NAMES: Final = (
    State("splanchnic_refill_ml_per_s", 0.0, "mL/s", "fluid drawn from tissues, less what leaves and urine", "slow"),
    State("filtration_ml_per_s", 0.0917, "mL/s", "fluid that leaves plasma through capillaries", "slow"),
    State("lymph_ml_per_s", 0.0917, "mL/s", "lymph", "slow", 0.0),
    State("protein_escape_g_per_s", 0.0, "g/s", "protein that leaves plasma, less what lymph brings back", "slow"),
    State("tissue_fluid_ml", 11000.0, "mL", "fluid between cells", "slow", 0.0),
    State("tissue_protein_g", 275.0, "g", "protein between cells", "slow", 0.0),
    State("cell_water_given_ml", 0.0, "mL", "water that cells have given to the fluid outside", "slow"),
    State("cell_water_ml_per_s", 0.0, "mL/s", "the same, now", "slow"),
    State("osmoles_over_mosm", 0.0, "mosm", "osmoles outside cells beyond those of isotonic fluid", "slow"),
    State("capillary_mmhg", 16.9, "mmHg", "capillary pressure, smoothed", "slow"),
    State("capillary_rest_mmhg", 16.9, "mmHg", "capillary pressure at rest", "slow"),
    State("oncotic_mmhg", 25.6, "mmHg", "oncotic pressure of plasma", "slow", 0.0),
    State("capillary_leak_frac", 0.0, "1", "leak of capillaries from all causes: 0 none, 1 the worst", "slow", 0.0),
    Param("capillary_filtration_ml_per_s_per_mmhg", 0.032, "mL/s/mmHg", "filtration per pressure, all capillaries",
          "2 mL/min/mmHg (order of textbooks, from memory)"),
    Param("reflection_frac", 0.9, "1", "share of protein that capillaries hold back", "textbook 0.9 and over"),
    Param("tissue_fluid_rest_ml", 11000.0, "mL", "fluid between cells at rest", "0.16 L/kg (textbook)"),
    Param("tissue_softness_ml_per_mmhg", 600.0, "mL/mmHg", "softness of tissue below air pressure",
          "order of Guyton 1965 (from memory)"),
    Param("lymph_rest_ml_per_s", 0.0917, "mL/s", "lymph at rest", "8 L a day before nodes (textbook)"),
    Param("protein_exchange_ml_per_s", 0.0367, "mL/s", "exchange of protein by diffusion",
          "so that 4-5 % of plasma protein escape an hour (textbook)"),
)  # fmt: skip


def oncotic_pressure_mmhg(protein_g_per_dl):
    """Landis and Pappenheimer 1963, Handbook of Physiology, Circulation 2:961 (from memory)."""
    c = protein_g_per_dl
    return c * (2.1 + c * (0.16 + 0.009 * c))


def leak_of_all(added_capillary_leak_frac, mediator_leak_frac, burn_leak_frac, septic_frac):
    """Leaks of several causes meet here; each takes its share of what the others have left tight."""
    next_capillary_leak_frac = faded(
        1.0
        - (1.0 - clamp(added_capillary_leak_frac, 0.0, 1.0))
        * (1.0 - 0.35 * septic_frac)
        * (1.0 - clamp(mediator_leak_frac, 0.0, 1.0))
        * (1.0 - clamp(burn_leak_frac, 0.0, 1.0))
    )
    return next_capillary_leak_frac


def capillary_pressure(
    capillary_mmhg, capillary_rest_mmhg, splanchnic_veins_ml, splanchnic_unstressed_ml, limb_veins_ml,
    limb_unstressed_ml, splanchnic_stiffness_mmhg_per_ml, limb_stiffness_mmhg_per_ml, gas_flow_ml_per_s,
    cardiac_output_rest_ml_per_s, is_settling,
):  # fmt: skip
    """Capillary pressure: that of the veins behind and the pressure that blood flow loses in venules."""
    gut = (splanchnic_veins_ml - splanchnic_unstressed_ml) * splanchnic_stiffness_mmhg_per_ml
    limb = (limb_veins_ml - limb_unstressed_ml) * limb_stiffness_mmhg_per_ml
    # venules narrow as flow falls, so that less than the flow's share of the pressure is lost
    flow = 0.35 + 0.65 * clamp(gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 2.5)
    wanted = clamp(0.75 * gut + 0.25 * limb, 0.0, 40.0) + 11.5 * flow
    next_capillary_mmhg = capillary_mmhg + (wanted - capillary_mmhg) / 20.0
    next_capillary_rest_mmhg = capillary_rest_mmhg + (next_capillary_mmhg - capillary_rest_mmhg) * is_settling
    return next_capillary_mmhg, next_capillary_rest_mmhg


def exchange(
    capillary_mmhg, capillary_rest_mmhg, capillary_leak_frac, plasma_ml, plasma_protein_g, tissue_fluid_ml,
    tissue_protein_g, filtration_ml_per_s, lymph_ml_per_s, protein_escape_g_per_s, cell_water_given_ml,
    cell_water_ml_per_s, osmoles_over_mosm, mannitol_mosm, sodium_given_mmol_per_s, chloride_given_mmol_per_s,
    bicarbonate_given_mmol_per_s, water_given_ml_per_s, next_urine_ml_per_s, urine_rest_ml_per_s,
    next_lung_filtration_ml_per_s,
    burn_weeping_ml_per_s, under_skin_ml_per_min, under_skin_left_ml, gas_flow_ml_per_s, cardiac_output_rest_ml_per_s,
    capillary_filtration_ml_per_s_per_mmhg,
    reflection_frac, tissue_fluid_rest_ml, tissue_softness_ml_per_mmhg, lymph_rest_ml_per_s,
    protein_exchange_ml_per_s, dt_slow_s,
):  # fmt: skip
    """Stores after the second that has gone, flows of the one to come."""
    # what was set a second ago has been delivered meanwhile
    given = 0.667 * cell_water_ml_per_s
    run_in = smaller(under_skin_ml_per_min / 60.0, under_skin_left_ml / dt_slow_s)
    next_under_skin_left_ml = larger(under_skin_left_ml - run_in * dt_slow_s, 0.0)
    next_tissue_fluid_ml = larger(
        tissue_fluid_ml + (filtration_ml_per_s - lymph_ml_per_s + given + run_in - burn_weeping_ml_per_s) * dt_slow_s,
        100.0,
    )
    next_tissue_protein_g = larger(tissue_protein_g + protein_escape_g_per_s * dt_slow_s, 0.0)
    next_cell_water_given_ml = cell_water_given_ml + cell_water_ml_per_s * dt_slow_s
    salts = sodium_given_mmol_per_s + chloride_given_mmol_per_s + bicarbonate_given_mmol_per_s
    next_osmoles_over_mosm = (
        osmoles_over_mosm * (1.0 - dt_slow_s / 43200.0) + (salts - OSMOLES_PER_ML * water_given_ml_per_s) * dt_slow_s
    )

    in_plasma = 100.0 * plasma_protein_g / plasma_ml
    between = next_tissue_protein_g / next_tissue_fluid_ml
    next_oncotic_mmhg = oncotic_pressure_mmhg(clamp(in_plasma, 0.0, 15.0))
    over_ml = next_tissue_fluid_ml - tissue_fluid_rest_ml
    over = over_ml / tissue_softness_ml_per_mmhg
    # beyond air pressure, 2 mmHg over rest, tissue gives way eightfold
    tissue_mmhg = over - 2.0 if over < 2.0 else 0.125 * (over - 2.0)
    perfused = clamp(1.5 * gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.02, 1.0)
    leak = capillary_leak_frac
    held_back = reflection_frac * (1.0 - 0.85 * leak)
    drive = (
        18.17
        + capillary_mmhg
        - capillary_rest_mmhg
        - tissue_mmhg
        - held_back * (next_oncotic_mmhg - oncotic_pressure_mmhg(100.0 * between))
    )
    wanted = capillary_filtration_ml_per_s_per_mmhg * (1.0 + 6.0 * leak) * perfused * drive
    # a tenth of the plasma a minute at most, and no more than tissue can give
    next_filtration_ml_per_s = clamp(wanted, -0.0003 * next_tissue_fluid_ml, 0.0018 * plasma_ml)
    next_lymph_ml_per_s = lymph_rest_ml_per_s * perfused * clamp(1.0 + (1.5 if over > 0.0 else 0.1) * over, 0.3, 8.0)
    carried = larger(next_filtration_ml_per_s, 0.0) * (1.0 - held_back) + protein_exchange_ml_per_s * perfused * (
        1.0 + 6.0 * leak
    )
    next_protein_escape_g_per_s = (
        0.01 * in_plasma * carried
        - between * protein_exchange_ml_per_s * perfused * (1.0 + 6.0 * leak)
        - between * next_lymph_ml_per_s
    )
    wanted_water = CELL_SHARE * (next_osmoles_over_mosm + mannitol_mosm) / OSMOLES_PER_ML
    next_cell_water_ml_per_s = faded(
        clamp((wanted_water - next_cell_water_given_ml) / 180.0, -0.002 * plasma_ml, 0.003 * plasma_ml)
    )
    # drink and what the gut holds replace the urine of rest, and no more
    drunk = urine_rest_ml_per_s * perfused
    next_splanchnic_refill_ml_per_s = (
        next_lymph_ml_per_s
        - next_filtration_ml_per_s
        + 0.333 * next_cell_water_ml_per_s
        + drunk
        - next_urine_ml_per_s
        - next_lung_filtration_ml_per_s
    )
    return (
        next_under_skin_left_ml, next_tissue_fluid_ml, next_tissue_protein_g, next_cell_water_given_ml,
        next_osmoles_over_mosm, next_oncotic_mmhg, next_filtration_ml_per_s, next_lymph_ml_per_s,
        next_protein_escape_g_per_s, next_cell_water_ml_per_s, next_splanchnic_refill_ml_per_s,
    )  # fmt: skip


def oedema(tissue_fluid_ml, tissue_fluid_rest_ml):
    """Swelling is seen once tissue holds about a quarter more fluid (2.5-3 L in an adult; textbook)."""
    oedema_frac = clamp((tissue_fluid_ml / tissue_fluid_rest_ml - 1.15) / 0.6, 0.0, 1.0)
    return oedema_frac


PARTS: Final = {"SLOW": (leak_of_all, capillary_pressure, exchange), "SHOW": (oedema,)}
