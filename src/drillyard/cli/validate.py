"""``drillyard validate``: the body against published values.

What the verb needs is imported where it is used, so that other verbs start quickly.
"""

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from drillyard.core.quantities.faults import Fault, Refusal

if TYPE_CHECKING:
    from drillyard.validation.bench import Experiment
    from drillyard.validation.report import Result

_BAR: int = 24


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the verb to the command line."""
    parser = subparsers.add_parser("validate", help="hold the body against published values")
    parser.add_argument("--area", action="append", default=[], help="only rows of this area; may be repeated")
    parser.add_argument("--row", metavar="ID", action="append", default=[], help="only this row; may be repeated")
    parser.add_argument("--fast", action="store_true", help="leave out experiments that take long")
    parser.add_argument("--failing", action="store_true", help="list only rows that fail")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write every row with its verdict to FILE")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write one page for reading to FILE")
    parser.add_argument("--plot", metavar="DIR", type=Path, help="write a small picture of each measured row to DIR")
    parser.add_argument("--check", metavar="PAGE", type=Path, help="compare with a page written earlier")
    parser.add_argument(
        "--outlines", metavar="FILE", type=Path, help="instead: play the fourteen outline cases and write their page"
    )
    parser.add_argument("--times", action="store_true", help="say how long each experiment took")


def run(args: argparse.Namespace) -> int:
    """Print each answered row and the counts.

    Returns:
        0 even where rows fail, for failing is shown; 1 where ``--check`` finds a difference; 2 for bad arguments.
    """
    if args.outlines is not None:
        return _outlines(args.outlines)
    from drillyard.validation.counts import summary
    from drillyard.validation.kept import differences, read_page
    from drillyard.validation.report import validate
    from drillyard.validation.table import reference_rows

    _check_words("--area", args.area, {row.area for row in reference_rows()})
    _check_words("--row", args.row, {row.id for row in reference_rows()})
    kept = None
    if args.check is not None:
        try:
            kept = read_page(args.check.read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            said = f"--check: '{args.check}' cannot be compared ({error})"
            raise Refusal(
                Fault(code="no page", said=said, remedy="name a page of 'drillyard validate --html'")
            ) from error
    told = _Progress(with_times=args.times)
    results = validate(args.area, args.row, fast=args.fast, said=told)
    told.end()
    for result in results:
        if result.verdict == "fail" or (
            result.verdict != "left out" and not args.failing and (result.got is not None or args.row)
        ):
            print(_line(result))
    print(summary(results))
    _write(args, results)
    if kept is None:
        return 0
    found = differences(results, kept)
    for sentence in found:
        print(sentence, file=sys.stderr)
    if found:
        print(
            f"{args.check} is out of date. Look at what moved, then renew it: drillyard validate --html {args.check}",
            file=sys.stderr,
        )
    return 1 if found else 0


def _outlines(file: Path) -> int:
    from drillyard.validation.outlines import CASE_IDS, case, play
    from drillyard.validation.outlines.page import page

    outcomes = []
    for case_id in CASE_IDS:
        outcomes.append(play(case(case_id)))
        print(f"{case_id:4} {outcomes[-1].case.title[:48]:48} {outcomes[-1].verdict}", flush=True)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(page(outcomes), encoding="utf-8")
    except OSError as error:
        said = f"'{file}' cannot be written ({error.strerror or error})"
        raise Refusal(Fault(code="not written", said=said, remedy="name a place that you may write to")) from error
    return 0


def _check_words(option: str, words: list[str], known: set[str]) -> None:
    for word in words:
        if word not in known:
            allowed = ", ".join(sorted(known)) if len(known) < 20 else "the ids of data/tables/reference_values.csv"
            raise Refusal(Fault(code="unknown word", said=f"{option}: there is no '{word}'", allowed=allowed))


def _line(result: "Result") -> str:
    row = result.row
    got = "nothing" if result.got is None else f"{result.got:.4g}"
    first = (
        f"{result.verdict:4}  {row.id}  {row.check[:58]:58}  got {got:>9}  "
        f"range {row.range_text} {row.unit}  [{row.source.split('.')[0][:40]}]"
    )
    return f"{first}\n      {result.reason}" if result.reason else first


def _write(args: argparse.Namespace, results: "list[Result]") -> None:
    from drillyard.validation.page import page
    from drillyard.validation.plots import plot_file

    try:
        if args.json is not None:
            plain = [result.as_dict() for result in results]
            args.json.write_text(json.dumps(plain, indent=1) + "\n", encoding="utf-8")
        if args.html is not None:
            args.html.parent.mkdir(parents=True, exist_ok=True)
            args.html.write_text(page(results), encoding="utf-8")
        if args.plot is not None:
            args.plot.mkdir(parents=True, exist_ok=True)
            for result in results:
                if picture := plot_file(result):
                    (args.plot / f"{result.row.id}.svg").write_text(picture, encoding="utf-8")
    except OSError as error:
        said = f"'{error.filename}' cannot be written ({error.strerror or error})"
        raise Refusal(Fault(code="not written", said=said, remedy="name a place that you may write to")) from error


class _Progress:
    """A bar on a terminal; elsewhere a line for each module of experiments, and for each one with ``--times``."""

    def __init__(self, *, with_times: bool) -> None:
        from time import monotonic

        self._now = monotonic
        self._with_times = with_times
        self._begun: tuple[str, float] | None = None
        self._module = ""
        self._is_terminal = sys.stderr.isatty()

    def __call__(self, experiment: "Experiment", done: int, total: int) -> None:
        self._close()
        self._begun = (experiment.name, self._now())
        if self._is_terminal:
            filled = _BAR * done // max(1, total)
            bar = "#" * filled + "." * (_BAR - filled)
            print(f"\r[{bar}] {done}/{total} {experiment.name[:40]:40}", end="", file=sys.stderr, flush=True)
        elif experiment.module != self._module:
            self._module = experiment.module
            print(f"{done}/{total} {experiment.module.replace('_', ' ')}", file=sys.stderr, flush=True)

    def end(self) -> None:
        self._close()
        if self._is_terminal:
            print("\r" + " " * (_BAR + 52) + "\r", end="", file=sys.stderr)

    def _close(self) -> None:
        if self._begun is not None and self._with_times:
            name, begun = self._begun
            clear = "\r" if self._is_terminal else ""
            print(f"{clear}{self._now() - begun:7.1f} s  {name:60}", file=sys.stderr, flush=True)
        self._begun = None
