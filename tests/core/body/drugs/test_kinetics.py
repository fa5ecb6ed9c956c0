"""The sum of exponentials against the matrix exponential of scipy: an independent solution of the same system."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm

from drillyard.core.body.drugs.kinetics import exponentials

SETS = {
    # Bae 2020, Br J Anaesth 125:976-985: L and L/min
    "fentanyl": {"v1": 10.1, "cl": 0.704, "v2": 26.5, "q2": 2.38, "v3": 206.0, "q3": 1.49},
    # Dowling 2008, Ther Drug Monit 30:490-496: L and L/h
    "naloxone": {"v1": 2.87, "cl": 91.0, "v2": 1.49, "q2": 5.66, "v3": 33.6, "q3": 29.8},
    # Grassin-Delyle 2021, Br J Anaesth 126:201-209: L and L/h
    "tranexamic acid": {"v1": 16.1, "cl": 7.1, "v2": 9.4, "q2": 11.7},
    # Abboud 2009 volume with the clearance of Best & Halter 1982: L and L/min
    "epinephrine": {"v1": 7.9, "cl": 2.38},
}


def matrix(v1: float, cl: float, v2: float = 0.0, q2: float = 0.0, v3: float = 0.0, q3: float = 0.0) -> np.ndarray:
    """Amounts: d/dt a = matrix @ a."""
    rates = np.zeros((3, 3))
    rates[0, 0] = -(cl + q2 + q3) / v1
    for row, (q, v) in enumerate(((q2, v2), (q3, v3)), start=1):
        if v > 0.0:
            rates[row, 0], rates[0, row], rates[row, row] = q / v1, q / v, -q / v
    return rates


def central(parts, t: float) -> float:
    return sum(share * np.exp(-rate * t) for rate, share in zip(parts.rates, parts.shares, strict=True))


@pytest.mark.parametrize("drug", SETS)
def test_course_equals_the_matrix_exponential(drug):
    parts = exponentials(**SETS[drug])
    for t in (0.0, 0.01, 0.1, 0.5, 1.0, 3.0, 10.0, 100.0):
        assert central(parts, t) == pytest.approx(expm(matrix(**SETS[drug]) * t)[0, 0], rel=1e-9, abs=1e-14)


@given(
    v1=st.floats(0.5, 100.0), cl=st.floats(0.01, 10.0), v2=st.floats(0.5, 300.0), q2=st.floats(0.01, 20.0),
    v3=st.floats(0.5, 300.0), q3=st.floats(0.01, 20.0),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_any_three_compartments(v1, cl, v2, q2, v3, q3):
    parts = exponentials(v1=v1, cl=cl, v2=v2, q2=q2, v3=v3, q3=q3)
    assert all(rate > 0.0 for rate in parts.rates if rate) and sum(parts.shares) == pytest.approx(1.0, rel=1e-6)
    rates = matrix(v1, cl, v2, q2, v3, q3)
    for t in (0.1, 1.0, 10.0):
        assert central(parts, t) == pytest.approx(expm(rates * t)[0, 0], rel=1e-5, abs=1e-9)


def test_two_sides_with_one_rate_constant_act_as_one():
    parts = exponentials(v1=10.0, cl=1.0, v2=20.0, q2=2.0, v3=40.0, q3=4.0)
    assert central(parts, 5.0) == pytest.approx(expm(matrix(10.0, 1.0, 20.0, 2.0, 40.0, 4.0) * 5.0)[0, 0], rel=1e-9)


def test_the_first_moment_is_dose_over_clearance():
    for values in SETS.values():
        parts = exponentials(**values)
        area = sum(share / rate for rate, share in zip(parts.rates, parts.shares, strict=True) if rate) / values["v1"]
        assert area == pytest.approx(1.0 / values["cl"], rel=1e-9)
