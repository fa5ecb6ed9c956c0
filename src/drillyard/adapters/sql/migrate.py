"""Brings a lab's database to this version: made new, left alone, migrated after a back-up, or refused.

A database whose version this program does not know is newer and is never touched.
"""

import sqlite3
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from drillyard.adapters.sql.engine import migration_engine
from drillyard.core.quantities.faults import Fault, Refusal

MIGRATIONS: Final = Path(__file__).parent / "migrations"
BACKUPS: Final = "backups"


def config_for(connection: Connection) -> Config:
    """Alembic's configuration around an open connection."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def newest_version() -> str:
    """The version of the tables that this program writes."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return ScriptDirectory.from_config(config).get_current_head() or ""


def known_versions() -> frozenset[str]:
    """All versions that this program can bring up to its own."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return frozenset(script.revision for script in ScriptDirectory.from_config(config).walk_revisions())


def bring_up_to_date(database: Path) -> Path | None:
    """Makes or migrates ``database``.

    Returns:
        the back-up that was made before a migration, None when none was needed.

    Raises:
        Refusal: the file is of a newer version, is no database, or the migration failed; then the file is as it was.
    """
    is_new = not database.exists() or database.stat().st_size == 0
    version = None if is_new else _version_of(database)
    if version is not None and version not in known_versions():
        raise Refusal(
            Fault(
                code="newer lab folder",
                said=f"'{database}' was written by a newer version of Drillyard (its tables are '{version}')",
                allowed=f"up to '{newest_version()}'",
                remedy="install the newer version, or restore the back-up made before it was first used",
            )
        )
    if version == newest_version():
        return None
    backup = None if is_new else back_up(database, version or "empty")
    engine = migration_engine(database)
    try:
        with engine.connect() as connection:
            command.upgrade(config_for(connection), "head")
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise RuntimeError(f"{len(broken)} rows refer to rows that are not there")
    except Exception as wrong:
        kept = f"; the back-up is '{backup}'" if backup else ""
        raise Refusal(
            Fault(
                code="migration failed",
                said=f"'{database}' could not be brought to this version ({_reason(wrong)})",
                remedy=f"start the version that wrote it, and report this{kept}",
            )
        ) from wrong
    finally:
        engine.dispose()
    return backup


def back_up(database: Path, version: str) -> Path:
    """A whole, checked copy of the database in the folder ``backups`` beside it.

    Raises:
        Refusal: the copy could not be written or does not check.
    """
    folder = database.parent / BACKUPS
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S")
    target = folder / f"{database.stem}-{version}-{stamp}{database.suffix}"
    try:
        folder.mkdir(exist_ok=True)
        source, copy = sqlite3.connect(database), sqlite3.connect(target)
        try:
            source.backup(copy)
            (verdict,) = copy.execute("PRAGMA integrity_check").fetchone()
        finally:
            source.close()
            copy.close()
    except (sqlite3.Error, OSError) as wrong:
        verdict = str(wrong)
    if verdict != "ok":
        with suppress(OSError):
            target.unlink()
        raise Refusal(
            Fault(
                code="no back-up",
                said=f"the back-up of '{database}' before its migration could not be made ({verdict})",
                remedy="free space on the disk of the lab folder and start again; nothing has been changed",
            )
        )
    return target


def _version_of(database: Path) -> str | None:
    """The version that the database says it has; None for a database without tables of ours."""
    engine = migration_engine(database)
    try:
        with engine.connect() as connection:
            return MigrationContext.configure(connection).get_current_revision()
    except Exception as wrong:
        raise Refusal(
            Fault(
                code="no database",
                said=f"'{database}' cannot be read as a database ({_reason(wrong)})",
                remedy="restore it from a back-up with 'drillyard restore', or move it away to start an empty one",
            )
        ) from wrong
    finally:
        engine.dispose()


def _reason(wrong: Exception) -> str:
    """The database's own words in one line, without the statement around them."""
    return str(getattr(wrong, "orig", None) or wrong).partition("\n")[0]
