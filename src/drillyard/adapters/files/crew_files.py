"""Crew files: YAML in ``crews/`` of a lab folder, read into checked scripts or into faults with file and line."""

from pathlib import Path

from drillyard.adapters.files.lab_folder import Loaded, read_record
from drillyard.core.entry import EntryContext
from drillyard.core.proving import FORMAT, Crew, check_crew
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
