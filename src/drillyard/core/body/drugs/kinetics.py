"""One to three compartments as a sum of exponentials.

After one unit put into the central compartment, the amount in it is the sum of ``share * exp(-rate * t)``.  The rates
are the roots of the characteristic polynomial, which in a mammillary system lie between the peripheral rate
constants, so that halving an interval finds each to the last bit with ``+ - * /`` alone: the same bits on every
machine.  Formulae: Gibaldi M, Perrier D. Pharmacokinetics, 2nd ed. Marcel Dekker, 1982, appendix B (from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

Rates = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exponentials:
    """``rates`` (per the time unit that went in) and the ``shares`` (sum 1); unused places hold share 0."""

    rates: Rates
    shares: Rates


def exponentials(
    *, v1: float, cl: float, v2: float = 0.0, q2: float = 0.0, v3: float = 0.0, q3: float = 0.0
) -> Exponentials:
    """The exponentials of a mammillary system with elimination from the central compartment.

    Args:
        v1, v2, v3: volumes, 0 for a compartment that is not there. [L]
        cl, q2, q3: elimination and exchange clearances. [L per time]
    """
    k10 = cl / v1
    sides = [(q / v1, q / v) for q, v in ((q2, v2), (q3, v3)) if q > 0.0 and v > 0.0]
    sides.sort(key=lambda side: side[1])
    if len(sides) == 2 and sides[1][1] - sides[0][1] <= 1e-9 * sides[1][1]:
        # two sides with one rate constant act as one
        sides = [(sides[0][0] + sides[1][0], sides[0][1])]
    if not sides:
        return Exponentials(rates=(k10, 0.0, 0.0), shares=(1.0, 0.0, 0.0))
    total = k10 + sum(side[0] for side in sides)

    def secular(rate: float) -> float:
        # zero at each root; rises from minus to plus infinity between neighbouring peripheral rate constants
        value = rate - total
        for out, back in sides:
            value += out * back / (back - rate)
        return value

    edges = [0.0, *(side[1] for side in sides), total + sides[-1][1]]
    roots = [_root(secular, low, high) for low, high in pairwise(edges)]
    shares = []
    for root in roots:
        share = 1.0
        for _, back in sides:
            share *= back - root
        for other in roots:
            if other != root:
                share /= other - root
        shares.append(share)
    fill = [0.0] * (3 - len(roots))
    rates = (*roots, *fill)
    filled = (*shares, *fill)
    return Exponentials(rates=(rates[0], rates[1], rates[2]), shares=(filled[0], filled[1], filled[2]))


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """The root of a function that rises from below to above zero within (low, high)."""
    for _ in range(2000):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        if function(middle) < 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
