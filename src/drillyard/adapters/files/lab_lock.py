"""The lock on a lab folder: one server at a time.

The operating system holds the lock and lets go of it when the process ends, however it ends, so nothing has to be
cleaned up after a crash.  The text in the lock file only says who holds it.
"""

import json
import os
import platform
import sys
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import IO, Final, Self

from drillyard.core.quantities.faults import Fault, Refusal

LOCK_FILE: Final = "lab.lock"
_LOCKED_BYTE: Final = 4096
"""Beyond the text, which others must be able to read while the byte is locked."""


class LabLock:
    """Held from ``take`` to ``release``, or in a ``with`` block."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / LOCK_FILE
        self._file: IO[str] | None = None

    def take(self) -> Self:
        """Takes the lock.

        Raises:
            Refusal: another program has the folder open, or it cannot be written.
        """
        try:
            file = self._path.open("a+", encoding="utf-8")
        except OSError as wrong:
            raise Refusal(
                Fault(
                    code="lab folder not writable",
                    said=f"'{self._path.parent}' cannot be used as a lab folder ({wrong.strerror})",
                    remedy="choose a folder that exists and that you may write to",
                )
            ) from None
        if not _lock(file):
            file.seek(0)
            text = file.read()
            file.close()
            raise Refusal(
                Fault(
                    code="lab folder in use",
                    said=f"the lab folder '{self._path.parent}' is in use by {_holder(text)}",
                    remedy="close it there, or choose another folder with --lab",
                )
            )
        file.seek(0)
        file.truncate()
        me = {"pid": os.getpid(), "machine": platform.node(), "since": datetime.now(UTC).isoformat(timespec="seconds")}
        file.write(json.dumps(me))
        file.flush()
        self._file = file
        return self

    def release(self) -> None:
        """Lets go of the lock; a second call does nothing."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def __enter__(self) -> Self:
        return self.take()

    def __exit__(
        self, kind: type[BaseException] | None, wrong: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.release()


def _holder(text: str) -> str:
    try:
        holder = json.loads(text)
        return f"process {holder['pid']} on {holder['machine']} since {holder['since']}"
    except (ValueError, KeyError, TypeError):
        return "another program"


if sys.platform == "win32":  # pragma: no cover - untested platform
    import msvcrt

    def _lock(file: IO[str]) -> bool:
        file.seek(_LOCKED_BYTE)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _lock(file: IO[str]) -> bool:
        try:
            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True
