"""All stores of one lab folder on one SQLite file."""

from pathlib import Path
from typing import Final

from drillyard.adapters.sql.engine import reader_engine, writer_engine
from drillyard.adapters.sql.event_store import SqlEventStore
from drillyard.adapters.sql.migrate import bring_up_to_date
from drillyard.adapters.sql.moment_store import SqlMomentStore
from drillyard.adapters.sql.people_store import SqlNoteStore, SqlPeopleStore
from drillyard.adapters.sql.run_store import SqlRunStore
from drillyard.adapters.sql.session_store import SqlSessionStore
from drillyard.adapters.sql.settings_store import SqlSettingsStore
from drillyard.adapters.sql.track_store import SqlTrackStore
from drillyard.adapters.sql.writer import Writer

DATABASE: Final = "lab.db"


class SqlLabStore:
    """Implements ``LabStore``.  The caller holds the lock of the lab folder (``adapters/files/lab_lock.py``)."""

    def __init__(self, folder: Path) -> None:
        """Opens the folder's database, made or migrated as needed.  ``backup`` is the copy made before a migration.

        Raises:
            Refusal: as ``bring_up_to_date``.
        """
        database = folder / DATABASE
        self.backup = bring_up_to_date(database)
        self._reader = reader_engine(database)
        self._writer = Writer(writer_engine(database))
        self.events = SqlEventStore(self._writer, self._reader)
        self.runs = SqlRunStore(self._writer, self._reader)
        self.tracks = SqlTrackStore(self._writer, self._reader)
        self.moments = SqlMomentStore(self._writer, self._reader)
        self.people = SqlPeopleStore(self._writer, self._reader)
        self.sessions = SqlSessionStore(self._writer, self._reader)
        self.notes = SqlNoteStore(self._writer, self._reader)
        self.settings = SqlSettingsStore(self._writer, self._reader)

    def is_full(self) -> bool:
        """True while the last write was refused for want of space."""
        return self._writer.is_full

    def close(self) -> None:
        """Waits for what is queued, then closes.  Later writes are refused."""
        self._writer.close()
        self._reader.dispose()
