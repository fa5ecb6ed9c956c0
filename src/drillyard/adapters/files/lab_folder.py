"""The lab folder: everything one centre owns, as files.

``scenarios/ manikins/ kits/ crews/`` hold one YAML file a record, named after it; ``lab.yaml`` marks the folder and
says which format it has.  Reading never raises for what is written in a file: faults come with the record.
"""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, Generic, TypeVar

from drillyard.adapters.files.document import Document, save_text, text_hash
from drillyard.adapters.files.reader import Reader
from drillyard.core.manikin import profile
from drillyard.core.manikin.check import check_profile
from drillyard.core.manikin.profile import Profile
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.scenario import kit as kit_model
from drillyard.core.scenario import model
from drillyard.core.scenario.check import check_scenario
from drillyard.core.scenario.check_conditions import Known
from drillyard.core.scenario.check_kit import check_kit
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import Scenario

LAB_FORMAT: Final = 1
LAB_FILE: Final = "lab.yaml"
FOLDERS: Final = ("scenarios", "manikins", "kits", "crews")
DEMO: Final = Path(__file__).parents[2] / "data" / "demo_lab"

R = TypeVar("R")


@dataclass
class Loaded(Generic[R]):
    """What came of reading one file: the record (``None`` if it has errors) and all faults, warnings included."""

    name: str
    document: Document
    record: R | None
    faults: list[Fault] = field(default_factory=list)

    @property
    def errors(self) -> list[Fault]:
        return [fault for fault in self.faults if not fault.is_warning]

    @property
    def hash(self) -> str:
        """A name for the very text that was read: a run pins it."""
        return text_hash(self.document.text)

    def use(self) -> R:
        """The record, for use.

        Raises:
            Refusal: the file has errors.
        """
        if self.record is None or self.errors:
            raise Refusal(*self.errors)
        return self.record


@dataclass(frozen=True, slots=True, kw_only=True)
class LabFile:
    """The folder's own mark."""

    format: int
    title: str = ""


def read_record(
    path: Path, file: str, record: type[R], newest: int, check: Callable[[R], list[Fault]] | None = None
) -> Loaded[R]:
    """Reads one file into one record.

    Args:
        path: where it lies.
        file: how faults name it.
        record: the type to build; it must have a field ``format``.
        newest: the newest format number that this version reads.
        check: faults of the finished record, with the paths of their fields; lines are added here.
    """
    document = Document.read(path, file)
    loaded: Loaded[R] = Loaded(name=path.stem, document=document, record=None, faults=list(document.faults))
    if document.data is None:
        return loaded
    written = document.data.get("format")
    if isinstance(written, int) and written > newest:
        said = f"the file has format {written}; this version reads up to {newest}"
        place = Place(file=file, line=document.data.lc.key("format")[0] + 1, field="format")
        loaded.faults.append(Fault(code="newer format", said=said, place=place, remedy="update Drillyard to open it"))
        return loaded
    reader = Reader(file)
    built = reader.record(document.data, record)
    loaded.faults += reader.faults
    if isinstance(built, record):
        if built.format < 1:  # type: ignore[attr-defined]
            place = reader.places["format"]
            loaded.faults.append(
                Fault(code="format", said="the format is below 1", place=place, allowed=f"1 to {newest}")
            )
        name = getattr(built, "name", path.stem)
        if name != path.stem:
            said = f"the name '{name}' is not the file's name '{path.stem}'"
            place = reader.places["name"]
            loaded.faults.append(Fault(code="name", said=said, place=place, remedy="make both the same"))
        loaded.faults += [reader.placed(fault) for fault in (check(built) if check else [])]
        loaded.record = built
    return loaded


