"""``drillyard cite``: the papers that a run stands on.

What the verb needs is imported where it is used, so that other verbs start quickly.
"""

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from drillyard.core.quantities.faults import Fault, Refusal

if TYPE_CHECKING:
    from drillyard.service.citing import Cited

_HEADS = {
    "drug": "Drugs that were given or taken",
    "problem": "What was wrong with the patient",
    "body": "The body, whose organs are always at work",
    "measure": "Measures that were shown",
}
_USES = 3
"""Uses told beside a source before the rest is counted."""


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the verb to the command line."""
    parser = subparsers.add_parser("cite", help="list the papers that a run stands on")
    parser.add_argument("run_name", metavar="RUN", help="a folder written by rehearse, or the id of a run of the lab")
    parser.add_argument("--lab", metavar="LAB", type=Path, help="the lab folder of the run, or of the rehearsed case")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write the list to FILE as well")


def run(args: argparse.Namespace) -> int:
    """Print the sources by part; 0 if the run was found."""
    folder = Path(args.run_name)
    title, found, notes = _of_folder(folder, args.lab) if folder.is_dir() else _of_lab(args.run_name, args.lab)
    papers = sum(one.is_published for one in found)
    print(f"TRAINING - NOT A PATIENT. {title}: {len(found)} sources, {papers} of them publications.")
    for note in notes:
        print(f"note: {note}", file=sys.stderr)
    for line in text_lines(found):
        print(line)
    if args.json is not None:
        plain = {"run": title, "notes": notes, "sources": [one.as_dict() for one in found]}
        try:
            args.json.write_text(json.dumps(plain, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        except OSError as error:
            said = f"'{args.json}' cannot be written ({error.strerror or error})"
            raise Refusal(Fault(code="not written", said=said, remedy="name a file that you may write")) from error
    return 0


def text_lines(found: "Sequence[Cited]") -> list[str]:
    """The list as text, a head for each part."""
    lines: list[str] = []
    before: tuple[str, bool] | None = None
    for one in found:
        if (one.part, one.is_published) != before:
            if before is None or one.part != before[0]:
                lines += ["", _HEADS[one.part]]
            if not one.is_published:
                lines.append("  Not from a publication: tuned, chosen or common knowledge")
            before = (one.part, one.is_published)
        uses = "; ".join(one.used_for[:_USES])
        more = f"; and {len(one.used_for) - _USES} more" if len(one.used_for) > _USES else ""
        lines += [f"  {one.source}", f"      {uses}{more}"]
    return lines


def _citations() -> Mapping[str, str]:
    from drillyard.adapters.files.formulary_files import DATA, read_citations

    citations, faults = read_citations(DATA / "citations.yaml")
    if faults:
        raise Refusal(*faults)
    return citations


def _of_folder(folder: Path, lab: Path | None) -> "tuple[str, list[Cited], list[str]]":
    """A folder of ``rehearse``: its log, the measures beside it, the problems of the case it names."""
    from drillyard.adapters.files.formulary_files import packaged_formulary
    from drillyard.adapters.files.lab_folder import DEMO, LabFolder
    from drillyard.adapters.files.lab_names import known_names
    from drillyard.core.session.codec import events_from_lines
    from drillyard.core.session.events import RunStarted
    from drillyard.service.citing import cited

    try:
        lines = (folder / "log.jsonl").read_text(encoding="utf-8").splitlines()
    except OSError as error:
        said = f"'{folder}' holds no log.jsonl that can be read ({error.strerror or error})"
        raise Refusal(
            Fault(code="no log", said=said, remedy="name a folder written by 'drillyard rehearse'")
        ) from error
    events = events_from_lines(lines, "log.jsonl")
    started = next((event.body for event in events if isinstance(event.body, RunStarted)), None)
    if started is None:
        raise Refusal(Fault(code="never started", said=f"the log in '{folder}' never started a run"))
    scenario, notes = None, []
    try:
        loaded = LabFolder(lab or DEMO, known_names()).scenario(started.scenario)
        scenario = loaded.use()
        if loaded.hash != started.scenario_hash:
            notes.append(f"the case '{started.scenario}' has changed since; its problems are those of today.")
    except Refusal as refusal:
        notes.append(f"the problems that the case began with are not listed: {refusal.faults[0].sentence()}")
    measures = _measures_beside(folder, notes)
    problems = scenario.problems if scenario is not None else ()
    found = cited(events, packaged_formulary(), _citations(), measures=measures, problems=problems)
    return f"{started.scenario}, seed {started.seed}", found, notes


def _measures_beside(folder: Path, notes: list[str]) -> list[int]:
    try:
        plain = json.loads((folder / "measures.json").read_text(encoding="utf-8"))
        return [int(one["id"]) for one in plain["measures"]]
    except (OSError, ValueError, KeyError, TypeError):
        notes.append("measures.json beside the log cannot be read: only the general measures are listed.")
        return []


def _of_lab(run_id: str, lab: Path | None) -> "tuple[str, list[Cited], list[str]]":
    """A run of a lab, from its store and the copies that it pinned."""
    from drillyard.cli.wiring import open_lab
    from drillyard.service.case import stored_case
    from drillyard.service.citing import cited

    if lab is None or not lab.is_dir():
        said = f"'{run_id}' is no folder" if lab is None else f"there is no lab folder '{lab}'"
        remedy = "name a folder written by rehearse, or a run with --lab FOLDER"
        raise Refusal(Fault(code="no such run", said=said, remedy=remedy))
    with open_lab(lab) as opened:
        store = opened.lab.store
        record = store.runs.get(run_id)
        if record is None:
            near = tuple(one.run_id for one in store.runs.newest(5))
            raise Refusal(Fault(code="no such run", said=f"the lab has no run '{run_id}'", near=near))
        case = stored_case(opened.lab.files, record, store.runs.files(run_id))
        events = store.events.events(run_id)
    scenario = case.scenario
    found = cited(events, case.formulary, _citations(), measures=scenario.measures, problems=scenario.problems)
    return f"{record.title}, {record.created_wall_utc[:10]}", found, []
