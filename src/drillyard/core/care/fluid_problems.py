"""Problems of fluids and blood: allergic reaction, burn, bleeding womb, a line that fails.  Part of ``problems``."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergicReaction:
    """An allergic reaction: 0.3 skin and a little more, 0.6 anaphylaxis with low pressure, 1 collapse.

    ``entry`` is how the agent came in: a vein takes seconds, skin (a sting) minutes, the mouth a quarter of an hour.
    Ending it takes the agent away; the mediators that are out go on.
    """

    kind: Literal["allergic reaction"] = "allergic reaction"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    severity_frac: float
    entry: Literal["vein", "skin", "mouth"] = "skin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Burn:
    """A burn of ``surface_frac`` of the body; ``full_thickness_frac`` is the share of it that goes through the skin.

    The time since the burn is the time since the problem began: a start before the case fits an old burn.
    """

    kind: Literal["burn"] = "burn"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    surface_frac: float
    full_thickness_frac: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class UterineBleeding:
    """A womb that does not contract after birth: slack, it bleeds ``rate_ml_per_min`` at a mean pressure of 93 mmHg.

    ``slack_frac`` is how far it fails to contract by itself.
    """

    kind: Literal["uterine bleeding"] = "uterine bleeding"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rate_ml_per_min: float
    slack_frac: float = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFailure:
    """A line in place that no longer brings what it should.

    "infiltrated": what runs goes under the skin; "kinked" and "blocked": nothing runs; "dislodged": it runs onto the
    skin.  Ending the problem mends a kinked or blocked line.
    """

    kind: Literal["line failure"] = "line failure"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    site: str
    how: Literal["infiltrated", "kinked", "blocked", "dislodged"] = "infiltrated"


FluidProblem = AllergicReaction | Burn | UterineBleeding | LineFailure

FLUID_SIZES: dict[type, tuple[str, ...]] = {
    AllergicReaction: ("severity_frac",),
    Burn: ("surface_frac",),
    UterineBleeding: ("rate_ml_per_min",),
    LineFailure: (),
}
"""The numbers of a problem that are its size."""
