"""``drillyard rehearse``: a simulated crew plays a case headless, at full speed.

What the verb needs is imported where it is used, so that other verbs start quickly.
"""

import argparse
import csv
import json
import sys
from collections.abc import Callable
from dataclasses import asdict, replace
from datetime import datetime
from math import isnan
from pathlib import Path
from typing import TYPE_CHECKING

from drillyard.core.quantities.faults import Fault, Refusal

if TYPE_CHECKING:
    from drillyard.adapters.files.lab_folder import LabFolder, Loaded
    from drillyard.core.measures import MeasureResult
    from drillyard.core.proving import Crew, Outcome, Rehearsal
    from drillyard.core.scenario.outline import CheckResult
    from drillyard.service.case import Case

MARK = "TRAINING - NOT A PATIENT"


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the verb to the command line."""
    parser = subparsers.add_parser("rehearse", help="let a simulated crew play a case, headless and at full speed")
    parser.add_argument("scenario", metavar="SCENARIO", help="a scenario file, or its name in the lab")
    parser.add_argument("--manikin", metavar="M", required=True, help="a manikin file, or its name in the lab")
    parser.add_argument("--crew", metavar="CREW", required=True, help="a crew file, or its name in the lab")
    parser.add_argument("--out", metavar="DIR", type=Path, required=True, help="where log and results are written")
    parser.add_argument("--lab", metavar="LAB", type=Path, help="the lab folder (the demonstration lab if not given)")
    parser.add_argument("--seed", type=int, default=1, help="seed of the patient (1)")
    parser.add_argument("--quiet", action="store_true", help="print the outcome and the measures only")


def run(args: argparse.Namespace) -> int:
    """Play and write; 0 if it was played, whatever came of the patient, 2 with a sentence each if it could not be."""
    from drillyard.core.proving import story_lines, summary_lines

    try:
        case, crew, hashes = _opened(args)
        _make_folder(args.out)
        rehearsal = _played(case, crew, hashes, args.seed)
        outline = _outline(rehearsal, case, crew)
        outcome, measures = write_results(rehearsal, case, outline, args.out)
    except Refusal as refusal:
        for fault in refusal.faults:
            print(fault.sentence(), file=sys.stderr)
        return 2
    print(f"{MARK}. {case.scenario.title}: {crew.title}. Seed {args.seed}.")
    lines = [] if args.quiet else story_lines(rehearsal)
    for line in (*lines, *summary_lines(outcome, measures), *_outline_lines(outline)):
        print(line)
    print(f"Written to {args.out}: log.jsonl, vitals.csv, measures.json, outcome.json.")
    return 0


def _opened(args: argparse.Namespace) -> "tuple[Case, Crew, dict[str, str]]":
    """The case and the crew, with the hashes of the files they come from."""
    from drillyard.adapters.files.crew_files import read_crew
    from drillyard.adapters.files.formulary_files import packaged_formulary
    from drillyard.adapters.files.lab_folder import DEMO, LabFolder
    from drillyard.adapters.files.lab_names import known_names
    from drillyard.service.case import Case

    known = known_names()
    home = LabFolder(args.lab or DEMO, known)

    def lab_of(path: Path) -> LabFolder:
        return LabFolder(path.resolve().parent.parent, known)

    scenario_lab, name = _found(home, lab_of, args.scenario)
    scenario = scenario_lab.scenario(name)
    manikin_lab, name = _found(home, lab_of, args.manikin)
    manikin = manikin_lab.manikin(name)
    _tell_warnings(scenario.faults + manikin.faults)
    plan = scenario.use()
    case = Case(
        scenario=plan,
        profile=manikin.use().today(),
        kit=scenario_lab.kit(plan.kit).use() if plan.kit else None,
        formulary=packaged_formulary(),
    )
    path = Path(args.crew)
    file = path if _is_path(args.crew) else home.file("crews", args.crew)
    crew: Loaded[Crew] = read_crew(file, f"crews/{file.name}", plan, case.at_hand, known)
    _tell_warnings(crew.faults)
    return case, crew.use(), {"scenario": scenario.hash, "manikin": manikin.hash}


def _is_path(text: str) -> bool:
    return text.endswith((".yaml", ".yml")) or "/" in text or "\\" in text


def _found(home: "LabFolder", lab_of: "Callable[[Path], LabFolder]", text: str) -> "tuple[LabFolder, str]":
    """The lab folder and the name of a record given by name or by path."""
    if not _is_path(text):
        return home, text
    path = Path(text)
    if not path.is_file():
        raise Refusal(Fault(code="no such file", said=f"there is no file '{text}'", remedy="name one of the lab"))
    return lab_of(path), path.stem


def _tell_warnings(faults: list[Fault]) -> None:
    for fault in faults:
        if fault.is_warning:
            print(f"warning: {fault.sentence()}", file=sys.stderr)


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        said = f"the folder '{folder}' cannot be made ({error.strerror or error})"
        raise Refusal(Fault(code="not written", said=said, remedy="name a folder that you may write to")) from error


def _played(case: "Case", crew: "Crew", hashes: dict[str, str], seed: int) -> "Rehearsal":
    from drillyard.adapters.kernel.compiled import load_kernel
    from drillyard.core.proving import rehearse
    from drillyard.core.session.events import RunStarted
    from drillyard.core.session.setup import PrerollStore
    from drillyard.service.desk import Desk

    setup = case.setup(f"rehearsal-{crew.name}", seed, load_kernel(), PrerollStore(), is_live=False)
    setup = replace(setup, has_director=True)
    model_hash = setup.make_body(setup).model_hash()
    started = RunStarted(
        scenario=case.scenario.name,
        scenario_hash=hashes["scenario"],
        manikin=case.profile.name,
        manikin_hash=hashes["manikin"],
        body_hash=model_hash,
        seed=seed,
        crew=tuple(dict.fromkeys(step.by for step in crew.steps)),
    )
    return rehearse(
        setup,
        crew,
        lambda run: Desk(case, run, started.crew),
        case.ways,
        started=started,
        started_wall=datetime.now().astimezone(),
    )


def _outline(rehearsal: "Rehearsal", case: "Case", crew: "Crew") -> "list[CheckResult]":
    """The case's outline numbers against this course; poor care is held against the untreated course as well."""
    from drillyard.core.scenario.outline import compare

    columns = {check.signal: rehearsal.column(check.signal) for check in case.scenario.checks}
    courses = ("untreated", crew.name) if crew.care == "poor" else (crew.name,)
    return [result for course in courses for result in compare(case.scenario, columns, course)]


