"""The compartments of a drug in one person: numbers scaled by mass, or a published set with covariates."""

from drillyard.core.formulary.covariates import MODELS, Compartments, Person
from drillyard.core.formulary.model import Kinetics, Sourced
from drillyard.core.numerics.elementary import pow_


def compartments(kinetics: Kinetics, person: Person) -> Compartments:
    """Volumes (L), clearances (L/min) and effect-site rate (/min) of ``kinetics`` in ``person``."""
    if kinetics.model is not None:
        found = MODELS[kinetics.model].of(person)
        ke0 = _value(kinetics.ke0_per_min) or found.ke0_per_min
        return Compartments(
            v1_l=found.v1_l,
            cl_l_per_min=found.cl_l_per_min,
            v2_l=found.v2_l,
            q2_l_per_min=found.q2_l_per_min,
            v3_l=found.v3_l,
            q3_l_per_min=found.q3_l_per_min,
            ke0_per_min=ke0,
        )
    ratio = person.mass_kg / _value(kinetics.reference_mass_kg) if kinetics.reference_mass_kg is not None else 1.0
    volume, clearance = 1.0, 1.0
    if kinetics.scaling == "per kg":
        volume, clearance = ratio, ratio
    elif kinetics.scaling == "allometric":
        volume, clearance = ratio, pow_(ratio, 0.75)
    return Compartments(
        v1_l=_value(kinetics.v1_l) * volume,
        cl_l_per_min=_value(kinetics.cl_l_per_min) * clearance,
        v2_l=_value(kinetics.v2_l) * volume,
        q2_l_per_min=_value(kinetics.q2_l_per_min) * clearance,
        v3_l=_value(kinetics.v3_l) * volume,
        q3_l_per_min=_value(kinetics.q3_l_per_min) * clearance,
        ke0_per_min=_value(kinetics.ke0_per_min),
    )


def _value(number: Sourced | None) -> float:
    return number.value if number is not None else 0.0
