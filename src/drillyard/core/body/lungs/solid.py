"""Lung that holds fluid instead of air: lung water, pneumonia, aspirated matter.

In:       pressure in lung veins, stiffness of the left heart, leak of capillaries (controls), consolidation by side,
          aspirated matter, airway pressure, blood flow.
Out:      excess water of the lungs and its flow from plasma, share of each lung that is solid or flooded, blood that
          passes it, blood that meets badly ventilated alveoli, what the lungs report to the breathing centre.
Assumes:  water leaves capillaries above a pressure of about 25 mmHg (Guyton and Lindsey 1959, Circ Res 7:649) or at
          any pressure where they leak, and returns below it, at a quarter of the speed.  A stiff left ventricle is
          taken as a factor on the pressure that fills it: what lowers filling (nitroglycerin, diuretic, sitting up,
          chest pressure) lowers the pressure in lung capillaries by that factor.  Flooded alveoli are shunt as long
          as no airway pressure holds them open; the fringe around them is badly ventilated.  Blood vessels of solid
          lung narrow to about half in health, less where they are inflamed (order of Light 1999, Am J Respir Crit
          Care Med 160, from memory).
Left out: frothy sputum, protein in the fluid, lymph as a flow of its own; blood that a stiff left heart dams up in the
          lungs (the circulation does not feel the factor).
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("lung_water_ml", 0.0, "mL", "water of the lungs above that of health", "slow", 0.0),
    State("lung_filtration_ml_per_s", 0.0, "mL/s", "water that leaves plasma for the lungs, back if negative", "slow"),
    State("lung_veins_smooth_mmhg", 12.0, "mmHg", "pressure in lung veins over that of the chest, smoothed", "mid"),
    State("airway_splint_cmh2o", 0.0, "cmH2O", "alveolar pressure, smoothed over some breaths", "mid"),
    Param("filtration_starts_mmhg", 25.0, "mmHg", "pressure in lung capillaries above which water leaves them",
          "Guyton and Lindsey 1959, Circ Res 7:649 (dogs; from memory)"),
    Param("filtration_ml_per_s_per_mmhg", 0.03, "mL/s/mmHg", "water that leaves per mmHg above it",
          "our choice: half a litre in half an hour at 35 mmHg"),
    Param("flooded_ml", 600.0, "mL", "excess water at which half of the lung is flooded",
          "lung water doubles before alveoli flood (Staub 1974, Physiol Rev 54:678, from memory), size our choice"),
    Mid("left_solid_frac", "1", "share of the left lung that holds no gas by consolidation or flooding"),
    Mid("right_solid_frac", "1", "the same, right"),
    Mid("left_solid_shunt_frac", "1", "share of left lung blood flow through it"),
    Mid("right_solid_shunt_frac", "1", "the same, right"),
    Mid("left_solid_width_frac", "1", "width of left lung vessels over health"),
    Mid("right_solid_width_frac", "1", "the same, right"),
    Mid("fringe_frac", "1", "share of blood flow that meets badly ventilated alveoli because of lung water"),
)  # fmt: skip

_NARROWED: Final = 0.6
"""Width of vessels in solid, inflamed lung over health (our choice, see above)."""


def solid_lung(
    lung_water_ml, airway_splint_cmh2o, consolidated_left_frac, consolidated_right_frac, aspirated_frac, flooded_ml,
):  # fmt: skip
    """What is solid, and what blood does there."""
    left_solid_frac = 0.0
    right_solid_frac = 0.0
    left_solid_shunt_frac = 0.0
    right_solid_shunt_frac = 0.0
    left_solid_width_frac = 1.0
    right_solid_width_frac = 1.0
    fringe_frac = 0.0
    sick = consolidated_left_frac + consolidated_right_frac + aspirated_frac + lung_water_ml
    if sick > 1e-6:
        water = larger(lung_water_ml / flooded_ml - 0.2, 0.0)
        flooded = 0.8 * water / (water + 0.5)
        # airway pressure opens wet alveoli: most of them at 12 cmH2O (order of trials of CPAP, from memory)
        opened = 0.65 * clamp(airway_splint_cmh2o / 12.0, 0.0, 1.0)
        flooded = flooded * (1.0 - opened)
        stuff = 0.5 * clamp(aspirated_frac, 0.0, 1.0) * (1.0 - 0.4 * opened)
        spared = (1.0 - flooded) * (1.0 - stuff)
        left_solid_frac = clamp(1.0 - spared * (1.0 - consolidated_left_frac), 0.0, 0.9)
        right_solid_frac = clamp(1.0 - spared * (1.0 - consolidated_right_frac), 0.0, 0.9)
        left_solid_width_frac = 1.0 - left_solid_frac * (1.0 - _NARROWED)
        right_solid_width_frac = 1.0 - right_solid_frac * (1.0 - _NARROWED)
        left_solid_shunt_frac = left_solid_frac * _NARROWED / left_solid_width_frac
        right_solid_shunt_frac = right_solid_frac * _NARROWED / right_solid_width_frac
        wet = lung_water_ml / flooded_ml
        fringe_frac = clamp(0.25 * wet / (wet + 0.3) * (1.0 - 0.6 * opened), 0.0, 0.3)
        fringe_frac = fringe_frac + 0.10 * clamp(consolidated_left_frac + consolidated_right_frac, 0.0, 1.0)
        fringe_frac = fringe_frac + 0.25 * clamp(aspirated_frac, 0.0, 1.0)
    return (
        left_solid_frac, right_solid_frac, left_solid_shunt_frac, right_solid_shunt_frac, left_solid_width_frac,
        right_solid_width_frac, fringe_frac,
    )  # fmt: skip


def lung_pressures(
    lung_veins_smooth_mmhg, airway_splint_cmh2o, mean_lung_veins_mmhg, chest_pressure_mmhg, alveolar_pressure_mmhg,
    dt_mid_s,
):  # fmt: skip
    """Pressures that fill and open wet lungs, smoothed."""
    next_lung_veins_smooth_mmhg = lung_veins_smooth_mmhg + (
        clamp(mean_lung_veins_mmhg - chest_pressure_mmhg, -20.0, 90.0) - lung_veins_smooth_mmhg
    ) * (dt_mid_s / 8.0)
    next_airway_splint_cmh2o = faded(
        airway_splint_cmh2o + (alveolar_pressure_mmhg / 0.7356 - airway_splint_cmh2o) * (dt_mid_s / 15.0)
    )
    return next_lung_veins_smooth_mmhg, next_airway_splint_cmh2o


def lung_water(
    lung_water_ml, lung_filtration_ml_per_s, lung_veins_smooth_mmhg, left_heart_stiff_frac, lung_leak_frac,
    filtration_starts_mmhg, filtration_ml_per_s_per_mmhg, flooded_ml, gas_flow_ml_per_s, cardiac_output_rest_ml_per_s,
):  # fmt: skip
    """Water that moved over the last second has left plasma already; the flow of the next follows from pressure."""
    next_lung_water_ml = larger(lung_water_ml + lung_filtration_ml_per_s, 0.0)
    capillary = lung_veins_smooth_mmhg * (1.0 + left_heart_stiff_frac)
    # leaky capillaries filter at a lower pressure
    over = capillary - filtration_starts_mmhg * (1.0 - 0.8 * clamp(lung_leak_frac, 0.0, 1.0))
    perfused = clamp(gas_flow_ml_per_s / (0.3 * cardiac_output_rest_ml_per_s), 0.0, 1.0)
    flow = 0.0
    if over > 0.0:
        # lungs that are full take no more
        flow = (
            filtration_ml_per_s_per_mmhg
            * smaller(over, 30.0)
            * clamp(1.0 - 0.3 * next_lung_water_ml / flooded_ml, 0.0, 1.0)
        )
    elif next_lung_water_ml > 0.0:
        flow = larger(0.25 * filtration_ml_per_s_per_mmhg * larger(over, -25.0), -0.02 * next_lung_water_ml)
    next_lung_filtration_ml_per_s = faded(flow * perfused)
    if next_lung_water_ml < 1e-6 and next_lung_filtration_ml_per_s <= 0.0:
        next_lung_filtration_ml_per_s = 0.0
    return next_lung_water_ml, next_lung_filtration_ml_per_s


PARTS: Final = {"CALM": (solid_lung,), "MID": (lung_pressures,), "SLOW": (lung_water,)}
