"""Carotid body drive, oxygen demand, lactate of stress."""

from typing import Final

from drillyard.core.numerics.elementary import clamp, exp, larger, smaller
from drillyard.core.numerics.names import Mid

NAMES: Final = (
    Mid("carotid_body_drive_frac", "1", "breathing drive of the carotid bodies over rest"),
    Mid("oxygen_demand_ml_per_s", "mL/s", "oxygen that tissues want"),
    Mid("stress_lactate_mmol_per_s", "mmol/s", "lactate made under adrenergic drive and in ill-perfused gut"),
)  # fmt: skip


def demands(
    carotid_body_o2_mmhg, carotid_body_acid_nmol_per_l, temperature_core_degc, anaesthetised,
    asleep_by_drugs_frac, hold_metabolic_weight_frac, hold_metabolic_rate_frac, oxygen_use_rest_ml_per_s,
    sympathetic_frac, beta2_occupancy_frac, septic_frac, co2_set_shift_mmhg,
):  # fmt: skip
    """Carotid body drive and oxygen demand.

    Drive: Weil 1970 (J Clin Invest 49:1061) A/(PO2 - 32) with A 180 over a resting 6.5 L/min, times acid.
    Demand: 11.5 % a degree of fever (Du Bois 1921, seen), Q10 2.2 below 37 degC (reference notes), 15 % less under
    anaesthesia (from memory), 20 % more in overwhelming sepsis beside its fever (order, from memory).
    """
    # carotid bodies get used to the acid of lasting hypercapnia (0.3 nmol/L per mmHg: Narins and Emmett 1980)
    acid = carotid_body_acid_nmol_per_l - 40.0 - 0.3 * co2_set_shift_mmhg
    carotid_body_drive_frac = (
        27.7 / larger(carotid_body_o2_mmhg - 32.0, 7.0) * clamp(1.0 + 0.04 * acid, 0.2, 3.0) - 0.44 + 0.04 * acid
    )
    carotid_body_drive_frac = clamp(carotid_body_drive_frac, -0.7, 5.0)
    deep = clamp(anaesthetised + asleep_by_drugs_frac, 0.0, 1.0)
    warm = temperature_core_degc - 37.0
    factor = 1.0 + 0.115 * smaller(warm, 5.0) if warm > 0.0 else exp(0.0788 * warm)
    factor = factor * (1.0 - 0.15 * deep) * (1.0 + 0.2 * septic_frac)
    factor = factor * (1.0 + 0.12 * (sympathetic_frac - 0.2) + 0.15 * beta2_occupancy_frac)
    factor = factor + hold_metabolic_weight_frac * (hold_metabolic_rate_frac - factor)
    oxygen_demand_ml_per_s = oxygen_use_rest_ml_per_s * factor
    stress_lactate_mmol_per_s = 0.12 * larger(sympathetic_frac - 0.5, 0.0) + 0.01 * beta2_occupancy_frac
    return carotid_body_drive_frac, oxygen_demand_ml_per_s, stress_lactate_mmol_per_s


def chemoreflex(carotid_body_drive_frac, chemo_drive_frac, dt_calm_s):
    """Activity of the carotid bodies as the circulation feels it."""
    felt = clamp(carotid_body_drive_frac, -0.2, 4.0) * 0.5
    next_chemo_drive_frac = chemo_drive_frac + (felt - chemo_drive_frac) * (dt_calm_s / 3.0)
    return next_chemo_drive_frac


PARTS: Final = {"CALM": (demands, chemoreflex)}
