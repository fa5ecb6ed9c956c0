"""Kinetics read from the drug files: volumes, clearances, half-lives."""

from math import log

from drillyard.core.body.drugs.kinetics import exponentials
from drillyard.core.formulary import Drug, Kinetics, Sourced
from drillyard.scripting import shipped_drugs
from drillyard.validation.bench import Answers, Bench, answers


def _number(value: Sourced | None) -> float:
    return value.value if value is not None else 0.0


def terminal_half_life_min(kinetics: Kinetics) -> float:
    """Half-life of the slowest exponential, for the reference mass."""
    parts = exponentials(
        v1=kinetics.v1_l.value,
        cl=kinetics.cl_l_per_min.value,
        v2=_number(kinetics.v2_l),
        q2=_number(kinetics.q2_l_per_min),
        v3=_number(kinetics.v3_l),
        q3=_number(kinetics.q3_l_per_min),
    )
    return log(2.0) / min(rate for rate in parts.rates if rate > 0.0)


def _drug(name: str) -> Drug:
    return shipped_drugs().get(name)


@answers("PK064", "PK065", "PK066", "PK067", "PK071", "PK073")
def fentanyl(bench: Bench) -> Answers:
    """Three compartments of a 70 kg adult, terminal half-life, half-time of the effect site."""
    kinetics = _drug("fentanyl").kinetics
    return {
        "PK064": kinetics.v1_l.value,
        "PK065": _number(kinetics.v2_l),
        "PK066": _number(kinetics.v3_l),
        "PK067": kinetics.cl_l_per_min.value,
        "PK071": terminal_half_life_min(kinetics),
        "PK073": log(2.0) / _number(kinetics.ke0_per_min),
    }


@answers("PK074", "PK075", "PK076", "PK079", "PK082")
def naloxone(bench: Bench) -> Answers:
    """Clearance (L/h), central and deep volume, bioavailability in muscle, terminal half-life."""
    drug = _drug("naloxone")
    absorption = drug.absorption("IM")
    return {
        "PK074": drug.kinetics.cl_l_per_min.value * 60.0,
        "PK075": drug.kinetics.v1_l.value,
        "PK076": max(_number(drug.kinetics.v2_l), _number(drug.kinetics.v3_l)),
        "PK079": 100.0 * absorption.bioavailability_frac.value if absorption is not None else float("nan"),
        "PK082": terminal_half_life_min(drug.kinetics),
    }


@answers("PK149", "PK152", "PK154")
def tranexamic_acid(bench: Bench) -> Answers:
    """Clearance and exchange (L/h), absorption rate from muscle (per hour)."""
    drug = _drug("tranexamic acid")
    absorption = drug.absorption("IM")
    return {
        "PK149": drug.kinetics.cl_l_per_min.value * 60.0,
        "PK152": _number(drug.kinetics.q2_l_per_min) * 60.0,
        "PK154": absorption.ka_per_min.value * 60.0 if absorption is not None else float("nan"),
    }
