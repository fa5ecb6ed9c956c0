"""The lab folder as the service sees it: texts pinned with records, records from pinned texts, files read once."""

import shutil
from pathlib import Path

import pytest

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.document import text_hash
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.core.quantities.faults import Refusal
from drillyard.service.records import FileCopy


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "lab"))


@pytest.fixture
def files(folder: Path) -> CaseFiles:
    return CaseFiles(LabFolder(folder, known_names()))


def test_a_copy_is_the_very_text_and_gives_the_same_record(files: CaseFiles, folder: Path) -> None:
    opened = files.scenario("c8-tractor")
    assert opened.copy.text == (folder / "scenarios" / "c8-tractor.yaml").read_text(encoding="utf-8")
    assert opened.copy.sha256 == text_hash(opened.copy.text)
    assert files.scenario_from(opened.copy) == opened.use()
    manikin = files.manikin("adult-manikin-a")
    assert files.manikin_from(manikin.copy) == manikin.use()
    kit = files.kit(opened.use().kit)
    assert files.kit_from(kit.copy) == kit.use()


def test_the_drugs_of_the_copies_are_the_drugs_of_the_program(files: CaseFiles) -> None:
    assert files.formulary_from(files.drug_copies()).digest() == files.formulary().digest()


def test_a_file_is_read_again_only_when_it_has_changed(files: CaseFiles, folder: Path) -> None:
    first = files.scenario("c8-tractor")
    assert files.scenario("c8-tractor") is first
    path = folder / "scenarios" / "c8-tractor.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("Tractor roll-over", "Tractor, again"), encoding="utf-8")
    assert files.scenario("c8-tractor").use().title == "Tractor, again"


def test_a_broken_file_is_told_with_its_line_and_the_others_stay_usable(files: CaseFiles, folder: Path) -> None:
    (folder / "scenarios" / "broken.yaml").write_text("format: 1\nname: broken\ntitle: [\n", encoding="utf-8")
    opened = {one.name: one for one in files.scenarios()}
    assert opened["broken"].record is None
    assert opened["broken"].faults[0].place.file == "scenarios/broken.yaml"
    with pytest.raises(Refusal):
        opened["broken"].use()
    assert opened["c8-tractor"].use().name == "c8-tractor"


def test_a_copy_that_this_version_cannot_read_is_refused(files: CaseFiles) -> None:
    text = "format: 1\nname: old\nmystery: 3\n"
    with pytest.raises(Refusal, match="as the run pinned it"):
        files.scenario_from(FileCopy(role="scenario", name="old", text=text, sha256=text_hash(text)))
