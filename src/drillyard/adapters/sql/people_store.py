"""People, who has met which case, and notes of the debrief."""

import dataclasses
from collections.abc import Sequence
from concurrent.futures import Future

from sqlalchemy import Connection, Engine, select
from sqlalchemy.dialects.sqlite import insert

from drillyard.adapters.sql.schema import EXPOSURE, NOTES, PEOPLE
from drillyard.adapters.sql.writer import Writer
from drillyard.service.records import DebriefNote, Exposure, Person


class SqlPeopleStore:
    """Implements ``PeopleStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def save(self, person: Person) -> "Future[None]":
        row = dataclasses.asdict(person)

        def work(connection: Connection) -> None:
            added = insert(PEOPLE).values(row)
            connection.execute(added.on_conflict_do_update(index_elements=["person_id"], set_=row))

        return self._writer.submit(work)

    def people(self, include_inactive: bool = False) -> list[Person]:
        wanted = select(PEOPLE).order_by(PEOPLE.c.name, PEOPLE.c.person_id)
        if not include_inactive:
            wanted = wanted.where(PEOPLE.c.is_active)
        with self._reader.connect() as connection:
            return [Person(**row) for row in connection.execute(wanted).mappings()]

    def add_exposure(self, exposures: Sequence[Exposure]) -> "Future[None]":
        rows = [dataclasses.asdict(exposure) for exposure in exposures]

        def work(connection: Connection) -> None:
            again = ["person_id", "run_id", "scenario"]
            for row in rows:
                connection.execute(insert(EXPOSURE).values(row).on_conflict_do_nothing(index_elements=again))

        return self._writer.submit(work)

    def exposures(self, person_ids: Sequence[str] | None = None) -> list[Exposure]:
        columns = [column for column in EXPOSURE.c if column.name != "id"]
        wanted = select(*columns).order_by(EXPOSURE.c.met_wall_utc, EXPOSURE.c.id)
        if person_ids is not None:
            wanted = wanted.where(EXPOSURE.c.person_id.in_(person_ids))
        with self._reader.connect() as connection:
            return [Exposure(**row) for row in connection.execute(wanted).mappings()]


class SqlNoteStore:
    """Implements ``NoteStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def save(self, note: DebriefNote) -> "Future[None]":
        row = dataclasses.asdict(note)

        def work(connection: Connection) -> None:
            added = insert(NOTES).values(row)
            connection.execute(added.on_conflict_do_update(index_elements=["note_id"], set_=row))

        return self._writer.submit(work)

    def notes(self, run_id: str) -> list[DebriefNote]:
        wanted = (
            select(NOTES)
            .where(NOTES.c.run_id == run_id, ~NOTES.c.is_removed)
            .order_by(NOTES.c.written_wall_utc, NOTES.c.note_id)
        )
        with self._reader.connect() as connection:
            return [DebriefNote(**row) for row in connection.execute(wanted).mappings()]
