"""Counts of verdicts, and the shares that the body is held to."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from drillyard.validation.report import Result
from drillyard.validation.table import KINDS, Kind

NEVER_COUNTS: Final = "Guideline rows are checks on data files and never count as evidence about the body."
_AIMS: Final[tuple[tuple[str, tuple[Kind, ...], float], ...]] = (
    ("experiments on one patient", ("patient",), 90.0),
    ("drug parameters and closed formulas", ("parameter", "arithmetic"), 97.0),
    ("many patients", ("population",), 90.0),
)
"""What is counted together, and the share in range that this project asks of itself (our choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """How many answered rows of some kinds lie in range, and the share that is asked for."""

    name: str
    rows: int
    answered: int
    in_range: int
    aim_pct: float

    @property
    def share_pct(self) -> float | None:
        """In range of those answered; null where none was."""
        return 100.0 * self.in_range / self.answered if self.answered else None

    @property
    def is_met(self) -> bool:
        """Whether the share that is asked for is reached."""
        return self.share_pct is not None and self.share_pct >= self.aim_pct

    def sentence(self) -> str:
        """The share in words."""
        got = "nothing answered" if self.share_pct is None else f"{self.share_pct:.1f} % in range"
        met = "reached" if self.is_met else "not reached"
        return (
            f"{self.name}: {self.answered} of {self.rows} rows answered, {self.in_range} in range, "
            f"{got}; aim {self.aim_pct:.0f} %: {met}"
        )


def shares(results: Iterable[Result]) -> list[Share]:
    """The shares of :data:`_AIMS` among these results."""
    listed = list(results)
    found = []
    for name, kinds, aim in _AIMS:
        counts = Counter(result.verdict for result in listed if result.row.kind in kinds)
        answered = counts["pass"] + counts["fail"]
        if counts:
            found.append(Share(name=name, rows=counts.total(), answered=answered, in_range=counts["pass"], aim_pct=aim))
    return found


def by_area_and_kind(results: Iterable[Result]) -> list[tuple[str, Kind, Counter[str]]]:
    """Counts of verdicts for each area and kind that has rows, then for all areas together (area "all")."""
    listed = list(results)
    areas = list(dict.fromkeys(result.row.area for result in listed))
    table = []
    for area in [*areas, "all"]:
        for kind in KINDS:
            counts = Counter[str](r.verdict for r in listed if r.row.kind == kind and area in (r.row.area, "all"))
            if counts:
                table.append((area, kind, counts))
    return table


def summary(results: Iterable[Result]) -> str:
    """Counts by area and kind, and the shares, as text."""
    listed = list(results)
    lines = [f"{'area':26} {'kind':11} {'in range':>9} {'out of range':>13} {'not modelled':>13} {'not run':>8}"]
    lines += [
        f"{area:26} {kind:11} {counts['pass']:9d} {counts['fail']:13d} "
        f"{counts['not modelled']:13d} {counts['left out']:8d}"
        for area, kind, counts in by_area_and_kind(listed)
    ]
    return "\n".join([*lines, *(share.sentence() for share in shares(listed)), NEVER_COUNTS])
