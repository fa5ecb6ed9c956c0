"""An effector of the body is let go over the time that its release states."""

from drillyard.core.session.events import HoldReleased, HoldSet
from drillyard.core.session.holds import DisplayHold, Holds, Release
from drillyard.core.session.run import replay
from tests.core.session.fakes import setup
from tests.core.session.playbook import Playbook


class Hand:
    """Notes what a body is told."""

    def __init__(self) -> None:
        self.left: list[float] = []

    def hold(self, effector: str, value: float, by: str = "") -> None:
        self.left.append(1.0)

    def release(self, effector: str, left_frac: float = 0.0) -> None:
        self.left.append(left_frac)


def test_less_is_held_each_second_until_nothing_is_left() -> None:
    holds, body = Holds(), Hand()
    holds.set(HoldSet(what="heart rate", value=150.0, display_only=False), body)
    holds.release(HoldReleased(what="heart rate", over_s=4.0), body, 10.0)
    for t_s in range(11, 18):
        holds.let_go(body, float(t_s))
    assert body.left == [1.0, 1.0, 0.75, 0.5, 0.25, 0.0]
    assert not holds.letting_go


def test_a_new_hold_ends_the_release_of_the_old_one() -> None:
    holds, body = Holds(), Hand()
    holds.set(HoldSet(what="shunt", value=0.3, display_only=False), body)
    holds.release(HoldReleased(what="shunt", over_s=20.0), body, 0.0)
    holds.set(HoldSet(what="shunt", value=0.4, display_only=False), body)
    holds.let_go(body, 5.0)
    assert body.left == [1.0, 1.0, 1.0]


def test_released_over_no_time_it_is_let_go_at_once() -> None:
    holds, body = Holds(), Hand()
    holds.set(HoldSet(what="shunt", value=0.3, display_only=False), body)
    holds.release(HoldReleased(what="shunt", over_s=0.0), body, 3.0)
    assert body.left == [1.0, 0.0]


def test_a_shown_value_goes_back_evenly() -> None:
    hold = DisplayHold(80.0, Release(at_s=10.0, over_s=10.0))
    assert [hold.shown(100.0, t_s) for t_s in (10.0, 15.0, 20.0, 60.0)] == [80.0, 90.0, 100.0, 100.0]


def test_a_replay_and_a_snapshot_in_the_middle_of_a_release_agree_with_the_run() -> None:
    book = Playbook(setup()).at(5.0, HoldSet(what="heart rate", value=150.0, display_only=False))
    book.at(20.0, HoldReleased(what="heart rate", over_s=30.0)).to(32.0)
    kept, branch = book.run.snapshot(), book.run.branch()
    book.to(60.0)
    end = book.run.machine.body.state_hash()
    branch.advance_to(6000)
    again = replay(book.run.setup, book.log, 6000)
    assert branch.machine.body.state_hash() == again.machine.body.state_hash() == end
    book.run.restore(kept)
    book.run.advance_to(6000)
    assert book.run.machine.body.state_hash() == end
    assert not book.run.machine.holds.letting_go
