"""The files of a lab as a port: what the service asks of them.  ``adapters/files`` implements it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from drillyard.core.formulary import Formulary
from drillyard.core.manikin.profile import Profile
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import Scenario
from drillyard.service.records import FileCopy

R = TypeVar("R")


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened(Generic[R]):
    """One file as it was read.  ``record`` is None where it has errors; ``copy`` is its very text."""

    name: str
    record: R | None
    faults: tuple[Fault, ...]
    copy: FileCopy

    def use(self) -> R:
        """The record, for use.

        Raises:
            Refusal: the file has errors; all of them are named.
        """
        errors = [fault for fault in self.faults if not fault.is_warning]
        if self.record is None or errors:
            raise Refusal(*errors)
        return self.record


class LabFiles(Protocol):
    """Reading never raises for what is written in a file; asking for a file that is not there does."""

    @property
    def title(self) -> str: ...
    @property
    def is_demo(self) -> bool: ...

    def scenarios(self) -> Sequence[Opened[Scenario]]: ...
    def manikins(self) -> Sequence[Opened[Profile]]: ...
    def scenario(self, name: str) -> Opened[Scenario]: ...
    def manikin(self, name: str) -> Opened[Profile]: ...
    def kit(self, name: str) -> Opened[Kit]: ...

    def formulary(self) -> Formulary: ...
    def drug_copies(self) -> Sequence[FileCopy]: ...

    def scenario_from(self, copy: FileCopy) -> Scenario:
        """The record that a stored copy holds; checks that need other files are left out.

        Raises:
            Refusal: this version cannot read it.
        """
        ...

    def manikin_from(self, copy: FileCopy) -> Profile: ...
    def kit_from(self, copy: FileCopy) -> Kit: ...
    def formulary_from(self, copies: Sequence[FileCopy]) -> Formulary: ...
