"""The lab folder as the service asks for it: records with the very text they came from, and records from copies."""

import threading
from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, Final, Literal, TypeVar, cast

from drillyard.adapters.files.document import Document, text_hash
from drillyard.adapters.files.formulary_files import packaged_formulary, read_citations, read_drug
from drillyard.adapters.files.lab_folder import FOLDERS, LabFolder, Loaded
from drillyard.adapters.files.reader import Reader
from drillyard.core.formulary import Formulary
from drillyard.core.manikin.profile import Profile
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import Scenario
from drillyard.service.lab_files import Opened
from drillyard.service.records import FileCopy

DATA: Final = Path(__file__).parents[2] / "data"
DEMO_MARK: Final = "demonstration"

R = TypeVar("R")
Role = Literal["scenario", "manikin", "kit", "drug"]


class CaseFiles:
    """Implements ``LabFiles`` on one lab folder."""

    def __init__(self, folder: LabFolder) -> None:
        self._folder = folder
        self._drug_copies = tuple(_copy("drug", path.stem, path.read_text("utf-8")) for path in _drug_paths())
        # A file is read and checked again only when something in the folder has changed.
        self._seen: tuple[tuple[str, int, int], ...] = ()
        self._read: dict[tuple[str, str], Opened[Any]] = {}
        self._lock = threading.Lock()

    @property
    def title(self) -> str:
        """The lab's name as its own file has it."""
        return self._folder.title

    @property
    def is_demo(self) -> bool:
        """Whether the folder is the demonstration lab."""
        return DEMO_MARK in self._folder.title.lower()

    def scenarios(self) -> list[Opened[Scenario]]:
        return [self.scenario(name) for name in self._folder.names("scenarios")]

    def manikins(self) -> list[Opened[Profile]]:
        return [self.manikin(name) for name in self._folder.names("manikins")]

    def scenario(self, name: str) -> Opened[Scenario]:
        return self._once("scenario", name, self._folder.scenario)

    def manikin(self, name: str) -> Opened[Profile]:
        return self._once("manikin", name, self._folder.manikin)

    def kit(self, name: str) -> Opened[Kit]:
        return self._once("kit", name, self._folder.kit)

    def _once(self, role: Role, name: str, read: Callable[[str], Loaded[R]]) -> Opened[R]:
        with self._lock:
            now = self._fingerprint()
            if now != self._seen:
                self._seen, self._read = now, {}
            if (role, name) not in self._read:
                loaded = read(name)
                copy = _copy(role, name, loaded.document.text)
                self._read[role, name] = Opened(
                    name=loaded.name, record=loaded.record, faults=tuple(loaded.faults), copy=copy
                )
            opened: Opened[R] = self._read[role, name]
            return opened

    def _fingerprint(self) -> tuple[tuple[str, int, int], ...]:
        """Changes when any file of the folder does: a scenario is checked against its kit, so one is not enough."""
        found = []
        for folder in FOLDERS:
            for path in sorted((self._folder.path / folder).glob("*.yaml")):
                stat = path.stat()
                found.append((str(path), stat.st_mtime_ns, stat.st_size))
        return tuple(found)

    def formulary(self) -> Formulary:
        """The drugs that come with the program."""
        return packaged_formulary()

    def drug_copies(self) -> tuple[FileCopy, ...]:
        """The very texts of the drug files."""
        return self._drug_copies

    def scenario_from(self, copy: FileCopy) -> Scenario:
        return _record_of(copy, Scenario)

    def manikin_from(self, copy: FileCopy) -> Profile:
        return _record_of(copy, Profile)

    def kit_from(self, copy: FileCopy) -> Kit:
        return _record_of(copy, Kit)

    def formulary_from(self, copies: Sequence[FileCopy]) -> Formulary:
        return _formulary_of(tuple(copies))


@lru_cache(maxsize=8)
def _formulary_of(copies: tuple[FileCopy, ...]) -> Formulary:
    citations, faults = read_citations(DATA / "citations.yaml")
    drugs = []
    for copy in copies:
        drug, found = read_drug(copy.text, f"{copy.name}.yaml", citations)
        faults += found
        if drug is not None:
            drugs.append(drug)
    if faults:
        raise Refusal(*faults)
    return Formulary(drugs)


def _drug_paths() -> list[Path]:
    return sorted((DATA / "formulary").glob("*.yaml"))


def _copy(role: Role, name: str, text: str) -> FileCopy:
    return FileCopy(role=role, name=name, text=text, sha256=text_hash(text))


def _record_of(copy: FileCopy, kind: type[R]) -> R:
    record: R = _parsed(copy, cast("Any", kind))
    return record


@lru_cache(maxsize=32)
def _parsed(copy: FileCopy, kind: Any) -> Any:
    """The record that a stored copy holds.

    Raises:
        Refusal: this version cannot read it.
    """
    file = f"{copy.role} {copy.name} as the run pinned it"
    document = Document.of_text(copy.text, file)
    reader = Reader(file)
    record = reader.record(document.data, kind) if document.data is not None else None
    errors = [fault for fault in (*document.faults, *reader.faults) if not fault.is_warning]
    if errors or not isinstance(record, kind):
        said = "this version of the program cannot read it"
        raise Refusal(*errors or [Fault(code="unreadable copy", said=said, place=Place(file=file))])
    return record
