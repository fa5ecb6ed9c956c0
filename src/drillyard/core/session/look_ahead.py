"""Look-ahead: the next minutes if nothing more is done.

A copy of the run goes on alone; what is in progress (breaths, compressions, infusions, problems that grow, rules of
the case) goes on with it.  The copy is made in the live loop; the looking may be done in another thread.
"""

from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from drillyard.core.scenario.model import EndProblem, EndRun, SetProblem
from drillyard.core.scenario.rules import RuleSet
from drillyard.core.session.events import STEPS_PER_S
from drillyard.core.session.machine import Machine
from drillyard.core.session.run import Run
from drillyard.core.session.timeline import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A line that a signal may cross.  ``text`` is what the operator reads; the screen adds the time to go."""

    signal: str
    way: Literal["falls below", "rises above"]
    value: float
    text: str

    def is_crossed(self, value: float) -> bool:
        return value < self.value if self.way == "falls below" else value > self.value


def _below(signal: str, value: float, text: str) -> Limit:
    return Limit(signal=signal, way="falls below", value=value, text=text)


LIMITS: Final[tuple[Limit, ...]] = (
    _below("spo2_pct", 90.0, "SpO2 below 90 %"),
    _below("spo2_pct", 80.0, "SpO2 below 80 %"),
    _below("systolic_pressure_mmhg", 90.0, "systolic pressure below 90 mmHg"),
    _below("systolic_pressure_mmhg", 70.0, "systolic pressure below 70 mmHg"),
    _below("pulse_radial_frac", 0.05, "no pulse at the wrist"),
    _below("heart_rate_per_min", 50.0, "heart rate below 50/min"),
    _below("respiratory_rate_per_min", 8.0, "breathing below 8/min"),
    _below("is_breathing", 0.5, "stops breathing"),
    _below("gcs_total", 9.0, "coma scale below 9"),
    _below("has_pulse", 0.5, "arrest"),
    _below("is_alive", 0.5, "death"),
)
"""Lines that an operator wants to see coming.  The figures are common teaching thresholds (common practice, no source);
0.05 of a full pulse is the edge at which the finding catalogue calls it absent."""

ACTING: Final = (SetProblem, EndProblem, EndRun)
"""What a rule can do to the course of a run."""

TRACK_SIGNALS: Final[tuple[str, ...]] = (
    "heart_rate_per_min", "systolic_pressure_mmhg", "diastolic_pressure_mmhg", "mean_arterial_pressure_mmhg",
    "spo2_pct", "etco2_mmhg", "respiratory_rate_per_min", "gcs_total", "gcs_eye", "gcs_verbal", "gcs_motor",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """A limit that will be crossed at ``t_s`` (run time), found to the second."""

    limit: Limit
    t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """``values`` (rows, names) from ``from_s`` every ``dt_s``; ``crossings`` in order of time."""

    from_s: float
    dt_s: float
    names: tuple[str, ...]
    values: NDArray[np.float64]
    crossings: tuple[Crossing, ...]

    def column(self, name: str) -> NDArray[np.float64]:
        return self.values[:, self.names.index(name)]


def look_ahead(
    run: Run | Machine,
    minutes: float = 10.0,
    dt_s: int = 5,
    limits: tuple[Limit, ...] = LIMITS,
    is_wanted: Callable[[], bool] = lambda: True,
    names: tuple[str, ...] = TRACK_SIGNALS,
) -> Ahead | None:
    """The next ``minutes`` of ``run`` if nothing more is done.

    Args:
        run: a run that this call may move; give it ``run.branch()``, or a copy of its machine.
        dt_s: seconds between the rows that are kept; limits are watched every second.
        is_wanted: asked once a simulated minute; when it says no (a newer look-ahead is asked for) the answer is None.
        names: the signals that are kept.
    """
    machine = run.machine if isinstance(run, Run) else run
    keep_acting_rules(machine)
    last_second = machine.step // STEPS_PER_S + round(minutes * 60.0)
    first_second: int | None = None
    rows: list[list[float]] = []
    was_crossed: dict[Limit, bool] = {}
    crossings: list[Crossing] = []

    def on_second(second: int) -> None:
        nonlocal first_second
        first_second = second if first_second is None else first_second
        signals: Mapping[str, float] = machine.signals
        if (second - first_second) % dt_s == 0:
            rows.append([signals[name] for name in names])
        for limit in limits:
            is_crossed = limit.is_crossed(signals[limit.signal])
            if is_crossed and was_crossed.get(limit) is False:
                crossings.append(Crossing(limit=limit, t_s=float(second)))
            # Only the first crossing of each limit counts; what is crossed already is no news.
            was_crossed[limit] = is_crossed or was_crossed.get(limit, False)

    now = machine.body.read_all()
    for limit in limits:
        was_crossed[limit] = limit.is_crossed(now[limit.signal])
    queue: deque[Entry] = deque()
    while machine.step < last_second * STEPS_PER_S and not machine.is_ended:
        if not is_wanted():
            return None
        stop = min(machine.step // STEPS_PER_S + 60, last_second)
        machine.run_to(stop * STEPS_PER_S, queue, on_second)
    return Ahead(
        from_s=machine.t_s if first_second is None else float(first_second),
        dt_s=float(dt_s),
        names=names,
        values=np.array(rows, dtype=np.float64).reshape(-1, len(names)),
        crossings=tuple(crossings),
    )


def keep_acting_rules(machine: Machine) -> None:
    """Rules that only speak to the operator change nothing ahead, and are not worked out there."""
    acting = [rule for rule in machine.rules.rules if any(isinstance(effect, ACTING) for effect in rule.then)]
    rules = RuleSet(acting)
    rules.set_state(machine.rules.get_state())
    machine.rules = rules
