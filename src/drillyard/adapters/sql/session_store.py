"""Sessions: bookings with crew, agreements, counts and ticks."""

import dataclasses
from collections.abc import Mapping, Sequence
from concurrent.futures import Future
from typing import Any

from sqlalchemy import Connection, Engine, Table, delete, select
from sqlalchemy import insert as plain_insert
from sqlalchemy.dialects.sqlite import insert

from drillyard.adapters.sql.schema import SESSION_COUNTS, SESSION_CREW, SESSION_TICKS, SESSIONS
from drillyard.adapters.sql.writer import Writer
from drillyard.service.records import Count, CrewMember, SafetyTick, SessionRecord

PARTS: tuple[tuple[str, Table, type], ...] = (
    ("crew", SESSION_CREW, CrewMember),
    ("counts", SESSION_COUNTS, Count),
    ("ticks", SESSION_TICKS, SafetyTick),
)


class SqlSessionStore:
    """Implements ``SessionStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def save(self, session: SessionRecord) -> "Future[None]":
        row = dataclasses.asdict(session)
        lists = {name: row.pop(name) for name, _, _ in PARTS}

        def work(connection: Connection) -> None:
            added = insert(SESSIONS).values(row)
            connection.execute(added.on_conflict_do_update(index_elements=["session_id"], set_=row))
            for name, table, _ in PARTS:
                connection.execute(delete(table).where(table.c.session_id == session.session_id))
                for part in lists[name]:
                    connection.execute(plain_insert(table).values({**part, "session_id": session.session_id}))

        return self._writer.submit(work)

    def get(self, session_id: str) -> SessionRecord | None:
        with self._reader.connect() as connection:
            rows = connection.execute(select(SESSIONS).where(SESSIONS.c.session_id == session_id)).mappings().all()
            return next(iter(_whole(connection, rows)), None)

    def newest(self, limit: int = 200) -> list[SessionRecord]:
        wanted = select(SESSIONS).order_by(SESSIONS.c.created_wall_utc.desc(), SESSIONS.c.session_id).limit(limit)
        with self._reader.connect() as connection:
            return _whole(connection, connection.execute(wanted).mappings().all())


def _whole(connection: Connection, rows: Sequence[Mapping[Any, Any]]) -> list[SessionRecord]:
    """The sessions of ``rows`` with their lists."""
    ids = [row["session_id"] for row in rows]
    lists: dict[str, dict[str, list[Any]]] = {}
    for name, table, kind in PARTS:
        by_session = lists.setdefault(name, {session_id: [] for session_id in ids})
        found = connection.execute(select(table).where(table.c.session_id.in_(ids)).order_by(table.c.id)).mappings()
        for part in found:
            values = {column: value for column, value in part.items() if column not in ("id", "session_id")}
            by_session[part["session_id"]].append(kind(**values))
    whole = []
    for row in rows:
        parts: dict[str, Any] = {name: tuple(lists[name][row["session_id"]]) for name, _, _ in PARTS}
        whole.append(SessionRecord(**row, **parts))
    return whole
