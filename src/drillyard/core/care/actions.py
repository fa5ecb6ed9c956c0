"""What a crew can do to or for a patient: the vocabulary that entry line, files, crews, logs and body share.

Each action is a frozen record; its ``kind`` is the word used in files and logs.  Numbers carry their unit in the
name.  An action says what was done, never what came of it.
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

Side = Literal["left", "right"]
Limb = Literal["left arm", "right arm", "left thigh", "right thigh", "left leg", "right leg"]
Route = Literal["IV", "IO", "IM", "SC", "IN", "SL", "PO", "PR", "nebulised", "inhaled", "ETT"]
RateUnit = Literal[
    "ug/min", "ug/h", "ug/kg/min", "ug/kg/h", "mg/min", "mg/h", "mg/kg/min", "mg/kg/h", "g/h", "units/min", "units/h",
    "units/kg/min", "units/kg/h", "mmol/min", "mmol/h", "mmol/kg/h", "mL/min", "mL/h",
]  # fmt: skip
OxygenDevice = Literal[
    "nasal cannula", "simple mask", "reservoir mask", "bag with reservoir", "bag without reservoir", "tight circuit",
    "high-flow nasal cannula",
]  # fmt: skip
AirwayDevice = Literal["pharyngeal airway", "supraglottic airway", "tracheal tube"]
TubePlace = Literal["trachea", "gullet", "right main stem"]
Sensor = Literal["ECG electrodes", "finger probe", "pressure cuff", "CO2 sampling line", "temperature probe"]
Fluid = Literal["crystalloid", "red cells", "plasma", "whole blood", "albumin", "concentrated albumin", "colloid"]
Posture = Literal["flat", "head up 30", "sitting", "legs raised", "recovery position", "left tilt"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveDrug:
    """One dose of a drug.  ``dose`` is in ``dose_unit``, the drug file's own unit (mg or ug for most)."""

    kind: Literal["give drug"] = "give drug"
    drug: str
    dose: float
    dose_unit: Literal["mg", "ug", "units", "mmol", "mL"] = "mg"
    route: Route
    site: str = ""
    over_s: float = 0.0
    confirmed_unusual: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StartInfusion:
    """A drug that runs in at ``rate`` until it is changed or stopped; a new rate takes the place of the old one.

    For a rate by volume ``strength_per_ml`` is what runs: amount of drug (mg, units, mmol) in a millilitre.
    """

    kind: Literal["start infusion"] = "start infusion"
    drug: str
    rate: float
    rate_unit: RateUnit
    strength_per_ml: float = 0.0
    route: Literal["IV", "IO"] = "IV"
    site: str = ""
    confirmed_unusual: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StopInfusion:
    kind: Literal["stop infusion"] = "stop infusion"
    drug: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StartFluid:
    """A fluid started through a line.  Rate 0 means as fast as the line lets it.

    ``temperature_degc``: what runs in; none means as it comes (room for clear fluid, half warmed for blood).
    """

    kind: Literal["start fluid"] = "start fluid"
    fluid: Fluid
    volume_ml: float
    rate_ml_per_min: float = 0.0
    line: str = ""
    temperature_degc: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StopFluid:
    kind: Literal["stop fluid"] = "stop fluid"
    fluid: Fluid


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceLine:
    """An intravenous or intraosseous line.  ``gauge`` as printed on the hub."""

    kind: Literal["place line"] = "place line"
    line_kind: Literal["IV", "IO"] = "IV"
    site: str
    gauge: int = 18
    patent: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class RemoveLine:
    kind: Literal["remove line"] = "remove line"
    site: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveOxygen:
    kind: Literal["give oxygen"] = "give oxygen"
    device: OxygenDevice
    flow_l_per_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StopOxygen:
    kind: Literal["stop oxygen"] = "stop oxygen"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenAirway:
    """Head tilt or jaw thrust, held until released."""

    kind: Literal["open airway"] = "open airway"
    how: Literal["head tilt", "jaw thrust"] = "head tilt"
    held: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceAirway:
    """A pharyngeal airway, supraglottic airway or tracheal tube."""

    kind: Literal["place airway"] = "place airway"
    device: AirwayDevice
    size: float = 0.0
    depth_cm: float = 0.0
    place: TubePlace = "trachea"
    leak_frac: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RemoveAirway:
    kind: Literal["remove airway"] = "remove airway"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearAirway:
    """Suction, back blows, forceps: takes away what blocks the upper airway."""

    kind: Literal["clear airway"] = "clear airway"
    how: str = "suction"
    cleared_frac: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ventilate:
    """Breaths given by bag through a mask or the airway device in place."""

    kind: Literal["ventilate"] = "ventilate"
    rate_per_min: float = 10.0
    volume_ml: float = 500.0
    leak_frac: float = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class SetVentilator:
    """A ventilator, by an airway device or a mask, from now on at these settings.

    ``pressure_cmh2o`` is over the end-expiratory one.  A rate of 0 leaves all breaths to the patient.
    """

    kind: Literal["set ventilator"] = "set ventilator"
    mode: Literal["volume", "pressure", "CPAP", "bilevel"]
    rate_per_min: float = 12.0
    volume_ml: float = 450.0
    pressure_cmh2o: float = 10.0
    peep_cmh2o: float = 5.0
    o2_frac: float = 1.0
    leak_frac: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StopVentilating:
    """No more breaths or pressure, by bag or ventilator."""

    kind: Literal["stop ventilating"] = "stop ventilating"


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlBleeding:
    """Tourniquet, packing or pressure on a wound of the named site; a binder on the pelvis, massage of a slack womb."""

    kind: Literal["control bleeding"] = "control bleeding"
    how: Literal["tourniquet", "packing", "direct pressure", "pelvic binder", "massage"]
    site: str
    stopped_frac: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseBleeding:
    kind: Literal["release bleeding"] = "release bleeding"
    site: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DecompressChest:
    """Needle decompression.  ``space`` is the intercostal space."""

    kind: Literal["decompress chest"] = "decompress chest"
    side: Side
    space: int = 5
    line: Literal["anterior axillary", "mid axillary", "mid clavicular"] = "anterior axillary"
    gauge: int = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class InsertChestTube:
    """A tube that drains air and blood from a pleural space."""

    kind: Literal["insert chest tube"] = "insert chest tube"
    side: Side


