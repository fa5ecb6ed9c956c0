"""Rate, timing and strength of the heart, from all that acts on them."""

from typing import Final

from drillyard.core.body.couple.receptor import together_frac
from drillyard.core.numerics.elementary import clamp
from drillyard.core.numerics.names import Mid, Param

_TUNED = "tuned so that the reference adult rests at published pressures and flow (docs/body)"

NAMES: Final = (
    Param("heart_rate_intrinsic_per_min", 98.0, "/min", "rate of the sinus node without nerves",
          "118.1 - 0.57 x age (Jose 1966 and 1970, seen)"),
    Param("rate_sympathetic_gain", 0.88, "1", "rise of rate at full sympathetic action",
          "to 208 - 0.7 x age (Tanaka 2001, J Am Coll Cardiol 37:153)"),
    Param("rate_vagal_gain", 1.1, "1", "slowing at full vagal action", _TUNED),
    Param("slowed_below_sao2_frac", 0.35, "1", "arterial saturation under which the sinus node slows", "our choice"),
    Param("heart_rate_rest_per_min", 68.0, "/min", "heart rate at rest", "follows from the three numbers above"),
    Param("lv_strength_mmhg_per_ml", 3.3, "mmHg/mL", "end-systolic elastance of the left ventricle at rest",
          "2.76 +- 0.68 in the young (Chen 2001-type single beat, as in the reference table); " + _TUNED),
    Param("rv_strength_mmhg_per_ml", 0.6, "mmHg/mL", "end-systolic elastance of the right ventricle at rest", _TUNED),
    Mid("heart_rate_now_per_min", "/min", "rate of the sinus node, or of the ventricle if it is slower"),
    Mid("is_beating", "1", "1 in sinus rhythm"),
    Mid("window_limit_s", "s", "longest time over which a beat's figures are gathered"),
    Mid("systole_per_frac", "1", "beat length over systole length"),
    Mid("atrial_start_frac", "1", "phase at which the atria contract"),
    Mid("atrial_per_frac", "1", "beat length over length of atrial contraction"),
    Mid("atrial_strength_frac", "1", "strength of the atria over rest"),
    Mid("left_gives_way_frac", "1", "share of the passive left wall that contraction takes over; a dead wall keeps it"),
    Mid("right_gives_way_frac", "1", "the same, right"),
    Mid("strength_now_frac", "1", "strength of the ventricles over rest"),
    Mid("lv_elastance_mmhg_per_ml", "mmHg/mL", "left ventricular end-systolic elastance now"),
    Mid("rv_elastance_mmhg_per_ml", "mmHg/mL", "right ventricular end-systolic elastance now"),
)  # fmt: skip


