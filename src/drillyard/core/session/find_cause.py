"""Find the cause: the size of a problem at which a signal has a wanted value at a given time.

"Bleeding such that mean pressure is 60 at 10 min": copies of the patient live through that time with one size after
another.  Nothing holds the patient there: it is an ordinary problem with an ordinary course.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from drillyard.core.care.problems import DrugTaken, Problem
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.quantities.units import unit_of_name
from drillyard.core.session.course import SIZE_FIELDS
from drillyard.core.session.events import STEPS_PER_S
from drillyard.core.session.find_share import Search, find_share
from drillyard.core.session.look_ahead import TRACK_SIGNALS, Ahead, keep_acting_rules
from drillyard.core.session.machine import Machine
from drillyard.core.session.timeline import Entry

AROUND_S: Final = 5
"""The value at a time is the mean of this many seconds before and after it: a beat or a breath does not count."""
LEAST_S, LONGEST_S = 30, 3600
POWER: Final = 3.0
"""Size over the largest one is this power of the share that is searched: small sizes are looked at more closely."""
TRACK_EVERY_S: Final = 5


class NotWanted(Exception):
    """The search was called off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """``signal`` is to be ``value`` (in its own unit) ``in_s`` seconds from now."""

    signal: str
    value: float
    in_s: float

    def check(self) -> None:
        """Whether it can be asked for.

        Raises:
            Refusal: no such signal, a value that it can never have, or a time out of range.
        """
        signal = SIGNALS.get(self.signal)
        if signal is None:
            near = near_matches(self.signal, SIGNALS)
            raise Refusal(Fault(code="unknown name", said=f"there is no signal '{self.signal}'", near=near))
        if not signal.low <= self.value <= signal.high:
            said, allowed = f"{self.signal} is never {self.value:g}", f"{signal.low:g} to {signal.high:g} {signal.unit}"
            raise Refusal(Fault(code="out of range", said=said, allowed=allowed))
        if not LEAST_S <= self.in_s <= LONGEST_S:
            allowed = f"{LEAST_S} s to {LONGEST_S // 60} min from now"
            raise Refusal(Fault(code="out of range", said=f"{self.in_s:g} s from now is no such time", allowed=allowed))

    @property
    def tolerance(self) -> float:
        """What counts as the wanted value: 0.2 % of it."""
        signal = SIGNALS[self.signal]
        return max(0.002 * abs(self.value), 1e-5 * (signal.high - signal.low))


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """``problem`` has the size that leads there, or the nearest that was tried; ``value`` is what it gives.

    ``ahead`` is the course with it, from now on; None where it was searched for without a run.
    """

    goal: Goal
    problem: Problem
    size: float
    unit: str
    value: float
    is_reached: bool
    most: float
    search: Search
    ahead: Ahead | None = None

    def size_text(self, size: float | None = None) -> str:
        """A size with its unit; shares in per cent."""
        size = self.size if size is None else size
        return f"{_three(100.0 * size)} %" if self.unit == "1" else f"{_three(size)} {self.unit}"

    def sentence(self, label: str = "", unit: str = "", factor: float = 1.0, offset: float = 0.0) -> str:
        """What came of it, in words; by a screen's name and unit of the signal (core value * factor + offset)."""
        signal = SIGNALS[self.goal.signal]
        name = label or signal.meaning.partition(",")[0]
        after = unit if label else "" if signal.unit == "1" else signal.unit
        after = f" {after}" if after else ""

        def said(value: float) -> str:
            return _three(value * factor + offset)

        in_s = self.goal.in_s
        when = f"at {in_s / 60.0:g} min" if in_s >= 60.0 else f"at {in_s:g} s"
        within = name[:1].lower() + name[1:] if name[1:].islower() else name
        given, asked = f"{within} {said(self.value)}{after} {when}", f"{said(self.goal.value)}{after}"
        nearest = f"Nearest: {self.size_text()} gives {given}."
        values = [tried.value for tried in self.search.tried]
        if self.is_reached and self.search.best.share == 0.0:
            return f"None of it is needed, {given} already, if nothing is done."
        if self.is_reached:
            if not self.search.others:
                return f"{self.size_text()} gives {given}."
            again = " and ".join(
                f"between {self._text(low)} and {self._text(high)}" for low, high in self.search.others
            )
            return f"{self.size_text()} gives {given}. It does so again {again}; this is the smallest size that does."
        if self.search.cliff is not None:
            low, high = self.search.cliff
            jump = (
                f"from {said(low.value)} at {self._text(low.share)} to {said(high.value)} at {self._text(high.share)}"
            )
            return f"{name} cannot be {asked} {when}: it jumps {jump}. {nearest}"
        if min(values) <= self.goal.value <= max(values):
            # it lies between two runs, and there were no more of them
            return f"Not {asked}, but near it after {len(values)} runs. {nearest}"
        span = f"from {said(min(values))} to {said(max(values))}"
        most = f"by sizes up to {self.size_text(self.most)}"
        return f"{name} cannot be {asked} {when} {most}: it goes {span}. {nearest}"

    def _text(self, share: float) -> str:
        return self.size_text(self.most * share**POWER)


