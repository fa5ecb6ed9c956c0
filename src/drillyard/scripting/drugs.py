"""Drugs as they ship, and what follows from their kinetics by arithmetic."""

from math import log

from drillyard.adapters.files.formulary_files import packaged_formulary as shipped_drugs
from drillyard.core.body.drugs.kinetics import exponentials
from drillyard.core.formulary import Drug, Kinetics, Sourced

__all__ = ["Drug", "number", "shipped_drugs", "terminal_half_life_min"]


def number(value: Sourced | None) -> float:
    """The value of a sourced number, 0 where a drug has none (no third compartment, no effect site)."""
    return value.value if value is not None else 0.0


def terminal_half_life_min(kinetics: Kinetics) -> float:
    """Half-life of the slowest exponential, for the reference mass."""
    parts = exponentials(
        v1=kinetics.v1_l.value,
        cl=kinetics.cl_l_per_min.value,
        v2=number(kinetics.v2_l),
        q2=number(kinetics.q2_l_per_min),
        v3=number(kinetics.v3_l),
        q3=number(kinetics.q3_l_per_min),
    )
    return log(2.0) / min(rate for rate in parts.rates if rate > 0.0)
