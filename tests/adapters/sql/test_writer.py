"""The writer thread: full disks, failing disks, two writers, closing."""

import os
import resource
import sqlite3
import subprocess
import sys
import threading
from concurrent.futures import Future, wait
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event, text

from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.quantities.faults import Refusal
from tests.adapters.sql.conftest import note, run_record

SOURCE = Path(__file__).parents[3]
LONG = "x" * 20_000


def limit_pages(store: SqlLabStore, more: int) -> None:
    """From its next connection on, the writer's database cannot grow by more than ``more`` pages."""

    def limited(raw: Any, record: Any) -> None:
        del record
        pages = raw.execute("PRAGMA page_count").fetchone()[0]
        raw.execute(f"PRAGMA max_page_count={pages + more if more else 2**30}")

    store._writer._engine.dispose()
    event.listen(store._writer._engine, "connect", limited)
    store.unlimit = lambda: event.remove(store._writer._engine, "connect", limited)  # type: ignore[attr-defined]


def test_a_full_disk_is_refused_clearly_and_the_queue_goes_on(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    limit_pages(store, 4)
    futures = [store.events.append("run-1", [note(1)]), store.events.append("run-1", [note(2, text=LONG)]),
               store.events.append("run-1", [note(3)])]  # fmt: skip
    wait(futures)
    assert futures[0].result().stored_seqs == (1,)
    with pytest.raises(Refusal, match="disk is full and the entry was not kept") as caught:
        futures[1].result()
    assert caught.value.faults[0].code == "disk full" and "the patient goes on" in str(caught.value)
    assert futures[2].result().stored_seqs == (3,), "a small entry still fits"
    assert not store.is_full()
    with pytest.raises(Refusal, match="disk is full"):
        store.events.append("run-1", [note(4, text=LONG)]).result()
    assert store.is_full()
    store.unlimit()  # type: ignore[attr-defined]
    store._writer._engine.dispose()
    assert store.events.append("run-1", [note(4, text=LONG)]).result().stored_seqs == (4,)
    assert not store.is_full()
    assert [one.seq for one in store.events.events("run-1")] == [1, 3, 4]


LIMITED = """
import resource, sys
from pathlib import Path
from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.quantities.faults import Refusal
from tests.adapters.sql.conftest import note, run_record

store = SqlLabStore(Path(sys.argv[1]))
store.runs.create(run_record(), []).result()
store.events.append("run-1", [note(1)]).result()
size = max(file.stat().st_size for file in Path(sys.argv[1]).iterdir())
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 30_000, resource.RLIM_INFINITY))
refused = []
for seq in range(2, 12):
    try:
        store.events.append("run-1", [note(seq, text="x" * 20_000)]).result()
    except Refusal as refusal:
        refused.append((seq, refusal.faults[0].code, str(refusal)))
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
store.events.append("run-1", [note(99)]).result()
kept = [event.seq for event in store.events.events("run-1")]
store.close()
print(repr((refused, kept)))
"""


def test_a_file_that_may_not_grow_is_refused_and_the_queue_goes_on(tmp_path: Path) -> None:
    """A real limit of the operating system on the size of files, met in the middle of writing."""
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[1] == resource.RLIM_INFINITY, "the test needs to set a limit"
    answer = subprocess.run(
        [sys.executable, "-c", LIMITED, str(tmp_path)],
        capture_output=True,
        text=True,
        cwd=SOURCE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(SOURCE / "src"), str(SOURCE)])},
        check=False,
    )
    assert answer.returncode == 0, answer.stderr
    refused, kept = eval(answer.stdout)
    assert refused and {code for _, code, _ in refused} <= {"disk full", "disk failed"}
    assert all("the patient goes on" in sentence for _, _, sentence in refused)
    assert set(kept) == {1, 99} | (set(range(2, 12)) - {seq for seq, _, _ in refused})
    with sqlite3.connect(tmp_path / "lab.db") as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    raw.close()


def test_two_stores_on_one_file_take_turns(store: SqlLabStore, tmp_path: Path) -> None:
    """Not how it is used (the folder is locked), but no entry is lost if it happens."""
    store.runs.create(run_record(), []).result()
    other = SqlLabStore(tmp_path)
    futures: list[Future[Any]] = []
    for seq in range(1, 201):
        futures.append((store if seq % 2 else other).events.append("run-1", [note(seq)]))
    wait(futures)
    other.close()
    assert [future.exception() for future in futures] == [None] * 200
    assert store.events.last_seq("run-1") == 200 and len(store.events.events("run-1")) == 200


def test_a_write_is_visible_to_readers_once_its_future_is_done(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    seen: list[int] = []

    def look(future: Future[Any]) -> None:
        seen.append(store.events.last_seq("run-1"))

    for seq in range(1, 30):
        future = store.events.append("run-1", [note(seq)])
        future.add_done_callback(look)
        future.result()
    assert all(found >= seq for seq, found in enumerate(seen, start=1))


def test_a_cancelled_write_is_not_made(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    gate = threading.Event()
    store._writer.submit(lambda _: gate.wait(10))
    waiting = store.events.append("run-1", [note(1)])
    assert waiting.cancel()
    gate.set()
    store.events.append("run-1", [note(2)]).result()
    assert [one.seq for one in store.events.events("run-1")] == [2]


def test_durability_is_as_promised(store: SqlLabStore) -> None:
    def asked(connection: Any) -> list[Any]:
        names = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        return [connection.execute(text(f"PRAGMA {name}")).scalar() for name in names]

    assert store._writer.submit(asked).result() == ["wal", 2, 1, 10_000], "write-ahead log, synchronous FULL"
    with store._reader.connect() as connection, pytest.raises(Exception, match="readonly"):
        connection.execute(text("INSERT INTO settings VALUES ('a', '1')"))
