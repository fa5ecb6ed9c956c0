"""Drug data as checked parameters: the drugs of a lab, found by any of their names."""

from drillyard.core.formulary.checks import drug_faults
from drillyard.core.formulary.doses import DoseVerdict, dose_mg, dose_verdict, usual_dose_text
from drillyard.core.formulary.formulary import Formulary
from drillyard.core.formulary.model import (
    Absorption,
    Drug,
    Effect,
    Kinetics,
    LaterAbsorption,
    Sourced,
    Strength,
    UsualDose,
)

__all__ = [
    "Absorption",
    "DoseVerdict",
    "Drug",
    "Effect",
    "Formulary",
    "Kinetics",
    "LaterAbsorption",
    "Sourced",
    "Strength",
    "UsualDose",
    "dose_mg",
    "dose_verdict",
    "drug_faults",
    "usual_dose_text",
]
