"""Kinetics read from the drug files: volumes, clearances, half-lives."""

from math import log

from drillyard.scripting import Adult, Drug, compartments_of, shipped_drugs, terminal_half_life_min
from drillyard.validation.bench import Answers, Bench, answers


def _drug(name: str) -> Drug:
    return shipped_drugs().get(name)


@answers("PK064", "PK065", "PK066", "PK067", "PK071", "PK073")
def fentanyl(bench: Bench) -> Answers:
    """Three compartments of a 70 kg adult, terminal half-life, half-time of the effect site."""
    sized = compartments_of(_drug("fentanyl"))
    return {
        "PK064": sized.v1_l,
        "PK065": sized.v2_l,
        "PK066": sized.v3_l,
        "PK067": sized.cl_l_per_min,
        "PK071": terminal_half_life_min(sized),
        "PK073": log(2.0) / sized.ke0_per_min,
    }


@answers("PK074", "PK075", "PK076", "PK079", "PK082")
def naloxone(bench: Bench) -> Answers:
    """Clearance (L/h), central and deep volume, bioavailability in muscle, terminal half-life, for 75 kg."""
    drug = _drug("naloxone")
    sized = compartments_of(drug, Adult(mass_kg=75.0))
    absorption = drug.absorption("IM")
    return {
        "PK074": sized.cl_l_per_min * 60.0,
        "PK075": sized.v1_l,
        "PK076": max(sized.v2_l, sized.v3_l),
        "PK079": 100.0 * absorption.bioavailability_frac.value if absorption is not None else float("nan"),
        "PK082": terminal_half_life_min(sized),
    }


@answers("PK149", "PK152", "PK154")
def tranexamic_acid(bench: Bench) -> Answers:
    """Clearance and exchange (L/h), absorption rate from muscle (per hour), for 70 kg."""
    drug = _drug("tranexamic acid")
    sized = compartments_of(drug)
    absorption = drug.absorption("IM")
    return {
        "PK149": sized.cl_l_per_min * 60.0,
        "PK152": sized.q2_l_per_min * 60.0,
        "PK154": absorption.ka_per_min.value * 60.0 if absorption is not None else float("nan"),
    }
