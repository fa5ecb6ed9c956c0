"""The public way to script the body: make a patient, give it problems and care, run it, read it, branch it.

See ``docs/scripting.md``.  ``drillyard validate`` uses nothing else.
"""

from drillyard.scripting.drugs import (
    Adult,
    Drug,
    DrugsAlone,
    compartments_of,
    covariate_set,
    drugs_alone,
    number,
    shipped_drugs,
    terminal_half_life_min,
)
from drillyard.scripting.patient import Course, ScriptedPatient, healthy
from drillyard.scripting.words import problem_kinds

__all__ = [
    "Adult",
    "Course",
    "Drug",
    "DrugsAlone",
    "ScriptedPatient",
    "compartments_of",
    "covariate_set",
    "drugs_alone",
    "healthy",
    "number",
    "problem_kinds",
    "shipped_drugs",
    "terminal_half_life_min",
]
