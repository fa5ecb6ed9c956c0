"""What a machine finds out and remembers: its snapshot, and the parts of it that are its own."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.facts import Facts
from drillyard.core.session.course import Course
from drillyard.core.session.events import Happening, Source
from drillyard.core.session.holds import Holds


@dataclass(frozen=True, slots=True, kw_only=True)
class Derived:
    """Something that the core found out by itself at ``step``.

    ``key`` tells it from all other derived happenings of the run and is the same when the run is recomputed: what
    caused it, what it is, and the how manieth it is.
    """

    step: int
    body: Happening
    source: Source
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineSnapshot:
    """All that a machine remembers at one step.  The body's part is at most 8 kB."""

    step: int
    seconds_done: int
    body: bytes
    sensors: Any
    rules: Any
    facts: Facts
    course: Course
    holds: Holds
    counts: Mapping[str, int]
    cuff_asked: tuple[tuple[str, float], ...]
    beat_count: float
    is_ended: bool


class BodyFroze(Refusal):
    """The body holds a number that is not finite.  Its room stops; other rooms go on."""
