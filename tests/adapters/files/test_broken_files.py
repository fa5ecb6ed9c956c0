"""For each way in which a file can be wrong there is a sample; its last line holds the words its faults must say."""

import shutil
from pathlib import Path

import pytest

from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.scenario.check_conditions import Known

BROKEN = Path(__file__).parents[2] / "broken"
KNOWN = Known(drugs=("epinephrine", "fentanyl", "naloxone", "tranexamic acid"), measures=(12, 13, 51, 59, 60, 61))
SAMPLES = sorted(path for folder in ("scenarios", "manikins", "kits") for path in (BROKEN / folder).glob("*.yaml"))
READ = {"scenarios": LabFolder.scenario, "manikins": LabFolder.manikin, "kits": LabFolder.kit}


def _lab_with(path: Path, tmp_path: Path, text: str) -> LabFolder:
    for folder in READ:
        (tmp_path / folder).mkdir()
    shutil.copy(DEMO / "lab.yaml", tmp_path / "lab.yaml")
    (tmp_path / path.parent.name / path.name).write_text(text, encoding="utf-8")
    return LabFolder(tmp_path, KNOWN)


def _sentences(path: Path, tmp_path: Path, text: str) -> list[str]:
    lab = _lab_with(path, tmp_path, text)
    return [fault.sentence() for fault in READ[path.parent.name](lab, path.stem).faults]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_says_the_words_that_help(path: Path, tmp_path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    wanted = text.splitlines()[-1].removeprefix("# must say: ").split(" | ")
    assert all(wanted), "a sample without words tests nothing"
    said = "\n".join(_sentences(path, tmp_path, text))
    missing = [words for words in wanted if words not in said]
    assert not missing, f"{missing} not in:\n{said}"


@pytest.mark.parametrize("folder", sorted(READ))
def test_there_are_samples(folder: str) -> None:
    assert sum(path.parent.name == folder for path in SAMPLES) >= 10
