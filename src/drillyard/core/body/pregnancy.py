"""Pregnancy: what carrying a child does to a woman's circulation, blood, lungs and breathing.

Courses by week, as multiples of or additions to the same woman's values before; ``is_delivered`` takes away the uterus
that lies on the great veins and keeps the rest, as in the first hours after a birth.

Left out: the child itself, contractions, change with labour, clotting that grows stronger, several children.
"""

from typing import Final

from drillyard.core.body.growth import Course, at_age
from drillyard.core.quantities.faults import Fault, Place

WEEKS: Final = (0.0, 42.0)
"""Weeks that can be carried."""
AGE_YEARS: Final = (12.0, 55.0)

OUTPUT_FRAC: Final[Course] = ((4.0, 1.0), (8.0, 1.20), (16.0, 1.34), (24.0, 1.43), (34.0, 1.45), (42.0, 1.43))
"""Cardiac output lying on the side: Robson 1989, Am J Physiol 256:H1060 (4.9 to 7.2 L/min; from memory)."""
RATE_FRAC: Final[Course] = ((4.0, 1.0), (12.0, 1.10), (32.0, 1.20), (42.0, 1.20))
"""Heart rate: 15 to 20 beats more (Robson 1989, from memory)."""
PRESSURE_FRAC: Final[Course] = ((4.0, 1.0), (12.0, 0.95), (24.0, 0.93), (32.0, 0.96), (40.0, 1.0))
"""Mean pressure: lowest in the middle, back at term (common textbook value)."""
PLASMA_FRAC: Final[Course] = ((6.0, 1.0), (20.0, 1.30), (32.0, 1.48), (42.0, 1.50))
RED_CELL_FRAC: Final[Course] = ((8.0, 1.0), (42.0, 1.22))
"""Plasma 45-50 % and red cells 18-25 % more at term (Hytten 1985, Clin Haematol 14:601, from memory)."""
OXYGEN_FRAC: Final[Course] = ((6.0, 1.0), (40.0, 1.20))
"""Oxygen use 15 to 20 % over that before (common textbook value)."""
RESTING_LUNG_FRAC: Final[Course] = ((16.0, 1.0), (40.0, 0.78))
"""Resting lung volume 20 % less at term, more so lying (common textbook value)."""
PACO2_MMHG: Final[Course] = ((4.0, 40.0), (12.0, 32.0), (42.0, 31.0))
"""28 to 32 mmHg from the first third on (Templeton and Kelman 1976, Br J Anaesth 48:1001, from memory)."""
BASE_MMOL_PER_L: Final[Course] = ((4.0, 0.0), (12.0, -3.0), (42.0, -3.5))
"""Base that the kidneys let go: bicarbonate 18 to 22 mmol/L at pH 7.44 (common textbook value)."""
UTERUS_ML_PER_S: Final[Course] = ((6.0, 0.8), (20.0, 5.0), (40.0, 11.7))
"""Flow to the uterus: 50 mL/min before, 700 at term (common textbook value)."""
VEINS_PRESSED_FRAC: Final[Course] = ((20.0, 0.0), (38.0, 1.0))
"""How far the uterus of a woman who lies flat closes the great vein of the belly: from 20 weeks on, full at term."""

_RESTING_FLOW_PRESSURE_MMHG: Final = 72.0
"""Mean pressure less the closing pressure of small arteries."""
_BEDS: Final = (
    "gut_conductance_rest", "kidney_conductance_rest", "muscle_conductance_rest", "limb_skin_conductance_rest",
    "upper_skin_conductance_rest",
)  # fmt: skip
_HEART_VOLUMES: Final = ("lv_unstressed_ml", "lv_slack_ml", "rv_unstressed_ml", "rv_slack_ml", "pericardium_free_ml")
_HEART_STIFFNESS: Final = (
    "lv_stretch_per_ml",
    "rv_stretch_per_ml",
    "lv_strength_mmhg_per_ml",
    "rv_strength_mmhg_per_ml",
)
_FLOWS: Final = ("inlet_valve_ml_per_s_per_mmhg", "pulmonary_valve_ml_per_s_per_mmhg", "chest_veins_ml_per_s_per_mmhg",
                 "lung_veins_ml_per_s_per_mmhg", "heart_conductance_rest")  # fmt: skip


