"""Problems that can be set by hand or searched for: each a template with one size left open.

They are made from the vocabulary itself (``core/care/problems.py``): every kind with a size, once for each way in which
it can be had, and every drug that the body can take into a vein.  ``find_in_run`` searches from where a live run
stands; ``find_in_case`` from time zero of a case that is being written.
"""

import dataclasses
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Final, Literal, get_args, get_origin, get_type_hints

from drillyard.core.care.problems import DrugTaken, Problem
from drillyard.core.formulary import Formulary
from drillyard.core.numerics.kernel import Kernel
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.scenario.check_numbers import size_limits
from drillyard.core.session.course import SIZE_FIELDS
from drillyard.core.session.find_cause import Found, Goal, find_cause, of_size, size_of
from drillyard.core.session.machine import Machine
from drillyard.core.session.run import Run
from drillyard.core.session.setup import PrerollStore
from drillyard.core.session.state import RunState
from drillyard.service.case import Case

USUAL_MOST: Final[dict[str, float]] = {"bleeding": 1000.0, "pneumothorax": 20.0, "tamponade": 600.0}
"""Largest size that is offered where a scenario's own limit is far beyond what a person lives through (our choice)."""
FIXED: Final[dict[str, float]] = {"ambient_degc": 5.0}
"""What is no size and has no usual value in the vocabulary (our choice)."""
DOSE_OVER_IMPOSSIBLE: Final = 10.0
"""Largest dose that is searched, over the dose that the drug file takes for a slip of the pen (our choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseChoice:
    """``id`` names it on the wire; ``problem`` is it at its largest size ``most``, ``least`` the smallest."""

    id: str
    problem: Problem
    least: float
    most: float
    unit: str
    is_present: bool = False


def choices(formulary: Formulary, state: RunState | None = None) -> list[CauseChoice]:
    """Every problem that can be set now: those of the run first, then new ones."""
    present = [each.problem for each in state.problems if not each.is_ended] if state is not None else []
    made = [_choice(f"problem: {each.name}", each, is_present=True) for each in present if _has_size(each)]
    names = {each.problem.name for each in state.problems} if state is not None else set()
    taken = {each.name for each in present}
    for problem in _templates():
        if problem.name not in taken:
            made.append(_choice(problem.name, problem))
    for drug in (formulary.get(name) for name in formulary):
        unit = drug.amount_unit
        # what is counted in mL is put up as a fluid
        if "IV" in drug.routes() and unit != "mL":
            dose = DOSE_OVER_IMPOSSIBLE * drug.impossible.value
            name = _new_name(f"{drug.name} taken", names)
            problem = DrugTaken(name=name, drug=drug.name, dose=dose, dose_unit=unit, route="IV")
            made.append(_choice(f"drug: {drug.name}", problem))
    return made


def choice_of(choice_id: str, formulary: Formulary, state: RunState | None = None) -> CauseChoice:
    """The choice of that id.

    Raises:
        Refusal: there is none.
    """
    known = {choice.id: choice for choice in choices(formulary, state)}
    if choice_id not in known:
        near = near_matches(choice_id, known)
        raise Refusal(Fault(code="unknown problem", said=f"there is no problem '{choice_id}' to set", near=near))
    return known[choice_id]


def sized(choice: CauseChoice, size: float, t_s: float) -> Problem:
    """The problem of a choice with a size, to begin at ``t_s``.

    Raises:
        Refusal: a size outside its range.
    """
    low, high = sorted((choice.least, choice.most))
    if not low <= size <= high:
        said = f"'{choice.problem.name}' cannot have the size {size:g} {choice.unit}".removesuffix(" 1")
        raise Refusal(
            Fault(code="out of range", said=said, allowed=f"{low:g} to {high:g} {choice.unit}".removesuffix(" 1"))
        )
    return replace(of_size(choice.problem, size), start_s=t_s)


def find_in_run(
    machine: Machine, choice: CauseChoice, goal: Goal, is_wanted: Callable[[], bool] = lambda: True
) -> Found:
    """The size of ``choice`` that leads a run to the goal; ``machine`` is a copy that this call may move.

    Raises:
        Refusal: the run has ended, or as ``find_cause``.
    """
    if machine.is_ended:
        raise Refusal(Fault(code="run has ended", said="the run has ended and the patient stands still"))
    return find_cause(machine, goal, choice.problem, is_wanted)


def find_in_case(
    case: Case, kernel: Kernel, preroll: PrerollStore, choice: CauseChoice, goal: Goal, seed: int = 1
) -> Found:
    """The same for a case that is being written: its patient at time zero, pre-rolled, nothing done.

    Raises:
        Refusal: the case holds a problem that the body cannot have, or as ``find_cause``.
    """
    run = Run(case.setup("find", seed, kernel, preroll, is_live=False))
    run.advance_to(0)
    return find_in_run(run.machine, choice, goal)


# ---- templates ------------------------------------------------------------------------------------------------------


def size_field(problem: Problem) -> str:
    """The field of the size that is searched for."""
    return "dose" if isinstance(problem, DrugTaken) else SIZE_FIELDS[type(problem)][0]


def _has_size(problem: Problem) -> bool:
    """Whether its size can be changed; what was taken was taken."""
    return bool(SIZE_FIELDS[type(problem)])


def _new_name(stem: str, names: set[str]) -> str:
    """A drug is taken once under one name; a further dose needs another."""
    return next(name for n in itertools.count(1) if (name := stem if n == 1 else f"{stem} {n}") not in names)


def _choice(choice_id: str, problem: Problem, *, is_present: bool = False) -> CauseChoice:
    size, unit = size_of(problem)
    limits = size_limits(problem, size_field(problem))
    low, high = limits if limits is not None else (0.0, size)
    if isinstance(problem, DrugTaken):
        low, high = 0.0, size
    high = min(high, USUAL_MOST.get(problem.kind, high)) if not is_present else high
    return CauseChoice(
        id=choice_id, problem=of_size(problem, high), least=low, most=high, unit=unit, is_present=is_present
    )


def _templates() -> Iterator[Problem]:
    """Every kind of problem with a size, in each of its ways ("left", "right")."""
    for made, sizes in SIZE_FIELDS.items():
        if not sizes:
            continue
        hints = get_type_hints(made)
        needed = [field for field in dataclasses.fields(made) if field.default is dataclasses.MISSING]
        open_fields = {field.name: hints[field.name] for field in needed if field.name not in (*sizes, "name")}
        words = {name: get_args(hint) for name, hint in open_fields.items() if get_origin(hint) is Literal}
        kind: str = made.__dataclass_fields__["kind"].default  # type: ignore[attr-defined]
        for chosen in itertools.product(*words.values()):
            fields: dict[str, Any] = dict(zip(words, chosen, strict=True))
            fields.update({name: "inside" for name, hint in open_fields.items() if hint is str})
            fields.update({name: FIXED.get(name, 0.0) for name, hint in open_fields.items() if hint is float})
            fields.update({field.name: 1.0 for field in needed if field.name in sizes})
            fields["name"] = " ".join((kind, *map(str, chosen), "by hand"))
            if kind == "bleeding":
                fields["hidden"] = True
            yield made(**fields)
