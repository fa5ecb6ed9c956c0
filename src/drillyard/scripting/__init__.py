"""The public way to script the body: make a patient, give it problems and care, run it, read it, branch it.

See ``docs/scripting.md``.  ``drillyard validate`` uses nothing else.
"""

from drillyard.adapters.files.formulary_files import packaged_formulary as shipped_drugs
from drillyard.scripting.patient import Course, ScriptedPatient, healthy

__all__ = ["Course", "ScriptedPatient", "healthy", "shipped_drugs"]