def _three(value: float) -> str:
    """Three figures, without an exponent where that reads well."""
    return f"{float(f'{value:.3g}'):g}"


def size_of(problem: Problem) -> tuple[float, str]:
    """The first size of a problem and its unit; a drug's is its dose.

    Raises:
        Refusal: it happens at once and has no size.
    """
    fields = _size_fields(problem)
    unit = problem.dose_unit if isinstance(problem, DrugTaken) else (unit_of_name(fields[0]) or ("", "1"))[1]
    return float(getattr(problem, fields[0])), unit


def of_size(problem: Problem, size: float) -> Problem:
    """The problem with its first size so large, the others in proportion."""
    fields = _size_fields(problem)
    first = float(getattr(problem, fields[0]))
    sizes: dict[str, Any] = {fields[0]: size}
    for name in fields[1:]:
        sizes[name] = float(getattr(problem, name)) * (size / first if first else 0.0)
    return replace(problem, **sizes)


def _size_fields(problem: Problem) -> tuple[str, ...]:
    fields = ("dose",) if isinstance(problem, DrugTaken) else SIZE_FIELDS[type(problem)]
    if not fields:
        said = f"'{problem.name}' happens at once and has no size to find"
        raise Refusal(Fault(code="has no size", said=said, remedy="choose a problem with a size"))
    return fields


def search_cause(goal: Goal, largest: Problem, value_of: Callable[[Problem | None], float]) -> Found:
    """The search itself, whatever lives through the time.

    Args:
        largest: the problem at the largest size that is allowed.
        value_of: lives through the time with a problem (None: without) and gives the value of the signal.

    Raises:
        Refusal: the goal cannot be asked for, or the problem has no size.
    """
    goal.check()
    most, unit = size_of(largest)
    if most == 0.0:
        raise Refusal(
            Fault(code="no size", said=f"the largest size of '{largest.name}' is 0", remedy="name a larger one")
        )

    def value_at(share: float) -> float:
        return value_of(of_size(largest, most * share**POWER) if share > 0.0 else None)

    search = find_share(value_at, goal.value, goal.tolerance)
    size = most * search.best.share**POWER
    return Found(
        goal=goal,
        problem=of_size(largest, size),
        size=size,
        unit=unit,
        value=search.best.value,
        is_reached=search.is_reached,
        most=most,
        search=search,
    )


def find_cause(machine: Machine, goal: Goal, largest: Problem, is_wanted: Callable[[], bool] = lambda: True) -> Found:
    """The size of a problem that leads a run to the goal if nothing more is done.

    What is in progress goes on, rules of the case act.  A problem of that name that the patient has already takes the
    sizes that are tried in its place; its size now does not matter.

    Args:
        machine: a copy of the run's machine; this call leaves it as it is.
        is_wanted: asked before each run.

    Raises:
        Refusal: the goal cannot be asked for, or the problem cannot be had.
        NotWanted: it was called off.
    """
    keep_acting_rules(machine)
    courses: dict[float, Ahead] = {}

    def value_of(problem: Problem | None) -> float:
        if not is_wanted():
            raise NotWanted
        value, ahead = _live_through(machine.copy(), goal, problem, largest)
        courses[value] = ahead
        return value

    found = search_cause(goal, largest, value_of)
    return replace(found, ahead=courses[found.value])


def _live_through(machine: Machine, goal: Goal, problem: Problem | None, largest: Problem) -> tuple[float, Ahead]:
    if problem is None and machine.course.find(largest.name) is not None and not isinstance(largest, DrugTaken):
        problem = of_size(largest, 0.0)
    if problem is not None:
        machine.begin(replace(problem, start_s=machine.t_s))
    start = machine.step
    until_s = goal.in_s + AROUND_S
    values: list[float] = []
    rows: list[list[float]] = []
    first_s: int | None = None

    def on_second(second: int) -> None:
        nonlocal first_s
        first_s = second if first_s is None else first_s
        signals = machine.signals
        if second * STEPS_PER_S - start >= (goal.in_s - AROUND_S) * STEPS_PER_S:
            values.append(signals[goal.signal])
        if (second - first_s) % TRACK_EVERY_S == 0:
            rows.append([signals[name] for name in TRACK_SIGNALS])

    machine.run_to(start + round(until_s * STEPS_PER_S), deque[Entry](), on_second)
    for told in machine.advice:
        if told[0] == 0 and problem is not None and problem.name in told[1]:
            raise Refusal(Fault(code="cannot be had", said=told[1]))
    if not values:  # the run ends before: the patient stands still then
        values.append(machine.body.read(goal.signal))
    ahead = Ahead(
        from_s=float(first_s or 0),
        dt_s=float(TRACK_EVERY_S),
        names=TRACK_SIGNALS,
        values=np.array(rows, dtype=np.float64).reshape(-1, len(TRACK_SIGNALS)),
        crossings=(),
    )
    return float(np.mean(values)), ahead
