"""Look-ahead of a live room: after each event and every few seconds; the latest request wins."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any

from drillyard.service.ahead import Looker
from tests.service.bench import RoomBench
from tests.service.test_live_room import POISON, TOURNIQUET


class ByHand(Executor):
    """Does its work when told to, as a busy worker thread would."""

    def __init__(self) -> None:
        self.waiting: list[tuple[Callable[[], Any], Future[Any]]] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **named: Any) -> "Future[Any]":
        future: Future[Any] = Future()
        self.waiting.append((lambda: fn(*args, **named), future))
        return future

    def work(self) -> None:
        waiting, self.waiting = self.waiting, []
        for do, future in waiting:
            future.set_result(do())


def looking() -> tuple[RoomBench, ByHand, Looker]:
    bench, worker = RoomBench(), ByHand()
    return bench, worker, Looker(bench.room, worker, bench.clock.monotonic_s)


def test_it_looks_ten_minutes_ahead_of_a_copy_and_leaves_the_run_alone() -> None:
    bench, worker, looker = looking()
    bench.go(2.0)
    looker.tick()
    before = bench.run.machine.body.state_hash()
    worker.work()
    looker.tick()
    assert looker.newest is not None
    assert looker.newest.from_s + looker.newest.dt_s * (len(looker.newest.values) - 1) >= 595.0
    assert bench.run.machine.body.state_hash() == before
    assert any(crossing.limit.signal == "systolic_pressure_mmhg" for crossing in looker.newest.crossings)


def test_it_is_made_anew_after_five_seconds_and_after_an_event_that_has_acted() -> None:
    bench, worker, looker = looking()
    looker.tick()
    worker.work()
    looker.tick()
    bench.go(4.0)
    looker.tick()
    assert worker.waiting == []
    bench.go(1.5)
    looker.tick()
    assert len(worker.waiting) == 1
    worker.work()
    looker.tick()
    bench.do(TOURNIQUET)
    bench.settle()
    looker.tick()
    assert worker.waiting == [], "committed, but its tick has not come yet"
    bench.go(0.1)
    looker.tick()
    assert len(worker.waiting) == 1
    worker.work()
    looker.tick()
    assert looker.newest is not None
    assert looker.newest.crossings == (), "nothing bleeds any more"


def test_the_latest_request_wins() -> None:
    bench, worker, looker = looking()
    bench.go(1.0)
    looker.tick()
    bench.do(TOURNIQUET)
    bench.go(0.1)
    looker.tick()
    worker.work()
    looker.tick()
    assert looker.newest is None, "the first was told that it is not wanted any more"
    worker.work()
    looker.tick()
    assert looker.newest is not None
    assert looker.n_made == 1


def test_a_frozen_body_has_no_future() -> None:
    bench, worker, looker = looking()
    bench.go(1.0)
    looker.tick()
    worker.work()
    looker.tick()
    bench.do(POISON)
    bench.go(2.0)
    looker.tick()
    assert looker.newest is None
    assert worker.waiting == []
