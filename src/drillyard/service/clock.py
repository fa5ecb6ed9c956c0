"""The clock as a port: monotonic time moves the patient, the time of day only dates the log."""

import time
from datetime import UTC, datetime, timedelta
from typing import Protocol

from drillyard.core.quantities.faults import Fault, Refusal


class Clock(Protocol):
    """``monotonic_s`` never runs backwards and knows no date; ``utc`` is the time of day with its offset."""

    def monotonic_s(self) -> float: ...

    def utc(self) -> datetime: ...


class SystemClock:
    """The machine's own clock."""

    def monotonic_s(self) -> float:
        return time.monotonic()

    def utc(self) -> datetime:
        return datetime.now(UTC)


class HandClock:
    """A clock turned by hand: for tests and for playing a run faster than time."""

    def __init__(self, start: datetime = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)) -> None:
        self._start, self._gone_s = start, 0.0

    def turn(self, by_s: float) -> None:
        """Let ``by_s`` seconds pass, at least 0."""
        if by_s < 0.0:
            raise Refusal(Fault(code="out of range", said="a clock does not run backwards", allowed="0 s or more"))
        self._gone_s += by_s

    def monotonic_s(self) -> float:
        return self._gone_s

    def utc(self) -> datetime:
        return self._start + timedelta(seconds=self._gone_s)


def wall_text(moment: datetime) -> str:
    """ISO 8601 with offset, to the millisecond: the form in which logs and records hold a time of day."""
    return moment.isoformat(timespec="milliseconds")
