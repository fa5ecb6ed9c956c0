"""Drugs: kinetics of the drug slots and what the drugs bind to.

In:       doses and infusions written into the slots between steps; cardiac output.
Out:      share of the full effect at each receptor, 0 at rest (exogenous drug only; the body's own catecholamines are
          part of the sympathetic reflexes); rate at which each substance that drugs consist of arrives in the blood.
          Both lists: ``core/formulary/vocabulary.py``.
Assumes:  linear mammillary kinetics; competitive antagonism at a shared receptor.
Left out: protein binding, metabolites, tolerance, saturable elimination (phenytoin), kinetics that change with
          temperature, organ failure or interaction.
"""

from collections.abc import Callable
from typing import Final

from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.filling import fill_slot, slot_parameters
from drillyard.core.formulary.vocabulary import RECEPTORS, SUBSTANCES
from drillyard.core.numerics.names import Name, State

__all__ = ["NAMES", "PARTS", "fill_slot", "slot_parameters", "slots"]

NAMES: Final[tuple[Name, ...]] = (
    *(State(row.state, 0.0, "1", row.meaning, rate="slow", low=0.0) for row in RECEPTORS),
    *(
        State(row.state, 0.0, f"{row.unit}/s", f"{row.meaning} arriving in the blood with drugs", rate="slow", low=0.0)
        for row in SUBSTANCES
    ),
)
PARTS: Final[dict[str, tuple[Callable[..., object], ...]]] = {}
"""No scalar parts: the slots are one array part, called once a second."""

X_ARRAYS: Final[dict[str, int]] = {"drugs_x": slots.X_SIZE}
P_ARRAYS: Final[dict[str, int]] = {"drugs_p": slots.P_SIZE}
ARRAY_PART: Final = slots.advance_drug_slots
TAPS: Final[dict[str, int]] = {
    **{row.state: slots.X_RECEPTORS + index for index, row in enumerate(RECEPTORS)},
    **{row.state: slots.X_SUBSTANCES + index for index, row in enumerate(SUBSTANCES)},
}
"""These states are copied from these places of ``drugs_x`` after each call."""
