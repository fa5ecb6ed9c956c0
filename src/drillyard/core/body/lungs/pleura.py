"""Blood in the pleural spaces.

In:       wounds that bleed into the chest, bleeding, chest tubes.
Out:      blood in each pleural space, blood drained.
Assumes:  blood that a wound sheds into a pleural space stays there until a tube drains it (half in some 40 s; a tube
          of 28-32 F, our choice); it was counted as lost when it left the vessels.
Left out: clots that a tube does not drain, blood given back, a bleeding that slows as the space fills, effusions.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import larger, smaller
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("pleural_blood_left_ml", 0.0, "mL", "blood in the left pleural space", "slow", 0.0),
    State("pleural_blood_right_ml", 0.0, "mL", "blood in the right pleural space", "slow", 0.0),
    State("drained_blood_ml", 0.0, "mL", "blood that chest tubes have drained", "slow", 0.0),
)


def into(code, side):
    """1 where a wound bleeds into that side."""
    return 1.0 if code > side - 0.5 and code < side + 0.5 else 0.0


def pleural_blood(
    pleural_blood_left_ml, pleural_blood_right_ml, drained_blood_ml, wound_1_ml_per_min, wound_2_ml_per_min,
    wound_3_ml_per_min, wound_1_controlled_frac, wound_2_controlled_frac, wound_3_controlled_frac,
    wound_1_into_chest_code, wound_2_into_chest_code, wound_3_into_chest_code, bleeding_now_ml_per_s,
    womb_flow_ml_per_min, chest_drain_left, chest_drain_right, frc_ml, dt_slow_s,
):  # fmt: skip
    """Blood shed into each side and drained from it over one second."""
    first = wound_1_ml_per_min * (1.0 - wound_1_controlled_frac)
    second = wound_2_ml_per_min * (1.0 - wound_2_controlled_frac)
    third = wound_3_ml_per_min * (1.0 - wound_3_controlled_frac)
    per_all = bleeding_now_ml_per_s * dt_slow_s / larger(first + second + third + womb_flow_ml_per_min, 1e-9)
    left_in = per_all * (
        first * into(wound_1_into_chest_code, 1.0)
        + second * into(wound_2_into_chest_code, 1.0)
        + third * into(wound_3_into_chest_code, 1.0)
    )
    right_in = per_all * (
        first * into(wound_1_into_chest_code, 2.0)
        + second * into(wound_2_into_chest_code, 2.0)
        + third * into(wound_3_into_chest_code, 2.0)
    )
    left_out = pleural_blood_left_ml * chest_drain_left * (dt_slow_s / 60.0)
    right_out = pleural_blood_right_ml * chest_drain_right * (dt_slow_s / 60.0)
    next_pleural_blood_left_ml = faded(smaller(pleural_blood_left_ml + left_in - left_out, 1.4 * frc_ml))
    next_pleural_blood_right_ml = faded(smaller(pleural_blood_right_ml + right_in - right_out, 1.4 * frc_ml))
    next_drained_blood_ml = drained_blood_ml + left_out + right_out
    return next_pleural_blood_left_ml, next_pleural_blood_right_ml, next_drained_blood_ml


PARTS: Final = {"SLOW": (pleural_blood,)}
