"""``drillyard validate``: the body against published values."""

import argparse
import json
import sys
from pathlib import Path


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the verb to the command line."""
    parser = subparsers.add_parser("validate", help="hold the body against published values")
    parser.add_argument("--area", help="only rows of this area (gas_exchange, lung_control, cardiovascular, ...)")
    parser.add_argument("--fast", action="store_true", help="leave out experiments that simulate many hours")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write every row with its verdict to FILE")
    parser.add_argument("--failing", action="store_true", help="list only rows that fail")


def run(args: argparse.Namespace) -> int:
    """Print each answered row and the counts by area and kind; 0 even where rows fail, for failing is shown."""
    from drillyard.validation.report import summary, validate
    from drillyard.validation.table import reference_rows

    areas = sorted({row.area for row in reference_rows()})
    if args.area is not None and args.area not in areas:
        print(f"--area: there is no area '{args.area}'; areas are {', '.join(areas)}.", file=sys.stderr)
        return 2
    results = validate(args.area, fast=args.fast, said=_said)
    if sys.stderr.isatty():
        print("\r" + " " * 70 + "\r", end="", file=sys.stderr)
    for result in results:
        if result.verdict == "fail" or (result.verdict == "pass" and not args.failing):
            got = "nothing" if result.got is None else f"{result.got:.4g}"
            print(
                f"{result.verdict:4}  {result.id}  {result.check[:58]:58}  got {got:>9}  "
                f"range {result.range} {result.unit}  [{result.source.split('.')[0][:40]}]"
            )
    print(summary(results))
    if args.json is not None:
        args.json.write_text(json.dumps([result.as_dict() for result in results], indent=1) + "\n", encoding="utf-8")
    return 0


def _said(name: str) -> None:
    if sys.stderr.isatty():
        print(f"\r{name[:68]:70}", end="", file=sys.stderr, flush=True)
