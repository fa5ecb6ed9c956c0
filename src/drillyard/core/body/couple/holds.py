"""Holds of effectors: a weight that moves smoothly from 0 to 1 and back."""

from typing import Final

from drillyard.core.numerics.elementary import clamp
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("hold_rate_of_heart_weight_frac", 0.0, "1", "weight of the hold on heart rate", "mid", 0.0),
    State("hold_rate_weight_frac", 0.0, "1", "weight of the hold on breathing rate", "mid", 0.0),
    State("hold_tidal_weight_frac", 0.0, "1", "weight of the hold on breath size", "mid", 0.0),
    State("hold_resistance_weight_frac", 0.0, "1", "weight of the hold on resistance", "mid", 0.0),
    State("hold_strength_weight_frac", 0.0, "1", "weight of the hold on contractility", "mid", 0.0),
    State("hold_shunt_weight_frac", 0.0, "1", "weight of the hold on shunt", "mid", 0.0),
    State("hold_metabolic_weight_frac", 0.0, "1", "weight of the hold on metabolic rate", "mid", 0.0),
)  # fmt: skip


def toward(weight_frac, on, dt_s):
    """Weight of a hold, moved over about three seconds."""
    return weight_frac + (clamp(on, 0.0, 1.0) - weight_frac) * (dt_s / 1.5)


def hold_weights(
    hold_rate_of_heart_weight_frac, hold_rate_weight_frac, hold_tidal_weight_frac, hold_resistance_weight_frac,
    hold_strength_weight_frac, hold_shunt_weight_frac, hold_metabolic_weight_frac, hold_heart_rate_on,
    hold_respiratory_rate_on, hold_tidal_volume_on, hold_resistance_on, hold_contractility_on, hold_shunt_on,
    hold_metabolic_rate_on, dt_calm_s,
):  # fmt: skip
    """Weights of holds over one step."""
    next_hold_rate_of_heart_weight_frac = toward(hold_rate_of_heart_weight_frac, hold_heart_rate_on, dt_calm_s)
    next_hold_rate_weight_frac = toward(hold_rate_weight_frac, hold_respiratory_rate_on, dt_calm_s)
    next_hold_tidal_weight_frac = toward(hold_tidal_weight_frac, hold_tidal_volume_on, dt_calm_s)
    next_hold_resistance_weight_frac = toward(hold_resistance_weight_frac, hold_resistance_on, dt_calm_s)
    next_hold_strength_weight_frac = toward(hold_strength_weight_frac, hold_contractility_on, dt_calm_s)
    next_hold_shunt_weight_frac = toward(hold_shunt_weight_frac, hold_shunt_on, dt_calm_s)
    next_hold_metabolic_weight_frac = toward(hold_metabolic_weight_frac, hold_metabolic_rate_on, dt_calm_s)
    return (
        next_hold_rate_of_heart_weight_frac, next_hold_rate_weight_frac, next_hold_tidal_weight_frac,
        next_hold_resistance_weight_frac, next_hold_strength_weight_frac, next_hold_shunt_weight_frac,
        next_hold_metabolic_weight_frac,
    )  # fmt: skip


PARTS: Final = {"CALM": (hold_weights,)}
