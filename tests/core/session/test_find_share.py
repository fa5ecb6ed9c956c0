"""The search on plain functions whose answer is known."""

from collections.abc import Callable
from math import exp

import pytest

from drillyard.core.session.find_share import MOST_RUNS, find_share


def counted(function: Callable[[float], float]) -> tuple[Callable[[float], float], list[float]]:
    asked: list[float] = []

    def call(share: float) -> float:
        asked.append(share)
        return function(share)

    return call, asked


@pytest.mark.parametrize(
    ("function", "wanted", "answer"),
    [
        (lambda u: 100.0 - 90.0 * u, 40.0, 2.0 / 3.0),
        (lambda u: 93.0 - 93.0 * u**6, 60.0, (33.0 / 93.0) ** (1 / 6)),
        (lambda u: 97.0 - 40.0 / (1.0 + exp((0.62 - u) * 30.0)), 90.0, 0.5682),
        (lambda u: 5.0 + 200.0 * u**3, 10.0, (5.0 / 200.0) ** (1 / 3)),
    ],
)
def test_a_smooth_course_is_hit_within_twelve_runs(
    function: Callable[[float], float], wanted: float, answer: float
) -> None:
    call, asked = counted(function)
    found = find_share(call, wanted, 0.1)
    assert found.is_reached
    assert abs(found.best.value - wanted) <= 0.1
    assert found.best.share == pytest.approx(answer, abs=0.01)
    assert len(asked) == len(set(asked)) <= MOST_RUNS


def test_of_a_course_that_turns_the_smallest_share_is_found_and_the_others_are_told() -> None:
    found = find_share(lambda u: 65.0 + 400.0 * u * (1.0 - u), 110.0, 0.2)
    assert found.is_reached
    assert found.best.share == pytest.approx(0.1292, abs=0.002)
    ((low, high),) = found.others
    assert low <= 0.8708 <= high


def test_a_peak_between_the_first_places_is_looked_for() -> None:
    found = find_share(lambda u: 60.0 + 50.0 * exp(-(((u - 0.63) / 0.12) ** 2)), 105.0, 0.5)
    assert found.is_reached
    assert found.best.share < 0.63


def test_what_is_out_of_reach_gives_the_nearest() -> None:
    found = find_share(lambda u: 90.0 - 20.0 * u, 50.0, 0.1)
    assert not found.is_reached
    assert (found.best.share, found.best.value) == (1.0, 70.0)
    assert not found.others
    assert found.cliff is None


def test_a_cliff_is_no_value() -> None:
    found = find_share(lambda u: 80.0 if u < 0.5555 else 0.0, 40.0, 0.1, most_runs=40)
    assert not found.is_reached
    assert found.cliff is not None
    below, above = found.cliff
    assert below.share < 0.5555 <= above.share
    assert (below.value, above.value) == (80.0, 0.0)


def test_nothing_is_needed_where_it_is_so_already() -> None:
    call, asked = counted(lambda u: 60.0 - u)
    found = find_share(call, 60.05, 0.1)
    assert found.is_reached
    assert found.best.share == 0.0
    assert asked == [0.0]
