"""The one writer of a lab: a thread that takes what is queued and commits it as one group.

A future is done only after the commit that holds its work.  When a group cannot be kept, each piece of work is tried
alone, so that one that is too large, or wrong, takes no other with it.
"""

import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any, Final, TypeVar

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from drillyard.core.quantities.faults import Fault, Refusal

T = TypeVar("T")
Work = Callable[[Connection], T]

GROUP: Final = 256
"""Most pieces of work in one commit."""


@dataclass(frozen=True, slots=True)
class _Job:
    work: Work[Any]
    future: "Future[Any]"


class Writer:
    """Takes work from any thread.  Callbacks of its futures run in the writer's thread and must be short."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._queue: SimpleQueue[_Job | None] = SimpleQueue()
        self._lock = threading.Lock()
        self._is_closed = False
        self.is_full = False
        self.n_commits = 0
        self._thread = threading.Thread(target=self._loop, name="lab-writer", daemon=True)
        self._thread.start()

    def submit(self, work: Work[T]) -> "Future[T]":
        """Queues ``work``, which gets the open connection, and says when it is on disk."""
        future: Future[T] = Future()
        with self._lock:
            if self._is_closed:
                future.set_exception(Refusal(_CLOSED))
            else:
                self._queue.put(_Job(work, future))
        return future

    def close(self) -> None:
        """Waits until all that is queued has been committed or refused, then ends the thread."""
        with self._lock:
            if self._is_closed:
                return
            self._is_closed = True
            self._queue.put(None)
        self._thread.join()
        self._engine.dispose()

    def _loop(self) -> None:
        is_open = True
        while is_open:
            first = self._queue.get()
            group = [] if first is None else [first]
            is_open = first is not None
            while is_open and len(group) < GROUP and not self._queue.empty():
                job = self._queue.get()
                if job is None:
                    is_open = False
                else:
                    group.append(job)
            self._keep([job for job in group if job.future.set_running_or_notify_cancel()])

    def _keep(self, group: list[_Job]) -> None:
        if not group:
            return
        try:
            done = self._commit(group)
        except Exception as wrong:  # noqa: BLE001 - told to those whose work it was
            if len(group) > 1:
                for job in group:
                    self._keep([job])
                return
            # A connection that met a full or failing disk is not trusted any more.
            self._engine.dispose()
            refusal = _refusal_of(wrong)
            self.is_full = refusal is not None and refusal.faults[0].code == "disk full"
            group[0].future.set_exception(refusal or wrong)
            return
        self.is_full = False
        self.n_commits += 1
        for job, (result, wrong_of_job) in zip(group, done, strict=True):
            if wrong_of_job is not None:
                job.future.set_exception(wrong_of_job)
            else:
                job.future.set_result(result)

    def _commit(self, group: list[_Job]) -> list[tuple[Any, Exception | None]]:
        done: list[tuple[Any, Exception | None]] = []
        with self._engine.begin() as connection:
            for job in group:
                savepoint = connection.begin_nested()
                try:
                    result = job.work(connection)
                except OperationalError:
                    # The disk is full or fails.  SQLite may have rolled back everything by itself, savepoint and all,
                    # so nothing of the group holds and there is nothing to go back to.
                    raise
                except Exception as wrong:  # noqa: BLE001 - told to the one whose work it was
                    savepoint.rollback()
                    done.append((None, Refusal(_clash(wrong)) if isinstance(wrong, IntegrityError) else wrong))
                else:
                    savepoint.commit()
                    done.append((result, None))
        return done


_CLOSED: Final = Fault(
    code="closed",
    said="the lab folder is closed and takes nothing more",
    remedy="start the server again",
)


def _clash(wrong: IntegrityError) -> Fault:
    return Fault(
        code="clash",
        said=f"the lab folder holds something that this would contradict ({wrong.orig})",
        remedy="load the page again and repeat the entry",
    )


def _refusal_of(wrong: Exception) -> Refusal | None:
    raw = wrong.orig if isinstance(wrong, DBAPIError) else wrong
    name = getattr(raw, "sqlite_errorname", "") if isinstance(raw, sqlite3.Error) else ""
    if name == "SQLITE_FULL":
        return Refusal(
            Fault(
                code="disk full",
                said="the disk is full and the entry was not kept",
                remedy="free space on the disk of the lab folder and enter it again; the patient goes on",
            )
        )
    if name.startswith("SQLITE_IOERR"):
        return Refusal(
            Fault(
                code="disk failed",
                said=f"the disk did not take the entry ({raw})",
                remedy="check the disk of the lab folder and its free space, then enter it again; the patient goes on",
            )
        )
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return Refusal(
            Fault(
                code="disk busy",
                said="another program holds the lab's database and the entry was not kept",
                remedy="close the other program and enter it again",
            )
        )
    if name.startswith("SQLITE_READONLY"):
        return Refusal(
            Fault(
                code="read only",
                said="the lab folder cannot be written",
                remedy="give this user the right to write there and start the server again",
            )
        )
    return wrong if isinstance(wrong, Refusal) else None
