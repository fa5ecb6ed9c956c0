"""The bench on which experiments are done: ready patients, and the register of what answers which row."""

import importlib
import pkgutil
from collections.abc import Callable
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


class Bench:
    """Makes patients.  Each call gives a fresh one; the settled state of each size is kept."""

    def __init__(self) -> None:
        self._kept: dict[tuple[Any, ...], ScriptedPatient] = {}

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
