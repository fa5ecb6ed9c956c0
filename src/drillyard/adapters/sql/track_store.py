"""Tracks as stretches of numbers, and the newest snapshots of a run."""

import dataclasses
import json
import zlib
from collections.abc import Iterable, Sequence
from concurrent.futures import Future
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Connection, Engine, delete, insert, select

from drillyard.adapters.sql.schema import SNAPSHOTS, TRACKS
from drillyard.adapters.sql.writer import Writer
from drillyard.service.records import RhythmChange, SnapshotRecord, StoredTracks, TrackBlock

Floats = NDArray[np.float32]

SNAPSHOTS_KEPT: Final = 3
"""Snapshots of a run that stay; older ones make room."""


class SqlTrackStore:
    """Implements ``TrackStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def append(
        self,
        run_id: str,
        block: TrackBlock,
        beats_s: Sequence[float] = (),
        rhythm: Sequence[tuple[float, int]] = (),
    ) -> "Future[None]":
        # Packed here and now: the arrays may be views that change before the writer comes to them.
        row = {
            "run_id": run_id,
            "t0_s": block.t0_s,
            "dt_s": block.dt_s,
            "n_rows": len(block.true),
            "names": json.dumps(block.names),
            "true": _packed(block.true),
            "shown": _packed(block.shown),
            "beats_s": _packed(np.asarray(beats_s)),
            "rhythm": json.dumps([list(change) for change in rhythm]),
        }

        def work(connection: Connection) -> None:
            connection.execute(insert(TRACKS).values(row))

        return self._writer.submit(work)

    def read(self, run_id: str) -> StoredTracks | None:
        with self._reader.connect() as connection:
            wanted = select(TRACKS).where(TRACKS.c.run_id == run_id).order_by(TRACKS.c.id)
            rows = connection.execute(wanted).mappings().all()
        return _joined(rows) if rows else None

    def keep_snapshot(self, run_id: str, snapshot: SnapshotRecord) -> "Future[None]":
        row = {"run_id": run_id, **dataclasses.asdict(snapshot)}

        def work(connection: Connection) -> None:
            connection.execute(insert(SNAPSHOTS).values(row))
            kept = (
                select(SNAPSHOTS.c.id)
                .where(SNAPSHOTS.c.run_id == run_id)
                .order_by(SNAPSHOTS.c.id.desc())
                .limit(SNAPSHOTS_KEPT)
            )
            old = delete(SNAPSHOTS).where(SNAPSHOTS.c.run_id == run_id, SNAPSHOTS.c.id.not_in(kept))
            connection.execute(old)

        return self._writer.submit(work)

    def newest_snapshot(self, run_id: str, model_hash: str) -> SnapshotRecord | None:
        wanted = (
            select(SNAPSHOTS.c.step, SNAPSHOTS.c.seq, SNAPSHOTS.c.model_hash, SNAPSHOTS.c.blob)
            .where(SNAPSHOTS.c.run_id == run_id, SNAPSHOTS.c.model_hash == model_hash)
            .order_by(SNAPSHOTS.c.id.desc())
            .limit(1)
        )
        with self._reader.connect() as connection:
            row = connection.execute(wanted).mappings().first()
            return None if row is None else SnapshotRecord(**row)


def _packed(numbers: NDArray[Any]) -> bytes:
    return zlib.compress(np.ascontiguousarray(numbers, dtype="<f4").tobytes(), level=6)


def _unpacked(blob: bytes, n_columns: int) -> Floats:
    return np.frombuffer(zlib.decompress(blob), dtype="<f4").reshape(-1, n_columns)


def _joined(rows: Iterable[Any]) -> StoredTracks:
    """All stretches as one.

    A stretch holds the true values from its first second on: later true values of earlier stretches are of a course
    that a recomputation has replaced.  Shown values stay as they were first written.
    """
    names: dict[str, int] = {}
    true, shown = np.empty((0, 0), np.float32), np.empty((0, 0), np.float32)
    n_shown, dt_s = 0, 1.0
    beats: list[float] = []
    rhythm: list[RhythmChange] = []
    for row in rows:
        block_names = json.loads(row["names"])
        for name in block_names:
            names.setdefault(name, len(names))
        dt_s, first = row["dt_s"], round(row["t0_s"] / row["dt_s"])
        end = first + row["n_rows"]
        columns = [names[name] for name in block_names]
        true, shown = _widened(true[:first], end, len(names)), _widened(shown, max(end, n_shown), len(names))
        true[first:end, columns] = _unpacked(row["true"], len(block_names))
        new_from = max(first, n_shown)
        shown[new_from:end, columns] = _unpacked(row["shown"], len(block_names))[new_from - first :]
        n_shown = max(n_shown, end)
        # Beats of a second are noted at its end.
        beats = [beat for beat in beats if beat <= row["t0_s"] - row["dt_s"]] + _unpacked(row["beats_s"], 1)[
            :, 0
        ].tolist()
        rhythm = [change for change in rhythm if change.t_s < row["t0_s"]]
        rhythm += [RhythmChange(t_s=t_s, rhythm_code=code) for t_s, code in json.loads(row["rhythm"])]
    block = TrackBlock(t0_s=0.0, dt_s=dt_s, names=tuple(names), true=true, shown=shown)
    return StoredTracks(block=block, beats_s=np.asarray(beats, dtype=np.float32), rhythm=tuple(rhythm))


def _widened(numbers: Floats, n_rows: int, n_columns: int) -> Floats:
    """The numbers in an array of at least that size, NaN where there was none."""
    wide = np.full((max(n_rows, len(numbers)), n_columns), np.nan, np.float32)
    wide[: len(numbers), : numbers.shape[1]] = numbers
    return wide
