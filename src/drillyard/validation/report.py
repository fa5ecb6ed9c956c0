"""Verdicts: every row passes, fails or is not modelled, and says why."""

import math
from collections.abc import Callable, Collection
from dataclasses import asdict, dataclass
from typing import Final, Literal

from drillyard.validation.bench import Answers, Bench, Drawing, Experiment, all_experiments
from drillyard.validation.failing import why_it_fails
from drillyard.validation.not_modelled import reason_for
from drillyard.validation.table import Row, reference_rows

Verdict = Literal["pass", "fail", "not modelled", "left out"]
VERDICTS: Final[tuple[Verdict, ...]] = ("pass", "fail", "not modelled", "left out")
Progress = Callable[[Experiment, int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came of one row.  ``got`` is null where nothing was measured; ``reason`` then says why.

    ``experiment`` names the written experiment that answers the row, empty where none does.
    """

    row: Row
    verdict: Verdict
    got: float | None
    reason: str
    experiment: str = ""
    drawing: Drawing | None = None

    def as_dict(self) -> dict[str, object]:
        """Plain data for JSON, without the plot."""
        plain: dict[str, object] = asdict(self.row)
        del plain["low"], plain["high"]
        return plain | {
            "range": self.row.range_text,
            "got": self.got,
            "verdict": self.verdict,
            "reason": self.reason,
            "experiment": self.experiment,
        }


def _judge(row: Row, experiment: Experiment, measured: Answers | str, bench: Bench) -> Result:
    if isinstance(measured, str):
        said = f"the experiment stopped: {measured}"
        return Result(row=row, verdict="fail", got=None, reason=said, experiment=experiment.name)
    if row.id in bench.left and row.id not in measured:
        return Result(row=row, verdict="not modelled", got=None, reason=bench.left[row.id], experiment=experiment.name)
    value = float(measured.get(row.id, math.nan))
    drawing = bench.drawings.get(row.id)
    if not math.isfinite(value):
        said = "what should be measured never came"
        return Result(row=row, verdict="fail", got=None, reason=said, experiment=experiment.name, drawing=drawing)
    holds = row.holds(value)
    return Result(
        row=row,
        verdict="pass" if holds else "fail",
        got=float(f"{value:.6g}"),
        reason="" if holds else why_it_fails(row, value),
        experiment=experiment.name,
        drawing=drawing,
    )


def validate(
    areas: Collection[str] = (),
    rows: Collection[str] = (),
    *,
    fast: bool = False,
    said: Progress = lambda experiment, done, total: None,
) -> list[Result]:
    """Run the experiments and judge every row of the table.

    Args:
        areas: only rows of these areas; all if empty.
        rows: only these rows; all if empty.
        fast: leave out the experiments marked slow; their rows are "left out", never "pass".
        said: called before each experiment with it, the number done and the number to do.

    Returns:
        One result a row, in the order of the table.  An experiment that stops with an error fails its rows and says
        so; the others still run.
    """
    wanted = [r for r in reference_rows() if (not areas or r.area in areas) and (not rows or r.id in rows)]
    ids = {row.id for row in wanted}
    chosen = [experiment for experiment in all_experiments() if ids & set(experiment.rows)]
    to_run = [experiment for experiment in chosen if not (fast and experiment.is_slow)]
    bench = Bench()
    measured: dict[str, Answers | str] = {}
    for done, experiment in enumerate(to_run):
        said(experiment, done, len(to_run))
        measured[experiment.name] = _run(experiment, bench)
    by_row = {row: experiment for experiment in chosen for row in experiment.rows}
    return [_result(row, by_row.get(row.id), measured, bench) for row in wanted]


def _run(experiment: Experiment, bench: Bench) -> Answers | str:
    # One experiment that cannot be done must not hide what the others found; its rows fail with its words.
    try:
        return experiment.run(bench)
    except Exception as error:  # noqa: BLE001
        return f"{type(error).__name__}: {error}".split("\n")[0][:300]


def _result(row: Row, experiment: Experiment | None, measured: dict[str, Answers | str], bench: Bench) -> Result:
    if experiment is None:
        return Result(row=row, verdict="not modelled", got=None, reason=reason_for(row))
    if experiment.name not in measured:
        said = "takes long: run without --fast"
        return Result(row=row, verdict="left out", got=None, reason=said, experiment=experiment.name)
    return _judge(row, experiment, measured[experiment.name], bench)
