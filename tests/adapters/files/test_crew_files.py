"""Crew files: the demo crews are clean; for each way in which one can be wrong there is a sample whose last line holds
the words its faults must say."""

from pathlib import Path

import pytest

from drillyard.adapters.files.crew_files import read_crew
from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_check import crew_of
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.core.entry import context_for
from drillyard.core.proving import CrewStep
from drillyard.core.scenario.model import Scenario

SAMPLES = sorted((Path(__file__).parents[2] / "broken" / "crews").glob("*.yaml"))
KNOWN = known_names()


@pytest.fixture(scope="module")
def tractor() -> Scenario:
    return LabFolder(DEMO, KNOWN).scenario("c8-tractor").use()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_says_the_words_that_help(path: Path, tractor: Scenario) -> None:
    wanted = path.read_text(encoding="utf-8").splitlines()[-1].removeprefix("# must say: ").split(" | ")
    assert all(wanted), "a sample without words tests nothing"
    loaded = read_crew(path, "", tractor, context_for(tractor, packaged_formulary()), KNOWN)
    said = "\n".join(fault.sentence() for fault in loaded.faults)
    missing = [words for words in wanted if words not in said]
    assert not missing, f"{missing} not in:\n{said}"


def test_there_are_samples() -> None:
    assert len(SAMPLES) >= 20


def test_the_demo_crews_are_clean_and_there_is_a_good_and_a_poor_one_for_each_case() -> None:
    lab = LabFolder(DEMO, KNOWN)
    loaded = [crew_of(lab, name) for name in lab.names("crews")]
    assert [fault.sentence() for crew in loaded for fault in crew.faults] == []
    ends = {(crew.use().scenario, crew.use().care, crew.name.rpartition("-")[2]) for crew in loaded}
    assert ends == {(case, care, care) for case in lab.names("scenarios") for care in ("good", "poor")}


def test_a_step_is_read_with_its_units(tmp_path: Path) -> None:
    path = tmp_path / "small-case-good.yaml"
    path.write_text(
        "format: 1\nname: small-case-good\ntitle: t\nscenario: small-case\ncare: good\nsteps:\n"
        '  - {at: "1:30", within: 5 s, do: tq l thigh, by: ben}\n',
        encoding="utf-8",
    )
    assert read_crew(path).use().steps == (CrewStep(at="1:30", within_s=5.0, do="tq l thigh", by="ben"),)
