"""Courses of drugs in a person without a body, and the few questions that published figures ask of them.

What counts as what, for every row alike: **asleep**, **still** and the like: half of the full effect (half of people);
**onset** of a graded effect: a fifth of the most that it comes to; **complete block**: 95 %.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from drillyard.scripting import DrugsAlone

ONSET_FRAC = 0.2
HALF = 0.5
COMPLETE_FRAC = 0.95


@dataclass(frozen=True, slots=True)
class Followed:
    """Something read along the way: ``t_min`` from the beginning of following."""

    t_min: np.ndarray
    value: np.ndarray

    @property
    def peak(self) -> float:
        return float(self.value.max())

    @property
    def peak_min(self) -> float:
        return float(self.t_min[int(self.value.argmax())])

    def first_peak_min(self) -> float:
        """The first time at which the value turns down."""
        falling = np.flatnonzero(np.diff(self.value) < 0.0)
        return float(self.t_min[falling[0]]) if falling.size else float("nan")

    def first_min(self, *, above: float = -np.inf, below: float = np.inf, after_min: float = 0.0) -> float:
        """The first time from ``after_min`` on at which the value is at or over ``above``, at or under ``below``."""
        hit = np.flatnonzero((self.value >= above) & (self.value <= below) & (self.t_min >= after_min))
        return float(self.t_min[hit[0]]) if hit.size else float("nan")

    def onset_min(self) -> float:
        """The first time at a fifth of the peak."""
        return self.first_min(above=ONSET_FRAC * self.peak)

    def minutes_above(self, level: float) -> float:
        """From the first time at or over ``level`` to the first time under it after that."""
        begin = self.first_min(above=level)
        return self.first_min(below=level, after_min=begin + 1e-9) - begin


def follow(
    alone: DrugsAlone, read: Callable[[DrugsAlone], float], minutes: float, every_s: int = 1, flow: float = 1.0
) -> Followed:
    """Read something every ``every_s`` seconds for ``minutes``, the present included."""
    n = round(minutes * 60.0 / every_s)
    values = [read(alone)]
    for _ in range(n):
        alone.run(every_s, flow)
        values.append(read(alone))
    return Followed(np.arange(n + 1) * every_s / 60.0, np.array(values))


def plasma(drug: str) -> Callable[[DrugsAlone], float]:
    """Plasma level in the drug's own unit a litre."""
    return lambda alone: alone.plasma_per_l(drug)


def effect_site(drug: str) -> Callable[[DrugsAlone], float]:
    """Level at the main effect site."""
    return lambda alone: alone.effect_site_per_l(drug)


def share(receptor: str) -> Callable[[DrugsAlone], float]:
    """Share of the full effect at a receptor."""
    return lambda alone: alone.share(receptor)
