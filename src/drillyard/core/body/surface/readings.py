"""Numbers as they are read: units of the signal table, made when asked for.

In:       states and intermediates of all organs.
Out:      signals of heart, pressure, breath, oxygen, blood and fluid.
Assumes:  nothing.
Left out: nothing.
"""

from typing import Final

from drillyard.core.body.blood.curves import (
    bicarbonate_from,
    bound_base_mmol_per_l,
    buffer_value_mmol_per_l,
)
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Param

NAMES: Final = (
    Param("pressure_size_frac", 1.0, "1", "arterial pressures at rest over an adult's", "by age, core/body/growth.py"),
)


def heart_readings(
    heart_rate_now_per_min, is_beating, systolic_pressure_mmhg, diastolic_pressure_mmhg, stroke_volume_ml,
    lv_end_diastolic_volume_ml, cardiac_output_ml_per_s, pressure_smooth_mmhg, central_venous_pressure_mmhg,
    compression_rate_per_min, pressure_size_frac,
):  # fmt: skip
    """Rates, output, resistance."""
    heart_rate_per_min = heart_rate_now_per_min * is_beating
    width = (systolic_pressure_mmhg - diastolic_pressure_mmhg) / pressure_size_frac
    systolic = systolic_pressure_mmhg / pressure_size_frac
    felt = 1.0 if width > 6.0 and systolic > 30.0 else 0.0
    pulse_rate_per_min = heart_rate_per_min * felt if is_beating > 0.5 else compression_rate_per_min * felt
    cardiac_output_l_per_min = 0.06 * cardiac_output_ml_per_s
    ejection_fraction_frac = clamp(stroke_volume_ml / larger(lv_end_diastolic_volume_ml, 1.0), 0.0, 1.0)
    systemic_resistance_mmhg_s_per_ml = clamp(
        (pressure_smooth_mmhg - central_venous_pressure_mmhg) / larger(cardiac_output_ml_per_s, 1.0), 0.0, 20.0
    )
    has_pulse = 0.0
    if is_beating > 0.5 and systolic > 35.0 and width > 5.0:
        has_pulse = 1.0
    return (
        heart_rate_per_min, pulse_rate_per_min, cardiac_output_l_per_min, ejection_fraction_frac,
        systemic_resistance_mmhg_s_per_ml, has_pulse,
    )  # fmt: skip


def breath_readings(
    breath_interval_s, since_breath_s, minute_ventilation_ml_per_s, end_tidal_co2_mmhg, dead_o2_frac,
    breath_force_cmh2o,
    drive_frac, spontaneous_rate_per_min, upper_block_frac, conscious_frac,
):  # fmt: skip
    """Rate as counted, ventilation, end-tidal gases, effort and noise."""
    respiratory_rate_per_min = 0.0 if since_breath_s > 20.0 else 60.0 / larger(breath_interval_s, 0.8)
    minute_ventilation_l_per_min = 0.06 * minute_ventilation_ml_per_s
    etco2_mmhg = end_tidal_co2_mmhg
    end_tidal_o2_frac = dead_o2_frac
    is_breathing = 0.0
    if spontaneous_rate_per_min > 0.5 and since_breath_s < 20.0 and upper_block_frac < 0.98:
        is_breathing = 1.0
    work_of_breathing_frac = clamp((breath_force_cmh2o - 6.0) / 22.0 + (drive_frac - 1.3) / 10.0, 0.0, 1.0)
    snoring_frac = (
        clamp(upper_block_frac * 1.3 - 0.2, 0.0, 1.0) if upper_block_frac < 0.97 and is_breathing > 0.5 else 0.0
    )
    return (
        respiratory_rate_per_min, minute_ventilation_l_per_min, etco2_mmhg, end_tidal_o2_frac, is_breathing,
        work_of_breathing_frac, snoring_frac,
    )  # fmt: skip


def blood_readings(
    oximeter_frac, oximeter_pulse_frac, sao2_frac, svo2_frac, arterial_o2_ml_per_ml, cardiac_output_ml_per_s,
    oxygen_uptake_ml_per_s, co2_output_ml_per_s, ph, haemoglobin_g_per_dl, blood_base_excess_mmol_per_l,
    bleeding_now_ml_per_s,
    brain_injury_frac,
):  # fmt: skip
    """Oxygen, acid-base, bleeding."""
    spo2_pct = 100.0 * oximeter_frac if oximeter_pulse_frac > 0.15 else 0.0
    sao2_pct = 100.0 * sao2_frac
    svo2_pct = 100.0 * svo2_frac
    oxygen_delivery_ml_per_min = 60.0 * arterial_o2_ml_per_ml * cardiac_output_ml_per_s
    oxygen_uptake_ml_per_min = 60.0 * oxygen_uptake_ml_per_s
    carbon_dioxide_output_ml_per_min = 60.0 * co2_output_ml_per_s
    bicarbonate_mmol_per_l = bicarbonate_from(
        ph,
        bound_base_mmol_per_l(blood_base_excess_mmol_per_l, sao2_frac, haemoglobin_g_per_dl),
        buffer_value_mmol_per_l(haemoglobin_g_per_dl),
    )
    bleeding_ml_per_min = 60.0 * bleeding_now_ml_per_s
    is_alive = 0.0 if brain_injury_frac >= 0.999 else 1.0
    return (
        spo2_pct, sao2_pct, svo2_pct, oxygen_delivery_ml_per_min, oxygen_uptake_ml_per_min,
        carbon_dioxide_output_ml_per_min, bicarbonate_mmol_per_l,
        bleeding_ml_per_min, is_alive,
    )  # fmt: skip


PARTS: Final = {"SHOW": (heart_readings, breath_readings, blood_readings)}
