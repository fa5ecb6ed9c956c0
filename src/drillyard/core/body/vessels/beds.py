"""Beds that look after themselves: kidneys hold their flow, starved muscle widens, the heart takes what its work needs.

In:       arterial pressure, oxygen left in muscle, work and pressure of the heart.
Out:      width of kidney, muscle and heart vessels beside nerves and drugs; kidney blood flow.
Assumes:  kidneys hold their flow between 75 and 160 mmHg within some ten seconds (textbook; Cupples and Braam 2007, Am
          J Physiol Renal 292:F1105, from memory); muscle whose venous blood holds little oxygen widens in spite of the
          nerves (functional sympatholysis, size our choice); flow to the heart follows its oxygen need until its
          vessels can widen no further.  The brain's own width: ``nerves/brain.py``.
Left out: kidney medulla, reactive hyperaemia after a tourniquet, portal pressure.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, State

NAMES: Final = (
    State("kidney_width_frac", 1.0, "1", "width of kidney vessels over rest, by autoregulation", "slow", 0.0),
    Mid("muscle_width_frac", "1", "width of muscle vessels over rest, by lack of oxygen"),
    Mid("heart_conductance_frac", "1", "conductance of heart vessels over rest"),
    Mid("kidney_flow_frac", "1", "kidney blood flow over rest: what filtration and urine hang on"),
)


def local_width(muscle_o2_ml_per_ml, strength_now_frac, heart_rate_now_per_min, heart_rate_rest_per_min,
                coronary_reserve):  # fmt: skip
    """Width of muscle and heart vessels."""
    muscle_width_frac = 1.0 + 0.6 * clamp((0.07 - muscle_o2_ml_per_ml) / 0.06, 0.0, 1.0)
    work = strength_now_frac * heart_rate_now_per_min / heart_rate_rest_per_min
    heart_conductance_frac = clamp(work, 0.5, coronary_reserve)
    return muscle_width_frac, heart_conductance_frac


def kidney_push_frac(mean_arterial_pressure_mmhg, outside_mmhg, rest_mmhg):
    """Pressure that drives blood through the kidneys over that at rest; some 18 mmHg stand against it."""
    against = larger(18.0, outside_mmhg)
    return larger(mean_arterial_pressure_mmhg - against, 0.0) / (rest_mmhg - 18.0)


def kidney_width(kidney_width_frac, mean_arterial_pressure_mmhg, central_venous_pressure_mmhg, splanchnic_outside_mmhg,
                 carotid_set_mmhg, dt_slow_s):  # fmt: skip
    """Autoregulation of the kidneys over one second."""
    outside = central_venous_pressure_mmhg + splanchnic_outside_mmhg
    push = kidney_push_frac(mean_arterial_pressure_mmhg, outside, carotid_set_mmhg)
    wanted = clamp(1.0 / larger(push, 0.1), 0.52, 1.33)
    next_kidney_width_frac = kidney_width_frac + (wanted - kidney_width_frac) * (dt_slow_s / 10.0)
    return next_kidney_width_frac


def kidney_flow(kidney_conductance, kidney_conductance_rest, mean_arterial_pressure_mmhg, central_venous_pressure_mmhg,
                splanchnic_outside_mmhg, carotid_set_mmhg):  # fmt: skip
    """Kidney blood flow over rest."""
    outside = central_venous_pressure_mmhg + splanchnic_outside_mmhg
    push = kidney_push_frac(mean_arterial_pressure_mmhg, outside, carotid_set_mmhg)
    kidney_flow_frac = clamp(kidney_conductance / kidney_conductance_rest * push, 0.0, 3.0)
    return kidney_flow_frac


PARTS: Final = {"CALM": (local_width, kidney_flow), "SLOW": (kidney_width,)}
