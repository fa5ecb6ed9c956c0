"""The words of the entry line as data: what may be typed, and what it means.

A phrase may have up to four words.  The first phrase of a meaning is the one that completions offer.
"""

from typing import Final, Literal, get_args

from drillyard.core.care.actions import (
    AirwayDevice,
    Fluid,
    OxygenDevice,
    Posture,
    RateUnit,
    Route,
    Sensor,
    Side,
    TubePlace,
)

SIDES: Final[dict[str, Side]] = {
    "left": "left", "l": "left", "lt": "left", "right": "right", "r": "right", "rt": "right",
}  # fmt: skip

SideRule = Literal["needed", "possible", "none"]

PARTS_OF_BODY: Final[dict[str, tuple[str, SideRule]]] = {
    "thigh": ("thigh", "needed"), "arm": ("arm", "needed"), "leg": ("leg", "needed"),
    "upper arm": ("upper arm", "needed"), "forearm": ("forearm", "needed"), "hand": ("hand", "needed"),
    "wrist": ("wrist", "needed"), "finger": ("finger", "needed"), "ear": ("ear", "needed"),
    "elbow": ("elbow", "needed"), "ac": ("elbow", "needed"), "antecubital": ("elbow", "needed"),
    "lower leg": ("leg", "needed"), "calf": ("leg", "needed"), "shin": ("leg", "needed"),
    "foot": ("foot", "needed"), "ankle": ("ankle", "needed"), "knee": ("knee", "needed"),
    "shoulder": ("shoulder", "needed"), "buttock": ("buttock", "needed"), "flank": ("flank", "needed"),
    "tibia": ("tibia", "needed"), "humerus": ("humerus", "needed"), "femur": ("femur", "needed"),
    "groin": ("groin", "possible"), "armpit": ("armpit", "possible"), "axilla": ("armpit", "possible"),
    "neck": ("neck", "possible"), "chest": ("chest", "possible"), "face": ("face", "possible"),
    "head": ("head", "none"), "scalp": ("scalp", "none"), "forehead": ("forehead", "none"),
    "abdomen": ("abdomen", "none"), "belly": ("abdomen", "none"), "back": ("back", "none"),
    "pelvis": ("pelvis", "none"), "womb": ("womb", "none"), "uterus": ("womb", "none"), "sternum": ("sternum", "none"),
}  # fmt: skip
"""Places on the body: the name in the log, and whether a side belongs to it."""

LIMB_PARTS: Final = frozenset({"thigh", "arm", "leg", "upper arm", "forearm"})
"""Where a tourniquet can lie."""
VEIN_PARTS: Final = frozenset({"arm", "forearm", "hand", "elbow", "wrist", "upper arm", "foot", "leg", "neck"})
BONE_PARTS: Final = frozenset({"tibia", "humerus", "femur", "sternum"})
MUSCLE_PARTS: Final = frozenset({"thigh", "shoulder", "upper arm", "arm", "buttock"})

ROUTES: Final[dict[str, Route]] = {
    "iv": "IV", "io": "IO", "im": "IM", "in": "IN", "nasal": "IN", "intranasal": "IN", "sl": "SL",
    "under tongue": "SL", "sc": "SC", "subcut": "SC", "subcutaneous": "SC", "pr": "PR",
    "rectal": "PR", "po": "PO", "oral": "PO", "by mouth": "PO", "neb": "nebulised", "nebulised": "nebulised",
    "nebulized": "nebulised", "nebuliser": "nebulised", "inhaled": "inhaled", "inhaler": "inhaled", "ett": "ETT",
    "down the tube": "ETT",
}  # fmt: skip
ROUTE_WORD: Final[dict[Route, str]] = {
    "IV": "iv", "IO": "io", "IM": "im", "SC": "sc", "IN": "in", "SL": "sl", "PO": "po", "PR": "pr", "nebulised": "neb",
    "inhaled": "inhaled", "ETT": "ett",
}  # fmt: skip

