"""Drug data as checked parameters: the drugs of a lab, found by any of their names."""

from drillyard.core.formulary.checks import drug_faults
from drillyard.core.formulary.covariates import Compartments, Person
from drillyard.core.formulary.doses import (
    DoseVerdict,
    RateVerdict,
    dose_amount,
    dose_verdict,
    rate_amount_per_min,
    rate_verdict,
    usual_dose_text,
)
from drillyard.core.formulary.formulary import Formulary
from drillyard.core.formulary.model import (
    Absorption,
    Delivery,
    Drug,
    Effect,
    Kinetics,
    LaterAbsorption,
    Sourced,
    Strength,
    UsualDose,
)
from drillyard.core.formulary.sized import compartments
from drillyard.core.formulary.vocabulary import RECEPTORS, SUBSTANCES

__all__ = [
    "RECEPTORS",
    "SUBSTANCES",
    "Absorption",
    "Compartments",
    "Delivery",
    "DoseVerdict",
    "Drug",
    "Effect",
    "Formulary",
    "Kinetics",
    "LaterAbsorption",
    "Person",
    "RateVerdict",
    "Sourced",
    "Strength",
    "UsualDose",
    "compartments",
    "dose_amount",
    "dose_verdict",
    "drug_faults",
    "rate_amount_per_min",
    "rate_verdict",
    "usual_dose_text",
]
