"""The result of a measure, and how an interval is judged against its target."""

from dataclasses import dataclass
from math import sqrt
from typing import Final, Literal

Status = Literal["met", "not met", "cannot say", "not applicable", "no target"]
SourceKind = Literal["S", "L", "memory"]

MINUTE_S: Final = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Definition:
    """What a measure is, before anything is measured.

    ``source_kind``: S the target comes from the published ``source``; L a local teaching choice; memory: known to the
    trade and not looked up.
    """

    id: int
    title: str
    definition: str
    unit: str
    target: str
    source: str
    source_kind: SourceKind
    is_patient_not_crew: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureResult:
    """One measure of one run.

    ``value`` in ``unit`` (None where there is none); ``uncertainty`` in the same unit, one standard deviation;
    ``is_censored``: not done by the end, the true value is larger; ``text`` the value as printed; ``note`` what must be
    said beside it; ``seqs`` the events it rests on; ``t_s`` the moment to look at.
    """

    id: int
    title: str
    definition: str
    value: float | None
    unit: str
    uncertainty: float | None
    status: Status
    target: str
    source: str
    source_kind: SourceKind
    is_patient_not_crew: bool
    text: str
    is_censored: bool = False
    note: str = ""
    seqs: tuple[int, ...] = ()
    t_s: float | None = None


@dataclass(frozen=True, slots=True)
class Moment:
    """Something that happened at ``t_s`` give or take ``u_s`` (one standard deviation).

    ``jumped_s``: simulated time before it that passed at once by a declared jump, which no crew could use.
    """

    t_s: float
    u_s: float
    seq: int = 0
    jumped_s: float = 0.0

    @property
    def crew_s(self) -> float:
        """Time that the crew has had by then."""
        return self.t_s - self.jumped_s


@dataclass(frozen=True, slots=True)
class Interval:
    """From one moment to another.  ``is_open``: the second had not come by the end, so the value is a lower bound."""

    value_s: float
    u_s: float
    is_open: bool = False
    seqs: tuple[int, ...] = ()
    t_s: float | None = None

    def status(self, most_s: float) -> Status:
        """Met only if all of value and uncertainty lies inside the target; what spans it cannot be said."""
        if self.is_open:
            return "not met" if self.value_s - self.u_s > most_s else "cannot say"
        if self.value_s + self.u_s <= most_s:
            return "met"
        return "not met" if self.value_s - self.u_s > most_s else "cannot say"


def interval(start: Moment, stop: Moment | None, end: Moment, *, of_patient: bool = False) -> Interval:
    """``stop`` minus ``start`` with uncertainty ``sqrt(u1^2 + u2^2)``; open to the ``end`` where there is no stop.

    Time that a declared jump let pass at once does not count, unless it is the patient's time that is asked for.
    """
    last = stop if stop is not None else end
    value_s = last.t_s - start.t_s if of_patient else last.crew_s - start.crew_s
    return Interval(
        value_s=value_s,
        u_s=sqrt(start.u_s**2 + last.u_s**2),
        is_open=stop is None,
        seqs=tuple(moment.seq for moment in (start, stop) if moment is not None and moment.seq),
        t_s=stop.t_s if stop is not None else None,
    )


def result_of(
    definition: Definition,
    *,
    value: float | None = None,
    uncertainty: float | None = None,
    status: Status,
    text: str = "",
    is_censored: bool = False,
    note: str = "",
    seqs: tuple[int, ...] = (),
    t_s: float | None = None,
) -> MeasureResult:
    """A result with its definition laid beside it."""
    return MeasureResult(
        id=definition.id,
        title=definition.title,
        definition=definition.definition,
        unit=definition.unit,
        target=definition.target,
        source=definition.source,
        source_kind=definition.source_kind,
        is_patient_not_crew=definition.is_patient_not_crew,
        value=value,
        uncertainty=uncertainty,
        status=status,
        text=text or status,
        is_censored=is_censored,
        note=note,
        seqs=seqs,
        t_s=t_s,
    )


def time_result(definition: Definition, found: Interval, most_s: float | None, note: str = "") -> MeasureResult:
    """A time in seconds, judged against "at most ``most_s``" (None: nothing to judge)."""
    return result_of(
        definition,
        value=found.value_s,
        uncertainty=found.u_s,
        status=found.status(most_s) if most_s is not None else "no target",
        text=f"{'> ' if found.is_open else ''}{clock(found.value_s)}",
        is_censored=found.is_open,
        note=note,
        seqs=found.seqs,
        t_s=found.t_s,
    )


def cannot_say(definition: Definition, why: str, seqs: tuple[int, ...] = ()) -> MeasureResult:
    return result_of(definition, status="cannot say", note=why, seqs=seqs)


def not_applicable(definition: Definition, why: str) -> MeasureResult:
    return result_of(definition, status="not applicable", note=why)


def clock(seconds: float) -> str:
    """A length of time as "0:42", "12:05", "1:02:03", with a sign where it is negative."""
    whole = round(abs(seconds))
    sign = "-" if seconds < 0 and whole else ""
    hours, rest = divmod(whole, 3600)
    return sign + (f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}")
