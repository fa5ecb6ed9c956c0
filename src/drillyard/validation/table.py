"""The table of published values: one row a number, with its source and the range that counts as right."""

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Literal

Kind = Literal["patient", "parameter", "arithmetic", "population", "guideline"]
KINDS: tuple[Kind, ...] = ("patient", "parameter", "arithmetic", "population", "guideline")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One published value.

    ``kind``: patient = an experiment on the whole body; parameter = read from one drug's kinetics; arithmetic = a
    closed formula; population = many patients; guideline = a dose or threshold of a data file, which never counts as
    evidence about the body.  ``how_known``: seen in the published text, or from memory.
    """

    id: str
    area: str
    kind: Kind
    check: str
    conditions: str
    expected: float
    low: float
    high: float
    unit: str
    source: str
    how_known: str
    difficulty: str

    @property
    def range_text(self) -> str:
        return f"{self.low:g} to {self.high:g}"

    def holds(self, value: float) -> bool:
        """Whether a measured value lies in the range."""
        return self.low <= value <= self.high


def _range(expected: float, text: str) -> tuple[float, float]:
    if text.startswith("+-"):
        return expected - float(text[2:]), expected + float(text[2:])
    low, high = text.split("..")
    return float(low), float(high)


@lru_cache(maxsize=1)
def reference_rows() -> tuple[Row, ...]:
    """All rows of ``data/tables/reference_values.csv`` in their order."""
    text = files("drillyard.data").joinpath("tables/reference_values.csv").read_text(encoding="utf-8")
    rows = []
    for entry in csv.DictReader(text.splitlines()):
        expected = float(entry["expected_value"])
        low, high = _range(expected, entry["tolerance_or_range"])
        rows.append(
            Row(
                id=entry["id"],
                area=entry["area"],
                kind=entry["kind"],  # type: ignore[arg-type]
                check=entry["check"],
                conditions=entry["conditions"],
                expected=expected,
                low=low,
                high=high,
                unit=entry["unit"],
                source=entry["source"],
                how_known=entry["how_known"],
                difficulty=entry["difficulty"],
            )
        )
    return tuple(rows)


def expected(row: str) -> float:
    """The published value of a row, for its point in a picture.

    Raises:
        KeyError: there is no such row.
    """
    return {found.id: found.expected for found in reference_rows()}[row]
