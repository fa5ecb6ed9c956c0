"""The feed of one room to its screens: a snapshot, then what changed, then waves.

A message is made once for all screens of a kind.  A snapshot is the state as it was last sent, so that the changes
after it fit.
"""

from typing import Any, Final, Literal

from drillyard.core.session.events import EntryCorrected, EntryUndone, Event, LateEntry
from drillyard.core.signals.waves import WaveFeed
from drillyard.service.lab import Lab, Playing
from drillyard.web.hold_view import holdable_views
from drillyard.web.messages import Delta, LookAhead, Snapshot
from drillyard.web.outbox import Outbox
from drillyard.web.parts import FOR_LEARNERS, PARTS, RoomParts, for_learners
from drillyard.web.rows import TRACK_S, tracks_since

Screen = Literal["control", "monitor"]

BEAT_S: Final = 0.25
WAVE_S: Final = 0.1
STILL_BEATS: Final = 8
"""While nothing changes, a message every two seconds still shows that the link is alive."""


class RoomFeed:
    """One room's feed.  ``beat`` and ``wave_beat`` are called by the clock of the application, or by a test."""

    def __init__(self, lab: Lab, room: str) -> None:
        self.room = room
        self._lab = lab
        self._boxes: dict[Screen, set[Outbox]] = {"control": set(), "monitor": set()}
        self._parts: RoomParts | None = None
        self._state: dict[str, Any] = {}
        self._clock_s = 0.0
        self._to_s = 0
        self._n_looks = 0
        self._still = 0
        self._resync_at: int | None = None
        self._waves: WaveFeed | None = None
        self._wave_step = 0
        playing = lab.playing.get(room)
        if playing is not None:
            self.seat(playing)

    # ---- screens ----------------------------------------------------------------------------------------------

    def join(self, screen: Screen) -> Outbox:
        """A new screen.

        Where others watch already it gets the state as they have it; what changed since goes to all at the next beat.
        """
        if not any(self._boxes.values()):
            self._look()
        box = Outbox(lambda: self.snapshot_text(screen))
        self._boxes[screen].add(box)
        return box

    def leave(self, screen: Screen, box: Outbox) -> None:
        """A screen has gone."""
        self._boxes[screen].discard(box)

    def seat(self, playing: Playing) -> None:
        """Another run is in the room now."""
        run = playing.room.run
        self._parts = RoomParts(playing, self._lab.settings)
        self._state, self._to_s, self._n_looks = {}, 0, 0
        self._waves = WaveFeed(run.waves.names, run.setup.seed) if run.waves is not None else None
        self._wave_step = run.step
        playing.room.on_event.append(self._on_event)
        self.resync()

    def settings_changed(self) -> None:
        """The lab shows other units now."""
        if self._parts is not None:
            self._parts = RoomParts(self._parts.playing, self._lab.settings)
            self._state = {}
        self.resync()

    def resync(self) -> None:
        """Every screen gets a fresh snapshot."""
        self._look()
        for boxes in self._boxes.values():
            for box in boxes:
                box.resync()

    def _on_event(self, event: Event) -> None:
        body = event.body
        if isinstance(body, EntryUndone | EntryCorrected | LateEntry) and body.effect == "rebase":
            self._resync_at = event.step

    # ---- state ------------------------------------------------------------------------------------------------

    def _look(self) -> dict[str, Any]:
        """Takes the state in; returns the parts that changed."""
        if self._parts is None:
            return {}
        new = self._parts.now()
        changed = {name: part for name, part in new.items() if self._state.get(name) != part}
        self._state = new
        self._clock_s = self._parts.playing.room.run.t_s
        self._to_s = len(self._parts.playing.room.run.tracks)
        return changed

    def snapshot(self, screen: Screen) -> Snapshot:
        """The state as it was last looked at."""
        parts, server_id = self._parts, self._lab.server_id
        if parts is None:
            return Snapshot(server_id=server_id, clock_s=0.0, run=None)
        if screen == "monitor":
            head = for_learners(self._state["run"])
            return Snapshot(server_id=server_id, clock_s=self._clock_s, run=head, monitor=self._state["monitor"])
        tracks = parts.playing.room.run.tracks
        to_s = min(self._to_s, len(tracks))
        return Snapshot(
            server_id=server_id,
            clock_s=self._clock_s,
            tracks=tracks_since(tracks, parts.rows, max(0, to_s - TRACK_S), to_s),
            holdables=holdable_views(parts.playing.room.run),
            look_ahead=parts.look_ahead(),
            **{name: self._state[name] for name in PARTS},
        )

    def snapshot_text(self, screen: Screen) -> str:
        """The snapshot as it is sent."""
        return self.snapshot(screen).model_dump_json()

    # ---- time -------------------------------------------------------------------------------------------------

    def beat(self) -> None:
        """Looks ahead where it is due and sends what changed."""
        parts = self._parts
        if parts is None:
            return
        run, looker = parts.playing.room.run, parts.playing.looker
        looker.tick()
        if not any(self._boxes.values()):
            return
        if self._resync_at is not None and run.step >= self._resync_at:
            self._resync_at = None
            self.resync()
            return
        from_s, clock_s = self._to_s, self._clock_s
        changed = self._look()
        self._still = 0 if changed or self._clock_s != clock_s else self._still + 1
        if self._still % STILL_BEATS == 0:
            tail = tracks_since(run.tracks, parts.rows, from_s, self._to_s)
            self._send("control", Delta(clock_s=self._clock_s, track_tail=tail, **changed))
            self._send("monitor", Delta(clock_s=self._clock_s, **_learners_part(changed)))
        if looker.n_made != self._n_looks and looker.newest is not None:
            self._n_looks = looker.n_made
            self._send("control", parts.look_ahead())

    def wave_beat(self) -> None:
        """Sends the next frame of waves to the monitors."""
        if self._parts is None or self._waves is None or not self._boxes["monitor"]:
            return
        run = self._parts.playing.room.run
        if run.waves is None:
            return
        first, rows = run.waves.since(self._wave_step)
        self._wave_step = first + len(rows)
        sensors = run.machine.sensors
        frame = self._waves.frame(
            first,
            rows,
            rhythm_code=round(run.signals()["rhythm_code"]),
            sensors_on={sensor.sensor for sensor in run.state.sensors},
            compressions=self._parts.compressions(),
            finger_is_cut_off=sensors.finger_is_cut_off,
        )
        if frame is not None:
            for box in self._boxes["monitor"]:
                box.put_state(frame)

    def _send(self, screen: Screen, message: Delta | LookAhead | None) -> None:
        if message is not None and self._boxes[screen]:
            text = message.model_dump_json()
            for box in self._boxes[screen]:
                box.put_state(text)


def _learners_part(changed: dict[str, Any]) -> dict[str, Any]:
    part: dict[str, Any] = {name: changed[name] for name in FOR_LEARNERS if name in changed}
    if "run" in part:
        part["run"] = for_learners(part["run"])
    return part
