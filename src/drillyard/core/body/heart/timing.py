"""When the heart beats, and what each beat did.

In:       rate and rhythm now (``couple/heart.py``), pressures and flows.
Out:      phase of the beat, count and time of beats, and per beat: pressures, stroke volume, ventricular volumes.
Assumes:  the phase runs at the present rate and wraps (integrate and fire), so a change of rate acts within the beat.
          Sums run on for ever and a beat is the difference between two turns, so that a beat's mean does not depend on
          where in a step it turned.  Highest and lowest values are those of 10 ms means.  Without beats the
          figures are those of a compression cycle, else of the last second.
Left out: conduction between atria and ventricles as events of their own, extra beats.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("heart_phase_frac", 0.76, "1", "place in the beat, 0 at activation of the ventricles", "fast", 0.0),
    State("beat_count", 0.0, "1", "beats since the body was made", "fast", 0.0),
    State("beat_step", 0.0, "1", "time of the last activation of the ventricles, in steps of 10 ms"),
    State("beat_count_seen", 0.0, "1", "beats already looked at", "mid", 0.0),
    State("window_s", 0.0, "s", "time since the present beat began", "mid", 0.0),
    State("window_mmhg_s", 0.0, "mmHg s", "arterial pressure summed over the beat"),
    State("window_ejected_ml", 0.0, "mL", "ejected in this beat", "mid", 0.0),
    State("window_high_mmhg", 0.0, "mmHg", "highest arterial pressure of this beat"),
    State("window_low_mmhg", 78.04, "mmHg", "lowest arterial pressure of this beat"),
    State("window_large_ml", 0.0, "mL", "largest left ventricle of this beat"),
    State("window_small_ml", 48.98, "mL", "smallest left ventricle of this beat"),
    State("ventricle_before_mmhg", 3.634, "mmHg", "left ventricular pressure one step ago"),
    State("systolic_pressure_mmhg", 118.2, "mmHg", "systolic pressure of the last beat"),
    State("diastolic_pressure_mmhg", 78.04, "mmHg", "diastolic pressure of the last beat"),
    State("mean_arterial_pressure_mmhg", 91.47, "mmHg", "mean pressure of the last beat"),
    State("stroke_volume_ml", 85.81, "mL", "stroke volume of the last beat"),
    State("lv_end_diastolic_volume_ml", 135.8, "mL", "largest left ventricle of the last beat"),
    State("lv_end_systolic_volume_ml", 48.78, "mL", "smallest left ventricle of the last beat"),
    State("lv_end_diastolic_pressure_mmhg", 7.164, "mmHg", "left ventricular pressure as the last beat began"),
)


def phase_runs(heart_phase_frac, heart_rate_now_per_min, is_beating):
    """In arrest the beat that has begun is finished and the phase waits just before the next one."""
    d_heart_phase_frac_per_s = (
        heart_rate_now_per_min / 60.0 if is_beating > 0.5 else (1.2 if heart_phase_frac < 0.95 else 0.0)
    )
    return d_heart_phase_frac_per_s


def turn_of_beat(heart_phase_frac, beat_count):
    """Wrap the phase."""
    turns = 1.0 if heart_phase_frac >= 1.0 else 0.0
    next_heart_phase_frac = heart_phase_frac - turns
    next_beat_count = beat_count + turns
    return next_heart_phase_frac, next_beat_count


def figures_of_beat(
    heart_phase_frac, beat_count, beat_step, beat_count_seen, window_s, window_mmhg_s, window_ejected_ml,
    window_high_mmhg, window_low_mmhg, window_large_ml, window_small_ml, ventricle_before_mmhg, systolic_pressure_mmhg,
    diastolic_pressure_mmhg, mean_arterial_pressure_mmhg, stroke_volume_ml, lv_end_diastolic_volume_ml,
    lv_end_systolic_volume_ml, lv_end_diastolic_pressure_mmhg, left_ventricle_mmhg, mean_wrist_mmhg,
    mean_aortic_valve_flow_ml_per_s, left_ventricle_ml, heart_rate_now_per_min, window_limit_s, is_beating, step_count,
    dt_mid_s,
):  # fmt: skip
    """Latch the beat that has ended, begin the next."""
    wrist_mmhg_now = larger(mean_wrist_mmhg, 0.0)
    length = window_s + dt_mid_s
    total = window_mmhg_s + wrist_mmhg_now * dt_mid_s
    ejected = window_ejected_ml + mean_aortic_valve_flow_ml_per_s * dt_mid_s
    high = larger(window_high_mmhg, wrist_mmhg_now)
    low = smaller(window_low_mmhg, wrist_mmhg_now)
    large = larger(window_large_ml, left_ventricle_ml)
    small = smaller(window_small_ml, left_ventricle_ml)
    next_ventricle_before_mmhg = left_ventricle_mmhg
    next_beat_count_seen = beat_count
    next_beat_step = beat_step
    next_window_s = length
    next_window_mmhg_s = total
    next_window_ejected_ml = ejected
    next_window_high_mmhg = high
    next_window_low_mmhg = low
    next_window_large_ml = large
    next_window_small_ml = small
    next_systolic_pressure_mmhg = systolic_pressure_mmhg
    next_diastolic_pressure_mmhg = diastolic_pressure_mmhg
    next_mean_arterial_pressure_mmhg = mean_arterial_pressure_mmhg
    next_stroke_volume_ml = stroke_volume_ml
    next_lv_end_diastolic_volume_ml = lv_end_diastolic_volume_ml
    next_lv_end_systolic_volume_ml = lv_end_systolic_volume_ml
    next_lv_end_diastolic_pressure_mmhg = lv_end_diastolic_pressure_mmhg
    turned = beat_count > beat_count_seen
    if turned or length > window_limit_s:
        over_s = 0.0
        if turned:
            # what lies after the turn belongs to the next beat
            over_s = smaller(heart_phase_frac * 60.0 / heart_rate_now_per_min, dt_mid_s) if is_beating > 0.5 else 0.0
            next_beat_step = step_count + 1.0 - over_s / dt_mid_s
            next_lv_end_diastolic_pressure_mmhg = clamp(ventricle_before_mmhg, -20.0, 80.0)
        next_mean_arterial_pressure_mmhg = (total - wrist_mmhg_now * over_s) / (length - over_s)
        next_stroke_volume_ml = smaller(ejected, 300.0)
        next_systolic_pressure_mmhg = high
        next_diastolic_pressure_mmhg = low
        next_lv_end_diastolic_volume_ml = large
        next_lv_end_systolic_volume_ml = small
        next_window_s = over_s
        next_window_mmhg_s = wrist_mmhg_now * over_s
        next_window_ejected_ml = 0.0
        next_window_high_mmhg = wrist_mmhg_now
        next_window_low_mmhg = wrist_mmhg_now
        next_window_large_ml = left_ventricle_ml
        next_window_small_ml = left_ventricle_ml
    return (
        next_ventricle_before_mmhg, next_beat_count_seen, next_beat_step, next_window_s, next_window_mmhg_s,
        next_window_ejected_ml, next_window_high_mmhg, next_window_low_mmhg, next_window_large_ml,
        next_window_small_ml, next_systolic_pressure_mmhg, next_diastolic_pressure_mmhg,
        next_mean_arterial_pressure_mmhg, next_stroke_volume_ml, next_lv_end_diastolic_volume_ml,
        next_lv_end_systolic_volume_ml, next_lv_end_diastolic_pressure_mmhg,
    )  # fmt: skip


PARTS: Final = {"FAST": (phase_runs,), "TURN": (turn_of_beat,), "MID": (figures_of_beat,)}
