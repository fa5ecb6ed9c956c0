"""Keeps the tracks of a live run, a snapshot of its body now and then, and the moment it has come to, while it is
played."""

from concurrent.futures import Future
from typing import Final

import numpy as np

from drillyard.core.session.events import STEPS_PER_S
from drillyard.core.session.run import Run
from drillyard.service.ports import LabStore
from drillyard.service.records import LastMoment, SnapshotRecord, TrackBlock

TRACKS_EVERY_S: Final = 5
SNAPSHOT_EVERY_S: Final = 30
MOMENT_EVERY_S: Final = 1
"""After an outage too long to go on by itself a run stands where this was last written, so at most this much is lost
beside what was on its way to the disk."""


class Keeper:
    """Writes every few simulated seconds what is new.  A write that the disk refuses is made again later, since the
    tracks of the run itself hold everything."""

    def __init__(self, store: LabStore, run_id: str) -> None:
        self._store, self._moments, self._run_id = store.tracks, store.moments, run_id
        self._kept_s = 0
        self._beats_kept_s = -1.0
        self._snapshot_step = 0
        self._moment_step = 0
        self._moment: Future[None] | None = None
        self._writing: list[tuple[int, Future[None]]] = []

    def rewrite(self) -> None:
        """The body was recomputed: all true values are written anew."""
        self._kept_s, self._beats_kept_s = 0, -1.0

    def keep(self, run: Run, wall_utc: str) -> None:
        """Writes what is due.

        Args:
            run: the run as it stands.
            wall_utc: the time of day, as logs hold it.
        """
        self._look_after_writes()
        self._keep_moment(run.step, wall_utc)
        if len(run.tracks) - self._kept_s >= TRACKS_EVERY_S:
            self._write(run)
        is_due = run.step - self._snapshot_step >= SNAPSHOT_EVERY_S * STEPS_PER_S
        if is_due and run.frozen is None and not run.is_ended:
            self._keep_snapshot(run)

    def finish(self, run: Run) -> None:
        """Writes all that is left."""
        self._look_after_writes()
        if len(run.tracks) > self._kept_s:
            self._write(run)

    def _keep_moment(self, step: int, wall_utc: str) -> None:
        """A disk that has not taken the last one yet is not asked again: the next moment replaces it anyway."""
        is_on_its_way = self._moment is not None and not self._moment.done()
        if is_on_its_way or step - self._moment_step < MOMENT_EVERY_S * STEPS_PER_S:
            return
        self._moment_step = step
        self._moment = self._moments.keep(self._run_id, LastMoment(step=step, t_wall_utc=wall_utc))

    def _look_after_writes(self) -> None:
        still = []
        for from_s, written in self._writing:
            if not written.done():
                still.append((from_s, written))
            elif written.exception() is not None:
                self._kept_s = min(self._kept_s, from_s)
                self._beats_kept_s = min(self._beats_kept_s, from_s - 1.0)
        self._writing = still

    def _write(self, run: Run) -> None:
        tracks, from_s = run.tracks, self._kept_s
        block = TrackBlock(
            t0_s=float(from_s),
            names=tracks.names,
            true=tracks.true[from_s:].astype(np.float32),
            shown=tracks.shown[from_s : len(tracks)].astype(np.float32),
        )
        beats = tracks.beats_s
        new_beats = beats[beats > self._beats_kept_s]
        rhythm = [change for change in tracks.rhythm if change[0] >= from_s]
        self._writing.append((from_s, self._store.append(self._run_id, block, new_beats.tolist(), rhythm)))
        self._kept_s = len(tracks)
        if len(new_beats):
            self._beats_kept_s = float(new_beats[-1])

    def _keep_snapshot(self, run: Run) -> None:
        self._snapshot_step = run.step
        body = run.machine.body
        record = SnapshotRecord(
            step=run.step, seq=run.state.last_seq, model_hash=body.model_hash(), blob=body.snapshot()
        )
        self._writing.append((self._kept_s, self._store.keep_snapshot(self._run_id, record)))