DoseWord = Literal["g", "mg", "ug", "mL", "units", "mmol"]
DOSE_UNITS: Final[dict[str, DoseWord]] = {
    "mg": "mg", "milligram": "mg", "milligrams": "mg",
    "mcg": "ug", "ug": "ug", "µg": "ug", "μg": "ug", "microgram": "ug", "micrograms": "ug",
    "g": "g", "gram": "g", "grams": "g",
    "ml": "mL", "cc": "mL", "millilitre": "mL", "millilitres": "mL",
    "units": "units", "unit": "units", "mmol": "mmol", "meq": "mmol",
}  # fmt: skip
"""mEq counts as mmol because drugs dosed so are salts of single charge (``docs/files/drug.md``).  "u" and "iu" are not
here: both are read for a nought or a 10 (common practice, from memory: lists of error-prone abbreviations)."""
DOSE_UNITS_PER_KG: Final[dict[str, DoseWord]] = {f"{word}/kg": unit for word, unit in DOSE_UNITS.items()}
"""Doses by body mass; the patient's mass turns them into a dose."""
AMPOULES: Final = ("amp", "amps", "ampoule", "ampoules", "vial", "vials", "syringe", "syringes", "nebule", "nebules")
"""What a drug lies in: the box says how much is in one."""
MANNERS: Final = (
    "push", "slow", "slowly", "rapid", "rapidly", "bolus", "stat", "dose", "given", "infusion", "drip", "pump", "at",
)  # fmt: skip
"""Words that may stand in a dose and change nothing."""
RATE_UNITS_OF_DRUGS: Final[dict[str, RateUnit]] = {
    f"{word}/{spelt}": rate_unit
    for rate_unit in get_args(RateUnit)
    for amount, _, per in (rate_unit.partition("/"),)
    for word in (
        ("ug", "mcg", "µg", "μg") if amount == "ug" else ("mmol", "meq") if amount == "mmol" else (amount.lower(),)
    )
    for spelt in ((per, f"{per}r", f"{per}our") if per.endswith("h") else (per,))
}
"""Rates of infusions as they are typed."""

USUAL_MUSCLE: Final[dict[str, str]] = {"epinephrine": "thigh"}
"""Where a dose into a muscle goes when no place is said (Cardona 2020, World Allergy Organ J 13:100472: mid thigh)."""

NOT_DOSE_UNITS: Final = frozenset(
    {"l", "litre", "liter", "litres", "kg", "iu", "u", "iu/kg", "u/kg", "u/h", "u/hr", "u/min", "iu/h", "mmhg", "%",
     "cm", "mm", "lb", "ng", "drops", "puffs", "puff", "j", "/min", "ml/kg/h"}
)  # fmt: skip
"""Units that people write and in which a single dose cannot be logged."""

TIME_UNITS: Final[dict[str, float]] = {
    "s": 1.0, "sec": 1.0, "secs": 1.0, "second": 1.0, "seconds": 1.0,
    "min": 60.0, "mins": 60.0, "minute": 60.0, "minutes": 60.0, "h": 3600.0, "hour": 3600.0, "hours": 3600.0,
}  # fmt: skip
"""Seconds in each unit of time."""

VOLUME_UNITS: Final[dict[str, float]] = {
    "ml": 1.0, "cc": 1.0, "millilitre": 1.0, "millilitres": 1.0, "l": 1000.0, "litre": 1000.0, "liter": 1000.0,
    "litres": 1000.0,
}  # fmt: skip
RATE_UNITS: Final[dict[str, float]] = {"ml/min": 1.0, "ml/h": 1.0 / 60.0, "ml/hr": 1.0 / 60.0, "l/h": 1000.0 / 60.0}

FLUIDS: Final[dict[str, Fluid]] = {
    "crystalloid": "crystalloid", "crys": "crystalloid", "cryst": "crystalloid", "fluid": "crystalloid",
    "saline": "crystalloid", "normal saline": "crystalloid", "nacl": "crystalloid",
    "red cells": "red cells", "rbc": "red cells", "packed cells": "red cells",
    "blood": "red cells", "plasma": "plasma", "ffp": "plasma", "whole blood": "whole blood", "albumin": "albumin",
    "albumin 5": "albumin", "albumin 20": "concentrated albumin", "concentrated albumin": "concentrated albumin",
    "colloid": "colloid",
}  # fmt: skip

OXYGEN_DEVICES: Final[dict[str, OxygenDevice]] = {
    "reservoir mask": "reservoir mask", "reservoir": "reservoir mask", "nrb": "reservoir mask",
    "non-rebreather": "reservoir mask",
    "nasal cannula": "nasal cannula", "nasal": "nasal cannula", "cannula": "nasal cannula", "nc": "nasal cannula",
    "prongs": "nasal cannula",
    "high-flow nasal cannula": "high-flow nasal cannula", "high flow": "high-flow nasal cannula",
    "high-flow": "high-flow nasal cannula",
    "simple mask": "simple mask", "simple": "simple mask",
    "bag with reservoir": "bag with reservoir", "bag reservoir": "bag with reservoir", "bag": "bag with reservoir",
    "bag without reservoir": "bag without reservoir",
    "tight circuit": "tight circuit", "circuit": "tight circuit",
}  # fmt: skip

FLOW_UNITS: Final = ("l/min", "l", "lpm", "litres", "litre")

USUAL_FLOW_L_PER_MIN: Final[dict[OxygenDevice, tuple[float, float]]] = {
    "nasal cannula": (1.0, 6.0), "simple mask": (5.0, 10.0), "reservoir mask": (10.0, 15.0),
    "bag with reservoir": (10.0, 15.0), "bag without reservoir": (10.0, 15.0), "tight circuit": (0.2, 15.0),
    "high-flow nasal cannula": (20.0, 60.0),
}  # fmt: skip
"""Usual oxygen flows by device (common practice, from memory, no source)."""

