"""Monotonic time to steps."""

from hypothesis import given
from hypothesis import strategies as st

from drillyard.service.pace import Pace


def test_time_runs_at_times_one_in_ticks_of_50_ms() -> None:
    pace = Pace()
    pace.start(now_s=100.0, step=0)
    assert pace.target(100.0) == 0
    assert pace.target(100.049) == 0
    assert pace.target(100.05) == 5
    assert pace.target(160.0) == 6000


@given(st.lists(st.floats(0.0, 10.0), max_size=40))
def test_time_never_runs_back_and_never_drifts(waits: list[float]) -> None:
    pace, now_s, last = Pace(), 5.0, 0
    pace.start(now_s, 0)
    for wait_s in waits:
        now_s += wait_s
        target = pace.target(now_s)
        assert last <= target <= (now_s - 5.0) * 100.0 + 1e-3
        assert target > (now_s - 5.0) * 100.0 - 5.0 - 1e-3
        assert target % 5 == 0
        last = target


def test_an_event_acts_at_the_next_tick_and_at_this_one_while_time_stands_still() -> None:
    pace = Pace()
    assert pace.next_tick(3.0) == 0
    pace.start(3.0, 0)
    assert pace.next_tick(3.0) == 5
    assert pace.next_tick(3.12) == 15
    pace.stop(15)
    assert pace.next_tick(9.0) == 15
    assert pace.target(9.0) == 15


def test_a_pause_costs_no_time_of_the_patient() -> None:
    pace = Pace()
    pace.start(0.0, 0)
    pace.stop(100)
    pace.start(60.0, 100)
    assert pace.target(61.0) == 200


def test_a_jump_lets_time_pass_at_once_and_then_goes_on() -> None:
    pace = Pace()
    pace.start(0.0, 0)
    pace.jump(105, 6000, now_s=1.0)
    assert pace.target(1.0) == 6105
    assert pace.target(2.0) == 6205
    pace.stop(6205)
    pace.jump(6205, 1000, now_s=9.0)
    assert not pace.is_moving
    assert pace.target(50.0) == 7205
