"""What a watcher counts of breathing: rate, size, end-tidal gas; each breath latched as it ends.

In:       air flow, CO2 at the mouth, pressures, sick lungs.
Out:      rate, tidal volume, minute ventilation, end-tidal CO2, inspiratory flow for the oxygen device, volume and
          pressure at the end of a breath, what is heard over the lungs.
Assumes:  a breath is an inflow of more than a sixth of a quiet one followed by outflow.
Left out: where in the chest a sound is heard, beyond its side.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("inflow_ml", 0.0, "mL", "breathed in so far in this breath", "mid", 0.0),
    State("inflow_s", 0.0, "s", "time breathing in so far in this breath", "mid", 0.0),
    State("inflow_left_ml", 0.0, "mL", "of it into the left lung", "mid", 0.0),
    State("tidal_volume_ml", 476.7, "mL", "volume of the last breath", "mid", 0.0),
    State("tidal_left_ml", 213.3, "mL", "of it into the left lung", "mid", 0.0),
    State("since_breath_s", 0.0, "s", "time since the last breath", "mid", 0.0),
    State("breath_interval_s", 4.335, "s", "time between the last breaths, smoothed over three", "mid", 0.0),
    State("minute_ventilation_ml_per_s", 104.3, "mL/s", "inflow smoothed over about 20 s", "mid", 0.0),
    State("highest_co2_mmhg", 0.0, "mmHg", "highest CO2 of this breath", "mid", 0.0),
    State("end_tidal_co2_mmhg", 36.6, "mmHg", "highest CO2 of the last breath", "mid", 0.0),
    State("inspiratory_flow_ml_per_s", 292.0, "mL/s", "mean inspiratory flow, smoothed over some breaths", "mid", 0.0),
    State("end_expiratory_ml", 2500.0, "mL", "gas in the lungs when the last breath began", "mid", 0.0),
    State("own_peep_cmh2o", 0.0, "cmH2O", "alveolar over mouth pressure when the last breath began", "mid"),
    State("pressure_so_far_cmh2o", 0.0, "cmH2O", "highest pressure at the mouth in this breath", "mid"),
    State("peak_airway_pressure_cmh2o", 0.0, "cmH2O", "highest pressure at the mouth in the last breath", "mid"),
    Param("least_breath_ml", 80.0, "mL", "inflow that counts as a breath", "our choice: a sixth of a quiet breath"),
    Param("least_flow_ml_per_s", 8.0, "mL/s", "air flow under which nothing seems to move", "our choice"),
    Mid("breathing_frac", "1", "lung stretch by breathing over rest, at most 1"),
)


def breathing_felt(minute_ventilation_ml_per_s, oxygen_use_rest_ml_per_s):
    """Lung stretch that reflexes feel."""
    breathing_frac = clamp(minute_ventilation_ml_per_s / (20.0 * oxygen_use_rest_ml_per_s), 0.0, 1.0)
    return breathing_frac


def count_breaths(
    inflow_ml, inflow_s, inflow_left_ml, tidal_volume_ml, tidal_left_ml, since_breath_s, breath_interval_s,
    minute_ventilation_ml_per_s, highest_co2_mmhg, end_tidal_co2_mmhg, inspiratory_flow_ml_per_s, airway_co2_mmhg,
    left_flow_ml_per_s, lung_flow_total_ml_per_s, least_breath_ml, least_flow_ml_per_s, dt_mid_s,
):  # fmt: skip
    """Latch a breath when outflow follows inflow."""
    flow = lung_flow_total_ml_per_s
    inward = larger(flow, 0.0) if flow > least_flow_ml_per_s else 0.0
    next_minute_ventilation_ml_per_s = faded(
        minute_ventilation_ml_per_s + (inward - minute_ventilation_ml_per_s) * (dt_mid_s / 20.0)
    )
    next_inflow_ml = inflow_ml + inward * dt_mid_s
    next_inflow_left_ml = inflow_left_ml + (larger(left_flow_ml_per_s, 0.0) * dt_mid_s if inward > 0.0 else 0.0)
    next_inflow_s = inflow_s + (dt_mid_s if inward > 0.0 else 0.0)
    next_since_breath_s = since_breath_s + dt_mid_s
    next_tidal_volume_ml = tidal_volume_ml
    next_tidal_left_ml = tidal_left_ml
    next_breath_interval_s = (
        larger(breath_interval_s, next_since_breath_s) if next_since_breath_s > 3.0 else breath_interval_s
    )
    next_highest_co2_mmhg = smaller(larger(highest_co2_mmhg, airway_co2_mmhg), 250.0)
    next_end_tidal_co2_mmhg = end_tidal_co2_mmhg
    next_inspiratory_flow_ml_per_s = inspiratory_flow_ml_per_s
    if flow < -least_flow_ml_per_s and inflow_ml > least_breath_ml:
        next_tidal_volume_ml = inflow_ml
        next_tidal_left_ml = inflow_left_ml
        interval = smaller(next_since_breath_s, 30.0)
        next_breath_interval_s = breath_interval_s + 0.4 * (interval - breath_interval_s)
        next_inspiratory_flow_ml_per_s = inspiratory_flow_ml_per_s + 0.4 * (
            inflow_ml / larger(inflow_s, 0.2) - inspiratory_flow_ml_per_s
        )
        next_since_breath_s = 0.0
        next_inflow_ml = 0.0
        next_inflow_left_ml = 0.0
        next_inflow_s = 0.0
        next_highest_co2_mmhg = 0.0
    elif flow < -least_flow_ml_per_s:
        next_inflow_ml = 0.0
        next_inflow_left_ml = 0.0
        next_inflow_s = 0.0
    if (
        flow > least_flow_ml_per_s
        and inflow_ml < 0.25 * least_breath_ml
        and highest_co2_mmhg > 0.0
        and since_breath_s > 0.5
    ):
        next_end_tidal_co2_mmhg = highest_co2_mmhg
    if since_breath_s > 20.0:
        next_end_tidal_co2_mmhg = 0.0
        next_tidal_volume_ml = 0.0
        next_tidal_left_ml = 0.0
        # demand on an oxygen device sinks to what uptake draws in
        next_inspiratory_flow_ml_per_s = faded(inspiratory_flow_ml_per_s * (1.0 - dt_mid_s / 5.0))
    return (
        next_minute_ventilation_ml_per_s, next_inflow_ml, next_inflow_left_ml, next_inflow_s, next_since_breath_s,
        next_tidal_volume_ml, next_tidal_left_ml, next_breath_interval_s, next_highest_co2_mmhg,
        next_end_tidal_co2_mmhg, next_inspiratory_flow_ml_per_s,
    )  # fmt: skip


def breath_limits(
    end_expiratory_ml, own_peep_cmh2o, pressure_so_far_cmh2o, peak_airway_pressure_cmh2o, inflow_ml, lung_left_ml,
    lung_right_ml, lung_flow_total_ml_per_s, least_flow_ml_per_s, alveolar_pressure_mmhg, airway_pressure_cmh2o,
    mouth_cmh2o, muscle_cmh2o, since_breath_s,
):  # fmt: skip
    """Volume and pressure from which a breath starts; its highest pressure.  Alveolar pressure is taken at the last
    outflow before it, muscle force left out."""
    next_end_expiratory_ml = end_expiratory_ml
    next_own_peep_cmh2o = own_peep_cmh2o
    next_pressure_so_far_cmh2o = larger(pressure_so_far_cmh2o, airway_pressure_cmh2o)
    next_peak_airway_pressure_cmh2o = peak_airway_pressure_cmh2o
    if lung_flow_total_ml_per_s > least_flow_ml_per_s and inflow_ml <= 0.0 and since_breath_s > 0.3:
        next_end_expiratory_ml = lung_left_ml + lung_right_ml
        next_own_peep_cmh2o = larger(alveolar_pressure_mmhg / 0.7356 + muscle_cmh2o - mouth_cmh2o, 0.0)
        next_peak_airway_pressure_cmh2o = next_pressure_so_far_cmh2o
        next_pressure_so_far_cmh2o = airway_pressure_cmh2o
    return (
        next_end_expiratory_ml, next_own_peep_cmh2o, next_pressure_so_far_cmh2o, next_peak_airway_pressure_cmh2o,
    )  # fmt: skip


def lung_sounds(
    airway_resistance_frac, tidal_volume_ml, tidal_rest_ml, breath_interval_s, since_breath_s, lung_water_ml,
    flooded_ml, consolidated_left_frac, consolidated_right_frac, aspirated_frac, secretions_frac, stridor_could_frac,
    gurgle_could_frac, spontaneous_rate_per_min, flail_left_frac, flail_right_frac, cohb_frac, methb_frac,
):  # fmt: skip
    """Wheeze, crackles, stridor, gurgling: each needs air that moves, so a chest that hardly moves air is silent."""
    moved = clamp(tidal_volume_ml / tidal_rest_ml / clamp(breath_interval_s / 4.3, 0.3, 2.0), 0.0, 1.5)
    moved = moved if since_breath_s < 20.0 else 0.0
    sounding = clamp((moved - 0.15) / 0.45, 0.0, 1.0)
    wheeze_frac = clamp((airway_resistance_frac - 1.3) / 3.0, 0.0, 1.0) * sounding
    wet = clamp(lung_water_ml / flooded_ml - 0.1, 0.0, 1.0) + 0.6 * clamp(
        aspirated_frac + 0.5 * secretions_frac, 0.0, 1.0
    )
    crackles_left_frac = clamp(wet + 1.2 * consolidated_left_frac, 0.0, 1.0) * sounding
    crackles_right_frac = clamp(wet + 1.2 * consolidated_right_frac, 0.0, 1.0) * sounding
    own = 1.0 if spontaneous_rate_per_min > 0.5 else 0.0
    stridor_frac = stridor_could_frac * own * clamp(moved * 2.0, 0.0, 1.0)
    gurgling_frac = gurgle_could_frac * clamp(moved * 2.0, 0.0, 1.0)
    # the loose part of the wall goes in with every breath of the patient's own
    flail_moves_left_frac = flail_left_frac * own
    flail_moves_right_frac = flail_right_frac * own
    cohb_pct = 100.0 * cohb_frac
    methb_pct = 100.0 * methb_frac
    return (
        wheeze_frac, crackles_left_frac, crackles_right_frac, stridor_frac, gurgling_frac, flail_moves_left_frac,
        flail_moves_right_frac, cohb_pct, methb_pct,
    )  # fmt: skip


PARTS: Final = {"CALM": (breathing_felt,), "MID": (count_breaths, breath_limits), "SHOW": (lung_sounds,)}