@dataclass(frozen=True, slots=True, kw_only=True)
class SealChest:
    """A chest seal over an open wound; ``vented`` lets air out."""

    kind: Literal["seal chest"] = "seal chest"
    side: Side
    vented: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Compress:
    kind: Literal["compress"] = "compress"
    rate_per_min: float = 110.0
    depth_cm: float = 5.5
    recoil_frac: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StopCompressions:
    kind: Literal["stop compressions"] = "stop compressions"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shock:
    kind: Literal["shock"] = "shock"
    energy_j: float
    synchronised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    kind: Literal["position"] = "position"
    posture: Posture


@dataclass(frozen=True, slots=True, kw_only=True)
class Attach:
    kind: Literal["attach"] = "attach"
    sensor: Sensor
    site: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Detach:
    kind: Literal["detach"] = "detach"
    sensor: Sensor


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePressure:
    """One cuff cycle, asked for by the crew; its result is an event of its own."""

    kind: Literal["measure pressure"] = "measure pressure"
    site: str = "left arm"


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatPressure:
    """The monitor set to cycle the cuff by itself, the first time at once; ``every_s`` 0 sets it back to by hand.
    No ``site``: where the cuff is."""

    kind: Literal["repeat pressure"] = "repeat pressure"
    every_s: float
    site: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Examine:
    """A look, a feel, a listen.  ``finding`` is a name of the finding catalogue, or free words."""

    kind: Literal["examine"] = "examine"
    finding: str
    side: Side | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """A part of the primary survey done."""

    kind: Literal["survey"] = "survey"
    part: Literal["catastrophic bleeding", "airway", "breathing", "circulation", "mind", "exposure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """Words that matter: order, read-back, call-out, question, report item, request."""

    kind: Literal["say"] = "say"
    what: Literal[
        "order",
        "read-back",
        "call-out",
        "asked history",
        "asked allergy",
        "stated weight",
        "leader named",
        "called for help",
        "report started",
        "report item",
        "report ended",
        "handover",
    ]
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """Anything that the body does not model; kept in the log, changes nothing, and says so."""

    kind: Literal["other"] = "other"
    text: str


Action = Annotated[
    GiveDrug
    | StartInfusion
    | StopInfusion
    | StartFluid
    | StopFluid
    | PlaceLine
    | RemoveLine
    | GiveOxygen
    | StopOxygen
    | OpenAirway
    | PlaceAirway
    | RemoveAirway
    | ClearAirway
    | Ventilate
    | SetVentilator
    | StopVentilating
    | ControlBleeding
    | ReleaseBleeding
    | DecompressChest
    | InsertChestTube
    | SealChest
    | Compress
    | StopCompressions
    | Shock
    | Position
    | Attach
    | Detach
    | MeasurePressure
    | RepeatPressure
    | Examine
    | Survey
    | Say
    | Other,
    Field(discriminator="kind"),
]
