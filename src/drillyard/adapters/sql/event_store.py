"""The log on disk."""

from collections.abc import Sequence
from concurrent.futures import Future
from typing import Any

from sqlalchemy import Connection, Engine, func, select
from sqlalchemy.dialects.sqlite import insert

from drillyard.adapters.sql.schema import EVENTS
from drillyard.adapters.sql.writer import Writer
from drillyard.core.quantities.faults import Place, Refusal
from drillyard.core.session.codec import event_from_line, event_to_line
from drillyard.core.session.events import Event
from drillyard.service.records import Appended


class SqlEventStore:
    """Implements ``EventStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def append(self, run_id: str, events: Sequence[Event]) -> "Future[Appended]":
        try:
            rows: list[dict[str, Any]] = [
                {
                    "run_id": run_id,
                    "seq": event.seq,
                    "client_id": event.client_id,
                    "kind": event.body.kind,
                    "step": event.step,
                    "line": event_to_line(event),
                }
                for event in events
            ]
        except Refusal as refusal:
            refused: Future[Appended] = Future()
            refused.set_exception(refusal)
            return refused

        def work(connection: Connection) -> Appended:
            stored: list[int] = []
            repeated: list[str] = []
            for row in rows:
                again = insert(EVENTS).values(row).on_conflict_do_nothing(index_elements=["run_id", "client_id"])
                if connection.execute(again).rowcount:
                    stored.append(row["seq"])
                else:
                    repeated.append(row["client_id"])
            return Appended(stored_seqs=tuple(stored), repeated=tuple(repeated))

        return self._writer.submit(work)

    def events(self, run_id: str, after_seq: int = 0) -> list[Event]:
        """The events of a run with ``seq`` above ``after_seq``, in order of ``seq``.

        Raises:
            Refusal: an event was written by a newer version, or the database was changed by hand.
        """
        wanted = (
            select(EVENTS.c.seq, EVENTS.c.line)
            .where(EVENTS.c.run_id == run_id, EVENTS.c.seq > after_seq)
            .order_by(EVENTS.c.seq)
        )
        with self._reader.connect() as connection:
            return [
                event_from_line(line, Place(file="lab.db", field=f"run {run_id}, event {seq}"))
                for seq, line in connection.execute(wanted)
            ]

    def last_seq(self, run_id: str) -> int:
        with self._reader.connect() as connection:
            newest = connection.scalar(select(func.max(EVENTS.c.seq)).where(EVENTS.c.run_id == run_id))
            return int(newest or 0)
