"""A case as it is played: scenario, manikin today, kit and drugs together, and the setup of a run made from them."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final

from drillyard.core.care.ways import How
from drillyard.core.entry.at_hand import EntryContext, context_for
from drillyard.core.formulary import Formulary
from drillyard.core.manikin.coverage import Coverage, Room, coverage
from drillyard.core.manikin.profile import Profile
from drillyard.core.numerics.kernel import Kernel
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import Scenario
from drillyard.core.session.setup import PrerollStore, RunSetup, wanted_patient
from drillyard.service.lab_files import LabFiles
from drillyard.service.records import FileCopy, RunRecord

WAVE_S: Final = 4
"""Seconds of waves kept for the room monitor."""


@dataclass(frozen=True)
class Case:
    """``profile`` is the manikin today; ``copies`` are the texts that a run pins."""

    scenario: Scenario
    profile: Profile
    kit: Kit | None
    formulary: Formulary
    copies: tuple[FileCopy, ...] = field(default=())

    @cached_property
    def coverage(self) -> Coverage:
        """How each finding reaches the crew with this manikin."""
        return coverage(self.scenario, self.profile, Room(), self.kit)

    @cached_property
    def ways(self) -> dict[str, How]:
        """For each finding the way in which this room supplies it; what cannot be supplied by any is told."""
        return {row.finding: _how(row.way) for row in self.coverage.findings}

    @cached_property
    def at_hand(self) -> EntryContext:
        """What is at hand for the entry line as the case begins."""
        return replace(context_for(self.scenario, self.formulary, self.kit), profile=self.profile)

    def setup(self, run_id: str, seed: int, kernel: Kernel, preroll: PrerollStore, *, is_live: bool) -> RunSetup:
        """What a run is made from; a live one keeps waves and works out cues."""
        return RunSetup(
            run_id=run_id,
            scenario=self.scenario,
            manikin=self.profile,
            patient=wanted_patient(self.scenario),
            seed=seed,
            formulary=self.formulary,
            kernel=kernel,
            wave_s=WAVE_S if is_live else 0,
            has_director=is_live,
            preroll=preroll,
        )


def _how(way: str) -> How:
    match way:
        case "on the manikin" | "room monitor" | "crew's own device" | "told" | "card" | "print" | "prop":
            return way
        case _:
            # An embedded participant says or shows it; what cannot be supplied is at least said to be so.
            return "told"


def open_case(files: LabFiles, scenario: str, manikin: str) -> Case:
    """The case as the lab's files have it now.

    Raises:
        Refusal: a file is not there or has errors.
    """
    opened, profile = files.scenario(scenario), files.manikin(manikin)
    case = opened.use()
    kit = files.kit(case.kit) if case.kit else None
    copies = [opened.copy, profile.copy, *([kit.copy] if kit else []), *files.drug_copies()]
    return Case(
        scenario=case,
        profile=profile.use().today(),
        kit=kit.use() if kit else None,
        formulary=files.formulary(),
        copies=tuple(copies),
    )


def stored_case(files: LabFiles, record: RunRecord, copies: Sequence[FileCopy]) -> Case:
    """The case as a run had it, from the copies it pinned.

    Raises:
        Refusal: this version cannot read a copy.
    """
    by_role: dict[str, list[FileCopy]] = {}
    for copy in copies:
        by_role.setdefault(copy.role, []).append(copy)
    kits = by_role.get("kit", [])
    return Case(
        scenario=files.scenario_from(by_role["scenario"][0]),
        profile=files.manikin_from(by_role["manikin"][0]).today(),
        kit=files.kit_from(kits[0]) if kits else None,
        formulary=files.formulary_from(by_role.get("drug", [])),
        copies=tuple(copies),
    )
