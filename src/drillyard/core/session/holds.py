"""What the operator holds by hand: effectors of the body, outcomes of the body by a named cause, values on screens.

Either is let go over the time that its release states.  A shown value goes back to what the sensor gives; of a held
effector or outcome less is kept each second, and the body itself smooths what is between the seconds.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Protocol, Self

from drillyard.core.session.events import HoldReleased, HoldSet


class Holdable(Protocol):
    """What is needed of the body here."""

    def hold(self, what: str, value: float, by: str = "") -> None: ...
    def release(self, what: str, left_frac: float = 0.0) -> None: ...


@dataclass(frozen=True, slots=True)
class Release:
    """Something let go at ``at_s`` over ``over_s``."""

    at_s: float
    over_s: float

    def left_frac(self, t_s: float) -> float:
        """Share of the hold that is left."""
        return 0.0 if self.over_s <= 0.0 else min(1.0, max(0.0, 1.0 - (t_s - self.at_s) / self.over_s))


@dataclass(frozen=True, slots=True)
class DisplayHold:
    """A shown value held by hand."""

    value: float
    release: Release | None = None

    def shown(self, real: float, t_s: float) -> float:
        """The value on the screen at ``t_s``, ``real`` being what the sensor gives."""
        left_frac = 1.0 if self.release is None else self.release.left_frac(t_s)
        return real + (self.value - real) * left_frac


@dataclass(slots=True)
class Holds:
    """Held values on the screens by signal, and what is being let go in the body."""

    display: dict[str, DisplayHold] = field(default_factory=dict)
    letting_go: dict[str, Release] = field(default_factory=dict)

    def set(self, held: HoldSet, body: Holdable) -> None:
        """Takes hold.

        Raises:
            Refusal: not to be held, outside its limits, or not by that cause.
        """
        if held.display_only:
            self.display[held.what] = DisplayHold(held.value)
        else:
            body.hold(held.what, held.value, held.by)
            self.letting_go.pop(held.what, None)

    def release(self, released: HoldReleased, body: Holdable, t_s: float) -> None:
        """Begins to let go.

        Raises:
            Refusal: neither a held value nor something of the body.
        """
        release, held = Release(t_s, released.over_s), self.display.get(released.what)
        if held is not None:
            self.display[released.what] = replace(held, release=release)
            return
        body.release(released.what, release.left_frac(t_s))
        self.letting_go[released.what] = release

    def let_go(self, body: Holdable, t_s: float) -> None:
        """Once a second: less is held of what is being let go."""
        for what, release in list(self.letting_go.items()):
            left_frac = release.left_frac(t_s)
            body.release(what, left_frac)
            if left_frac <= 0.0:
                del self.letting_go[what]

    def over(self, shown: Mapping[str, float | None], t_s: float) -> dict[str, float | None]:
        """What is shown, held values in their place; None stays None, since no sensor is on there."""
        held = dict(shown)
        for what, hold in self.display.items():
            real = shown.get(what)
            if real is not None:
                held[what] = hold.shown(real, t_s)
        return held

    def copy(self) -> Self:
        return type(self)(dict(self.display), dict(self.letting_go))
