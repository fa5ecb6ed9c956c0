"""The command line, one file a verb."""

import argparse
import importlib
import sys
from collections.abc import Sequence
from types import ModuleType

from drillyard.core.quantities.faults import Refusal

VERBS = ("serve", "check", "rehearse", "validate", "cite")
_CAUTION = "For training only: no screen, print or number of Drillyard may be used to treat a real person."


def main(argv: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code is 0, or 1 or 2 with a sentence that says why, or 130 when interrupted."""
    words = list(sys.argv[1:] if argv is None else argv)
    named = words[0] if words and words[0] in VERBS else None
    parser = argparse.ArgumentParser(prog="drillyard", description=f"Run a patient-simulation lab. {_CAUTION}")
    subparsers = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    modules = {verb: _module(verb) for verb in VERBS if named in {verb, None}}
    for module in modules.values():
        module.add_parser(subparsers)
    args = parser.parse_args(words)
    try:
        return int(modules[args.verb].run(args))
    except Refusal as refusal:
        for fault in refusal.faults:
            print(fault.sentence(), file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130


def _module(verb: str) -> ModuleType:
    # A verb is imported only when it is named or listed: a quick verb must not wait for a heavy one.
    return importlib.import_module(f"drillyard.cli.{verb}")