class LabFolder:
    """One lab folder on disk.

    ``known`` says which drugs and measures there are (see ``Known``); checks of scenarios use it.
    """

    def __init__(self, path: Path, known: Known | None = None) -> None:
        """Opens a folder.

        Raises:
            Refusal: there is no such folder, it is no lab folder, or it was written by a newer version.
        """
        self.path = path
        self.known = known or Known()
        mark = path / LAB_FILE
        if not mark.is_file():
            said = f"'{path}' is not a lab folder: it has no {LAB_FILE}"
            remedy = "name a lab folder, or an empty or new folder to start a demonstration lab in"
            raise Refusal(Fault(code="no lab folder", said=said, remedy=remedy))
        loaded = read_record(mark, LAB_FILE, LabFile, LAB_FORMAT)
        self.title = loaded.use().title

    @staticmethod
    def open_or_create(path: Path, known: Known | None = None) -> "LabFolder":
        """Opens a lab folder; makes a demonstration lab of it if it is new or empty.

        Raises:
            Refusal: as for opening, or the folder holds other things, or cannot be written.
        """
        if not (path / LAB_FILE).is_file() and (not path.exists() or not any(path.iterdir())):
            create_demo_lab(path)
        return LabFolder(path, known)

    def names(self, folder: str) -> tuple[str, ...]:
        """Names of the records in ``scenarios``, ``manikins``, ``kits`` or ``crews``, sorted."""
        return tuple(sorted(item.stem for item in (self.path / folder).glob("*.yaml") if not item.name.startswith(".")))

    def file(self, folder: str, name: str) -> Path:
        """The file of a record.

        Raises:
            Refusal: there is none of that name; near matches are offered.
        """
        names = self.names(folder)
        if name not in names:
            said = f"there is no '{name}' in {folder}"
            near = near_matches(name, names)
            raise Refusal(Fault(code="no such file", said=said, near=near, allowed="" if near else ", ".join(names)))
        return self.path / folder / f"{name}.yaml"

    def scenario(self, name: str) -> Loaded[Scenario]:
        """A scenario with its faults, checked against the kit it names."""
        path = self.file("scenarios", name)
        return read_record(path, f"scenarios/{path.name}", Scenario, model.FORMAT, self._scenario_faults)

    def _scenario_faults(self, scenario: Scenario) -> list[Fault]:
        kit, faults = None, []
        if scenario.kit:
            if scenario.kit in self.names("kits"):
                kit = self.kit(scenario.kit).record
            else:
                near = near_matches(scenario.kit, self.names("kits"))
                said = f"there is no kit '{scenario.kit}'"
                faults.append(Fault(code="unknown kit", said=said, place=Place(field="kit"), near=near))
        return check_scenario(scenario, self.known, kit) + faults

    def manikin(self, name: str) -> Loaded[Profile]:
        """A manikin profile as written, with its faults; ``Profile.today`` lays what is broken over it."""
        path = self.file("manikins", name)
        file = f"manikins/{path.name}"
        return read_record(path, file, Profile, profile.FORMAT, lambda record: check_profile(record, self.known))

    def kit(self, name: str) -> Loaded[Kit]:
        path = self.file("kits", name)
        return read_record(path, f"kits/{path.name}", Kit, kit_model.FORMAT, lambda kit: check_kit(kit, self.known))

    def all(self) -> Iterator[Loaded[Any]]:
        """Every record of the folder, for ``drillyard check``."""
        readers: dict[str, Callable[[str], Loaded[Any]]] = {
            "scenarios": self.scenario, "manikins": self.manikin, "kits": self.kit,
        }  # fmt: skip
        for folder, read in readers.items():
            for name in self.names(folder):
                yield read(name)

    def save_new(self, folder: str, name: str, text: str) -> None:
        """Writes a new file; an existing one is never overwritten.

        Raises:
            Refusal: it is already there, or cannot be written.
        """
        save_text(self.path / folder / f"{name}.yaml", text, was=None, file=f"{folder}/{name}.yaml")


def create_demo_lab(path: Path) -> None:
    """A demonstration lab in a new or empty folder: made beside it and moved there whole.

    Raises:
        Refusal: the folder holds something, or cannot be written.
    """
    if path.exists() and any(path.iterdir()):
        said = f"'{path}' is not empty, so no demonstration lab was made in it"
        raise Refusal(Fault(code="not empty", said=said, remedy="name an empty or a new folder"))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=f".{path.name}.") as temporary:
            made = Path(temporary) / "lab"
            shutil.copytree(DEMO, made)
            for folder in FOLDERS:
                (made / folder).mkdir(exist_ok=True)
            if path.exists():
                path.rmdir()
            made.replace(path)
    except OSError as error:
        said = f"no demonstration lab could be made in '{path}' ({error.strerror or error})"
        raise Refusal(Fault(code="not written", said=said, remedy="name a folder that you may write to")) from error
