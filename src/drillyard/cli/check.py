"""``drillyard check``: everything that is wrong in the files of a lab folder, one sentence each."""

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path

from drillyard.core.quantities.faults import Fault, Refusal


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the verb to the command line."""
    parser = subparsers.add_parser("check", help="look for faults in the files of a lab folder")
    parser.add_argument("lab", metavar="LAB", type=Path, help="the lab folder")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write every fault to FILE as well")


def run(args: argparse.Namespace) -> int:
    """Print every fault; 1 if there is an error, 0 if there are at most warnings, 2 if LAB cannot be read."""
    from drillyard.adapters.files.lab_check import everything
    from drillyard.adapters.files.lab_folder import LabFolder
    from drillyard.adapters.files.lab_names import known_names

    try:
        lab = LabFolder(args.lab, known_names())
        loaded = list(everything(lab))
    except Refusal as refusal:
        for fault in refusal.faults:
            print(fault.sentence(), file=sys.stderr)
        return 2
    faults = [fault for one in loaded for fault in one.faults]
    for fault in faults:
        print(("warning: " if fault.is_warning else "") + fault.sentence())
    n_errors = sum(not fault.is_warning for fault in faults)
    print(f"{len(loaded)} files, {_counted(n_errors, 'error')}, {_counted(len(faults) - n_errors, 'warning')}.")
    if args.json is not None:
        try:
            args.json.write_text(json.dumps([as_json(fault) for fault in faults], indent=1) + "\n", encoding="utf-8")
        except OSError as error:
            print(f"'{args.json}' cannot be written ({error.strerror}); the faults stand above.", file=sys.stderr)
            return 2
    return 1 if n_errors else 0


def as_json(fault: Fault) -> dict[str, object]:
    """A fault for other programs: its parts, and its sentence."""
    return {**asdict(fault), "severity": "warning" if fault.is_warning else "error", "sentence": fault.sentence()}


def _counted(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"
