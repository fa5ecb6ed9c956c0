"""Verdicts: every row passes, fails or is not modelled, and says why."""

import math
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from typing import Literal

from drillyard.validation.bench import Answers, Bench, Experiment, all_experiments
from drillyard.validation.not_modelled import reason_for
from drillyard.validation.table import KINDS, Row, reference_rows

Verdict = Literal["pass", "fail", "not modelled", "left out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came of one row.  ``got`` is null where nothing was measured; ``reason`` then says why."""

    id: str
    area: str
    kind: str
    check: str
    expected: float
    range: str
    unit: str
    got: float | None
    verdict: Verdict
    reason: str
    source: str

    def as_dict(self) -> dict[str, object]:
        return asdict(self)


def _result(row: Row, verdict: Verdict, got: float | None, reason: str) -> Result:
    return Result(
        id=row.id,
        area=row.area,
        kind=row.kind,
        check=row.check,
        expected=row.expected,
        range=row.range_text,
        unit=row.unit,
        got=got,
        verdict=verdict,
        reason=reason,
        source=row.source,
    )


def _judge(row: Row, experiment: Experiment, measured: Answers) -> Result:
    value = measured.get(row.id, math.nan)
    if not math.isfinite(value):
        return _result(row, "fail", None, f"{experiment.name}: what should be measured never came")
    return _result(row, "pass" if row.holds(value) else "fail", float(f"{value:.6g}"), experiment.name)


def validate(
    area: str | None = None, *, fast: bool = False, said: Callable[[str], None] = lambda _: None
) -> list[Result]:
    """Run the experiments and judge every row of the table.

    Args:
        area: only rows of this area.
        fast: leave out the experiments that simulate many hours; their rows are "left out", never "pass".
        said: receives the name of each experiment as it starts.

    Returns:
        One result a row, in the order of the table.
    """
    rows = [row for row in reference_rows() if area in (None, row.area)]
    wanted = {row.id for row in rows}
    by_row: dict[str, tuple[Experiment, Answers | None]] = {}
    bench = Bench()
    for experiment in all_experiments():
        if not wanted & set(experiment.rows):
            continue
        measured: Answers | None = None
        if not (fast and experiment.is_slow):
            said(experiment.name)
            measured = experiment.run(bench)
        by_row.update(dict.fromkeys(experiment.rows, (experiment, measured)))
    results = []
    for row in rows:
        if row.id not in by_row:
            results.append(_result(row, "not modelled", None, reason_for(row)))
            continue
        experiment, measured = by_row[row.id]
        if measured is None:
            results.append(_result(row, "left out", None, f"{experiment.name} takes long; run without --fast"))
        else:
            results.append(_judge(row, experiment, measured))
    return results


def summary(results: Iterable[Result]) -> str:
    """Counts by area and kind as a table of text."""
    listed = list(results)
    lines = [f"{'area':26} {'kind':11} {'pass':>5} {'fail':>5} {'not modelled':>13} {'left out':>9}"]
    areas = sorted({result.area for result in listed})
    for area in [*areas, "all"]:
        for kind in KINDS:
            counts = Counter(r.verdict for r in listed if r.kind == kind and area in (r.area, "all"))
            if counts:
                lines.append(
                    f"{area:26} {kind:11} {counts['pass']:5d} {counts['fail']:5d} "
                    f"{counts['not modelled']:13d} {counts['left out']:9d}"
                )
    answered = [r for r in listed if r.kind == "patient" and r.verdict in ("pass", "fail")]
    passed = sum(r.verdict == "pass" for r in answered)
    if answered:
        share = 100.0 * passed / len(answered)
        lines.append(f"patient rows answered: {len(answered)}, in range: {passed} ({share:.0f} %)")
    lines.append("guideline rows are checks on data files and never count as evidence about the body")
    return "\n".join(lines)
