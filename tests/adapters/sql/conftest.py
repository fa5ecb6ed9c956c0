"""A lab folder with its database, and small records."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.session.events import Event, NoteWritten
from drillyard.service.records import FileCopy, RunRecord


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqlLabStore]:
    opened = SqlLabStore(tmp_path)
    yield opened
    opened.close()


def run_record(run_id: str = "run-1", **changes: Any) -> RunRecord:
    plain: dict[str, Any] = {
        "run_id": run_id, "room": "room-1", "title": "Tractor", "scenario": "tractor", "scenario_hash": "ab",
        "manikin": "adult", "manikin_hash": "cd", "body_hash": "ef", "seed": 2**31 - 1, "purpose": "rehearsal",
        "created_wall_utc": "2026-05-04T09:00:00+00:00", "zone": "Europe/Lisbon",
    }  # fmt: skip
    return RunRecord(**(plain | changes))


def note(seq: int, client_id: str = "", text: str = "n") -> Event:
    return Event(
        seq=seq, step=seq * 5, t_sim_s=seq * 0.05, t_wall_utc="2026-05-04T09:00:00+00:00", source="key", actor="op",
        client_id=client_id or f"c-{seq}", body=NoteWritten(text=text),
    )  # fmt: skip


def file_copy(name: str = "tractor.yaml", text: str = "format: 1\n", role: str = "scenario") -> FileCopy:
    return FileCopy(role=role, name=name, text=text, sha256=hashlib.sha256(text.encode()).hexdigest())  # type: ignore[arg-type]
