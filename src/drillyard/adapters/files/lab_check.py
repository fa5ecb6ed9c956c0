"""Every file of a lab folder read and checked, crews with the case they are written for."""

from collections.abc import Iterator
from typing import Any

from drillyard.adapters.files.crew_files import read_crew
from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import LabFolder, Loaded
from drillyard.core.entry import EntryContext, context_for
from drillyard.core.proving import Crew
from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.quantities.near import near_matches
from drillyard.core.scenario.model import Scenario


def everything(lab: LabFolder) -> Iterator[Loaded[Any]]:
    """Scenarios, manikins, kits and crews, each with its faults."""
    yield from lab.all()
    for name in lab.names("crews"):
        yield crew_of(lab, name)


def crew_of(lab: LabFolder, name: str) -> Loaded[Crew]:
    """A crew script, held against its case if that can be read."""
    path = lab.file("crews", name)
    file = f"crews/{path.name}"
    first = read_crew(path, file, known=lab.known)
    if first.record is None:
        return first
    wanted, names = first.record.scenario, lab.names("scenarios")
    if wanted not in names:
        said = f"there is no scenario '{wanted}' in this lab"
        line = first.document.data.lc.key("scenario")[0] + 1 if first.document.data else None
        place = Place(file=file, line=line, field="scenario")
        first.faults.append(Fault(code="no such case", said=said, place=place, near=near_matches(wanted, names)))
        return first
    scenario = lab.scenario(wanted).record
    if scenario is None:
        return first
    return read_crew(path, file, scenario, _at_hand(lab, scenario), lab.known)


def _at_hand(lab: LabFolder, scenario: Scenario) -> EntryContext:
    kit = lab.kit(scenario.kit).record if scenario.kit in lab.names("kits") else None
    return context_for(scenario, packaged_formulary(), kit)
