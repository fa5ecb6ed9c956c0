"""What is wrong with a patient: physiological causes with a size and a time course.

A scenario lists problems; the course follows from the body.  Every problem has a ``name`` (unique in its scenario) by
which rules and the operator later change or end it, ``start_s`` (simulated seconds from time zero; negative means
before the crew arrives, reached by pre-rolling from health) and ``over_s`` (the time in which it grows to its size).
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from drillyard.core.care.actions import Route, Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Bleeding:
    """A wound as an orifice: ``rate_ml_per_min`` is what it bleeds at a mean pressure of 93 mmHg."""

    kind: Literal["bleeding"] = "bleeding"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rate_ml_per_min: float
    site: str
    hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pneumothorax:
    """A hole in a lung (``valve``: tension) or an open chest wound."""

    kind: Literal["pneumothorax"] = "pneumothorax"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    side: Side
    leak_ml_per_s_per_cmh2o: float
    valve: bool = True
    wound_ml_per_s_per_cmh2o: float = 0.0
    needle_clots_after_s: float = 360.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AirwayBlockage:
    """A fixed blockage of the upper airway, 0 open, 1 complete."""

    kind: Literal["airway blockage"] = "airway blockage"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    blocked_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrugTaken:
    """A drug in the patient before or during the case (an overdose, own medication)."""

    kind: Literal["drug taken"] = "drug taken"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    drug: str
    dose: float
    dose_unit: Literal["mg", "ug", "units", "mmol"] = "mg"
    route: Route


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrest:
    """A sudden change of rhythm."""

    kind: Literal["arrest"] = "arrest"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rhythm: Literal["ventricular fibrillation", "asystole"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shunt:
    """Blood that passes the lungs without taking up oxygen (aspiration, contusion)."""

    kind: Literal["shunt"] = "shunt"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    shunt_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tamponade:
    """Fluid in the pericardium."""

    kind: Literal["tamponade"] = "tamponade"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    volume_ml: float


Problem = Annotated[
    Bleeding | Pneumothorax | AirwayBlockage | DrugTaken | Arrest | Shunt | Tamponade,
    Field(discriminator="kind"),
]
