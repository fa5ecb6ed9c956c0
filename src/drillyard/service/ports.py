"""Ports: what the service asks of a store.  ``adapters/sql`` implements them; tests may use an own one in memory.

Every write returns a ``Future`` that is done only after the commit is on disk.  A write that cannot be kept sets a
``Refusal`` as the future's exception (disk full: code "disk full"), and later writes go on.  Reads see every write
whose future is done.  Reads are synchronous and take well under a tick; call them in a worker thread where a run is
live.
"""

from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from typing import Any, Protocol

from drillyard.core.session.events import Event
from drillyard.service.records import (
    Appended,
    DebriefNote,
    Exposure,
    FileCopy,
    LabSettings,
    LastMoment,
    Person,
    RunRecord,
    SessionRecord,
    SnapshotRecord,
    StoredTracks,
    TrackBlock,
)


class EventStore(Protocol):
    """The append-only log of every run."""

    def append(self, run_id: str, events: Sequence[Event]) -> "Future[Appended]":
        """Keeps events, all or none.  An event whose client id the run already holds is left out and reported."""
        ...

    def events(self, run_id: str, after_seq: int = 0) -> list[Event]:
        """The events of a run with ``seq`` above ``after_seq``, in order of ``seq``."""
        ...

    def last_seq(self, run_id: str) -> int:
        """The highest ``seq`` of a run, 0 if it has no event."""
        ...


class RunStore(Protocol):
    """Runs with copies of the files they used."""

    def create(self, run: RunRecord, files: Sequence[FileCopy]) -> "Future[None]": ...

    def close(self, run_id: str, state: str, ended_wall_utc: str, outcome: str | None = None) -> "Future[None]":
        """Marks a run "ended" or "void".  Its log stays."""
        ...

    def get(self, run_id: str) -> RunRecord | None: ...

    def files(self, run_id: str) -> list[FileCopy]: ...

    def newest(self, limit: int = 200, room: str | None = None) -> list[RunRecord]:
        """Runs, newest first."""
        ...

    def open_runs(self) -> list[RunRecord]:
        """Runs that have neither ended nor been voided: what recovery looks at."""
        ...


class TrackStore(Protocol):
    """Tracks that a debrief reads, and snapshots that recovery starts from."""

    def append(
        self,
        run_id: str,
        block: TrackBlock,
        beats_s: Sequence[float] = (),
        rhythm: Sequence[tuple[float, int]] = (),
    ) -> "Future[None]":
        """Keeps one stretch.  A later stretch wins where stretches overlap in ``true`` (a body recomputed);
        ``shown`` is kept as first written."""
        ...

    def read(self, run_id: str) -> StoredTracks | None:
        """All that is stored, None when nothing is."""
        ...

    def keep_snapshot(self, run_id: str, snapshot: SnapshotRecord) -> "Future[None]": ...

    def newest_snapshot(self, run_id: str, model_hash: str) -> SnapshotRecord | None:
        """The newest snapshot made by this very body."""
        ...


class MomentStore(Protocol):
    """How far each live run has come: one small row a run, written once a second."""

    def keep(self, run_id: str, moment: LastMoment) -> "Future[None]":
        """Puts the moment in place of the one before."""
        ...

    def newest(self, run_id: str) -> LastMoment | None: ...


class PeopleStore(Protocol):
    """People, and who has met which case."""

    def save(self, person: Person) -> "Future[None]":
        """Adds a person, or changes the one with the same id."""
        ...

    def people(self, include_inactive: bool = False) -> list[Person]: ...

    def add_exposure(self, exposures: Sequence[Exposure]) -> "Future[None]":
        """A second record of the same person, run and case changes nothing."""
        ...

    def exposures(self, person_ids: Sequence[str] | None = None) -> list[Exposure]: ...


class SessionStore(Protocol):
    """Bookings with crew, agreement, counts and ticks."""

    def save(self, session: SessionRecord) -> "Future[None]":
        """Adds a session, or replaces the one with the same id."""
        ...

    def get(self, session_id: str) -> SessionRecord | None: ...

    def newest(self, limit: int = 200) -> list[SessionRecord]: ...


class NoteStore(Protocol):
    """Notes written at the debrief."""

    def save(self, note: DebriefNote) -> "Future[None]": ...

    def notes(self, run_id: str) -> list[DebriefNote]:
        """Notes of a run in the order of writing, removed ones left out."""
        ...


class SettingsStore(Protocol):
    """The lab's own choices."""

    def read(self) -> LabSettings: ...

    def change(self, changes: Mapping[str, Any]) -> "Future[LabSettings]":
        """Changes some settings.  The future's Refusal names an unknown setting or a value that is not allowed."""
        ...


class LabStore(Protocol):
    """All stores of one lab folder."""

    @property
    def events(self) -> EventStore: ...
    @property
    def runs(self) -> RunStore: ...
    @property
    def tracks(self) -> TrackStore: ...
    @property
    def moments(self) -> MomentStore: ...
    @property
    def people(self) -> PeopleStore: ...
    @property
    def sessions(self) -> SessionStore: ...
    @property
    def notes(self) -> NoteStore: ...
    @property
    def settings(self) -> SettingsStore: ...

    def is_full(self) -> bool:
        """True while the last write was refused for want of space."""
        ...

    def close(self) -> None:
        """Waits for what is queued, then closes.  Later writes are refused."""
        ...
