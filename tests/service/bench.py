"""A live room on a small patient, with a clock turned by hand."""

from concurrent.futures import Future
from typing import Any

from drillyard.core.care.problems import Bleeding
from drillyard.core.session.events import Event, Happening, RunStarted
from drillyard.core.session.run import Run
from drillyard.core.session.setup import RunSetup
from drillyard.service.clock import HandClock, wall_text
from drillyard.service.keeper import Keeper
from drillyard.service.live_room import Accepted, LiveRoom
from drillyard.service.records import RunRecord
from tests.core.session.fakes import scenario, setup
from tests.service.fakes import MemoryStore

WOUND = Bleeding(name="wound", rate_ml_per_min=150.0, site="left thigh")


def record(clock: HandClock, **changes: Any) -> RunRecord:
    plain: dict[str, Any] = {
        "run_id": "run-1", "room": "room-1", "title": "A small case", "scenario": "small-case", "scenario_hash": "s",
        "manikin": "adult", "manikin_hash": "m", "body_hash": "small-1", "seed": 7, "purpose": "rehearsal",
        "created_wall_utc": wall_text(clock.utc()), "zone": "UTC",
    }  # fmt: skip
    return RunRecord(**(plain | changes))


class RoomBench:
    """A room, its store and its clock.  ``go`` lets time pass as the room's loop would see it."""

    def __init__(self, made: RunSetup | None = None, is_started: bool = True) -> None:
        self.clock, self.store = HandClock(), MemoryStore()
        self.setup = made or setup(scenario(problems=(WOUND,), time_jumps_s=(600.0,)))
        self.run = Run(self.setup)
        self.run.advance_to(0)
        self.record = record(self.clock)
        self.store.records["run-1"] = self.record
        self.room = LiveRoom(self.record, self.run, self.store, self.clock, Keeper(self.store, "run-1"))
        self._n = 0
        if is_started:
            started = RunStarted(
                scenario="small-case", scenario_hash="s", manikin="adult", manikin_hash="m", body_hash="small-1", seed=7
            )
            self.do(started, client_id="server-run-1")
            self.room.tick()
            self.room.start()

    def do(self, body: Happening, **changes: Any) -> "Future[Accepted]":
        """One command, as a screen sends it."""
        self._n += 1
        plain: dict[str, Any] = {"client_id": f"screen-{self._n}", "actor": "operator", "source": "entry line"}
        return self.room.submit(body, **(plain | changes))

    def go(self, seconds: float, tick_s: float = 0.05) -> None:
        """Turns the clock, tick by tick."""
        for _ in range(round(seconds / tick_s)):
            self.clock.turn(tick_s)
            self.settle()

    def settle(self) -> None:
        """Ticks until the room has caught up with its clock."""
        while self.room.tick():
            pass

    @property
    def log(self) -> list[Event]:
        return self.store.events.events("run-1")

    def kinds(self) -> list[str]:
        return [event.body.kind for event in self.log]
