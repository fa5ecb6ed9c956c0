"""Migrations: up, down and up again; a back-up first; a newer folder is refused and left alone."""

import hashlib
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from sqlalchemy import inspect

from drillyard.adapters.sql import migrate
from drillyard.adapters.sql.engine import migration_engine
from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.adapters.sql.migrate import back_up, bring_up_to_date, config_for, newest_version
from drillyard.adapters.sql.schema import METADATA
from drillyard.core.quantities.faults import Refusal
from drillyard.service.records import LastMoment
from tests.adapters.sql.conftest import note, run_record


def run_alembic(database: Path, step: str, *arguments: Any) -> None:
    engine = migration_engine(database)
    try:
        with engine.connect() as connection:
            getattr(command, step)(config_for(connection), *arguments)
    finally:
        engine.dispose()


def tables(database: Path) -> set[str]:
    engine = migration_engine(database)
    try:
        return set(inspect(engine).get_table_names()) - {"alembic_version"}
    finally:
        engine.dispose()


def test_up_down_and_up_again(tmp_path: Path) -> None:
    database = tmp_path / "lab.db"
    assert bring_up_to_date(database) is None
    assert tables(database) == set(METADATA.tables)
    run_alembic(database, "downgrade", "base")
    assert tables(database) == set()
    run_alembic(database, "upgrade", "head")
    assert tables(database) == set(METADATA.tables)


def test_the_migrations_lead_to_the_tables_that_the_program_uses(tmp_path: Path) -> None:
    database = tmp_path / "lab.db"
    bring_up_to_date(database)
    run_alembic(database, "check")
    with sqlite3.connect(database) as raw:
        raw.execute("ALTER TABLE notes ADD COLUMN colour TEXT")
    raw.close()
    with pytest.raises(Exception, match="colour"):
        run_alembic(database, "check")


def test_a_folder_of_this_version_is_left_alone(tmp_path: Path) -> None:
    store = SqlLabStore(tmp_path)
    assert store.backup is None
    store.close()
    assert bring_up_to_date(tmp_path / "lab.db") is None
    assert not (tmp_path / "backups").exists()


def test_a_lab_of_the_first_version_keeps_its_runs_and_can_hold_their_moments(tmp_path: Path) -> None:
    store = SqlLabStore(tmp_path)
    store.runs.create(run_record(), []).result()
    store.events.append("run-1", [note(1)]).result()
    store.close()
    run_alembic(tmp_path / "lab.db", "downgrade", "0001")
    assert "moments" not in tables(tmp_path / "lab.db")
    store = SqlLabStore(tmp_path)
    assert store.backup is not None and "moments" not in tables(store.backup)
    assert store.events.events("run-1") == [note(1)] and store.moments.newest("run-1") is None
    for step in (100, 200):
        store.moments.keep("run-1", LastMoment(step=step, t_wall_utc="2026-03-02T09:00:00.000+00:00")).result()
    moment = store.moments.newest("run-1")
    assert moment is not None and moment.step == 200
    store.close()


def test_a_newer_folder_is_refused_with_advice_and_not_touched(tmp_path: Path) -> None:
    database = tmp_path / "lab.db"
    bring_up_to_date(database)
    with sqlite3.connect(database) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
    raw.close()
    before = hashlib.sha256(database.read_bytes()).hexdigest()
    with pytest.raises(Refusal, match=r"newer version of Drillyard \(its tables are '9999'\).*install the newer"):
        SqlLabStore(tmp_path)
    assert hashlib.sha256(database.read_bytes()).hexdigest() == before and not (tmp_path / "backups").exists()


def older_lab(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, statement: str) -> Path:
    """A lab of today and a program that knows one more, which runs ``statement``."""
    store = SqlLabStore(tmp_path / "lab" if (tmp_path / "lab").mkdir() is None else tmp_path)
    store.runs.create(run_record(), []).result()
    store.events.append("run-1", [note(1)]).result()
    store.close()
    newer = tmp_path / "migrations"
    (newer / "versions").mkdir(parents=True)
    for file in [migrate.MIGRATIONS / "env.py", *(migrate.MIGRATIONS / "versions").glob("0*.py")]:
        (newer / file.relative_to(migrate.MIGRATIONS)).write_text(file.read_text())
    (newer / "versions" / "next.py").write_text(
        f"from alembic import op\nrevision = 'next'\ndown_revision = {newest_version()!r}\n"
        f"def upgrade():\n    op.execute('CREATE TABLE added (a INTEGER)')\n    op.execute({statement!r})\n"
    )
    monkeypatch.setattr(migrate, "MIGRATIONS", newer)
    return tmp_path / "lab" / "lab.db"


def test_a_migration_makes_a_whole_back_up_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    database = older_lab(tmp_path, monkeypatch, "SELECT 1")
    with sqlite3.connect(database) as raw:
        (known,) = raw.execute("SELECT version_num FROM alembic_version").fetchone()
    raw.close()
    backup = bring_up_to_date(database)
    assert backup is not None and backup.parent == database.parent / "backups"
    assert "added" in tables(database) and "added" not in tables(backup)
    with sqlite3.connect(backup) as raw:
        assert raw.execute("SELECT count(*) FROM events").fetchone() == (1,)
        assert raw.execute("SELECT version_num FROM alembic_version").fetchone() == (known,)
    raw.close()


def test_a_migration_that_fails_leaves_the_folder_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    database = older_lab(tmp_path, monkeypatch, "INSERT INTO nowhere VALUES (1)")
    before = tables(database)
    with pytest.raises(Refusal, match=r"could not be brought to this version.*the back-up is '.*backups"):
        bring_up_to_date(database)
    assert tables(database) == before
    monkeypatch.undo()
    store = SqlLabStore(database.parent)
    assert store.events.events("run-1") == [note(1)]
    store.close()


def test_without_a_back_up_nothing_is_migrated(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    database = older_lab(tmp_path, monkeypatch, "SELECT 1")
    (database.parent / "backups").write_text("a file where a folder should be")
    with pytest.raises(Refusal, match="nothing has been changed"):
        bring_up_to_date(database)
    assert "added" not in tables(database)


def test_a_file_that_is_no_database_is_refused_and_kept(tmp_path: Path) -> None:
    database = tmp_path / "lab.db"
    database.write_bytes(b"these are my notes, not a database" * 50)
    with pytest.raises(Refusal, match="cannot be read as a database"):
        bring_up_to_date(database)
    assert database.read_bytes().startswith(b"these are my notes")


def test_a_back_up_holds_what_is_still_in_the_write_ahead_log(tmp_path: Path) -> None:
    store = SqlLabStore(tmp_path)
    store.runs.create(run_record(), []).result()
    copy = back_up(tmp_path / "lab.db", "now")
    store.close()
    with sqlite3.connect(copy) as raw:
        assert raw.execute("SELECT run_id FROM runs").fetchall() == [("run-1",)]
    raw.close()
