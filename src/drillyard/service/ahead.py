"""Look-ahead of a live room: made on a copy in a worker thread, anew after each event and every few seconds.

The latest request wins: one that runs is told that it is not wanted any more and the newest one follows it.
"""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Final

from drillyard.core.session.look_ahead import Ahead, look_ahead
from drillyard.core.session.machine import Machine
from drillyard.service.live_room import LiveRoom

EVERY_S: Final = 5.0
MINUTES: Final = 10.0


class Looker:
    """Looks ahead for one room.  ``newest`` is the last finished look-ahead; ``n_made`` counts them."""

    def __init__(self, room: LiveRoom, executor: Executor, now_s: Callable[[], float]) -> None:
        self.newest: Ahead | None = None
        self.n_made = 0
        self._room, self._executor, self._now_s = room, executor, now_s
        self._running: Future[Ahead | None] | None = None
        self._wanted = 0
        self._asked_at_s = float("-inf")
        self._seen = -1
        self._is_closed = False

    def tick(self) -> None:
        """Takes a finished look-ahead in, and asks for a new one where something happened or time has passed."""
        if self._running is not None and self._running.done():
            self._take(self._running)
            self._running = None
        run, now_s = self._room.run, self._now_s()
        if run.frozen is not None or run.is_ended or self._is_closed:
            self._wanted += 1
            self.newest = None
            return
        # An event that has not acted yet is not in the patient; it will be at the next tick.
        happened = run.state.last_seq != self._seen and run.step >= self._room.newest_step
        if happened and self._running is not None:
            self._wanted += 1
        if self._running is None and (happened or (self._room.is_moving and now_s - self._asked_at_s >= EVERY_S)):
            self._ask(now_s)

    def _ask(self, now_s: float) -> None:
        self._asked_at_s, self._seen = now_s, self._room.run.state.last_seq
        self._wanted += 1
        machine, number = self._room.run.machine.copy(), self._wanted
        self._running = self._executor.submit(self._look, machine, number)

    def _look(self, machine: Machine, number: int) -> Ahead | None:
        return look_ahead(machine, MINUTES, is_wanted=lambda: number == self._wanted)

    def _take(self, done: "Future[Ahead | None]") -> None:
        ahead = done.result()
        if ahead is not None:
            self.newest = ahead
            self.n_made += 1

    def close(self) -> None:
        """Stops looking."""
        self._is_closed = True
        self._wanted += 1
