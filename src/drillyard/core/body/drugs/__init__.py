"""Drugs: kinetics of the drug slots and what the drugs bind to.

In:       doses written into the slots between steps; cardiac output.
Out:      share of the full effect at each receptor, 0 at rest (exogenous drug only; the body's own catecholamines are
          part of the sympathetic reflexes).
Assumes:  linear mammillary kinetics; competitive antagonism at a shared receptor.
Left out: protein binding, metabolites, tolerance, kinetics that change with temperature or liver blood flow.
"""

from typing import Final

from drillyard.core.numerics.names import Name, State

RECEPTOR_NAMES: Final[tuple[str, ...]] = (
    "mu_opioid_occupancy_frac",
    "alpha1_occupancy_frac",
    "beta1_occupancy_frac",
    "beta2_occupancy_frac",
    "antifibrinolysis_frac",
    "central_nervous_depression_frac",
)
"""The receptor states in their fixed order."""

_SAID: Final[dict[str, str]] = {
    "mu_opioid_occupancy_frac": "share of the full opioid effect at mu receptors, after naloxone's competition",
    "alpha1_occupancy_frac": "share of the full alpha-1 effect of drugs: vessels narrow",
    "beta1_occupancy_frac": "share of the full beta-1 effect of drugs: heart faster and stronger",
    "beta2_occupancy_frac": "share of the full beta-2 effect of drugs: muscle vessels and airways widen",
    "antifibrinolysis_frac": "share of the full inhibition of clot breakdown",
    "central_nervous_depression_frac": "share of full sedation by drugs other than through breathing",
}

NAMES: Final[tuple[Name, ...]] = tuple(
    State(name, 0.0, "1", _SAID[name], rate="slow", low=0.0) for name in RECEPTOR_NAMES
)

PARTS: Final[dict[str, tuple[object, ...]]] = {}
"""No scalar parts: the slots are one array part, ``slots.py``, called once a second."""
