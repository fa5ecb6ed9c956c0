"""The log on disk: what is acknowledged is there, once, in order, and never changes."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from concurrent.futures import wait
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.care.actions import GiveDrug
from drillyard.core.quantities.faults import Refusal
from drillyard.core.session.events import CareGiven, Event
from drillyard.service.records import Appended
from tests.adapters.sql.conftest import note, run_record
from tests.core.session.strategies import events as any_events

SOURCE = Path(__file__).parents[3]


@pytest.fixture
def opened(store: SqlLabStore) -> SqlLabStore:
    store.runs.create(run_record(), []).result()
    return store


def test_events_come_back_in_order_of_their_numbers(opened: SqlLabStore) -> None:
    done = opened.events.append("run-1", [note(2), note(1)]).result()
    assert done == Appended(stored_seqs=(2, 1))
    opened.events.append("run-1", [note(3)]).result()
    assert opened.events.events("run-1") == [note(1), note(2), note(3)]
    assert opened.events.events("run-1", after_seq=1) == [note(2), note(3)]
    assert (opened.events.last_seq("run-1"), opened.events.last_seq("run-2")) == (3, 0)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(body=st.lists(any_events(), min_size=1, max_size=4, unique_by=(lambda e: e.seq, lambda e: e.client_id)))
def test_any_event_comes_back_the_same(opened: SqlLabStore, body: list[Event]) -> None:
    run_id = f"run-{time.monotonic_ns()}"
    opened.runs.create(run_record(run_id), []).result()
    opened.events.append(run_id, body).result()
    assert opened.events.events(run_id, after_seq=-1) == sorted(body, key=lambda event: event.seq)


def test_a_repeated_client_id_is_kept_once_and_told(opened: SqlLabStore) -> None:
    opened.events.append("run-1", [note(1)]).result()
    again = opened.events.append("run-1", [note(7, "c-1", "sent twice"), note(8)]).result()
    assert again == Appended(stored_seqs=(8,), repeated=("c-1",))
    assert opened.events.events("run-1") == [note(1), note(8)]
    opened.runs.create(run_record("run-2"), []).result()
    assert opened.events.append("run-2", [note(1)]).result().stored_seqs == (1,), "ids are unique within a run"


def test_an_append_is_kept_whole_or_not_at_all(opened: SqlLabStore) -> None:
    opened.events.append("run-1", [note(1)]).result()
    with pytest.raises(Refusal, match="contradict"):
        opened.events.append("run-1", [note(2), note(1, "other")]).result()
    assert opened.events.events("run-1") == [note(1)]


def test_a_bad_append_takes_no_other_with_it(opened: SqlLabStore) -> None:
    futures = [opened.events.append("run-1", [note(seq)]) for seq in (1, 2, 2, 3)]
    futures[2:3] = [opened.events.append("run-1", [note(2, "clash")])]
    futures.append(opened.events.append("no-such-run", [note(1)]))
    futures.append(opened.events.append("run-1", [note(4)]))
    wait(futures)
    assert [type(f.exception()) for f in futures[2:3] + futures[4:5]] == [Refusal, Refusal]
    assert [event.seq for event in opened.events.events("run-1")] == [1, 2, 3, 4]


def test_an_event_that_cannot_be_written_down_is_refused(opened: SqlLabStore) -> None:
    dose = GiveDrug(drug="fentanyl", dose=float("nan"), route="IV")
    bad = Event(
        seq=1, step=0, t_sim_s=0.0, t_wall_utc="", source="key", actor="", client_id="x",
        body=CareGiven(action=dose, text=""),
    )  # fmt: skip
    with pytest.raises(Refusal, match="nan"):
        opened.events.append("run-1", [bad]).result()
    assert opened.events.events("run-1") == []


@pytest.mark.parametrize("sql", ["UPDATE events SET line = '{}'", "DELETE FROM events"])
def test_the_log_cannot_be_rewritten(opened: SqlLabStore, tmp_path: Path, sql: str) -> None:
    opened.events.append("run-1", [note(1)]).result()
    other = sqlite3.connect(tmp_path / "lab.db")
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        other.execute(sql)
    other.close()
    assert opened.events.events("run-1") == [note(1)]


def test_a_crowd_of_writers_is_committed_in_groups(opened: SqlLabStore) -> None:
    before = opened._writer.n_commits
    futures = [opened.events.append("run-1", [note(seq)]) for seq in range(1, 2001)]
    wait(futures)
    assert all(future.exception() is None for future in futures)
    assert opened.events.last_seq("run-1") == 2000 and len(opened.events.events("run-1")) == 2000
    assert opened._writer.n_commits - before < 500, "group commit"


def test_a_reader_never_waits_for_the_writer(opened: SqlLabStore) -> None:
    opened.events.append("run-1", [note(1)]).result()
    blocked = sqlite3.connect(opened._writer._engine.url.database or "", isolation_level=None)
    blocked.execute("BEGIN IMMEDIATE")
    waiting = opened.events.append("run-1", [note(2)])
    started = time.monotonic()
    assert opened.events.events("run-1") == [note(1)]
    assert time.monotonic() - started < 1.0 and not waiting.done()
    blocked.execute("COMMIT")
    blocked.close()
    assert waiting.result(timeout=15).stored_seqs == (2,), "and the writer waits for another process"


def test_a_closed_store_refuses(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    last = store.events.append("run-1", [note(1)])
    store.close()
    assert last.result().stored_seqs == (1,), "what was queued is kept"
    with pytest.raises(Refusal, match="closed"):
        store.events.append("run-1", [note(2)]).result()
    store.close()


WRITES_FOR_EVER = """
import sys
from pathlib import Path
from drillyard.adapters.sql.lab_store import SqlLabStore
from tests.adapters.sql.conftest import note, run_record

store = SqlLabStore(Path(sys.argv[1]))
first = int(sys.argv[2])
if first == 1:
    store.runs.create(run_record(), []).result()
seq = first
while True:
    group = [store.events.append("run-1", [note(seq + k)]) for k in range(3)]
    for future in group:
        print(*future.result().stored_seqs, flush=True)
    seq += 3
"""


def test_a_killed_process_loses_nothing_that_it_acknowledged(tmp_path: Path) -> None:
    """kill -9 in the middle of writing, three times over."""
    acknowledged: list[int] = []
    for _ in range(3):
        first = (max(acknowledged) if acknowledged else 0) + 100 if acknowledged else 1
        process = subprocess.Popen(
            [sys.executable, "-c", WRITES_FOR_EVER, str(tmp_path), str(first)],
            stdout=subprocess.PIPE,
            text=True,
            cwd=SOURCE,
            env={**os.environ, "PYTHONPATH": os.pathsep.join([str(SOURCE / "src"), str(SOURCE)])},
        )
        assert process.stdout is not None
        n_before = len(acknowledged)
        for line in process.stdout:
            acknowledged += [int(word) for word in line.split()]
            if len(acknowledged) - n_before >= 60:
                process.send_signal(signal.SIGKILL)
                break
        acknowledged += [int(word) for line in process.stdout if line.endswith("\n") for word in line.split()]
        process.stdout.close()
        assert process.wait() == -signal.SIGKILL
    again = SqlLabStore(tmp_path)
    kept = {event.seq for event in again.events.events("run-1")}
    again.close()
    assert len(acknowledged) >= 180 and set(acknowledged) <= kept
    with sqlite3.connect(tmp_path / "lab.db") as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    raw.close()
