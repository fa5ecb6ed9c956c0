"""What a run is made from, and the parts it is made of."""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol, Self

from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient
from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Problem
from drillyard.core.formulary import Formulary
from drillyard.core.numerics.kernel import Array, Kernel
from drillyard.core.scenario.facts import Facts
from drillyard.core.scenario.model import Level, Rule, Scenario
from drillyard.core.scenario.rules import RuleSet, rules_of
from drillyard.core.signals.sensors import Sensors


class BodyPart(Protocol):
    """What a run needs of the computed patient."""

    @property
    def is_finite(self) -> bool: ...
    def advance(self, n_steps: int, waves: Array | None = None) -> None: ...
    def read(self, name: str) -> float: ...
    def read_all(self) -> dict[str, float]: ...
    def apply(self, action: Action) -> str: ...
    def set_problem(self, problem: Problem, size_frac: float = 1.0) -> None: ...
    def end_problem(self, problem: Problem) -> None: ...
    def hold(self, what: str, value: float, by: str = "") -> None: ...
    def release(self, what: str, left_frac: float = 0.0) -> None: ...
    def snapshot(self) -> bytes: ...
    def restore(self, snapshot: bytes) -> None: ...
    def copy(self) -> Self: ...
    def state_hash(self) -> str: ...
    def model_hash(self) -> str: ...


class RulesPart(Protocol):
    """What a run needs of the scenario's rules."""

    rules: tuple[Rule, ...]

    def evaluate(self, t_s: float, signals: Mapping[str, float], facts: Facts) -> Sequence[Rule]: ...
    def get_state(self) -> Any: ...
    def set_state(self, state: Any) -> None: ...
    def copy(self) -> Self: ...


class PrerollStore:
    """Patients at time zero by name of all that made them, so that branches and replays do not pre-roll again."""

    def __init__(self) -> None:
        self._snapshots: dict[str, bytes] = {}

    def get(self, key: str) -> bytes | None:
        return self._snapshots.get(key)

    def keep(self, key: str, snapshot: bytes) -> None:
        self._snapshots[key] = snapshot


@dataclass(frozen=True, kw_only=True)
class RunSetup:
    """Everything that a run depends on beside its log.  The same setup and log give the same run, to the bit.

    ``kernel`` and ``formulary`` are those of ``Body``; ``level`` chooses the declared death policy;
    ``wave_s`` is how many seconds of waves are kept (0 none: replay and look-ahead need none); ``has_director``
    whether cues are worked out; ``ends_at_time_cap`` whether the case's time cap ends the run or only tells the
    operator.  The ``make_`` functions are replaced in tests only.
    """

    run_id: str
    scenario: Scenario
    manikin: Any
    patient: Patient
    seed: int
    formulary: Formulary
    kernel: Kernel
    level: Level | None = None
    wave_s: int = 0
    has_director: bool = False
    ends_at_time_cap: bool = False
    preroll: PrerollStore = field(default_factory=PrerollStore)
    make_body: "Callable[[RunSetup], BodyPart]" = field(
        default=lambda setup: Body.healthy(setup.patient, setup.seed, setup.formulary, setup.kernel)
    )
    make_rules: "Callable[[RunSetup], RulesPart]" = field(
        default=lambda setup: RuleSet(rules_of(setup.scenario, setup.level))
    )
    make_sensors: "Callable[[RunSetup], Sensors]" = field(default=lambda setup: Sensors(seed=float(setup.seed)))

    def preroll_key(self, model_hash: str) -> str:
        """Name of the patient at time zero: a hash of body, patient, seed and the problems before time zero."""
        before = [problem for problem in self.scenario.problems if problem.start_s < 0.0]
        text = repr((model_hash, self.patient, self.seed, before))
        return hashlib.sha256(text.encode()).hexdigest()[:32]


def wanted_patient(scenario: Scenario) -> Patient:
    """The patient of a scenario as the body takes it."""
    record = scenario.patient
    return Patient(
        age_years=record.age_years,
        sex=record.sex,
        mass_kg=record.mass_kg,
        height_cm=record.height_cm,
        pregnant_weeks=record.pregnant_weeks,
        is_delivered=record.is_delivered,
    )
