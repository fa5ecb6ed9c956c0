"""The bench on which experiments are done: ready patients, and the register of what answers which row."""

import importlib
import pkgutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from drillyard.scripting import ScriptedPatient, healthy

Answers = dict[str, float]


@dataclass(frozen=True, slots=True)
class Experiment:
    """One written experiment: ``run(bench)`` gives a measured value for each of its rows."""

    name: str
    rows: tuple[str, ...]
    run: "Callable[[Bench], Answers]"
    is_slow: bool

    @property
    def module(self) -> str:
        """The module of ``experiments`` in which it is written."""
        return self.run.__module__.rpartition(".")[2]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A measured curve for the plot of a row, and the published points or curve that it is held against."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    x_label: str
    y_label: str
    published: tuple[tuple[float, float], ...] = ()


class Bench:
    """Makes patients.  Each call gives a fresh one; the settled state of each size is kept."""

    def __init__(self) -> None:
        self._kept: dict[tuple[Any, ...], ScriptedPatient] = {}
        self.drawings: dict[str, Drawing] = {}
        self.left: dict[str, str] = {}

    def leave(self, row: str, reason: str) -> None:
        """Say that a row cannot be answered after all, and why: "not modelled" instead of a failure."""
        self.left[row] = reason

    def draw(
        self,
        row: str,
        x: Iterable[float],
        y: Iterable[float],
        *,
        x_label: str,
        y_label: str,
        published: Iterable[tuple[float, float]] = (),
    ) -> None:
        """Keep the measured curve of a row for its plot; a row without one is drawn as a point on its range.

        Args:
            row: the row's id.
            x, y: the curve, of equal length; values that are not finite are left out of the plot.
            x_label, y_label: what the axes show, with unit.
            published: points of the published curve, drawn as open circles.

        Raises:
            ValueError: ``x`` and ``y`` differ in length.
        """
        points = [(float(a), float(b)) for a, b in zip(x, y, strict=True)]
        marks = tuple((float(a), float(b)) for a, b in published)
        self.drawings[row] = Drawing(tuple(a for a, _ in points), tuple(b for _, b in points), x_label, y_label, marks)

    def patient(
        self, age_years: float = 40.0, sex: str = "male", mass_kg: float = 70.0, height_cm: float = 175.0, seed: int = 1
    ) -> ScriptedPatient:
        """A healthy adult at rest: by default a man of 40 years, 70 kg, 175 cm."""
        key = (age_years, sex, mass_kg, height_cm, seed)
        if key not in self._kept:
            self._kept[key] = healthy(age_years, sex, mass_kg, height_cm, seed=seed)
        return self._kept[key].branch()

    def asleep(self, oxygen: bool = False, **size: Any) -> ScriptedPatient:
        """An anaesthetised, paralysed patient, ventilated on a circuit by 10 breaths of 7 mL/kg for ten minutes.

        ``oxygen``: the circuit carries pure oxygen; otherwise air.
        """
        patient = self.patient(**size)
        mass = float(size.get("mass_kg", 70.0))
        patient.control("anaesthetised", 1.0)
        patient.control("paralysed", 1.0)
        patient.do("place airway", device="tracheal tube", size=8.0)
        if oxygen:
            patient.do("give oxygen", device="tight circuit", flow="15 L/min")
        patient.control("given_breath_is_circuit", 1.0)
        patient.do("ventilate", rate="10 /min", volume_ml=7.0 * min(mass, 80.0), leak_frac=0.0)
        patient.run("10 min")
        return patient


REGISTER: list[Experiment] = []


def answers(*rows: str, slow: bool = False) -> "Callable[[Callable[[Bench], Answers]], Callable[[Bench], Answers]]":
    """Register an experiment for these rows.  ``slow`` leaves it out of ``validate --fast``."""

    def register(run: Callable[[Bench], Answers]) -> Callable[[Bench], Answers]:
        REGISTER.append(Experiment(name=run.__name__, rows=rows, run=run, is_slow=slow))
        return run

    return register


def all_experiments() -> tuple[Experiment, ...]:
    """Every experiment of the package ``experiments``, in the order of its modules.

    Raises:
        ValueError: two experiments answer one row.
    """
    package = importlib.import_module("drillyard.validation.experiments")
    for module in sorted(pkgutil.iter_modules(package.__path__), key=lambda found: found.name):
        importlib.import_module(f"{package.__name__}.{module.name}")
    seen: dict[str, str] = {}
    for experiment in REGISTER:
        for row in experiment.rows:
            if row in seen:
                raise ValueError(f"row {row} is answered by {seen[row]} and by {experiment.name}")
            seen[row] = experiment.name
    return tuple(REGISTER)
