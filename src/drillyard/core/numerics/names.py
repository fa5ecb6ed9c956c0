"""The table of names: what every value of the body is called, in which unit, and where it comes from."""

from dataclasses import dataclass
from typing import Literal

Rate = Literal["fast", "mid", "calm", "slow"]


@dataclass(frozen=True, slots=True)
class State:
    """A value that the body carries from step to step; part of the snapshot.

    ``start`` is its value before the patient has settled; ``rate`` the block that moves it: fast 10/3 ms, mid 10 ms,
    calm 50 ms, slow 1 s.  ``low``: the value never falls below it (checked by tests; the parts themselves keep it).
    """

    name: str
    start: float
    unit: str
    meaning: str
    rate: Rate = "mid"
    low: float | None = None


@dataclass(frozen=True, slots=True)
class Param:
    """A number that holds for one patient: ``value`` for the reference adult, with its source and year."""

    name: str
    value: float
    unit: str
    meaning: str
    source: str


@dataclass(frozen=True, slots=True)
class Mid:
    """An intermediate: computed anew by a part, never carried over."""

    name: str
    unit: str
    meaning: str


Name = State | Param | Mid
