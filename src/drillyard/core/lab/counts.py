"""Counts in and out: training drugs, marked fluids and sharps must all be there again before a session closes.

Common practice, no source for the rule itself.  A training drug that leaves the lab can reach a patient; a needle that
is missing is in the bed or in a pocket.
"""

from collections.abc import Iterable, Mapping
from typing import Protocol

from drillyard.core.quantities.faults import Fault


class Counted(Protocol):
    """One row of the count sheet.  What was used stays in the room as an empty ampoule or in the sharps bin, and is
    counted out with the rest: so all that came in must be seen again."""

    @property
    def item(self) -> str: ...
    @property
    def counted_in(self) -> int: ...
    @property
    def counted_out(self) -> int | None: ...
    @property
    def used(self) -> int: ...


def starting_faults(wanted: Iterable[str], counted_in: Mapping[str, int]) -> list[Fault]:
    """What is missing in the count before the start: every item on the sheet must have a number."""
    return [
        Fault(
            code="not counted",
            said=f"'{item}' has not been counted in",
            remedy="count it and write the number, 0 where there is none",
        )
        for item in wanted
        if item not in counted_in
    ]


def closing_faults(rows: Iterable[Counted]) -> list[Fault]:
    """Why the counts do not close; empty when they do.

    Full, opened and empty ones are counted together, so the number out must equal the number in.
    """
    faults = []
    for row in rows:
        if row.counted_out is None:
            faults.append(
                Fault(
                    code="not counted",
                    said=f"'{row.item}' has not been counted out",
                    remedy="count it, opened and empty ones too",
                )
            )
        elif row.counted_out != row.counted_in:
            missing = row.counted_in - row.counted_out
            what = f"{missing} missing" if missing > 0 else f"{-missing} too many"
            faults.append(
                Fault(
                    code="counts differ",
                    said=f"'{row.item}': {row.counted_in} in, {row.counted_out} out, {what}",
                    value=str(row.counted_out),
                    allowed=str(row.counted_in),
                    remedy="search the room, pockets and bins before anybody leaves, then count again",
                )
            )
    return faults


def using_faults(rows: Iterable[Counted]) -> list[Fault]:
    """Warnings: the log says that more was used than was counted in."""
    return [
        Fault(
            code="more used than counted in",
            said=f"'{row.item}': the log has {row.used} used, only {row.counted_in} were counted in",
            remedy="check the count in, or correct the log",
            is_warning=True,
        )
        for row in rows
        if row.used > row.counted_in
    ]
