"""Connections to ``lab.db``: one kind that writes, one that only reads, one for migrations."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Engine, create_engine, event
from sqlalchemy.pool import NullPool

BUSY_MS = 10_000
"""How long a connection waits for another process that writes."""


def writer_engine(path: Path) -> Engine:
    """The engine of the writer thread: durable at each commit, and first to ask for the write lock."""
    return _engine(
        path,
        ["PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL", "PRAGMA foreign_keys=ON"],
        # With a plain BEGIN, a read before the first write fails at once when another writer got in between.
        "BEGIN IMMEDIATE",
        pool_size=1,
        max_overflow=0,
    )


def reader_engine(path: Path) -> Engine:
    """An engine that cannot write and never waits for the writer."""
    return _engine(path, ["PRAGMA query_only=ON"], "BEGIN", pool_size=4)


def migration_engine(path: Path) -> Engine:
    """An engine for migrations.  Foreign keys are off while tables are rebuilt; they are checked at the end."""
    pragmas = ["PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL", "PRAGMA foreign_keys=OFF"]
    return _engine(path, pragmas, "BEGIN IMMEDIATE", poolclass=NullPool)


def _engine(path: Path, pragmas: list[str], begin: str, **options: Any) -> Engine:
    engine = create_engine(URL.create("sqlite", database=str(path)), **options)
    event.listen(engine, "connect", _on_connect([f"PRAGMA busy_timeout={BUSY_MS}", *pragmas]))
    event.listen(engine, "begin", lambda connection: connection.exec_driver_sql(begin))
    return engine


def _on_connect(pragmas: list[str]) -> Callable[[Any, Any], None]:
    def prepare(raw: Any, record: Any) -> None:
        del record
        # The driver shall begin no transaction of its own; SQLAlchemy's "begin" does.
        raw.isolation_level = None
        cursor = raw.cursor()
        for pragma in pragmas:
            cursor.execute(pragma)
        cursor.close()

    return prepare
