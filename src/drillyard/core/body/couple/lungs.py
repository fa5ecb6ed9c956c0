"""Lung vessels: width, share of each side, back pressure, dead space."""

from typing import Final

from drillyard.core.body.lungs.exchange import open_lung_frac
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param

NAMES: Final = (
    Param("cardiac_output_rest_ml_per_s", 90.0, "mL/s", "cardiac output at rest",
          "3.1 L/min/m2 (common textbook value)"),
    Param("lung_resistance_rest_mmhg_s_per_ml", 0.078, "mmHg s/mL", "resistance of both lungs",
          "mean pulmonary pressure 14 mmHg supine (Kovacs 2009, seen)"),
    Mid("lung_conductance_ml_per_s_per_mmhg", "mL/s/mmHg", "conductance of both lungs"),
    Mid("lung_back_pressure_mmhg", "mmHg", "pressure that lung capillaries must exceed to be open"),
    Mid("chest_veins_now_ml_per_s_per_mmhg", "mL/s/mmHg", "conductance of the great veins, less where they are bent"),
    Mid("left_blood_share_frac", "1", "share of blood flow through the left lung"),
    Mid("alveolar_dead_now_frac", "1", "share of alveolar ventilation without blood flow"),
    Mid("low_vq_share_frac", "1", "share of blood flow that meets badly ventilated alveoli"),
    Mid("lung_irritation_frac", "1", "drive of breathing by sick lungs, over rest"),
    Mid("collapse_frac", "1", "lung collapse that is felt"),
    Mid("cardiac_output_frac", "1", "cardiac output over rest"),
)  # fmt: skip


def hypoxic_width_frac(pao2_mmhg):
    """Width of lung vessels over rest: narrower where alveolar oxygen is low (half effect at 45 mmHg).

    Shape after Marshall 1994-type sigmoid curves (from memory); full effect halves conductance.
    """
    x = pao2_mmhg / 45.0
    return 1.0 - 0.5 / (1.0 + x * x * x)


def lung_vessels(
    lung_left_ml, lung_right_ml, alveolar_o2_left_ml, alveolar_o2_right_ml, gas_flow_ml_per_s, frc_ml,
    left_lung_share_frac, ambient_pressure_mmhg, alveolar_dead_frac, cardiac_output_rest_ml_per_s,
    lung_resistance_rest_mmhg_s_per_ml, cardiac_output_ml_per_s, mediastinum_shift_ml, chest_veins_ml_per_s_per_mmhg,
    least_lung_ml, lung_vessels_shut_frac, nitric_oxide_frac, alpha1_occupancy_frac, left_solid_frac, right_solid_frac,
    left_solid_width_frac, right_solid_width_frac, airway_resistance_frac,
):  # fmt: skip
    """Resistance of the lungs, how blood divides between them, dead space that grows as flow falls."""
    dry = ambient_pressure_mmhg - 47.0
    left_frc = left_lung_share_frac * frc_ml * (1.0 - left_solid_frac)
    right_frc = (1.0 - left_lung_share_frac) * frc_ml * (1.0 - right_solid_frac)
    left = left_lung_share_frac * hypoxic_width_frac(dry * alveolar_o2_left_ml / larger(lung_left_ml, least_lung_ml))
    left = left * (0.35 + 0.65 * open_lung_frac(lung_left_ml, left_frc)) * left_solid_width_frac
    right = (1.0 - left_lung_share_frac) * hypoxic_width_frac(
        dry * alveolar_o2_right_ml / larger(lung_right_ml, least_lung_ml)
    )
    right = right * (0.35 + 0.65 * open_lung_frac(lung_right_ml, right_frc)) * right_solid_width_frac
    # what clots let free narrows the vessels that are still open (size our choice)
    width = (1.0 - lung_vessels_shut_frac) / (1.0 + 0.8 * lung_vessels_shut_frac)
    width = width * (1.0 + 0.3 * nitric_oxide_frac) / (1.0 + 0.3 * alpha1_occupancy_frac)
    lung_conductance_ml_per_s_per_mmhg = width * (left + right) / (0.955 * lung_resistance_rest_mmhg_s_per_ml)
    left_blood_share_frac = left / (left + right)
    lack = clamp(1.0 - gas_flow_ml_per_s / cardiac_output_rest_ml_per_s, 0.0, 1.0)
    # behind a clot alveoli are aired for nothing, less the ventilation that turns away from them; overstretched, slowly
    # emptying alveoli press on their vessels
    aired = 1.0 - alveolar_dead_frac - 0.5 * lack - 0.15 * (1.0 - 1.0 / airway_resistance_frac)
    alveolar_dead_now_frac = 1.0 - aired * (1.0 - 0.6 * lung_vessels_shut_frac)
    # felt collapse: a lung smaller than at rest
    collapse_frac = clamp(1.0 - (lung_left_ml + lung_right_ml) / (0.95 * frc_ml), 0.0, 1.0)
    # the same nerve endings feel clots
    collapse_frac = larger(collapse_frac, 0.3 * lung_vessels_shut_frac)
    # a mediastinum far out of place bends the great veins (common teaching, no measured source)
    bend = larger(mediastinum_shift_ml, -mediastinum_shift_ml) / (0.1 * frc_ml) - 0.8
    bend = larger(bend, 0.0)
    chest_veins_now_ml_per_s_per_mmhg = chest_veins_ml_per_s_per_mmhg / (1.0 + 90.0 * bend * bend)
    cardiac_output_frac = cardiac_output_ml_per_s / cardiac_output_rest_ml_per_s
    return (
        lung_conductance_ml_per_s_per_mmhg, left_blood_share_frac, alveolar_dead_now_frac, collapse_frac,
        cardiac_output_frac, chest_veins_now_ml_per_s_per_mmhg,
    )  # fmt: skip


def sick_lungs(
    airway_resistance_frac, fringe_frac, secretions_frac, left_solid_frac, right_solid_frac, lung_water_ml, flooded_ml,
):  # fmt: skip
    """Blood that meets badly ventilated alveoli, and what receptors of sick lungs do to breathing."""
    low_vq_share_frac = clamp(
        0.3 * (1.0 - 1.0 / airway_resistance_frac) + fringe_frac + 0.1 * secretions_frac, 0.0, 0.6
    )
    lung_irritation_frac = 0.0
    if low_vq_share_frac > 0.0:
        # breathlessness of narrow, wet or solid lungs (irritant and J receptors: Paintal 1969; size our choice)
        lung_irritation_frac = (
            1.4 * (1.0 - 1.0 / airway_resistance_frac)
            + 0.8 * clamp(lung_water_ml / flooded_ml, 0.0, 1.5)
            + 0.6 * (left_solid_frac + right_solid_frac)
        )
    return low_vq_share_frac, lung_irritation_frac


def lung_back_pressure(alveolar_pressure_mmhg, lung_column_mmhg):
    """What stands against the flow through the lungs: the gas in them and their height over the heart."""
    lung_back_pressure_mmhg = alveolar_pressure_mmhg + lung_column_mmhg
    return lung_back_pressure_mmhg


PARTS: Final = {"CALM": (lung_vessels, sick_lungs), "OUT": (lung_back_pressure,)}
