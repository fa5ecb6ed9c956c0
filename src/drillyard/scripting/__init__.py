"""The public way to script the body: make a patient, give it problems and care, run it, read it, branch it.

See ``docs/scripting.md``.  ``drillyard validate`` uses nothing else.
"""

from drillyard.scripting.drugs import Drug, number, shipped_drugs, terminal_half_life_min
from drillyard.scripting.patient import Course, ScriptedPatient, healthy

__all__ = ["Course", "Drug", "ScriptedPatient", "healthy", "number", "shipped_drugs", "terminal_half_life_min"]