AIRWAYS: Final[dict[str, AirwayDevice]] = {
    "opa": "pharyngeal airway", "npa": "pharyngeal airway", "pharyngeal airway": "pharyngeal airway",
    "oral airway": "pharyngeal airway", "nasal airway": "pharyngeal airway",
    "sga": "supraglottic airway", "supraglottic airway": "supraglottic airway", "supraglottic": "supraglottic airway",
    "laryngeal mask": "supraglottic airway",
    "tube": "tracheal tube", "tracheal tube": "tracheal tube", "ett": "tracheal tube", "intubate": "tracheal tube",
}  # fmt: skip
AIRWAY_WORD: Final[dict[AirwayDevice, str]] = {
    "pharyngeal airway": "opa", "supraglottic airway": "sga", "tracheal tube": "tube",
}  # fmt: skip
AIRWAY_SIZES: Final[dict[AirwayDevice, tuple[float, float]]] = {
    "pharyngeal airway": (0.5, 10.0), "supraglottic airway": (1.0, 6.0), "tracheal tube": (2.0, 10.0),
}  # fmt: skip
"""Sizes as printed on the device (tracheal tube: inner diameter in mm); from memory."""
TUBE_PLACES: Final[dict[str, TubePlace]] = {
    "trachea": "trachea", "gullet": "gullet", "oesophagus": "gullet", "esophagus": "gullet",
    "right main stem": "right main stem", "right main": "right main stem",
}  # fmt: skip

POSTURES: Final[dict[str, Posture]] = {
    "flat": "flat", "supine": "flat", "lie flat": "flat",
    "head up 30": "head up 30", "head up": "head up 30",
    "sitting": "sitting", "sit up": "sitting", "sit": "sitting",
    "legs up": "legs raised", "legs raised": "legs raised", "raise legs": "legs raised",
    "recovery position": "recovery position", "recovery": "recovery position",
    "left tilt": "left tilt", "tilt left": "left tilt", "displace uterus": "left tilt",
}  # fmt: skip

SENSORS: Final[dict[str, Sensor]] = {
    "probe": "finger probe", "finger probe": "finger probe", "oximeter": "finger probe", "sats": "finger probe",
    "sat probe": "finger probe", "spo2": "finger probe", "pulse ox": "finger probe",
    "ecg": "ECG electrodes", "ekg": "ECG electrodes", "electrodes": "ECG electrodes",
    "ecg electrodes": "ECG electrodes",
    "cuff": "pressure cuff", "pressure cuff": "pressure cuff",
    "co2": "CO2 sampling line", "capno": "CO2 sampling line", "capnography": "CO2 sampling line",
    "co2 sampling line": "CO2 sampling line", "etco2": "CO2 sampling line",
    "temp": "temperature probe", "temperature probe": "temperature probe",
}  # fmt: skip
SENSOR_WORD: Final[dict[Sensor, str]] = {
    "finger probe": "probe", "ECG electrodes": "ecg", "pressure cuff": "cuff", "CO2 sampling line": "co2",
    "temperature probe": "temp",
}  # fmt: skip

CHEST_LINES: Final[dict[str, Literal["anterior axillary", "mid axillary", "mid clavicular"]]] = {
    "aal": "anterior axillary", "anterior axillary": "anterior axillary", "anterior": "anterior axillary",
    "mal": "mid axillary", "mid axillary": "mid axillary", "midaxillary": "mid axillary",
    "mcl": "mid clavicular", "mid clavicular": "mid clavicular", "midclavicular": "mid clavicular",
}  # fmt: skip

SURVEY_PARTS: Final[
    dict[str, Literal["catastrophic bleeding", "airway", "breathing", "circulation", "mind", "exposure"]]
] = {
    "bleeding": "catastrophic bleeding", "catastrophic bleeding": "catastrophic bleeding",
    "x": "catastrophic bleeding", "airway": "airway", "a": "airway", "breathing": "breathing", "b": "breathing",
    "circulation": "circulation", "c": "circulation", "mind": "mind", "disability": "mind", "d": "mind",
    "exposure": "exposure", "e": "exposure",
}  # fmt: skip

OFF: Final = ("stop", "off", "out", "end", "stopped", "remove", "release")
ON: Final = ("on", "start", "attach")
SMALL_WORDS: Final = frozenset({"at", "the", "in", "on", "to", "via", "of", "a", "an", "size", "with", "line"})
"""Words that may stand between the words that matter."""

NOT_UNDERSTOOD_REMEDY: Final = "leave it out, or write 'other' and your words to keep them as text"
