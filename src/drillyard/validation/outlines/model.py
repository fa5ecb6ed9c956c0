"""An outline case: what its author said, and what the computed patient is given to answer it.

The numbers of the outlines are one author's values from memory, written before the body existed, for a medical
director to accept or change.  They are a second opinion on the body, not a measurement.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal

import numpy as np

from drillyard.scripting import Course, ScriptedPatient

How = Literal["level", "change", "falls to", "rises to"]
HR: Final = "heart_rate_per_min"
SBP: Final = "systolic_pressure_mmhg"
DBP: Final = "diastolic_pressure_mmhg"
RR: Final = "respiratory_rate_per_min"
OWN_RR: Final = "spontaneous_rate_per_min"
SPO2: Final = "spo2_pct"
ETCO2: Final = "etco2_mmhg"
GCS: Final = "gcs_total"
PULSE: Final = "has_pulse"
START: Final = "start"
UNTREATED: Final = "untreated"


@dataclass(frozen=True, slots=True)
class Measure:
    """A signal as the page shows it.  ``near`` is how far a value may lie from the outline's, in its unit or, with
    ``is_share``, as a share of the outline's value: our choice, about what two people would read."""

    label: str
    unit: str
    near: float
    is_share: bool = False
    least: float = 0.0

    def slack(self, value: float) -> float:
        """How far a value may lie from ``value``, in the unit of the signal."""
        return max(self.least, self.near * abs(value)) if self.is_share else self.near


MEASURES: Final[Mapping[str, Measure]] = {
    "heart_rate_per_min": Measure("Heart rate", "/min", 0.15, is_share=True),
    "systolic_pressure_mmhg": Measure("Systolic pressure", "mmHg", 0.12, is_share=True),
    "diastolic_pressure_mmhg": Measure("Diastolic pressure", "mmHg", 0.15, is_share=True),
    "mean_arterial_pressure_mmhg": Measure("Mean pressure", "mmHg", 0.12, is_share=True),
    "respiratory_rate_per_min": Measure("Breaths", "/min", 0.20, is_share=True, least=1.0),
    "spontaneous_rate_per_min": Measure("Own breaths", "/min", 0.20, is_share=True, least=1.0),
    "spo2_pct": Measure("SpO2", "%", 4.0),
    "etco2_mmhg": Measure("End-tidal CO2", "mmHg", 0.15, is_share=True),
    "paco2_mmhg": Measure("Arterial CO2", "mmHg", 0.12, is_share=True),
    "ph": Measure("Arterial pH", "", 0.05),
    "gcs_total": Measure("GCS", "", 2.0),
    "temperature_core_degc": Measure("Core temperature", "\u00b0C", 0.5),
    "glucose_mg_per_dl": Measure("Glucose", "mg/dL", 0.15, is_share=True),
    "lactate_mmol_per_l": Measure("Lactate", "mmol/L", 0.30, is_share=True),
    "blood_lost_ml": Measure("Blood lost", "mL", 0.25, is_share=True),
    "bleeding_ml_per_min": Measure("Bleeding", "mL/min", 0.25, is_share=True, least=5.0),
    "rhythm_code": Measure("Rhythm (0 sinus, 1 VF, 2 asystole)", "", 0.4),
    "has_pulse": Measure("Pulse without compressions", "", 0.4),
    "wheeze_frac": Measure("Wheeze", "of the loudest", 0.25),
    "stridor_frac": Measure("Stridor", "of the loudest", 0.25),
    "breath_sound_left_frac": Measure("Left breath sound", "of normal", 0.25),
    "neck_veins_frac": Measure("Neck veins (0.5 normal)", "", 0.25),
    "capillary_refill_s": Measure("Capillary refill", "s", 1.5),
    "cohb_pct": Measure("Carboxyhaemoglobin", "%", 4.0),
    "pupil_left_mm": Measure("Pupil", "mm", 1.0),
    "seizure_frac": Measure("Seizure, share of the brain", "", 0.2),
    "arm_weak_right_frac": Measure("Right arm weak", "", 0.3),
    "pain_score": Measure("Pain, 0 to 10", "", 2.0),
    "conscious_frac": Measure("Awake (0 to 1)", "", 0.25),
}
TIME_SHARE: Final = 0.4
"""How far a moment, or the size of a change, may lie from the outline's: the outline's author wrote round numbers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number of an outline.

    ``level``: the value is passed, within the slack of its measure, at some moment within 40 % of ``at_min``.
    ``change``: from the start of the course to ``at_min`` it moves by ``value``, within 40 %.
    ``falls to``, ``rises to``: the value is crossed at ``at_min``, within 40 %.
    Minutes count from the start of the course.  Why a figure is missed stands in ``reasons.toml``.
    """

    said: str
    signal: str
    value: float
    at_min: float = 0.0
    course: str = START
    how: How = "level"


def start(said: str, signal: str, value: float) -> Figure:
    """The patient as found."""
    return Figure(said=said, signal=signal, value=value)


def level(course: str, at_min: float, said: str, signal: str, value: float) -> Figure:
    """A value at a minute of a course."""
    return Figure(said=said, signal=signal, value=value, at_min=at_min, course=course)


def change(course: str, at_min: float, said: str, signal: str, value: float) -> Figure:
    """A change from the start of a course."""
    return Figure(said=said, signal=signal, value=value, at_min=at_min, course=course, how="change")


