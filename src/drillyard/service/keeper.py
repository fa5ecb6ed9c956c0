"""Keeps the tracks of a live run, and a snapshot of its body now and then, while it is played."""

from concurrent.futures import Future
from typing import Final

import numpy as np

from drillyard.core.session.events import STEPS_PER_S
from drillyard.core.session.run import Run
from drillyard.service.ports import TrackStore
from drillyard.service.records import SnapshotRecord, TrackBlock

TRACKS_EVERY_S: Final = 5
SNAPSHOT_EVERY_S: Final = 30


class Keeper:
    """Writes every few simulated seconds what is new.  A write that the disk refuses is made again later, since the
    tracks of the run itself hold everything."""

    def __init__(self, tracks: TrackStore, run_id: str) -> None:
        self._store, self._run_id = tracks, run_id
        self._kept_s = 0
        self._beats_kept_s = -1.0
        self._snapshot_step = 0
        self._writing: list[tuple[int, Future[None]]] = []

    def rewrite(self) -> None:
        """The body was recomputed: all true values are written anew."""
        self._kept_s, self._beats_kept_s = 0, -1.0

    def resume_at(self, run: Run) -> None:
        """After a recovery everything is written once more; what was shown stays as it was stored."""
        self.rewrite()
        self._snapshot_step = run.step

    def keep(self, run: Run) -> None:
        """Writes what is due."""
        self._look_after_writes()
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
