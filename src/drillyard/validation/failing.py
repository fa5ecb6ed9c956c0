"""Why a row fails, where the cause is known: shown beside the number, never used to excuse it from the counts."""

from typing import Final

from drillyard.validation.table import Row

_WHY: Final[dict[str, str]] = {
    "LC037": "likely because the computed lungs mix evenly: there are no slow spaces that wash out late",
    "PK071": "the drug file follows Bae 2020, whose terminal half-life is longer than that of this row's older study",
}
"""Row -> one sentence.  A row that passes again takes its sentence out: a test watches that each names a real row."""

EXPLAINED: Final = frozenset(_WHY)


def why_it_fails(row: Row, value: float) -> str:
    """How far a value lies outside its range, and the cause where it is known."""
    edge, side = (row.low, "below") if value < row.low else (row.high, "above")
    gap = f"{abs(value - edge):.3g} {row.unit} {side} the range"
    return f"{gap}: {_WHY[row.id]}" if row.id in _WHY else f"{gap}; the cause has not been found"
