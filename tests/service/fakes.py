"""A store in memory whose disk can be held up or filled, for tests of the service."""

from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from dataclasses import replace
from typing import Any

import numpy as np

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import Event
from drillyard.service.records import (
    Appended,
    DebriefNote,
    Exposure,
    FileCopy,
    LabSettings,
    LastMoment,
    Person,
    RhythmChange,
    RunRecord,
    SessionRecord,
    SnapshotRecord,
    StoredTracks,
    TrackBlock,
)

FULL = Fault(code="disk full", said="the disk is full and nothing can be kept", remedy="free some space")


class MemoryStore:
    """Every store at once.  ``is_held`` keeps writes waiting until ``let_go``; ``is_on_full_disk`` refuses them."""

    def __init__(self) -> None:
        self.is_held = False
        self.is_on_full_disk = False
        self._waiting: list[tuple[Any, Future[Any]]] = []
        self.logs: dict[str, list[Event]] = {}
        self.records: dict[str, RunRecord] = {}
        self.copies: dict[str, list[FileCopy]] = {}
        self.blocks: dict[str, list[TrackBlock]] = {}
        self.beats: dict[str, list[float]] = {}
        self.rhythm: dict[str, list[tuple[float, int]]] = {}
        self.snapshots: dict[str, list[SnapshotRecord]] = {}
        self.last: dict[str, LastMoment] = {}
        self.n_moments = 0
        self.persons: dict[str, Person] = {}
        self.met: list[Exposure] = []
        self.booked: dict[str, SessionRecord] = {}
        self.written: dict[str, DebriefNote] = {}
        self.choices = LabSettings()
        self.is_closed = False

    def write(self, work: Any) -> "Future[Any]":
        future: Future[Any] = Future()
        self._waiting.append((work, future))
        if not self.is_held:
            self.let_go()
        return future

    def let_go(self) -> None:
        """What waits reaches the disk now, or is refused by it."""
        waiting, self._waiting = self._waiting, []
        for work, future in waiting:
            if self.is_on_full_disk:
                future.set_exception(Refusal(FULL))
                continue
            try:
                future.set_result(work())
            except Refusal as refusal:
                future.set_exception(refusal)

    def is_full(self) -> bool:
        return self.is_on_full_disk

    def close(self) -> None:
        self.is_closed = True

    @property
    def events(self) -> "EventsInMemory":
        return EventsInMemory(self)

    @property
    def runs(self) -> "RunsInMemory":
        return RunsInMemory(self)

    @property
    def tracks(self) -> "TracksInMemory":
        return TracksInMemory(self)

    @property
    def moments(self) -> "MomentsInMemory":
        return MomentsInMemory(self)

    @property
    def people(self) -> "PeopleInMemory":
        return PeopleInMemory(self)

    @property
    def sessions(self) -> "SessionsInMemory":
        return SessionsInMemory(self)

    @property
    def notes(self) -> "NotesInMemory":
        return NotesInMemory(self)

    @property
    def settings(self) -> "SettingsInMemory":
        return SettingsInMemory(self)


class EventsInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def append(self, run_id: str, events: Sequence[Event]) -> "Future[Appended]":
        def work() -> Appended:
            log = self.store.logs.setdefault(run_id, [])
            known = {event.client_id for event in log}
            new = [event for event in events if event.client_id not in known]
            log.extend(new)
            repeated = tuple(event.client_id for event in events if event.client_id in known)
            return Appended(stored_seqs=tuple(event.seq for event in new), repeated=repeated)

        return self.store.write(work)

    def events(self, run_id: str, after_seq: int = 0) -> list[Event]:
        log = self.store.logs.get(run_id, [])
        return sorted((event for event in log if event.seq > after_seq), key=lambda event: event.seq)

    def last_seq(self, run_id: str) -> int:
        return max((event.seq for event in self.store.logs.get(run_id, [])), default=0)


class RunsInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def create(self, run: RunRecord, files: Sequence[FileCopy]) -> "Future[None]":
        def work() -> None:
            self.store.records[run.run_id] = run
            self.store.copies[run.run_id] = list(files)

        return self.store.write(work)

    def close(self, run_id: str, state: str, ended_wall_utc: str, outcome: str | None = None) -> "Future[None]":
        def work() -> None:
            changes: dict[str, Any] = {"state": state, "ended_wall_utc": ended_wall_utc, "outcome": outcome}
            self.store.records[run_id] = replace(self.store.records[run_id], **changes)

        return self.store.write(work)

    def get(self, run_id: str) -> RunRecord | None:
        return self.store.records.get(run_id)

    def files(self, run_id: str) -> list[FileCopy]:
        return self.store.copies.get(run_id, [])

    def newest(self, limit: int = 200, room: str | None = None) -> list[RunRecord]:
        found = [run for run in self.store.records.values() if room is None or run.room == room]
        return sorted(found, key=lambda run: run.created_wall_utc, reverse=True)[:limit]

    def open_runs(self) -> list[RunRecord]:
        return [run for run in self.store.records.values() if run.state == "open"]


class TracksInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def append(
        self,
        run_id: str,
        block: TrackBlock,
        beats_s: Sequence[float] = (),
        rhythm: Sequence[tuple[float, int]] = (),
    ) -> "Future[None]":
        def work() -> None:
            self.store.blocks.setdefault(run_id, []).append(block)
            beats = self.store.beats.get(run_id, [])
            self.store.beats[run_id] = [beat for beat in beats if beat < block.t0_s] + list(beats_s)
            changes = [change for change in self.store.rhythm.get(run_id, []) if change[0] < block.t0_s]
            self.store.rhythm[run_id] = changes + list(rhythm)

        return self.store.write(work)

    def read(self, run_id: str) -> StoredTracks | None:
        blocks = self.store.blocks.get(run_id)
        if not blocks:
            return None
        n = max(round(block.t0_s) + len(block.true) for block in blocks)
        true = np.full((n, len(blocks[0].names)), np.nan, dtype=np.float32)
        shown = np.full_like(true, np.nan)
        n_shown = 0
        for block in blocks:
            first = round(block.t0_s)
            true[first : first + len(block.true)] = block.true
            new = block.shown[max(0, n_shown - first) :]
            shown[max(first, n_shown) : max(first, n_shown) + len(new)] = new
            n_shown = max(n_shown, first + len(block.shown))
        whole = TrackBlock(t0_s=0.0, names=blocks[0].names, true=true, shown=shown)
        return StoredTracks(
            block=whole,
            beats_s=np.array(self.store.beats[run_id], dtype=np.float32),
            rhythm=tuple(RhythmChange(t_s=t_s, rhythm_code=code) for t_s, code in self.store.rhythm[run_id]),
        )

    def keep_snapshot(self, run_id: str, snapshot: SnapshotRecord) -> "Future[None]":
        return self.store.write(lambda: self.store.snapshots.setdefault(run_id, []).append(snapshot))

    def newest_snapshot(self, run_id: str, model_hash: str) -> SnapshotRecord | None:
        kept = [one for one in self.store.snapshots.get(run_id, []) if one.model_hash == model_hash]
        return max(kept, key=lambda one: one.step, default=None)


class MomentsInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def keep(self, run_id: str, moment: LastMoment) -> "Future[None]":
        self.store.n_moments += 1
        return self.store.write(lambda: self.store.last.__setitem__(run_id, moment))

    def newest(self, run_id: str) -> LastMoment | None:
        return self.store.last.get(run_id)


class PeopleInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def save(self, person: Person) -> "Future[None]":
        return self.store.write(lambda: self.store.persons.__setitem__(person.person_id, person))

    def people(self, include_inactive: bool = False) -> list[Person]:
        return [person for person in self.store.persons.values() if include_inactive or person.is_active]

    def add_exposure(self, exposures: Sequence[Exposure]) -> "Future[None]":
        return self.store.write(lambda: self.store.met.extend(exposures))

    def exposures(self, person_ids: Sequence[str] | None = None) -> list[Exposure]:
        return [one for one in self.store.met if person_ids is None or one.person_id in person_ids]


class SessionsInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def save(self, session: SessionRecord) -> "Future[None]":
        return self.store.write(lambda: self.store.booked.__setitem__(session.session_id, session))

    def get(self, session_id: str) -> SessionRecord | None:
        return self.store.booked.get(session_id)

    def newest(self, limit: int = 200) -> list[SessionRecord]:
        return sorted(self.store.booked.values(), key=lambda one: one.created_wall_utc, reverse=True)[:limit]


class NotesInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def save(self, note: DebriefNote) -> "Future[None]":
        return self.store.write(lambda: self.store.written.__setitem__(note.note_id, note))

    def notes(self, run_id: str) -> list[DebriefNote]:
        return [note for note in self.store.written.values() if note.run_id == run_id and not note.is_removed]


class SettingsInMemory:
    def __init__(self, store: MemoryStore) -> None:
        self.store = store

    def read(self) -> LabSettings:
        return self.store.choices

    def change(self, changes: Mapping[str, Any]) -> "Future[LabSettings]":
        def work() -> LabSettings:
            self.store.choices = replace(self.store.choices, **changes)
            return self.store.choices

        return self.store.write(work)
