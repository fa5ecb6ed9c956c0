"""Runs, with the texts of the files that they used."""

import dataclasses
import hashlib
from collections.abc import Sequence
from concurrent.futures import Future

from sqlalchemy import Connection, Engine, insert, select, update
from sqlalchemy.dialects import sqlite

from drillyard.adapters.sql.schema import FILE_TEXTS, RUN_FILES, RUNS
from drillyard.adapters.sql.writer import Writer
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.service.records import FileCopy, RunRecord


class SqlRunStore:
    """Implements ``RunStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def create(self, run: RunRecord, files: Sequence[FileCopy]) -> "Future[None]":
        def work(connection: Connection) -> None:
            for file in files:
                _check_hash(file)
                text = {"sha256": file.sha256, "text": file.text}
                connection.execute(sqlite.insert(FILE_TEXTS).values(text).on_conflict_do_nothing())
            connection.execute(insert(RUNS).values(dataclasses.asdict(run)))
            for file in files:
                row = {"run_id": run.run_id, "role": file.role, "name": file.name, "sha256": file.sha256}
                connection.execute(insert(RUN_FILES).values(row))

        return self._writer.submit(work)

    def close(self, run_id: str, state: str, ended_wall_utc: str, outcome: str | None = None) -> "Future[None]":
        def work(connection: Connection) -> None:
            if state not in ("ended", "void"):
                raise Refusal(Fault(code="unknown state", said=f"a run cannot become '{state}'", allowed="ended, void"))
            change = {"state": state, "ended_wall_utc": ended_wall_utc, "outcome": outcome}
            if not connection.execute(update(RUNS).where(RUNS.c.run_id == run_id).values(change)).rowcount:
                raise Refusal(Fault(code="unknown run", said=f"there is no run '{run_id}'"))

        return self._writer.submit(work)

    def get(self, run_id: str) -> RunRecord | None:
        with self._reader.connect() as connection:
            row = connection.execute(select(RUNS).where(RUNS.c.run_id == run_id)).mappings().first()
            return None if row is None else RunRecord(**row)

    def files(self, run_id: str) -> list[FileCopy]:
        wanted = (
            select(RUN_FILES.c.role, RUN_FILES.c.name, FILE_TEXTS.c.text, FILE_TEXTS.c.sha256)
            .join(FILE_TEXTS, FILE_TEXTS.c.sha256 == RUN_FILES.c.sha256)
            .where(RUN_FILES.c.run_id == run_id)
            .order_by(RUN_FILES.c.id)
        )
        with self._reader.connect() as connection:
            return [FileCopy(**row) for row in connection.execute(wanted).mappings()]

    def newest(self, limit: int = 200, room: str | None = None) -> list[RunRecord]:
        wanted = select(RUNS).order_by(RUNS.c.created_wall_utc.desc(), RUNS.c.run_id.desc()).limit(limit)
        if room is not None:
            wanted = wanted.where(RUNS.c.room == room)
        with self._reader.connect() as connection:
            return [RunRecord(**row) for row in connection.execute(wanted).mappings()]

    def open_runs(self) -> list[RunRecord]:
        wanted = select(RUNS).where(RUNS.c.state == "open").order_by(RUNS.c.created_wall_utc)
        with self._reader.connect() as connection:
            return [RunRecord(**row) for row in connection.execute(wanted).mappings()]


def _check_hash(file: FileCopy) -> None:
    found = hashlib.sha256(file.text.encode()).hexdigest()
    if found != file.sha256:
        raise Refusal(
            Fault(
                code="wrong hash",
                said=f"the copy of '{file.name}' is not the text that its hash names",
                value=file.sha256,
                allowed=found,
                remedy="read the file again",
            )
        )
