"""Drugs: kinetics of the drug slots and what the drugs bind to.

In:       doses written into the slots between steps; cardiac output.
Out:      share of the full effect at each receptor, 0 at rest (exogenous drug only; the body's own catecholamines are
          part of the sympathetic reflexes).
Assumes:  linear mammillary kinetics; competitive antagonism at a shared receptor.
Left out: protein binding, metabolites, tolerance, kinetics that change with temperature, organ failure or interaction.
"""

from collections.abc import Callable
from typing import Final

from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.filling import slot_parameters
from drillyard.core.numerics.names import Name, State

RECEPTOR_NAMES: Final[tuple[str, ...]] = (
    "mu_opioid_occupancy_frac",
    "alpha1_occupancy_frac",
    "beta1_occupancy_frac",
    "beta2_occupancy_frac",
    "antifibrinolysis_frac",
    "central_nervous_depression_frac",
)
"""The receptor states, in the order of ``slots.RECEPTORS``."""

__all__ = ["NAMES", "PARTS", "RECEPTOR_NAMES", "slot_parameters", "slots"]

_SAID: Final[dict[str, str]] = {
    "mu_opioid_occupancy_frac": "share of the full opioid effect on breathing, after an antagonist's competition",
    "alpha1_occupancy_frac": "share of the full alpha-1 effect of drugs: vessels narrow",
    "beta1_occupancy_frac": "share of the full beta-1 effect of drugs: heart faster and stronger",
    "beta2_occupancy_frac": "share of the full beta-2 effect of drugs: muscle vessels and airways widen",
    "antifibrinolysis_frac": "share of the full inhibition of clot breakdown",
    "central_nervous_depression_frac": "share of full unconsciousness by drugs, after an antagonist's competition",
}

NAMES: Final[tuple[Name, ...]] = tuple(
    State(name, 0.0, "1", _SAID[name], rate="slow", low=0.0) for name in RECEPTOR_NAMES
)
PARTS: Final[dict[str, tuple[Callable[..., object], ...]]] = {}
"""No scalar parts: the slots are one array part, called once a second."""

X_ARRAYS: Final[dict[str, int]] = {"drugs_x": slots.X_SIZE}
P_ARRAYS: Final[dict[str, int]] = {"drugs_p": slots.P_SIZE}
ARRAY_PART: Final = slots.advance_drug_slots
TAPS: Final[dict[str, int]] = {name: slots.X_RECEPTORS + index for index, name in enumerate(RECEPTOR_NAMES)}
"""Receptor states are copied from these places of ``drugs_x`` after each call."""
