"""A patient to script: a thin, friendly face of the body with units as text and courses as columns."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Self

import numpy as np

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.kernel import load_kernel
from drillyard.core.body.body import STEPS_PER_S, Body
from drillyard.core.body.patient import Patient
from drillyard.core.care.problems import Problem
from drillyard.core.formulary import Formulary
from drillyard.core.numerics.kernel import Kernel
from drillyard.core.quantities.units import quantity_from_text
from drillyard.core.session.find_cause import AROUND_S, Found, Goal, search_cause
from drillyard.scripting.words import action, problem


def healthy(
    age_years: float = 40.0,
    sex: str = "male",
    mass_kg: float = 70.0,
    height_cm: float = 175.0,
    *,
    pregnant_weeks: float = 0.0,
    is_delivered: bool = False,
    seed: int = 1,
    formulary: Formulary | None = None,
    kernel: Kernel | None = None,
) -> "ScriptedPatient":
    """A healthy person at rest, lying flat, breathing air.

    Args:
        age_years, mass_kg, height_cm: size; ``sex`` is "female" or "male".
        pregnant_weeks, is_delivered: 0 where she is not; whether the child of that pregnancy is born.
        seed: whole number from which all chance in this patient follows.
        formulary: drugs; those shipped with Drillyard if absent.
        kernel: the compiled body if absent; ``load_kernel("python")`` runs without a compiler.

    Raises:
        Refusal: a size outside what the body covers.
    """
    patient = Patient(
        age_years=age_years,
        sex=sex,  # type: ignore[arg-type]
        mass_kg=mass_kg,
        height_cm=height_cm,
        pregnant_weeks=pregnant_weeks,
        is_delivered=is_delivered,
    )
    body = Body.healthy(patient, seed, formulary or packaged_formulary(), kernel or load_kernel())
    return ScriptedPatient(body)


@dataclass(frozen=True, slots=True)
class Course:
    """Signals over time: ``t_s`` (seconds since the patient was made) and a column for each signal.

    >>> course["spo2_pct"].min()          # doctest: +SKIP
    """

    t_s: np.ndarray[Any, np.dtype[np.float64]]
    columns: dict[str, np.ndarray[Any, np.dtype[np.float64]]]

    def __getitem__(self, name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        return self.columns[name]

    def first_s(self, name: str, *, below: float | None = None, above: float | None = None) -> float:
        """Seconds from the start of this course until a signal first goes below or above a value; nan if never."""
        values = self.columns[name]
        hit = values < below if below is not None else values > (above if above is not None else np.inf)
        where = np.flatnonzero(hit)
        return float(self.t_s[where[0]] - self.t_s[0]) if where.size else float("nan")

    def at(self, name: str, t_s: float) -> float:
        """Value ``t_s`` seconds after the start of this course, between rows by straight line."""
        return float(np.interp(t_s, self.t_s - self.t_s[0], self.columns[name]))


class ScriptedPatient:
    """One patient.  ``patient["spo2_pct"]`` reads a signal; ``do`` cares; ``wrong`` hurts; ``run`` lets time pass."""

    def __init__(self, body: Body, problems: dict[str, Problem] | None = None) -> None:
        self.body = body
        self.problems = dict(problems or {})

    def __getitem__(self, name: str) -> float:
        return self.body.read(name)

    @property
    def t_s(self) -> float:
        """Seconds since the patient was made."""
        return self.body.step / STEPS_PER_S

    def do(self, kind: str, **fields: Any) -> str:
        """Care for the patient: ``do("give oxygen", device="reservoir mask", flow="15 L/min")``.

        Returns:
            A sentence that the operator should know, or an empty text.
        """
        return self.body.apply(action(kind, **fields))

    def wrong(self, kind: str, **fields: Any) -> None:
        """Start or change a problem: ``wrong("bleeding", rate="180 mL/min", site="left thigh")``."""
        made = problem(kind, **fields)
        self.problems[made.name] = made
        self.body.set_problem(made)

    def right(self, name: str) -> None:
        """Take a problem away by its name; what it did to the patient stays."""
        self.body.end_problem(self.problems.pop(name))

    def find(self, kind: str, *, signal: str, value: float, at: str | float, **fields: Any) -> Found:
        """The size of a problem at which a signal has a value at a time from now; nothing happens to this patient.

        ``find("shunt", signal="sao2_pct", value=85, at="5 min", shunt_frac=0.8)``.
        The size that is written is the largest that is tried; ``found.problem`` has the size that was found and
        ``found.sentence()`` says how well it fits.  The value is the mean of the ten seconds around the time.

        Raises:
            Refusal: unknown words, a time under half a minute or over an hour, a problem without a size.
        """
        goal = Goal(signal=signal, value=float(value), in_s=_steps(at) / STEPS_PER_S)

        def value_of(tried: Problem | None) -> float:
            body = self.body.copy()
            if tried is not None:
                body.set_problem(tried)
            body.advance(round((goal.in_s - AROUND_S) * STEPS_PER_S))
            values = [body.read(goal.signal)]
            for _ in range(2 * AROUND_S):
                body.advance(STEPS_PER_S)
                values.append(body.read(goal.signal))
            return float(np.mean(values))

        return search_cause(goal, problem(kind, **fields), value_of)

    def wrong_as(self, found: Found) -> None:
        """Start the problem that ``find`` found, at the size it found."""
        self.problems[found.problem.name] = found.problem
        self.body.set_problem(found.problem)

    def hold(self, what: str, value: float, by: str = "") -> None:
        """Hold an effector of the body ("heart rate", ...), or an outcome ("mean pressure", ...) by a named cause."""
        self.body.hold(what, value, by)

    def release(self, what: str) -> None:
        """Let go of a held effector or outcome at the body's own pace."""
        self.body.release(what)

    def control(self, name: str, value: float) -> None:
        """Write a control of the body by name, for test manoeuvres (``core/body/controls.py``)."""
        self.body.set_control(name, value)

    def run(self, duration: str | float) -> Self:
        """Let time pass: seconds, or text such as "5 min"."""
        self.body.advance(_steps(duration))
        return self

    def course(self, names: Iterable[str], duration: str | float, every_s: float = 1.0) -> Course:
        """Let time pass and keep signals every ``every_s`` seconds, the present moment first."""
        wanted = list(names)
        every = max(1, round(every_s * STEPS_PER_S))
        rows = [[self.t_s, *(self[name] for name in wanted)]]
        left = _steps(duration)
        while left > 0:
            self.body.advance(min(every, left))
            left -= every
            rows.append([self.t_s, *(self[name] for name in wanted)])
        table = np.array(rows).T
        return Course(t_s=table[0], columns=dict(zip(wanted, table[1:], strict=True)))

    def mean(self, names: Iterable[str], duration: str | float = 30.0) -> dict[str, float]:
        """Let time pass and give the mean of each signal over it, read every 0.1 s."""
        wanted = list(names)
        course = self.course(wanted, duration, every_s=0.1)
        return {name: float(course[name].mean()) for name in wanted}

    def drug_level_ng_per_ml(self, drug: str, site: str = "plasma") -> float:
        """Level of a drug by all its routes, in plasma or at its "effect" site."""
        return self.body.drug_level_ng_per_ml(drug, site)

    def waves(self, duration: str | float) -> dict[str, np.ndarray[Any, np.dtype[np.float64]]]:
        """Let time pass and give the waves, 100 samples a second."""
        n_steps = _steps(duration)
        names = self.body.kernel.layout.wave_names
        rows = np.zeros((n_steps, len(names)))
        self.body.advance(n_steps, rows)
        return {name: rows[:, index].copy() for index, name in enumerate(names)}

    def branch(self) -> "ScriptedPatient":
        """An independent patient in the same state: what happens to one does not touch the other."""
        return ScriptedPatient(self.body.copy(), self.problems)

    def snapshot(self) -> bytes:
        """The whole patient in at most 8 kB."""
        return self.body.snapshot()

    def restore(self, snapshot: bytes) -> Self:
        """Become the patient of a snapshot, to the bit."""
        self.body.restore(snapshot)
        return self

    def __iter__(self) -> Iterator[str]:
        return iter(self.body.read_all())


def _steps(duration: str | float) -> int:
    seconds = quantity_from_text(duration, "s") if isinstance(duration, str) else float(duration)
    return max(0, round(seconds * STEPS_PER_S))
