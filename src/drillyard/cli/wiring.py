"""The one place that puts the lab together: files, lock, store, clock and body."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.lab_folder import LabFolder
from drillyard.adapters.files.lab_lock import LabLock
from drillyard.adapters.files.lab_names import known_names
from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.numerics.kernel import Kernel
from drillyard.service.clock import Clock, SystemClock
from drillyard.service.lab import Lab


@dataclass(frozen=True, slots=True)
class OpenLab:
    """A lab folder that is open and locked.  ``backup`` is the copy made before its database was migrated."""

    lab: Lab
    backup: Path | None


def load_kernel() -> Kernel:
    """The compiled body.  Imported here, so that the first page does not wait for it."""
    from drillyard.adapters.kernel import load_kernel as load

    return load()


@contextlib.contextmanager
def open_lab(folder: Path, clock: Clock | None = None) -> Iterator[OpenLab]:
    """Opens a lab folder until the block ends; a missing or empty one becomes the demonstration lab.

    Raises:
        Refusal: it is no lab folder, it is in use, it cannot be written, or a newer version wrote it.
    """
    files = LabFolder.open_or_create(folder, known_names())
    with LabLock(folder):
        store = SqlLabStore(folder)
        try:
            yield OpenLab(Lab(CaseFiles(files), store, clock or SystemClock(), load_kernel), store.backup)
        finally:
            store.close()