def _outline_lines(outline: "list[CheckResult]") -> list[str]:
    if not outline:
        return []
    n_met = sum(result.is_met for result in outline)
    rows = [f"  {'met' if result.is_met else 'NOT MET'}: {result.text}" for result in outline]
    return [f"Outline numbers of the case: {n_met} of {len(outline)} met.", *rows]


def write_results(
    rehearsal: "Rehearsal", case: "Case", outline: "list[CheckResult]", folder: Path
) -> "tuple[Outcome, list[MeasureResult]]":
    """Writes ``log.jsonl``, ``vitals.csv`` (a row a second, units in the heads), ``measures.json``, ``outcome.json``.

    Raises:
        Refusal: a file cannot be written.
    """
    from drillyard.core.measures import compute
    from drillyard.core.proving import outcome_of
    from drillyard.core.session.codec import event_to_line

    run = rehearsal.run
    outcome = outcome_of(rehearsal)
    measures = compute(run.events, run.tracks, case.scenario, case.formulary)
    try:
        log = "".join(event_to_line(event) + "\n" for event in run.events)
        (folder / "log.jsonl").write_text(log, encoding="utf-8")
        _write_vitals(rehearsal, folder / "vitals.csv")
        results = {"mark": MARK, "measures": [asdict(measure) for measure in measures]}
        (folder / "measures.json").write_text(json.dumps(results, indent=1) + "\n", encoding="utf-8")
        checks = [{"text": row.text, "got": row.got, "is_met": row.is_met} for row in outline]
        came = {"mark": MARK, **asdict(outcome), "outline": checks}
        (folder / "outcome.json").write_text(json.dumps(came, indent=1) + "\n", encoding="utf-8")
    except OSError as error:
        said = f"'{error.filename or folder}' cannot be written ({error.strerror or error})"
        raise Refusal(Fault(code="not written", said=said, remedy="name a folder that you may write to")) from error
    return outcome, measures


def _write_vitals(rehearsal: "Rehearsal", path: Path) -> None:
    """True values, then what a screen could show the crew (empty where no sensor was on)."""
    tracks = rehearsal.run.tracks
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        shown = [name for name in tracks.names if not all(map(isnan, tracks.shown_column(name)))]
        writer.writerow(["t_s", *tracks.names, *(f"shown_{name}" for name in shown)])
        columns = [tracks.column(name) for name in tracks.names] + [tracks.shown_column(name) for name in shown]
        for second in range(len(tracks)):
            values = [float(column[second]) for column in columns]
            writer.writerow([second, *("" if isnan(value) else f"{value:.6g}" for value in values)])
