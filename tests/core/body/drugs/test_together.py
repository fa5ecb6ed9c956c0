"""Sedatives together against the two dose-finding studies of the same three drugs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillyard.core.body.drugs.together import MOST, SLOPE, hypnosis_frac

pytestmark = pytest.mark.reference
shares = st.floats(0.0, MOST)


def half_dose_sum(*parts: str) -> float:
    """Sum of single-drug fractions (ED50 = 1), in equal parts, at which half are asleep."""
    low, high = 0.05, 1.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        level = middle / len(parts)
        share = level**SLOPE / (1.0 + level**SLOPE)
        asleep = hypnosis_frac(*(share if name in parts else 0.0 for name in ("M", "P", "A", "K")))
        low, high = (middle, high) if asleep < 0.5 else (low, middle)
    return low


@pytest.mark.parametrize(("parts", "less"), [("MP", 0.37), ("MA", 0.46), ("PA", 0.20)])
def test_pairs_are_as_strong_as_published(parts, less):
    """Short 1992, Br J Anaesth 69:162: decrease of the expected ED50; the alphas were reckoned from these."""
    assert half_dose_sum(*parts) == pytest.approx(1.0 - less, abs=0.005)


def test_three_together_come_out_as_published_without_a_number_of_their_own():
    """Short 1992: 42 % less for the three drugs; not used for the alphas."""
    assert half_dose_sum("M", "P", "A") == pytest.approx(1.0 - 0.42, abs=0.01)


@pytest.mark.parametrize(("parts", "ratio"), [("PA", 1.4), ("MP", 1.8), ("MA", 2.8), ("MPA", 2.6)])
def test_another_study_found_more_of_the_same(parts, ratio):
    """Vinik 1994, Anesth Analg 78:354: potency ratios in 130 patients; ours lie below, at two thirds or nearer."""
    assert 0.65 * ratio < 1.0 / half_dose_sum(*parts) < 1.05 * ratio


def test_ketamine_adds_plainly():
    assert half_dose_sum("P", "K") == pytest.approx(1.0, abs=0.001)


@given(share=shares)
def test_one_drug_alone_keeps_its_share(share):
    for place in range(4):
        alone = [share if i == place else 0.0 for i in range(4)]
        assert hypnosis_frac(*alone) == pytest.approx(share, rel=1e-9, abs=1e-12)


@given(a=shares, b=shares, c=shares, d=shares, more=shares)
def test_more_of_any_never_wakes(a, b, c, d, more):
    together = hypnosis_frac(a, b, c, d)
    assert max(a, b, c, d) - 1e-9 <= together < 1.0
    assert hypnosis_frac(max(a, more), b, c, d) >= together - 1e-12
