"""Problems of metabolism, heat, salts, acid and infection.  Part of the vocabulary of ``problems``."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class InsulinExcess:
    """Too much insulin at work: ``action_frac`` of its full action (0.3 mild, 0.7 severe).

    ``by_tablets``: tablets draw it out of the patient's own pancreas instead, so that sugar given calls for more.
    ``glycogen_emptied_frac``: share of liver glycogen that hunger or alcohol has used up; glucagon does less.
    """

    kind: Literal["insulin excess"] = "insulin excess"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    action_frac: float
    by_tablets: bool = False
    glycogen_emptied_frac: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class InsulinLack:
    """Insulin that is missing; ``glucose_rise_mg_per_dl`` and ``ketones_mmol_per_l`` are how far it has gone by now."""

    kind: Literal["insulin lack"] = "insulin lack"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    lack_frac: float = 1.0
    glucose_rise_mg_per_dl: float = 0.0
    ketones_mmol_per_l: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fever:
    """A raised set point."""

    kind: Literal["fever"] = "fever"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rise_degc: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """Cold or heat of the place.

    ``added_loss_frac``: heat loss on top of that of a covered patient (naked 1, wet in wind 4, in water 12).
    ``core_change_degc``: what the hours before have done to the core, below 0 colder.
    """

    kind: Literal["exposure"] = "exposure"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    ambient_degc: float
    added_loss_frac: float = 0.0
    core_change_degc: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PotassiumDisorder:
    """Potassium too high (kidney failure, crushed muscle) or, with a ``rise_mmol_per_l`` below 0, too low.

    ``release_mmol_per_min``: what damaged cells go on letting out; ``kidney_lost_frac``: share of kidney work lost.
    """

    kind: Literal["potassium disorder"] = "potassium disorder"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rise_mmol_per_l: float
    release_mmol_per_min: float = 0.0
    kidney_lost_frac: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AcidBaseDisorder:
    """Base lost (kidney failure, poison, diarrhoea), or won with a ``base_loss_mmol_per_l`` below 0 (vomiting)."""

    kind: Literal["acid-base disorder"] = "acid-base disorder"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    base_loss_mmol_per_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LastingHypercapnia:
    """Breathing that has rested ``rise_mmhg`` of carbon dioxide too high for ``days``: the kidneys have answered."""

    kind: Literal["lasting hypercapnia"] = "lasting hypercapnia"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rise_mmhg: float
    days: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sepsis:
    """Infection that has spread to the blood: 0.3 mild, 0.6 shock, 1 overwhelming."""

    kind: Literal["sepsis"] = "sepsis"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    severity_frac: float


MetabolicProblem = (
    InsulinExcess | InsulinLack | Fever | Exposure | PotassiumDisorder | AcidBaseDisorder | LastingHypercapnia | Sepsis
)
METABOLIC_SIZES: dict[type, tuple[str, ...]] = {
    InsulinExcess: ("action_frac",),
    InsulinLack: ("lack_frac", "glucose_rise_mg_per_dl", "ketones_mmol_per_l"),
    Fever: ("rise_degc",),
    Exposure: ("added_loss_frac", "core_change_degc"),
    PotassiumDisorder: ("rise_mmol_per_l", "release_mmol_per_min", "kidney_lost_frac"),
    AcidBaseDisorder: ("base_loss_mmol_per_l",),
    LastingHypercapnia: ("rise_mmhg",),
    Sepsis: ("severity_frac",),
}
"""The numbers of each that are its size."""