def faults_of(age_years: float, sex: str, weeks: float) -> list[Fault]:
    """Why this patient cannot be pregnant for so long; none at 0 weeks."""
    if weeks == 0.0:
        return []
    (low, high), (young, old) = WEEKS, AGE_YEARS
    place, faults = Place(field="pregnant_weeks"), []
    if not low < weeks <= high:
        said = f"pregnant for {weeks:g} weeks"
        faults.append(Fault(code="out of range", said=said, place=place, allowed=f"0 to {high:g} weeks"))
    if sex != "female" or not young <= age_years <= old:
        said = f"a {sex} patient of {age_years:g} years is written as pregnant"
        allowed = f"a woman of {young:g} to {old:g} years"
        faults.append(Fault(code="contradiction", said=said, place=place, allowed=allowed))
    return faults


def blood_frac(weeks: float, haematocrit_frac: float) -> float:
    """Blood volume over that before: plasma and red cells, each by its own course."""
    plasma, cells = at_age(PLASMA_FRAC, weeks), at_age(RED_CELL_FRAC, weeks)
    return (1.0 - haematocrit_frac) * plasma + haematocrit_frac * cells


def carry(values: dict[str, float], weeks: float, is_delivered: bool) -> None:
    """Turn the parameters of a woman into those of the same woman in a week of pregnancy, in place."""
    if weeks <= 0.0:
        return
    output, rate, pressure = (at_age(course, weeks) for course in (OUTPUT_FRAC, RATE_FRAC, PRESSURE_FRAC))
    stroke = output / rate
    for name in _HEART_VOLUMES:
        values[name] *= stroke
    for name in _HEART_STIFFNESS:
        values[name] /= stroke
    for name in _FLOWS:
        values[name] *= output
    for name in ("outlet_valve_mmhg_s_per_ml", "lung_resistance_rest_mmhg_s_per_ml"):
        values[name] /= output
    before = sum(values[name] for name in _BEDS) + values["brain_conductance_rest"]
    uterus = at_age(UTERUS_ML_PER_S, weeks) / _RESTING_FLOW_PRESSURE_MMHG
    others = (before * output / pressure - values["brain_conductance_rest"] - uterus) / sum(values[n] for n in _BEDS)
    for name in _BEDS:
        values[name] *= others
    values["gut_conductance_rest"] += uterus
    values["cardiac_output_rest_ml_per_s"] *= output
    for name in ("carotid_set_mmhg", "closing_pressure_rest_mmhg", "pressure_size_frac"):
        values[name] *= pressure
    for name in ("heart_rate_intrinsic_per_min", "heart_rate_rest_per_min"):
        values[name] *= rate
    # the fastest rate is that of the age
    values["rate_sympathetic_gain"] = (1.0 + values["rate_sympathetic_gain"]) / rate - 1.0
    values["oxygen_use_rest_ml_per_s"] *= at_age(OXYGEN_FRAC, weeks)
    if not is_delivered:
        values["frc_ml"] *= at_age(RESTING_LUNG_FRAC, weeks)
        values["veins_pressed_frac"] = at_age(VEINS_PRESSED_FRAC, weeks)
    fall_mmhg = at_age(PACO2_MMHG, weeks) - 40.0
    values["brain_co2_set_mmhg"] += fall_mmhg
    # larger breaths, not quicker ones, clear the more that is made to the lower tension
    more = at_age(OXYGEN_FRAC, weeks) * 40.0 / (40.0 + fall_mmhg)
    values["tidal_rest_ml"] *= more
    values["force_rest_cmh2o"] *= more
    if "ph_rest" in values:
        values["ph_rest"] += 0.035
    values["base_rest_mmol_per_l"] += at_age(BASE_MMOL_PER_L, weeks)
