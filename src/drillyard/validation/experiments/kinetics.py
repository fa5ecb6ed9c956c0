"""Kinetics read from the drug files: volumes, clearances, half-lives."""

from math import log

from drillyard.scripting import Drug, number, shipped_drugs, terminal_half_life_min
from drillyard.validation.bench import Answers, Bench, answers


def _drug(name: str) -> Drug:
    return shipped_drugs().get(name)


@answers("PK064", "PK065", "PK066", "PK067", "PK071", "PK073")
def fentanyl(bench: Bench) -> Answers:
    """Three compartments of a 70 kg adult, terminal half-life, half-time of the effect site."""
    kinetics = _drug("fentanyl").kinetics
    return {
        "PK064": kinetics.v1_l.value,
        "PK065": number(kinetics.v2_l),
        "PK066": number(kinetics.v3_l),
        "PK067": kinetics.cl_l_per_min.value,
        "PK071": terminal_half_life_min(kinetics),
        "PK073": log(2.0) / number(kinetics.ke0_per_min),
    }


@answers("PK074", "PK075", "PK076", "PK079", "PK082")
def naloxone(bench: Bench) -> Answers:
    """Clearance (L/h), central and deep volume, bioavailability in muscle, terminal half-life."""
    drug = _drug("naloxone")
    absorption = drug.absorption("IM")
    return {
        "PK074": drug.kinetics.cl_l_per_min.value * 60.0,
        "PK075": drug.kinetics.v1_l.value,
        "PK076": max(number(drug.kinetics.v2_l), number(drug.kinetics.v3_l)),
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
        "PK152": number(drug.kinetics.q2_l_per_min) * 60.0,
        "PK154": absorption.ka_per_min.value * 60.0 if absorption is not None else float("nan"),
    }
