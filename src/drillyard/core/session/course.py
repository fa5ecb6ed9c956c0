"""The course of problems: when each begins, and how it grows to its size.

A problem with ``over_s`` grows along a smooth curve (no kink at either end).  One that is set again under the same
name grows, or shrinks, from the size it has to its new size.
"""

from dataclasses import dataclass, replace
from typing import Any, Final

from drillyard.core.care.brain_problems import BRAIN_SIZES
from drillyard.core.care.fluid_problems import FLUID_SIZES
from drillyard.core.care.metabolic_problems import METABOLIC_SIZES
from drillyard.core.care.problems import (
    AirwayBlockage,
    AirwaySwelling,
    Arrest,
    Aspiration,
    Bleeding,
    Bronchospasm,
    CarbonMonoxide,
    CoronaryOcclusion,
    DrugTaken,
    FlailChest,
    Haemothorax,
    Methaemoglobin,
    Pneumonia,
    Pneumothorax,
    Problem,
    PulmonaryEmbolism,
    PulmonaryOedema,
    PumpFailure,
    Secretions,
    Shunt,
    SpinalCordInjury,
    Tamponade,
    VesselDilation,
)

SIZE_FIELDS: Final[dict[type, tuple[str, ...]]] = {
    Bleeding: ("rate_ml_per_min",),
    Pneumothorax: ("leak_ml_per_s_per_cmh2o", "wound_ml_per_s_per_cmh2o"),
    AirwayBlockage: ("blocked_frac",),
    DrugTaken: (),
    Arrest: (),
    Shunt: ("shunt_frac",),
    Tamponade: ("volume_ml",),
    Bronchospasm: ("severity_frac",),
    AirwaySwelling: ("swelling_frac",),
    Secretions: ("amount_frac",),
    PulmonaryOedema: ("filling_rise_frac", "leak_frac"),
    Pneumonia: ("solid_frac",),
    Aspiration: ("amount_frac",),
    Haemothorax: ("rate_ml_per_min",),
    FlailChest: ("force_lost_frac",),
    CarbonMonoxide: ("room_frac",),
    Methaemoglobin: (),
    CoronaryOcclusion: ("occluded_frac",),
    PulmonaryEmbolism: ("obstructed_frac",),
    PumpFailure: ("lost_frac",),
    VesselDilation: ("lost_frac",),
    SpinalCordInjury: (),
    **FLUID_SIZES,
    **METABOLIC_SIZES,
    **BRAIN_SIZES,
}
"""The numbers of a problem that are its size.  A drug taken, an arrest and what blood carries happen at once."""


def grown_frac(t_s: float, start_s: float, over_s: float) -> float:
    """Share of its full size that a problem has reached, 0 to 1: 3 s^2 - 2 s^3 over ``over_s``. [1]"""
    if over_s <= 0.0 or t_s >= start_s + over_s:
        return 1.0 if t_s >= start_s else 0.0
    share = max(0.0, (t_s - start_s) / over_s)
    return share * share * (3.0 - 2.0 * share)


def between(before: Problem | None, after: Problem, frac: float) -> Problem:
    """``after`` with its size moved back towards ``before``: 0 gives the size of before (nothing if there was none)."""
    sizes: dict[str, Any] = {}
    for name in SIZE_FIELDS[type(after)]:
        first = float(getattr(before, name)) if type(before) is type(after) else 0.0
        sizes[name] = first + (float(getattr(after, name)) - first) * frac
    return replace(after, **sizes)


@dataclass(frozen=True, slots=True)
class Growing:
    """A problem on its way to its size.  ``before`` is what it grows from."""

    problem: Problem
    start_s: float
    before: Problem | None = None

    def at(self, t_s: float) -> Problem:
        """The problem with the size it has at ``t_s``."""
        return between(self.before, self.problem, grown_frac(t_s, self.start_s, self.problem.over_s))

    def is_grown(self, t_s: float) -> bool:
        return t_s >= self.start_s + self.problem.over_s


@dataclass(frozen=True, slots=True)
class Waiting:
    """A problem that will begin at ``start_s``.  ``rule`` is the rule that set it, empty for the case itself."""

    start_s: float
    problem: Problem
    rule: str = ""


@dataclass(frozen=True, slots=True)
class Course:
    """All problems of a run at one moment: those waiting for their start, growing ones, and all that are present.

    A frozen value: every change gives a new one, so that a snapshot is the value itself.
    """

    waiting: tuple[Waiting, ...] = ()
    growing: tuple[Growing, ...] = ()
    present: tuple[Problem, ...] = ()

    def with_waiting(self, start_s: float, problem: Problem, rule: str = "") -> "Course":
        """A problem is to begin at ``start_s``."""
        return replace(self, waiting=(*self.waiting, Waiting(start_s, problem, rule)))

    def without_waiting(self, waiting: Waiting) -> "Course":
        """``waiting`` waits no more."""
        return replace(self, waiting=tuple(other for other in self.waiting if other is not waiting))

    def begun(self, t_s: float, problem: Problem) -> "Course":
        """The problem begins, or changes, at ``t_s``."""
        is_there = self.find(problem.name) is not None
        before = self.size_at(problem.name, t_s) if is_there else None
        return Course(
            waiting=self.waiting,
            growing=(
                *(growing for growing in self.growing if growing.problem.name != problem.name),
                Growing(problem=problem, start_s=t_s, before=before),
            ),
            present=(*(other for other in self.present if other.name != problem.name), problem),
        )

    def ended(self, name: str) -> "Course":
        """The problem is gone, or never comes."""
        return Course(
            waiting=tuple(waiting for waiting in self.waiting if waiting.problem.name != name),
            growing=tuple(growing for growing in self.growing if growing.problem.name != name),
            present=tuple(problem for problem in self.present if problem.name != name),
        )

    def find(self, name: str) -> Problem | None:
        """The problem of that name that is present, at its full size."""
        return next((problem for problem in self.present if problem.name == name), None)

    def size_at(self, name: str, t_s: float) -> Problem:
        """The problem of that name, which must be present, with the size it has at ``t_s``."""
        growing = next((growing for growing in self.growing if growing.problem.name == name), None)
        if growing is not None:
            return growing.at(t_s)
        return next(problem for problem in self.present if problem.name == name)
