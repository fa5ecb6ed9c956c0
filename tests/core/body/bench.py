"""A healthy man for tests, on the compiled kernel."""

from functools import lru_cache

import numpy as np

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.kernel import load_kernel
from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient

MAN = Patient(age_years=40.0, sex="male", mass_kg=70.0, height_cm=175.0)


@lru_cache(maxsize=8)
def _kept(patient: Patient) -> Body:
    return Body.healthy(patient, 1, packaged_formulary(), load_kernel())


def healthy(patient: Patient = MAN) -> Body:
    """A fresh copy of a settled patient."""
    return _kept(patient).copy()


def with_controls(body: Body, **controls: float) -> Body:
    for name, value in controls.items():
        body.set_control(name, value)
    return body


def after(body: Body, seconds: float, **controls: float) -> Body:
    """Set controls, let time pass."""
    with_controls(body, **controls).advance(round(seconds * 100))
    return body


def set_parameter(body: Body, name: str, value: float) -> None:
    body.p[body.kernel.layout.p_index[name]] = value


def mean_of(body: Body, name: str, seconds: float = 10.0) -> float:
    """Mean of a signal over the next seconds, read every 0.1 s."""
    values = []
    for _ in range(round(seconds * 10)):
        body.advance(10)
        values.append(body.read(name))
    return float(np.mean(values))
