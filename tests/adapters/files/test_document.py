"""Files on disk: comments survive, a save is whole or nothing, what somebody else changed is never overwritten."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drillyard.adapters.files import document as module
from drillyard.adapters.files.document import Document, save_text
from drillyard.adapters.files.lab_folder import DEMO, LabFolder, create_demo_lab
from drillyard.adapters.files.lab_names import known_names
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.check_conditions import Known

TEXT = """# head
format: 1   # after a value
name: x
# before a list
cues:
  - name: a  # beside an item
    words: "quoted: text"
  - name: b
    words: plain
"""
FILES = sorted(path for path in DEMO.rglob("*.yaml"))


def _document(tmp_path: Path, text: str = TEXT) -> Document:
    path = tmp_path / "x.yaml"
    path.write_text(text, encoding="utf-8")
    return Document.read(path)


def test_a_change_keeps_every_comment_and_every_other_line(tmp_path: Path) -> None:
    document = _document(tmp_path)
    document.set("cues[1].words", "changed")
    document.save()
    assert document.path.read_text(encoding="utf-8") == TEXT.replace("plain", "changed")


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_comments_of_the_demo_files_survive_a_save(path: Path, tmp_path: Path) -> None:
    document = _document(tmp_path, path.read_text(encoding="utf-8"))
    document.set("title", "Another title")
    document.save()
    before = [line.strip() for line in path.read_text(encoding="utf-8").splitlines() if line.strip().startswith("#")]
    after = [line.strip() for line in document.path.read_text(encoding="utf-8").splitlines()]
    assert [line for line in before if line not in after] == []
    assert Document.read(document.path).data == document.data


def test_an_item_can_be_added_at_the_end_of_a_list_and_a_key_to_a_block(tmp_path: Path) -> None:
    document = _document(tmp_path)
    document.set("cues[2]", {"name": "c", "words": "new"})
    document.set("title", "T")
    document.save()
    data = Document.read(document.path).data
    assert data is not None and [cue["name"] for cue in data["cues"]] == ["a", "b", "c"] and data["title"] == "T"


@pytest.mark.parametrize("path", ["cues[9].words", "nowhere.words", "cues.words", "name.words", "cues[7]"])
def test_a_place_that_does_not_exist_is_refused(path: str, tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="there is no"):
        _document(tmp_path).set(path, "x")


def test_a_file_changed_elsewhere_is_never_overwritten(tmp_path: Path) -> None:
    document = _document(tmp_path)
    theirs = TEXT + "title: theirs\n"
    document.path.write_text(theirs, encoding="utf-8")
    document.set("name", "mine")
    with pytest.raises(Refusal, match=r"changed elsewhere since it was read.*nothing was overwritten"):
        document.save()
    assert document.path.read_text(encoding="utf-8") == theirs


def test_a_file_removed_elsewhere_is_not_brought_back(tmp_path: Path) -> None:
    document = _document(tmp_path)
    document.path.unlink()
    with pytest.raises(Refusal, match="changed elsewhere"):
        document.save()
    assert not document.path.exists()


def test_a_new_file_never_replaces_one_that_is_there(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    save_text(path, "a: 1\n", was=None)
    with pytest.raises(Refusal, match="already there"):
        save_text(path, "b: 2\n", was=None)
    assert path.read_text(encoding="utf-8") == "a: 1\n"


def test_a_save_that_fails_leaves_the_old_file_and_no_rubbish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document = _document(tmp_path)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module.os, "fsync", full)
    document.set("name", "mine")
    with pytest.raises(Refusal, match=r"cannot be written \(No space left on device\).*the old file is as it was"):
        document.save()
    assert document.path.read_text(encoding="utf-8") == TEXT
    assert [path.name for path in tmp_path.iterdir()] == ["x.yaml"]


def test_windows_line_ends_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    document = Document.read(path)
    assert document.faults == [] and document.data is not None and document.data["name"] == "x"


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "no 'key: value' lines"),
        (b"- a\n- b\n", "no 'key: value' lines"),
        (b"just text", "no 'key: value' lines"),
        (b"a: [1,\n", "this is not YAML"),
        (b"a: \xff\n", "line 1: the text is not UTF-8"),
        (b"a: 1\nb: 2\na: 3\n", "line 3: the key 'a' stands twice"),
        (b"a: !!python/object:os.system x\n", ""),
        (b"a" * 2_000_001, "2000001 bytes"),
        (b"a: *nowhere\n", "this is not YAML"),
        (b"[" * 5000, "this is not YAML"),
    ],
)
def test_rubbish_is_a_fault_and_never_an_exception(raw: bytes, words: str, tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(raw)
    said = " ".join(fault.sentence() for fault in Document.read(path).faults)
    assert words in said


def test_a_missing_file_is_a_fault(tmp_path: Path) -> None:
    assert "cannot be read (No such file" in Document.read(tmp_path / "no.yaml").faults[0].sentence()


SCENARIO = (DEMO / "scenarios" / "c8-tractor.yaml").read_text(encoding="utf-8").splitlines()
PROFILE = (DEMO / "manikins" / "adult-manikin-a.yaml").read_text(encoding="utf-8").splitlines()
HURTS = st.sampled_from(["drop", "twice", "empty", "swap", "number", "text", "list", "nothing", "wrong"])


def _hurt(lines: list[str], i: int, how: str) -> list[str]:
    line = lines[i % len(lines)]
    key = line.split(":")[0]
    new = {
        "drop": [], "twice": [line, line], "empty": [""], "swap": [line[::-1]], "number": [f"{key}: 17"],
        "text": [f"{key}: some words"], "list": [f"{key}: [1, two]"], "nothing": [f"{key}:"],
        "wrong": [f"{key}: -1 mmHg"],
    }[how]  # fmt: skip
    return lines[: i % len(lines)] + new + lines[i % len(lines) + 1 :]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    folder=st.sampled_from(["scenarios", "manikins"]),
    hurts=st.lists(st.tuples(st.integers(0, 400), HURTS), min_size=1, max_size=3),
)
def test_a_hurt_file_gives_faults_with_a_place_and_never_an_exception(
    folder: str, hurts: list[tuple[int, str]], tmp_path: Path
) -> None:
    lines, name = (SCENARIO, "c8-tractor") if folder == "scenarios" else (PROFILE, "adult-manikin-a")
    for i, how in hurts:
        lines = _hurt(lines, i, how)
    (tmp_path / folder).mkdir(exist_ok=True)
    (tmp_path / "lab.yaml").write_text("format: 1\n", encoding="utf-8")
    (tmp_path / folder / f"{name}.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    lab = LabFolder(tmp_path, Known(drugs=("fentanyl", "naloxone", "tranexamic acid")))
    loaded = lab.scenario(name) if folder == "scenarios" else lab.manikin(name)
    for fault in loaded.faults:
        assert fault.place.file == f"{folder}/{name}.yaml"
        assert fault.sentence().endswith((".", "?", "!"))
    assert loaded.record is not None or loaded.errors


def test_a_demo_lab_is_made_in_a_new_folder_and_has_no_faults(tmp_path: Path) -> None:
    lab = LabFolder.open_or_create(tmp_path / "lab", known_names())
    loaded = list(lab.all())
    assert {one.name for one in loaded} >= {"c5-car-park", "c8-tractor", "adult-manikin-a"}
    assert [fault.sentence() for one in loaded for fault in one.faults] == []
    again = LabFolder.open_or_create(tmp_path / "lab")
    assert again.names("scenarios") == lab.names("scenarios")


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear", encoding="utf-8")
    with pytest.raises(Refusal, match="is not a lab folder"):
        LabFolder.open_or_create(tmp_path)
    with pytest.raises(Refusal, match="is not empty"):
        create_demo_lab(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_newer_lab_folder_is_refused_with_advice(tmp_path: Path) -> None:
    (tmp_path / "lab.yaml").write_text("format: 2\n", encoding="utf-8")
    with pytest.raises(Refusal, match="format 2; this version reads up to 1; update Drillyard to open it"):
        LabFolder(tmp_path)


def test_a_misspelt_name_is_answered_with_near_ones(tmp_path: Path) -> None:
    lab = LabFolder.open_or_create(tmp_path / "lab")
    with pytest.raises(Refusal, match="there is no 'c8-traktor' in scenarios; did you mean 'c8-tractor'"):
        lab.scenario("c8-traktor")


def test_a_name_cannot_lead_out_of_the_folder(tmp_path: Path) -> None:
    lab = LabFolder.open_or_create(tmp_path / "lab")
    (tmp_path / "secret.yaml").write_text("format: 1\n", encoding="utf-8")
    with pytest.raises(Refusal, match="there is no"):
        lab.scenario("../../secret")


def test_a_kit_of_another_strength_is_found(tmp_path: Path) -> None:
    lab = LabFolder.open_or_create(tmp_path / "lab", Known(drugs=("fentanyl", "naloxone", "tranexamic acid")))
    kit = lab.path / "kits" / "c5-car-park-kit.yaml"
    kit.write_text(kit.read_text("utf-8").replace("concentration: 0.4 mg/mL", "concentration: 1 mg/mL"), "utf-8")
    lines = (lab.path / "scenarios" / "c5-car-park.yaml").read_text("utf-8").splitlines()
    line = next(i for i, text in enumerate(lines, start=1) if "{drug: naloxone, concentration:" in text)
    said = [fault.sentence() for fault in lab.scenario("c5-car-park").faults]
    where = f"scenarios/c5-car-park.yaml, line {line}, drug_box[0].concentration"
    what = "naloxone is 0.4 mg/mL in the case and 1 mg/mL in the kit 'c5-car-park-kit'"
    assert said == [f"{where}: {what}; make both say what the label says."]
