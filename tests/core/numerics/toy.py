"""A small model that uses every feature of the assembler: blocks, helpers, means, gains, an array part, noise."""

from types import SimpleNamespace

from drillyard.core.numerics.elementary import cos, exp, floor, log, noise_unit, pow_, sin, sqrt
from drillyard.core.numerics.names import Mid, Param, State

STIFFNESS = 1.3


def recoil(volume_ml: float, softness: float) -> float:
    if volume_ml < 0.0:
        return 0.0
    return STIFFNESS * exp(volume_ml / softness) - 1.0


def drive(tone_frac: float, gain: float) -> float:
    pushed_ml = gain * (1.0 + tone_frac)
    if pushed_ml > 3.0:
        drive_ml = 3.0
    elif pushed_ml > 2.0:
        drive_ml = pushed_ml * 1
    else:
        drive_ml = pushed_ml if pushed_ml > 0.5 else 0.5
    return drive_ml


def flow(store_ml: float, phase_frac: float, drive_ml: float, softness: float):
    pressure_mmhg = recoil(store_ml, softness)
    d_store_ml_per_s = drive_ml * (1.0 + sin(6.283185307179586 * phase_frac)) - 0.5 * pressure_mmhg
    d_phase_frac_per_s = 1.2 + 0.1 * cos(store_ml)
    return pressure_mmhg, d_store_ml_per_s, d_phase_frac_per_s


def turn_plain(phase_frac: float, beats: float):
    next_phase_frac = phase_frac - floor(phase_frac)
    next_beats = beats + floor(phase_frac)
    return next_phase_frac, next_beats


def reflex(mean_pressure_mmhg: float, gain_store_ml: float, tone_frac: float, seed: float, step_count: float):
    wobble = noise_unit(seed, 2.0, step_count)
    d_tone_frac_per_s = 0.3 * (log(1.0 + sqrt(mean_pressure_mmhg)) - tone_frac) + gain_store_ml * 0.01 * wobble
    return d_tone_frac_per_s


def slow(taken_mg: float, tired_frac: float):
    d_tired_frac_per_s = 0.1 * pow_(taken_mg + 0.1, 0.7) - 0.05 * tired_frac
    return d_tired_frac_per_s


def show(beats: float, tired_frac: float):
    shown_frac = beats + tired_frac
    return shown_frac


def advance_stores(x, p, toy_x0, toy_p0, tone_frac):
    for i_slot in range(3):
        i_here = toy_x0 + 2 * i_slot
        x[i_here + 1] = x[i_here + 1] + x[i_here] * (1.0 - p[toy_p0 + i_slot]) * (1.0 + 0.01 * tone_frac)
        x[i_here] = x[i_here] * p[toy_p0 + i_slot]
    total = 0.0
    for i_slot in range(3):
        total = total + x[toy_x0 + 2 * i_slot + 1]
    x[toy_x0 + 6] = total


ORGAN = SimpleNamespace(
    __name__="toy",
    NAMES=(
        State("store_ml", 1.0, "mL", "a store", rate="fast"),
        State("phase_frac", 0.0, "1", "a phase", rate="fast"),
        State("beats", 0.0, "1", "count", rate="mid"),
        State("tone_frac", 0.2, "1", "tone", rate="mid"),
        State("tired_frac", 0.0, "1", "tiredness", rate="slow"),
        State("taken_mg", 0.0, "mg", "from the slots", rate="slow"),
        Param("gain", 1.5, "mL/s", "a gain", "invented"),
        Param("softness", 2.5, "mL", "a softness", "invented"),
        Param("seed", 11.0, "1", "seed", "invented"),
        Mid("drive_ml", "mL/s", "drive"),
        Mid("pressure_mmhg", "mmHg", "pressure"),
    ),
    PARTS={
        "OUT": (drive,),
        "FAST": (flow,),
        "TURN": (turn_plain,),
        "MID": (reflex,),
        "SLOW": (slow,),
        "SHOW": (show,),
    },
    X_ARRAYS={"toy_x": 7},
    P_ARRAYS={"toy_p": 3},
    ARRAY_PART=advance_stores,
    TAPS={"taken_mg": 6},
)
