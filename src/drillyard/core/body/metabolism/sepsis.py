"""Sepsis: mediators that rise over minutes to hours and act on vessels, leak, heart, metabolism and temperature.

In:       severity of the problem.
Out:      mediators (0 none, 1 overwhelming), read where each effect is composed.
Assumes:  one state for all mediators, following the severity with a time constant of 20 min (our choice: a
          deterioration that a crew can see; in life it is hours).
Left out: the infection itself, antibiotics (no bedside effect within an hour), single organs failing apart.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp
from drillyard.core.numerics.names import State

NAMES: Final = (State("septic_frac", 0.0, "1", "mediators of sepsis", "slow", 0.0),)


def mediators(septic_frac, septic_severity_frac, dt_slow_s):
    """Mediators over one second."""
    wanted = clamp(septic_severity_frac, 0.0, 1.0)
    next_septic_frac = faded(septic_frac + (wanted - septic_frac) * (dt_slow_s / 1200.0))
    return next_septic_frac


PARTS: Final = {"SLOW": (mediators,)}
