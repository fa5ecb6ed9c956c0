"""What is read from a course, on curves whose answers are known by hand."""

import numpy as np
import pytest

from drillyard.scripting import drugs_alone
from drillyard.validation.drug_courses import Followed, follow, plasma

TRIANGLE = Followed(np.arange(0.0, 11.0), np.array([0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.0]))


def test_peak_onset_and_time_above() -> None:
    assert (TRIANGLE.peak, TRIANGLE.peak_min, TRIANGLE.first_peak_min()) == (5.0, 5.0, 5.0)
    assert TRIANGLE.onset_min() == 1.0  # a fifth of 5
    assert TRIANGLE.first_min(below=2.5, after_min=5.0) == 8.0
    assert TRIANGLE.minutes_above(3.0) == 4.0  # from minute 3; at minute 7 it is at 3 again
    assert np.isnan(TRIANGLE.first_min(above=6.0))


def test_following_begins_with_the_present() -> None:
    alone = drugs_alone()
    alone.give("fentanyl", 100.0, "ug", "IV")
    alone.run(60)
    course = follow(alone, plasma("fentanyl"), 2.0, every_s=10)
    assert course.t_min.tolist() == pytest.approx([i / 6.0 for i in range(13)])
    assert course.value[0] > course.value[-1] > 0.0
    assert alone.t_s == 180
