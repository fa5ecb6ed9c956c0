"""Rhythm: sinus, ventricular fibrillation, asystole; what a shock does.

In:       orders (a problem, a shock), energy of heart and node.
Out:      rhythm, vigour of fibrillation.
Assumes:  fibrillation fades as the heart runs down (amplitude falls over 10-15 min: Weaver 1985, Ann Intern Med 102:53,
          from memory) and ends in asystole; a shock ends it with a chance that grows with energy (150 J about 96 %)
          and vigour, and what follows is sinus rhythm with a chance that grows with vigour (chance from seed and step).
          Pulseless activity is sinus rhythm of a heart without strength.  A node without energy for minutes falls
          silent: asystole.
Left out: ventricular tachycardia, heart block, atrial fibrillation, fibrillation out of ischaemia.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, exp, larger, noise_unit
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("rhythm_code", 0.0, "1", "0 sinus, 1 ventricular fibrillation, 2 asystole", "mid", 0.0),
    State("vf_vigour_frac", 1.0, "1", "vigour of fibrillation: 1 coarse, 0 none", "mid", 0.0),
    State("silent_s", 0.0, "s", "time for which the node has been without energy", "mid", 0.0),
    State("shocks_given", 0.0, "1", "shocks given", "mid", 0.0),
)


def rhythm(
    rhythm_code, vf_vigour_frac, silent_s, shocks_given, rhythm_order, rhythm_is_held, shock_j, node_energy_frac,
    heart_energy_frac, coronary_perfusion_pressure_mmhg, step_count, seed, dt_calm_s,
):  # fmt: skip
    """Rhythm of the next step."""
    next_rhythm_code = rhythm_code
    next_rhythm_order = -1.0
    next_shock_j = 0.0
    next_shocks_given = shocks_given
    free = rhythm_is_held < 0.5
    # vigour fades with a time constant of 8 min without flow, and is won back by good compressions
    fed = clamp((coronary_perfusion_pressure_mmhg - 10.0) / 15.0, 0.0, 1.0)
    next_vf_vigour_frac = vf_vigour_frac + dt_calm_s * (
        ((1.0 - vf_vigour_frac) / 60.0)
        if rhythm_code < 0.5
        else (fed * (0.8 - vf_vigour_frac) / 240.0 - (1.0 - fed) * vf_vigour_frac / 480.0)
    )
    next_silent_s = silent_s + dt_calm_s if node_energy_frac < 0.06 else larger(silent_s - 5.0 * dt_calm_s, 0.0)
    if rhythm_order >= 0.0:
        next_rhythm_code = rhythm_order
        next_silent_s = 0.0
    elif shock_j > 0.0:
        next_shocks_given = shocks_given + 1.0
        if rhythm_code > 0.5 and rhythm_code < 1.5:
            ends = clamp((1.0 - exp(-shock_j / 45.0)) * (0.9 + 0.1 * vf_vigour_frac), 0.0, 1.0)
            works = clamp((vf_vigour_frac - 0.2) * 1.6, 0.0, 1.0) * clamp(0.35 + 1.2 * heart_energy_frac, 0.0, 1.0)
            if noise_unit(seed, 11.0, step_count) < ends:
                next_rhythm_code = 0.0 if noise_unit(seed, 12.0, step_count) < works else 2.0
    elif free:
        if rhythm_code < 0.5 and silent_s > 150.0:
            next_rhythm_code = 2.0
        if rhythm_code > 0.5 and rhythm_code < 1.5 and vf_vigour_frac < 0.17:
            next_rhythm_code = 2.0
        if rhythm_code > 1.5 and node_energy_frac > 0.55:
            # a node that has its energy back fires again
            next_rhythm_code = 0.0
            next_silent_s = 0.0
    return (
        next_rhythm_code, next_rhythm_order, next_shock_j, next_shocks_given, next_vf_vigour_frac, next_silent_s,
    )  # fmt: skip


PARTS: Final = {"CALM": (rhythm,)}
