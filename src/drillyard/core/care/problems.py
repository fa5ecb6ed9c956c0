"""What is wrong with a patient: physiological causes with a size and a time course.

A scenario lists problems; the course follows from the body.  Every problem has a ``name`` (unique in its scenario) by
which rules and the operator later change or end it, ``start_s`` (simulated seconds from time zero; negative means
before the crew arrives, reached by pre-rolling from health) and ``over_s`` (the time in which it grows to its size).
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from drillyard.core.care.actions import Route, Side
from drillyard.core.care.brain_problems import BrainSwelling, IntracranialBleeding, Pain, Seizure, Stroke
from drillyard.core.care.fluid_problems import AllergicReaction, Burn, LineFailure, UterineBleeding
from drillyard.core.care.metabolic_problems import (
    AcidBaseDisorder,
    Exposure,
    Fever,
    InsulinExcess,
    InsulinLack,
    LastingHypercapnia,
    PotassiumDisorder,
    Sepsis,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bleeding:
    """A wound as an orifice: ``rate_ml_per_min`` is what it bleeds at a mean pressure of 93 mmHg.

    ``into``: blood that goes into the belly or the pelvis is out of reach of hand, band and packing.
    """

    kind: Literal["bleeding"] = "bleeding"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    rate_ml_per_min: float
    site: str
    hidden: bool = False
    into: Literal["outside", "belly", "pelvis"] = "outside"


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Bronchospasm:
    """Narrow lower airways (asthma, smoke, allergy): 0 none, 0.5 moderate, 0.8 severe, 1 near fatal.

    ``swelling_share_frac`` is the part that is swelling and mucus, which relaxing drugs do not touch.
    """

    kind: Literal["bronchospasm"] = "bronchospasm"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    severity_frac: float
    swelling_share_frac: float = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class AirwaySwelling:
    """Swelling of throat and larynx: share of the bore lost before drugs.  Stridor from about 0.3."""

    kind: Literal["airway swelling"] = "airway swelling"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    swelling_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Secretions:
    """Fluid, blood, vomit or mucus in the airways; suction clears it."""

    kind: Literal["secretions"] = "secretions"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    amount_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PulmonaryOedema:
    """Water in the lungs that follows from pressure: begin it before the crew arrives.

    ``filling_rise_frac``: by how much a failing left heart raises the pressure in lung capillaries, over the some 8
    mmHg of health (2.5: 27 mmHg, slowly wet; 4: 39 mmHg, drowning within half an hour).  ``leak_frac``: leak of the
    capillaries at any pressure.
    """

    kind: Literal["pulmonary oedema"] = "pulmonary oedema"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    filling_rise_frac: float = 0.0
    leak_frac: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pneumonia:
    """Solid lung on one side, as a share of that lung (pneumonia, bruised lung)."""

    kind: Literal["pneumonia"] = "pneumonia"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    side: Side
    solid_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Aspiration:
    """Stomach contents in the lungs: shunt, badly ventilated alveoli and spasm.  1 is massive."""

    kind: Literal["aspiration"] = "aspiration"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    amount_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Haemothorax:
    """A wound that bleeds into a pleural space; it takes one of the three wounds, at ``<side> chest``."""

    kind: Literal["haemothorax"] = "haemothorax"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    side: Side
    rate_ml_per_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlailChest:
    """Ribs broken twice: share of that side's breathing force that is lost."""

    kind: Literal["flail chest"] = "flail chest"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    side: Side
    force_lost_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CarbonMonoxide:
    """Blood that already carries carbon monoxide (``cohb_frac``), and its share of the air
    that the patient goes on breathing (0.1 % is 1000 ppm)."""

    kind: Literal["carbon monoxide"] = "carbon monoxide"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    cohb_frac: float = 0.0
    room_frac: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Methaemoglobin:
    """Haemoglobin turned to methaemoglobin, at once."""

    kind: Literal["methaemoglobin"] = "methaemoglobin"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    methb_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoronaryOcclusion:
    """A coronary artery narrowed or shut: ``occluded_frac`` of its flow is lost.

    ``clot_frac`` is the share of that which is clot, so that a thrombolytic may open it.  ``right_ventricle``: the
    inferior artery is shut so near its mouth that the right ventricle loses its blood too.
    """

    kind: Literal["coronary occlusion"] = "coronary occlusion"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    territory: Literal["anterior", "inferior", "lateral"]
    occluded_frac: float
    clot_frac: float = 1.0
    right_ventricle: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PulmonaryEmbolism:
    """Clots that shut a share of the lungs' vessels."""

    kind: Literal["pulmonary embolism"] = "pulmonary embolism"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    obstructed_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpFailure:
    """A left ventricle that has lost ``lost_frac`` of its strength (an old infarct, inflammation); the right one is
    spared, so that blood backs up in the lungs."""

    kind: Literal["pump failure"] = "pump failure"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    lost_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselDilation:
    """Vessels that have lost tone to mediators or a poison: 0 none, 1 the worst."""

    kind: Literal["vessel dilation"] = "vessel dilation"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    lost_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpinalCordInjury:
    """A cord cut at ``level``: what lies below it loses its sympathetic nerves."""

    kind: Literal["spinal cord injury"] = "spinal cord injury"
    name: str
    start_s: float = 0.0
    over_s: float = 0.0
    level: Literal["C5", "T1", "T4", "T6", "T10"]


Problem = Annotated[
    Bleeding
    | Pneumothorax
    | AirwayBlockage
    | DrugTaken
    | Arrest
    | Shunt
    | Tamponade
    | Bronchospasm
    | AirwaySwelling
    | Secretions
    | PulmonaryOedema
    | Pneumonia
    | Aspiration
    | Haemothorax
    | FlailChest
    | CarbonMonoxide
    | Methaemoglobin
    | CoronaryOcclusion
    | PulmonaryEmbolism
    | PumpFailure
    | VesselDilation
    | SpinalCordInjury
    | AllergicReaction
    | Burn
    | UterineBleeding
    | LineFailure
    | InsulinExcess
    | InsulinLack
    | Fever
    | Exposure
    | PotassiumDisorder
    | AcidBaseDisorder
    | LastingHypercapnia
    | Sepsis
    | IntracranialBleeding
    | BrainSwelling
    | Seizure
    | Stroke
    | Pain,
    Field(discriminator="kind"),
]
