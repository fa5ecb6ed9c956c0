"""A whole application: the demonstration lab's files, a store in memory, a small patient, a clock turned by hand."""

import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.core.quantities.signals import SIGNALS
from drillyard.service import case as case_module
from drillyard.service.clock import HandClock
from drillyard.service.lab import Lab
from drillyard.web.app import create_app
from drillyard.web.front_door import front_door
from drillyard.web.guard import Doors
from drillyard.web.sockets import Feeds
from tests.core.session.fakes import NAMES, FakeBody, FakeKernel, FakeLayout
from tests.service.fakes import MemoryStore

PORT = 9137
BASE = f"http://127.0.0.1:{PORT}"
SOCKETS = f"ws://127.0.0.1:{PORT}/ws/room"
WAVE_NAMES = ("airway_co2_mmhg", "arterial_pressure_mmhg", "beat_count", "beat_step", "pleth_wave_frac")


class SmallBody(FakeBody):
    """The small patient with every signal and the columns of waves that a monitor draws.

    It moves in one go, not step by step, so that many minutes cost nothing; what it is to the bit does not matter here.
    """

    def advance(self, n_steps: int, waves: Any = None) -> None:
        x = self.x
        x["step_count"] += n_steps
        x["blood_ml"] -= x["bleeding"] * (1.0 - x["controlled"]) * n_steps / 6000.0
        supply = max(1.0 - x["blocked"], min(1.0, x["breaths"] / 10.0))
        x["oxygen"] += (98.0 * supply - x["oxygen"]) * min(1.0, n_steps / 6000.0)
        beats = x["phase"] + self._rate() * n_steps / 6000.0
        x["beat_count"] += beats // 1.0
        x["phase"] = beats % 1.0
        x["beat_step"] = x["step_count"]
        if x["bad"]:
            x["oxygen"] = float("nan")
        if waves is not None and len(waves):
            waves[:n_steps] = [x.get(name, 0.5) for name in WAVE_NAMES]

    def set_problem(self, problem: Any, size_frac: float = 1.0) -> None:
        if problem.kind != "tamponade":
            super().set_problem(problem, size_frac)

    def read_all(self) -> dict[str, float]:
        values = super().read_all()
        values.update(gcs_eye=4.0, gcs_verbal=5.0, gcs_motor=6.0, temperature_core_degc=37.0)
        values["blood_lost_ml"] = 5000.0 - self.x["blood_ml"]
        values["bleeding_ml_per_min"] = self.x["bleeding"] * (1.0 - self.x["controlled"])
        assert set(values) >= set(SIGNALS)
        return values


class Bench:
    """The application and a client; ``turn`` lets time pass for rooms, look-aheads and screens."""

    def __init__(self, client: TestClient, lab: Lab, store: MemoryStore, clock: HandClock, feeds: Feeds) -> None:
        self.client, self.lab, self.store, self.clock, self.feeds = client, lab, store, clock, feeds

    def until(self, is_so: Callable[[], bool], wait_s: float = 5.0) -> None:
        """Waits for the rooms' own loops, which run in the background."""
        until_s = time.monotonic() + wait_s
        while not is_so():
            assert time.monotonic() < until_s, "nothing came of it"
            time.sleep(0.01)

    def turn(self, seconds: float, room: str = "room-1") -> None:
        """Turns the clock and waits until the room has caught up."""
        self.clock.turn(seconds)
        run = self.lab.playing[room].room
        target = run._pace.target(self.clock.monotonic_s())
        self.until(lambda: run.run.step >= target or not run.is_moving)

    def beat(self, room: str = "room-1") -> None:
        """One beat of a room's feed, in the application's own loop."""
        portal = self.client.portal
        assert portal is not None
        portal.call(self.feeds.of(room).beat)

    def wave_beat(self, room: str = "room-1") -> None:
        portal = self.client.portal
        assert portal is not None
        portal.call(self.feeds.of(room).wave_beat)

    def rehearse(self, scenario: str = "c8-tractor", room: str = "room-1") -> str:
        """Starts a rehearsal and returns its id."""
        asked = {"scenario": scenario, "manikin": "adult-manikin-a", "room": room, "seed": 7}
        answer = self.client.post("/api/runs", json=asked)
        assert answer.status_code == 201, answer.text
        run_id: str = answer.json()["run_id"]
        return run_id

    @cached_property
    def numbers(self) -> Iterator[int]:
        return iter(range(10_000))

    def command(self, command: dict[str, Any], **changes: Any) -> str:
        """A command as a screen sends it."""
        client_id = changes.pop("client_id", f"screen-{next(self.numbers):06d}")
        return json.dumps({"type": "command", "client_id": client_id, "command": command, **changes})

    def say(self, socket: Any, command: dict[str, Any], **changes: Any) -> dict[str, Any]:
        """Sends a command and returns its answer, past anything else that comes before it."""
        socket.send_text(self.command(command, **changes))
        return self.next(socket, "ack", "refused")

    @staticmethod
    def next(socket: Any, *kinds: str) -> dict[str, Any]:
        """The next message of one of these kinds."""
        while True:
            message = socket.receive()
            if message["type"] == "websocket.close":
                raise WebSocketDisconnect(message["code"])
            if message.get("text") is None:
                continue
            plain: dict[str, Any] = json.loads(message["text"])
            if plain["type"] in kinds:
                return plain


@contextmanager
def bench(
    monkeypatch: Any, store: MemoryStore | None = None, clock: HandClock | None = None, body_name: str = "small-1"
) -> Iterator[Bench]:
    """An open application, its body loaded."""
    original = case_module.RunSetup

    def small(**parts: Any) -> Any:
        return original(**{**parts, "make_body": lambda made: SmallBody(made.seed)})

    monkeypatch.setattr(case_module, "RunSetup", small)
    monkeypatch.setattr(SmallBody, "model_hash", lambda body: body_name)
    store, clock = store or MemoryStore(), clock or HandClock()
    files = CaseFiles(LabFolder(DEMO, known_names()))
    kernel: Any = FakeKernel(FakeLayout(WAVE_NAMES))
    lab = Lab(files, store, clock, lambda: kernel)
    monkeypatch.setattr(lab, "body_hash", lambda formulary: body_name)
    app = create_app(lab, is_paced=False)
    door = front_door(lambda: app, Doors.of(PORT), Path("does-not-exist"))
    with TestClient(door, base_url=BASE) as client:
        made = Bench(client, lab, store, clock, app.state.feeds)
        made.until(lambda: lab.body == "ready")
        yield made


assert set(NAMES) >= {"beat_count", "beat_step"}