def heart_effectors(
    sao2_frac, rate_action_frac, vagal_action_frac, strength_action_frac, beta1_occupancy_frac, beta1_block_frac,
    vagal_block_frac, calcium_channel_block_frac, sodium_channel_block_frac, potassium_channel_block_frac,
    adenosine_a1_frac, anaesthetic_frac, nerves_cut_heart_frac, heart_depression_frac, added_left_depression_frac,
    autonomic_block,
    rhythm_code, wall_working_frac, right_wall_working_frac, node_energy_frac, stunning_frac, thermal_pace_frac, ph,
    compression_rate_per_min, cause_strength_frac,
    hold_rate_of_heart_weight_frac, hold_heart_rate_per_min, hold_strength_weight_frac, hold_contractility_frac,
    heart_rate_intrinsic_per_min, rate_sympathetic_gain, rate_vagal_gain, slowed_below_sao2_frac,
    lv_strength_mmhg_per_ml, rv_strength_mmhg_per_ml,
):  # fmt: skip
    """Rate, timing and strength of the heart."""
    # beta-1 receptors that are blocked, or whose nerve is cut, hear nothing of the nerves
    nerves = (1.0 - autonomic_block) * (1.0 - beta1_block_frac) * (1.0 - nerves_cut_heart_frac)
    vagus = vagal_action_frac * (1.0 - autonomic_block) * (1.0 - vagal_block_frac)
    fast = together_frac(rate_action_frac * nerves, beta1_occupancy_frac)
    rate = (
        heart_rate_intrinsic_per_min
        * (1.0 + rate_sympathetic_gain * fast * (1.0 - 0.7 * vagus))
        / (1.0 + rate_vagal_gain * vagus)
    )
    # drugs on the node itself: full shares are our choice, beyond usual doses
    rate = (
        rate
        * (1.0 - 0.25 * calcium_channel_block_frac)
        * (1.0 - 0.15 * potassium_channel_block_frac)
        * (1.0 - 0.75 * adenosine_a1_frac)
    )
    rate = rate * thermal_pace_frac
    # deep hypoxaemia slows the node directly, before its energy is gone (terminal bradycardia of asphyxia)
    rate = rate * (0.3 + 0.7 * clamp((sao2_frac - 0.05) / (slowed_below_sao2_frac - 0.05), 0.0, 1.0))
    rate = rate * (0.25 + 0.75 * clamp((node_energy_frac - 0.1) / 0.5, 0.0, 1.0))
    rate = rate + hold_rate_of_heart_weight_frac * (hold_heart_rate_per_min - rate)
    heart_rate_now_per_min = clamp(rate, 8.0, 230.0)
    is_beating = 1.0 if rhythm_code < 0.5 else 0.0
    window_limit_s = 8.0
    if rhythm_code > 0.5:
        window_limit_s = 60.0 / compression_rate_per_min if compression_rate_per_min > 20.0 else 1.0
    beat_s = 60.0 / heart_rate_now_per_min
    # length of systole: Ursino 1998 0.5 - 0.075/T, from memory; agrees with Weissler 1968 within 5 %
    systole_s = clamp(0.5 - 0.075 / beat_s, 0.18, 0.45)
    systole_per_frac = beat_s / systole_s
    atrial_s = clamp(0.17 * beat_s, 0.06, 0.15)
    atrial_per_frac = beat_s / atrial_s
    atrial_start_frac = 0.985 - atrial_s / beat_s
    strong = together_frac(strength_action_frac * nerves, beta1_occupancy_frac)
    acid = clamp(1.0 - 0.9 * (7.2 - ph), 0.4, 1.0)
    # heart muscle fails within a minute when blood holds next to no oxygen
    starved = clamp((sao2_frac - 0.03) / 0.14, 0.0, 1.0)
    strength_now_frac = (0.8 + strong) * starved * (1.0 - 0.5 * stunning_frac) * acid
    # channel blockers, anaesthetics and mediators weaken muscle itself (full shares: our choice)
    strength_now_frac = (
        strength_now_frac
        * (1.0 - 0.25 * calcium_channel_block_frac)
        * (1.0 - 0.25 * sodium_channel_block_frac)
        * (1.0 - 0.15 * anaesthetic_frac)
        * (1.0 - heart_depression_frac)
        * cause_strength_frac
    )
    strength_now_frac = strength_now_frac + hold_strength_weight_frac * (hold_contractility_frac - strength_now_frac)
    # the part of the wall that is without energy does not pull (Sunagawa 1983, Circ Res 52:170: in proportion)
    left_works = wall_working_frac * (1.0 - added_left_depression_frac)
    left_works = left_works + hold_strength_weight_frac * (1.0 - left_works)
    right_works = right_wall_working_frac + hold_strength_weight_frac * (1.0 - right_wall_working_frac)
    lv_elastance_mmhg_per_ml = lv_strength_mmhg_per_ml * strength_now_frac * left_works
    left_gives_way_frac = clamp(2.0 * strength_now_frac * left_works, 0.0, 1.0)
    right_gives_way_frac = clamp(2.0 * strength_now_frac * right_works, 0.0, 1.0)
    atrial_strength_frac = clamp(strength_now_frac * left_works, 0.0, 1.5) * is_beating
    rv_elastance_mmhg_per_ml = rv_strength_mmhg_per_ml * strength_now_frac * right_works
    return (
        heart_rate_now_per_min, is_beating, window_limit_s, systole_per_frac, atrial_start_frac, atrial_per_frac,
        atrial_strength_frac, strength_now_frac, lv_elastance_mmhg_per_ml, rv_elastance_mmhg_per_ml,
        left_gives_way_frac, right_gives_way_frac,
    )  # fmt: skip


PARTS: Final = {"CALM": (heart_effectors,)}
