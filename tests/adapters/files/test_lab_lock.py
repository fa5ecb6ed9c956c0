"""One server a lab folder."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from drillyard.adapters.files.lab_lock import LabLock
from drillyard.core.quantities.faults import Refusal

SOURCE = Path(__file__).parents[3]
HOLDS = """
import sys, time
from pathlib import Path
from drillyard.adapters.files.lab_lock import LabLock
lock = LabLock(Path(sys.argv[1])).take()
print("held", flush=True)
time.sleep(60)
"""


def test_a_second_taker_is_told_who_holds_the_folder(tmp_path: Path) -> None:
    with (
        LabLock(tmp_path),
        pytest.raises(Refusal, match=rf"is in use by process {os.getpid()} on .* since 20") as caught,
    ):
        LabLock(tmp_path).take()
    assert str(caught.value).count(". ") == 0, "one sentence"
    lock = LabLock(tmp_path).take()
    lock.release()
    lock.release()
    LabLock(tmp_path).take().release()


def test_a_process_that_was_killed_leaves_no_lock_behind(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDS, str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(SOURCE / "src")},
    )
    assert process.stdout is not None and process.stdout.readline() == "held\n"
    with pytest.raises(Refusal, match=f"process {process.pid}"):
        LabLock(tmp_path).take()
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()
    LabLock(tmp_path).take().release()


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="cannot be used as a lab folder"):
        LabLock(tmp_path / "nowhere").take()
