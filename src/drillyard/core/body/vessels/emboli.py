"""Clots in lung arteries: share of the lung's vessels that they shut, and how drugs open them.

In:       the problem's share, thrombolytic drugs.
Out:      share of lung vessels shut now.
Assumes:  clots shut vessels of both lungs alike; a thrombolytic dissolves about a third of them within two hours
          (perfusion defect and lung artery pressure fell by about a third: Konstantinides 1998-type trials, from
          memory).
Left out: one lung or lobe, lung infarction, clots that come one after another unless the problem grows.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp
from drillyard.core.numerics.names import Mid, State

NAMES: Final = (
    State("lung_clot_left_frac", 1.0, "1", "clot in lung arteries that no drug has dissolved", "slow", 0.0),
    Mid("lung_vessels_shut_frac", "1", "share of lung vessels that clots shut"),
)


def shut(lung_vessels_clotted_frac, lung_clot_left_frac):
    """Share of lung vessels shut now."""
    lung_vessels_shut_frac = clamp(lung_vessels_clotted_frac * lung_clot_left_frac, 0.0, 0.95)
    return lung_vessels_shut_frac


def lysis(lung_clot_left_frac, fibrinolysis_frac):
    """Clot over one second."""
    next_lung_clot_left_frac = faded(lung_clot_left_frac * (1.0 - fibrinolysis_frac / 7200.0))
    return next_lung_clot_left_frac


PARTS: Final = {"CALM": (shut,), "SLOW": (lysis,)}
