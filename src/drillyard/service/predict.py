"""What an entry would do: the patient with it and without it, a little further on.

Made on two copies in a worker thread; nothing of it reaches the run.
"""

from collections import deque
from dataclasses import dataclass
from typing import Final

from drillyard.core.care.actions import Action
from drillyard.core.session.events import STEPS_PER_S, CareGiven, Event
from drillyard.core.session.machine import Machine
from drillyard.core.session.timeline import Entry

AHEAD_S: Final = (30, 60, 120)
NOTABLE: Final[dict[str, float]] = {
    "systolic_pressure_mmhg": 5.0,
    "spo2_pct": 2.0,
    "heart_rate_per_min": 5.0,
    "respiratory_rate_per_min": 2.0,
    "etco2_mmhg": 3.0,
    "gcs_total": 1.0,
    "bleeding_ml_per_min": 10.0,
}
"""Signals that are foretold, and the least difference worth saying (our choice)."""
MOST: Final = 2


@dataclass(frozen=True, slots=True)
class Foretold:
    """``signal`` will be at ``value`` in ``in_s``, and at ``without`` if it is not done."""

    signal: str
    value: float
    without: float
    in_s: int


def foretell(machine: Machine, action: Action) -> list[Foretold]:
    """The largest differences that ``action``, done now, makes within two minutes; the first moment each is notable.

    Args:
        machine: a copy that this call may move.
    """
    if machine.is_ended:
        return []
    done, left = machine.copy(), machine
    event = Event(
        seq=0,
        step=done.step,
        t_sim_s=done.t_s,
        t_wall_utc="",
        source="script",
        actor="foretold",
        client_id="foretold",
        body=CareGiven(action=action, text=""),
    )
    done.act(Entry(event=event, body=event.body, step=event.step, t_s=event.t_sim_s))
    start, queue = done.step, deque[Entry]()
    found: dict[str, tuple[float, Foretold]] = {}
    for in_s in AHEAD_S:
        for one in (done, left):
            one.run_to(start + in_s * STEPS_PER_S, queue, lambda _: None)
        with_it, without = done.body.read_all(), left.body.read_all()
        for signal, least in NOTABLE.items():
            size = abs(with_it[signal] - without[signal]) / least
            if size >= 1.0 and signal not in found:
                found[signal] = (size, Foretold(signal, with_it[signal], without[signal], in_s))
    ranked = sorted(found.values(), key=lambda one: -one[0])
    return [foretold for _, foretold in ranked[:MOST]]
