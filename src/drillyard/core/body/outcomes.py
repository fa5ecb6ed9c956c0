"""Outcomes that may be held, the causes by which, and how far each goes.

The servo itself is a part of the body (``couple/outcomes.py``); this is its vocabulary.
"""

from dataclasses import dataclass
from typing import Final, Literal, Protocol

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches


class Readable(Protocol):
    """What is needed of a body to say what a hold does."""

    def read(self, name: str) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One way to move an outcome.

    ``state`` is the number of the body that says how strongly it acts; ``strongest`` its value at the limit, times
    ``scale`` if that is a parameter of the patient.  ``says`` puts ``state`` into words.
    """

    name: str
    code: int
    way: Literal["lowers", "raises", "lowers or raises"]
    state: str
    limits: tuple[float, float]
    scale: str = ""
    says: str
    limit_text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """``stem`` of its controls, ``field`` the one of the wanted value, the signal that it holds, unit and range.

    ``release_s`` is the usual time to let go: stores of carbon dioxide need longer than vessels.
    """

    name: str
    stem: str
    field: str
    signal: str
    unit: str
    low: float
    high: float
    release_s: float
    causes: tuple[Cause, ...]

    def cause(self, name: str) -> Cause:
        """The cause of that name; the only one where none is named.

        Raises:
            Refusal: this outcome has no such cause, or several and none is named.
        """
        if not name and len(self.causes) == 1:
            return self.causes[0]
        found = next((cause for cause in self.causes if cause.name == name), None)
        if found is None:
            names = tuple(cause.name for cause in self.causes)
            said = (
                f"'{self.name}' cannot be held by '{name}'" if name else f"no cause is named that holds '{self.name}'"
            )
            raise Refusal(
                Fault(code="unknown cause", said=said, allowed=", ".join(names), near=near_matches(name, names))
            )
        return found


_RESISTANCE: Final = "resistance of small arteries × {0:.2f}"
_STRENGTH: Final = "strength of the heart × {0:.2f}"

OUTCOMES: Final[dict[str, Outcome]] = {
    outcome.name: outcome
    for outcome in (
        Outcome(
            name="mean pressure",
            stem="hold_pressure",
            field="hold_pressure_mmhg",
            signal="mean_arterial_pressure_mmhg",
            unit="mmHg",
            low=30.0,
            high=160.0,
            release_s=30.0,
            causes=(
                Cause(
                    name="vessel dilation", code=1, way="lowers", state="held_width_log", limits=(0.0, 2.0),
                    says=_RESISTANCE, limit_text="down to 0.14 of the patient's own resistance",
                ),
                Cause(
                    name="vessel narrowing", code=2, way="raises", state="held_width_log", limits=(-1.4, 0.0),
                    says=_RESISTANCE, limit_text="up to 4 times the patient's own resistance",
                ),
                Cause(
                    name="pump failure", code=3, way="lowers", state="held_weakness_log", limits=(0.0, 2.3),
                    says=_STRENGTH, limit_text="down to a tenth of the heart's own strength",
                ),
                Cause(
                    name="blood loss", code=4, way="lowers", state="held_lost_ml", limits=(0.0, 0.45),
                    scale="blood_volume_rest_ml", says="{1:.0f} mL/min drawn off unseen, {0:.0f} mL so far",
                    limit_text="at most 7 % a minute and 45 % of the patient's blood; what is lost stays lost",
                ),
            ),
        ),
        Outcome(
            name="oxygen saturation",
            stem="hold_saturation",
            field="hold_saturation_pct",
            signal="sao2_pct",
            unit="%",
            low=40.0,
            high=100.0,
            release_s=30.0,
            causes=(
                Cause(
                    name="shunt", code=0, way="lowers", state="held_shunt_log", limits=(0.0, 1.9),
                    says="shunt of {0:.0f} % of the blood that would take up oxygen", limit_text="at most 85 %",
                ),
            ),
        ),
        Outcome(
            name="end-tidal carbon dioxide",
            stem="hold_etco2",
            field="hold_etco2_mmhg",
            signal="etco2_mmhg",
            unit="mmHg",
            low=15.0,
            high=90.0,
            release_s=90.0,
            causes=(
                Cause(
                    name="drive to breathe", code=0, way="lowers or raises", state="held_drive_log", limits=(-2.0, 1.2),
                    says="drive to breathe × {0:.2f}",
                    limit_text="0.14 to 3.3 times the patient's own; nothing while breaths are given",
                ),
            ),
        ),
    )
}  # fmt: skip
"""Outcomes by name.  Ranges and limits are our choice."""


def held_values(what: str, value: float, by: str) -> tuple[Outcome, Cause]:
    """The outcome and cause meant by a hold.

    Raises:
        Refusal: no such outcome or cause, or a value outside the range.
    """
    outcome = OUTCOMES.get(what)
    if outcome is None:
        allowed = ", ".join(OUTCOMES)
        near = near_matches(what, tuple(OUTCOMES))
        raise Refusal(Fault(code="cannot be held", said=f"'{what}' is no outcome", near=near, allowed=allowed))
    if not outcome.low <= value <= outcome.high:
        raise Refusal(
            Fault(
                code="out of range",
                said=f"{what} cannot be held at {value:g} {outcome.unit}",
                allowed=f"{outcome.low:g} to {outcome.high:g} {outcome.unit}",
                remedy="choose a value in this range",
            )
        )
    return outcome, outcome.cause(by)


def check_way(outcome: Outcome, cause: Cause, value: float, now: float) -> None:
    """Whether ``cause`` moves the outcome towards ``value`` from where it is ``now``.

    Raises:
        Refusal: it can only move it the other way.
    """
    wrong = (cause.way == "lowers" and value > now) or (cause.way == "raises" and value < now)
    if wrong:
        others = [other.name for other in outcome.causes if other.way != cause.way]
        raise Refusal(
            Fault(
                code="wrong way",
                said=f"{cause.name} only {cause.way} the {outcome.name}, which is {now:.0f} {outcome.unit} now",
                remedy=f"hold it by {' or '.join(others)}"
                if others
                else "choose a value on the other side, or a cause",
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """What a held outcome does: its value now, the cause in words, and whether the cause is at its limit."""

    actual: float
    text: str
    is_at_limit: bool


def doing(body: Readable, what: str, by: str) -> Doing:
    """What holds ``what`` at this moment, and with what success."""
    outcome = OUTCOMES[what]
    cause = outcome.cause(by)
    value = body.read(cause.state)
    low, high = (limit * (body.read(cause.scale) if cause.scale else 1.0) for limit in cause.limits)
    room = 0.01 * (high - low)
    # at its neutral end a cause of one way can do no more either
    is_at_limit = value >= high - room or value <= low + room
    return Doing(actual=body.read(outcome.signal), text=_words(body, cause, value), is_at_limit=is_at_limit)


def _words(body: Readable, cause: Cause, value: float) -> str:
    match cause.state:
        case "held_width_log":
            return cause.says.format(body.read("cause_resistance_frac"))
        case "held_weakness_log":
            return cause.says.format(body.read("cause_strength_frac"))
        case "held_lost_ml":
            return cause.says.format(value, 60.0 * body.read("cause_loss_ml_per_s"))
        case "held_shunt_log":
            return cause.says.format(100.0 * (1.0 - body.read("cause_open_frac")))
        case _:
            return cause.says.format(body.read("cause_drive_frac"))
