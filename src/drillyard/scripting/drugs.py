"""Drugs as they ship, drugs without a body, and what follows from their kinetics by arithmetic."""

from dataclasses import dataclass
from math import log

from drillyard.adapters.files.formulary_files import packaged_formulary as shipped_drugs
from drillyard.adapters.kernel.drugs_only import compiled_drugs
from drillyard.core.body.drugs.alone import DrugsAlone
from drillyard.core.body.drugs.kinetics import exponentials
from drillyard.core.formulary import Compartments, Drug, Person, Sourced, compartments
from drillyard.core.formulary.covariates import MODELS

__all__ = [
    "Adult",
    "Drug",
    "DrugsAlone",
    "compartments_of",
    "covariate_set",
    "drugs_alone",
    "number",
    "shipped_drugs",
    "terminal_half_life_min",
]


@dataclass(frozen=True, slots=True)
class Adult:
    """The person of kinetics-only work: by default a man of 40 years, 70 kg and 175 cm."""

    age_years: float = 40.0
    sex: str = "male"
    mass_kg: float = 70.0
    height_cm: float = 175.0


ADULT = Adult()


def drugs_alone(person: Person = ADULT) -> DrugsAlone:
    """The shipped drugs in a person whose blood flow is given: kinetics and receptors without a body."""
    return compiled_drugs(shipped_drugs(), person)


def compartments_of(drug: Drug, person: Person = ADULT) -> Compartments:
    """Volumes and clearances of a drug in a person.

    Raises:
        ValueError: a fluid or gas, which has none.
    """
    if drug.kinetics is None:
        raise ValueError(f"{drug.name} is given as a {drug.given_as} and has no kinetics.")
    return compartments(drug.kinetics, person)


def covariate_set(name: str, person: Person = ADULT) -> Compartments:
    """A published set with covariates ("Schnider 1998") in a person, whether or not a shipped drug uses it.

    Raises:
        KeyError: no such set.
    """
    return {str(key): model for key, model in MODELS.items()}[name].of(person)


def number(value: Sourced | None) -> float:
    """The value of a sourced number, 0 where a drug has none."""
    return value.value if value is not None else 0.0


def terminal_half_life_min(sized: Compartments) -> float:
    """Half-life of the slowest exponential."""
    parts = exponentials(
        v1=sized.v1_l, cl=sized.cl_l_per_min, v2=sized.v2_l, q2=sized.q2_l_per_min, v3=sized.v3_l, q3=sized.q3_l_per_min
    )
    return log(2.0) / min(rate for rate in parts.rates if rate > 0.0)
