"""Crew files: YAML in ``crews/`` of a lab folder, read into checked scripts or into faults with file and line."""

from pathlib import Path

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import LabFolder, Loaded, read_record
from drillyard.core.entry import EntryContext, context_for
from drillyard.core.formulary import Formulary
from drillyard.core.proving import FORMAT, Crew, check_crew
from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.quantities.near import near_matches
from drillyard.core.scenario.check_conditions import Known
from drillyard.core.scenario.model import Scenario


def read_crew(
    path: Path,
    file: str = "",
    scenario: Scenario | None = None,
    context: EntryContext | None = None,
    known: Known | None = None,
) -> Loaded[Crew]:
    """Reads one crew script; nothing is raised, faults come with the record.

    Args:
        path: where it lies.
        file: how faults name it.
        scenario: the case it is to be played in; without it only the form is checked.
        context: what is at hand as the case begins, for reading its lines.
        known: drugs that a condition may name.
    """
    return read_record(path, file or path.name, Crew, FORMAT, lambda crew: check_crew(crew, scenario, context, known))


def crews_of(lab: LabFolder) -> list[Loaded[Crew]]:
    """Every crew of a lab, each checked against the case that it names."""
    formulary = packaged_formulary()
    return [_checked(lab, name, formulary) for name in lab.names("crews")]


def _checked(lab: LabFolder, name: str, formulary: Formulary) -> Loaded[Crew]:
    path = lab.file("crews", name)
    file = f"crews/{path.name}"
    plain = read_crew(path, file)
    if plain.record is None:
        return plain
    cases = lab.names("scenarios")
    if plain.record.scenario not in cases:
        said = f"there is no scenario '{plain.record.scenario}'"
        near = near_matches(plain.record.scenario, cases)
        plain.faults.append(Fault(code="unknown case", said=said, place=Place(file=file, field="scenario"), near=near))
        return plain
    scenario = lab.scenario(plain.record.scenario).record
    if scenario is None:
        return plain
    kit = lab.kit(scenario.kit).record if scenario.kit in lab.names("kits") else None
    return read_crew(path, file, scenario, context_for(scenario, formulary, kit), lab.known)
