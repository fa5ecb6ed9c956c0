"""What a watcher counts of breathing: rate, size, end-tidal gas; each breath latched as it ends.

In:       air flow, CO2 at the mouth.
Out:      rate, tidal volume, minute ventilation, end-tidal CO2, inspiratory flow for the oxygen device.
Assumes:  a breath is an inflow of more than a sixth of a quiet one followed by outflow.
Left out: nothing known.
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


PARTS: Final = {"CALM": (breathing_felt,), "MID": (count_breaths,)}
