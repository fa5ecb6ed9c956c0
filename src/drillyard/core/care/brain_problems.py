"""Problems of brain and skull, pain, skin signs of allergy.  Part of the vocabulary of ``problems``."""

from dataclasses import dataclass
from typing import Literal

from drillyard.core.care.actions import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class IntracranialBleeding:
    """Blood that takes room in one half of the skull; it grows to its volume over ``over_s``."""

    kind: Literal["intracranial bleeding"] = "intracranial bleeding"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    side: Side
    volume_ml: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BrainSwelling:
    """A swollen brain (injury, lack of oxygen): the room that it takes."""

    kind: Literal["brain swelling"] = "brain swelling"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    volume_ml: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Seizure:
    """A cause of seizures.  ``severity_frac`` 1 starts one at once; what drugs must reach to end it is
    ``resistance_frac`` of full suppression (0.3 easy, 0.5 usual, 0.9 hardly).

    ``lasts_s``: it ends by itself after this time; 0 means that it goes on (status).  ``spreads``: from a focus to the
    whole brain, else it stays focal and the patient awake.
    """

    kind: Literal["seizure"] = "seizure"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    severity_frac: float = 1.0
    lasts_s: float = 0.0
    spreads: bool = True
    eclampsia: bool = False
    resistance_frac: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Findings of a stroke, as scripted: ``side`` is the half of the brain; the other side of the body shows it."""

    kind: Literal["stroke"] = "stroke"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    side: Side
    territory: Literal["middle cerebral", "posterior"] = "middle cerebral"
    severity_frac: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pain:
    """A source of pain, before drugs: 0.3 mild, 0.6 strong, 1 the worst.  Of several the strongest counts."""

    kind: Literal["pain"] = "pain"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    site: str
    severity_frac: float


BrainProblem = IntracranialBleeding | BrainSwelling | Seizure | Stroke | Pain

BRAIN_SIZES: dict[type, tuple[str, ...]] = {
    IntracranialBleeding: ("volume_ml",),
    BrainSwelling: ("volume_ml",),
    Seizure: ("severity_frac",),
    Stroke: ("severity_frac",),
    Pain: ("severity_frac",),
}
"""The numbers of each that are its size."""