def falls(course: str, at_min: float, said: str, signal: str, value: float) -> Figure:
    """A value fallen to at a minute."""
    return Figure(said=said, signal=signal, value=value, at_min=at_min, course=course, how="falls to")


def rises(course: str, at_min: float, said: str, signal: str, value: float) -> Figure:
    """A value risen to at a minute."""
    return Figure(said=said, signal=signal, value=value, at_min=at_min, course=course, how="rises to")


@dataclass(frozen=True, slots=True)
class Doing:
    """What is done to the patient, or goes wrong, at a minute of a course."""

    at_min: float
    kind: str
    fields: Mapping[str, Any]
    is_problem: bool = False
    only: Literal["", "with a pulse", "without a pulse"] = ""

    def to(self, patient: ScriptedPatient) -> None:
        """Do it, if the patient is as ``only`` asks."""
        if self.only and (patient["has_pulse"] > 0.5) != (self.only == "with a pulse"):
            return
        if self.kind == "control":
            patient.control(self.fields["name"], self.fields["value"])
        elif self.is_problem:
            patient.wrong(self.kind, **self.fields)
        else:
            patient.do(self.kind, **self.fields)

    @property
    def text(self) -> str:
        """In words, for the page."""
        if self.kind == "control":
            return f"{_spoken(self.fields['name'])} set to {self.fields['value']:g}"
        words = [str(value) for name, value in self.fields.items() if isinstance(value, str) and name != "name"]
        numbers = [
            f"{_spoken(name)} {value:g}"
            for name, value in self.fields.items()
            if isinstance(value, (int, float)) and not isinstance(value, bool) and name != "dose"
        ]
        dose = [f"{self.fields['dose']:g} {self.fields.get('dose_unit', 'mg')}"] if "dose" in self.fields else []
        words = [word for word in words if word != self.fields.get("dose_unit")]
        return " ".join([self.kind.removeprefix("give drug").strip(), *words, *dose, *numbers]).strip()


def _spoken(name: str) -> str:
    return name.replace("_per_", "/").replace("_frac", " (0 to 1)").replace("_", " ")


def at(minute: float, kind: str, *, only: Literal["", "with a pulse", "without a pulse"] = "", **fields: Any) -> Doing:
    """Care, as ``ScriptedPatient.do`` takes it."""
    return Doing(minute, kind, fields, only=only)


def goes_wrong(minute: float, kind: str, **fields: Any) -> Doing:
    """A problem, as ``ScriptedPatient.wrong`` takes it."""
    return Doing(minute, kind, fields, is_problem=True)


def grows(
    kind: str, size: str, first: float, last: float, *, until_min: float, from_min: float = 0.0, **fields: Any
) -> tuple[Doing, ...]:
    """A problem whose size moves evenly from ``first`` to ``last``, in steps of half a minute."""
    n = max(1, round((until_min - from_min) * 2.0))
    return tuple(
        goes_wrong(from_min + step / 2.0, kind, **{size: first + (last - first) * step / n}, **fields)
        for step in range(n + 1)
    )


@dataclass(frozen=True, slots=True)
class Followed:
    """A course as played: what was done, and every measured signal once a second from ``from_min`` of the case on."""

    name: str
    from_min: float
    course: Course
    doings: tuple[Doing, ...] = ()


@dataclass(slots=True)
class Stage:
    """Where a case is played: keeps the courses, of the ``signals`` that the case draws or judges."""

    signals: tuple[str, ...]
    followed: dict[str, Followed] = field(default_factory=dict)

    def follow(
        self, name: str, patient: ScriptedPatient, minutes: float, *doings: Doing, from_min: float = 0.0
    ) -> ScriptedPatient:
        """Let a branch of the patient live on for ``minutes`` with what is done to it; the patient itself stays.

        Returns:
            The branch at its end.
        """
        branch = patient.branch()
        parts: list[Course] = []
        now = 0.0
        for doing in sorted(doings, key=lambda doing: doing.at_min):
            if doing.at_min > now:
                parts.append(branch.course(self.signals, (doing.at_min - now) * 60.0))
                now = doing.at_min
            doing.to(branch)
        parts.append(branch.course(self.signals, (minutes - now) * 60.0))
        self.followed[name] = Followed(name, from_min, _joined(parts), tuple(doings))
        return branch


def _joined(parts: list[Course]) -> Course:
    # the last row of a part and the first of the next are one moment
    kept = [*(slice(None, -1) for _ in parts[:-1]), slice(None)]
    return Course(
        t_s=np.concatenate([part.t_s[rows] for part, rows in zip(parts, kept, strict=True)]),
        columns={
            name: np.concatenate([part[name][rows] for part, rows in zip(parts, kept, strict=True)])
            for name in parts[0].columns
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One outline case.

    ``needs``: problems that the body must know.  ``given``: in words, the problems in the sizes chosen.
    ``panels``: signals drawn.  ``left_out``: what the outline asks and no computed course can answer, and why.
    """

    id: str
    title: str
    person: str
    given: str
    figures: tuple[Figure, ...]
    panels: tuple[str, ...]
    play: Callable[[Stage], None]
    needs: tuple[str, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    drawn: tuple[str, ...] = (UNTREATED, "treated")
    remark: str = ""

    @property
    def signals(self) -> tuple[str, ...]:
        """Signals drawn or judged."""
        return tuple(dict.fromkeys([*self.panels, *(figure.signal for figure in self.figures)]))
