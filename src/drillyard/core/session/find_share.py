"""The share of a size at which a course has a wanted value: a search that costs few runs and says what it saw.

Shares go from 0 (none of it) to 1 (the most that is allowed).  The whole range is looked at first, at five places, so
that a course that turns (a larger dose kills, and the pressure is gone) is seen to turn; then the crossing at the
smallest share is closed in on by the Illinois form of false position (Dowell and Jarratt 1971, BIT 11:168).
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

MOST_RUNS: Final = 12
FIRST: Final = (0.0, 1.0, 0.5, 0.25, 0.75)
"""Where the range is looked at before anything is closed in on."""
NARROW: Final = 2e-4
"""A crossing this narrow over which the course still jumps is a cliff, not a value."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One run: a share and the value it gave."""

    share: float
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What came of a search.

    ``best`` is the run nearest to the wanted value; ``others`` are further stretches of the share in which the value
    is crossed again; ``cliff`` the two runs between which the course jumps over it; ``tried`` all runs by share.
    """

    best: Tried
    is_reached: bool
    tried: tuple[Tried, ...]
    others: tuple[tuple[float, float], ...] = ()
    cliff: tuple[Tried, Tried] | None = None


def find_share(
    value_at: Callable[[float], float], wanted: float, tolerance: float, most_runs: int = MOST_RUNS
) -> Search:
    """The smallest share at which ``value_at`` is ``wanted``, as far as ``most_runs`` runs can tell.

    Args:
        value_at: gives the value of the course for a share; each call is one run.
        wanted: in the unit of the value.
        tolerance: near enough, in that unit.
        most_runs: at least five.
    """
    runs: dict[float, float] = {}

    def off(share: float) -> float:
        if share not in runs:
            runs[share] = value_at(share)
        return runs[share] - wanted

    for share in FIRST:
        if abs(off(share)) <= tolerance and share == 0.0:
            # it is so without any of it
            return _seen(runs, wanted, tolerance)
    pairs = _crossings(runs, wanted)
    if not pairs:
        _look_nearer(off, runs, wanted, most_runs)
        pairs = _crossings(runs, wanted)
    cliff = None
    if pairs:
        low, high = _close_in(off, runs, pairs[0], tolerance, most_runs)
        is_cliff = high - low <= NARROW and min(abs(runs[low] - wanted), abs(runs[high] - wanted)) > tolerance
        cliff = (Tried(low, runs[low]), Tried(high, runs[high])) if is_cliff else None
    return _seen(runs, wanted, tolerance, cliff=cliff, others=pairs[1:])


def _seen(
    runs: dict[float, float],
    wanted: float,
    tolerance: float,
    *,
    cliff: tuple[Tried, Tried] | None = None,
    others: list[tuple[float, float]] | None = None,
) -> Search:
    tried = tuple(Tried(share, value) for share, value in sorted(runs.items()))
    # of two that are equally near the smaller one
    best = min(tried, key=lambda one: (max(abs(one.value - wanted), tolerance), one.share))
    near = min(tried, key=lambda one: abs(one.value - wanted))
    if abs(best.value - wanted) <= tolerance:
        return Search(best=best, is_reached=True, tried=tried, others=tuple(others or ()), cliff=cliff)
    return Search(best=near, is_reached=False, tried=tried, others=tuple(others or ()), cliff=cliff)


def _crossings(runs: dict[float, float], wanted: float) -> list[tuple[float, float]]:
    """Neighbouring shares between which the value is crossed, the smallest first."""
    shares = sorted(runs)
    return [(low, high) for low, high in pairwise(shares) if (runs[low] - wanted) * (runs[high] - wanted) <= 0.0]


def _look_nearer(off: Callable[[float], float], runs: dict[float, float], wanted: float, most_runs: int) -> None:
    """Nothing crosses: the course may turn between two places, so it is looked at beside the nearest of them."""
    while len(runs) < most_runs and not _crossings(runs, wanted):
        shares = sorted(runs)
        at = min(range(len(shares)), key=lambda i: abs(runs[shares[i]] - wanted))
        sides = [(shares[i], shares[i + 1]) for i in (at - 1, at) if 0 <= i < len(shares) - 1]
        low, high = max(sides, key=lambda side: side[1] - side[0])
        if high - low < 0.03:
            return
        off(0.5 * (low + high))


def _close_in(
    off: Callable[[float], float],
    runs: dict[float, float],
    pair: tuple[float, float],
    tolerance: float,
    most_runs: int,
) -> tuple[float, float]:
    """Closes in on a crossing; gives the last two shares around it."""
    low, high = pair
    f_low, f_high = off(low), off(high)
    side = 0
    while len(runs) < most_runs and high - low > NARROW and min(abs(off(low)), abs(off(high))) > tolerance:
        width = high - low
        next_share = high - f_high * width / (f_high - f_low)
        # a step that hardly leaves an end would be spent on nothing
        next_share = min(max(next_share, low + 0.02 * width), high - 0.02 * width)
        if side in (-3, 3):
            # the same end has stayed three times: halving is surer
            next_share, side = 0.5 * (low + high), 0
        f_next = off(next_share)
        if (f_next > 0.0) == (f_high > 0.0):
            high, f_high = next_share, f_next
            side = side + 1 if side > 0 else 1
            f_low = f_low * 0.5 if side > 1 else f_low
        else:
            low, f_low = next_share, f_next
            side = side - 1 if side < 0 else -1
            f_high = f_high * 0.5 if side < -1 else f_high
    return low, high
