"""From newborn to adult: how a child differs from a small adult.

Sizes that scale with body surface, mass and height are made in ``patient.py``; here is what changes with age beside
them: heart and breathing rate, pressure, cardiac index, share of the brain, blood, softness of the chest wall, and how
early lack of oxygen slows the heart.  Each course is a table of ages and values with its source, joined by straight
lines and ending at the adult's value, so that nothing jumps on a birthday.

Left out: fetal haemoglobin and the change of the circulation at birth, growth of the kidney's powers, sleep, fits.
"""

from itertools import pairwise
from typing import Final

from drillyard.core.numerics.elementary import clamp, pow_

Course = tuple[tuple[float, float], ...]

ADULT_YEARS: Final = 25.0
"""From this age on nothing here acts."""
_ADULT_MEAN_PRESSURE_MMHG: Final = 93.5
_REFERENCE_SURFACE_M2: Final = 1.848
_BRAIN_FLOW_ML_PER_S: Final = 12.5
_SYMPATHETIC_REST_FRAC: Final = 0.15
_VAGAL_REST_FRAC: Final = 0.56
_ADULT_TIDAL_ML: Final = 490.0
_ADULT_BREATHING_PER_MIN: Final = 14.0
_ADULT_FRC_ML: Final = 2500.0

HEART_RATE_PER_MIN: Final[Course] = (
    (0.0, 127.0), (0.08, 145.0), (0.5, 138.0), (1.0, 124.0), (2.0, 113.0), (4.0, 103.0), (6.0, 96.0), (8.0, 89.0),
    (12.0, 82.0), (16.0, 75.0), (18.0, 71.65),
)  # fmt: skip
"""Medians awake or asleep at rest: Fleming 2011, Lancet 377:1011 (birth, peak at one month and 2 years as in the
reference table, the others from memory)."""
BREATHING_RATE_PER_MIN: Final[Course] = (
    (0.0, 44.0), (0.5, 38.0), (1.0, 33.0), (2.0, 26.0), (4.0, 23.5), (6.0, 22.0), (8.0, 20.5), (12.0, 18.5),
    (16.0, 15.8), (18.0, 14.0),
)  # fmt: skip
"""Medians: Fleming 2011, Lancet 377:1011 (birth and 2 years as in the reference table, the others from memory)."""
MEAN_PRESSURE_MMHG: Final[Course] = (
    (0.0, 47.0), (1.0, 55.0), (4.0, 65.0), (10.0, 75.0), (16.0, 83.0), (20.0, 89.0),
    (25.0, _ADULT_MEAN_PRESSURE_MMHG),
)  # fmt: skip
"""From medians of systolic and diastolic pressure (85/37 at one, 93/50 at four, 102/61 at ten, 116/65 at sixteen):
Fourth report on blood pressure in children 2004, Pediatrics 114:555 (from memory); newborn: Zubrow 1995, J Perinatol
15:470 (from memory); from 16 years to the adult of this body in a straight line."""
CARDIAC_INDEX_FRAC: Final[Course] = ((0.0, 1.25), (1.0, 1.35), (5.0, 1.30), (10.0, 1.18), (16.0, 1.05), (18.0, 1.0))
"""Output per body surface over an adult's: 3.5 to 5.5 L/min/m2 in children (common textbook value, from memory)."""
BRAIN_FLOW_ML_PER_S: Final[Course] = (
    (0.0, 2.6), (1.0, 9.5), (3.0, 15.0), (6.0, 18.5), (10.0, 17.0), (15.0, 14.0), (20.0, _BRAIN_FLOW_ML_PER_S),
)  # fmt: skip
"""Flow per 100 g (40 newborn, 60-70 at one, 85-100 at six years: Kennedy and Sokoloff 1957, J Clin Invest 36:1130;
Chiron 1992, J Nucl Med 33:696, from memory) times brain mass (370 g, 950 g, 1300 g: Dekaban 1978, from memory)."""
BRAIN_MASS_FRAC: Final[Course] = ((0.0, 0.27), (1.0, 0.68), (3.0, 0.85), (6.0, 0.93), (12.0, 1.0))
"""Brain mass over an adult's 1400 g: Dekaban 1978, Ann Neurol 4:345 (from memory)."""
HAEMOGLOBIN_G_PER_DL: Final[Course] = ((0.0, 16.8), (0.2, 11.3), (1.0, 12.0), (6.0, 12.5), (12.0, 13.3))
"""Common textbook values; from 12 years on the adult's."""
BLOOD_ML_PER_KG: Final[Course] = ((0.0, 85.0), (1.0, 80.0), (10.0, 76.0), (16.0, 72.0))
"""Common textbook values (85 newborn, 80 infant, 75 child); from 12 to 16 years towards Nadler's adult."""
WALL_SOFTNESS_FRAC: Final[Course] = ((0.0, 2.6), (1.0, 1.8), (3.0, 1.2), (6.0, 1.0))
"""Compliance of the chest wall over that of the lungs: 2.9 under one year, 1.3 to 2 later (Papastamelos 1995, J Appl
Physiol 78:179, from memory), 1 in adults."""
SLACK_LOSS_FRAC: Final[Course] = ((0.0, 0.43), (0.5, 0.40), (1.0, 0.34), (3.0, 0.20), (8.0, 0.17), (12.0, 0.15))
"""Share of resting lung volume lost with muscle tone: paralysis took it from 21.3 to 12.2 mL/kg in infants and from
25.6 to 23.0 in preschool children who were already anaesthetised (von Ungern-Sternberg 2006, Anesthesiology 105:670,
seen in abstract); 15 % in adults."""
FULL_VEINS_FRAC: Final[Course] = (
    (0.0, 0.80), (0.5, 0.95), (1.0, 0.90), (2.0, 0.85), (6.0, 0.84), (10.0, 0.88), (14.0, 0.96), (18.0, 1.0),
)  # fmt: skip
"""Stressed volume of the gut's veins over that of an adult of the same blood volume; our choice, so that a child rests
near an adult's filling pressure."""
ARTERY_STIFFNESS_FRAC: Final[Course] = ((0.0, 1.0), (1.0, 1.6), (4.0, 1.65), (10.0, 1.3), (16.0, 1.05), (18.0, 1.0))
"""Stiffness of arteries over one that goes with the stroke volume alone; tuned to the pulse pressures of the medians
above (48 mmHg at one, 43 at four, 41 at ten years)."""
SLOWED_BELOW_SAO2_FRAC: Final[Course] = ((0.0, 0.70), (1.0, 0.62), (8.0, 0.45), (16.0, 0.35))
"""Saturation under which lack of oxygen slows the sinus node: an infant's slows under about 60 % (common practice, no
source), an adult's just before the end."""
FULL_COMPRESSION_CM: Final[Course] = ((0.0, 3.5), (1.0, 4.0), (8.0, 5.0))
"""A third of the depth of the chest: about 4 cm in infants, 5 cm in children (guidelines of 2020 and later)."""


def at_age(course: Course, age_years: float) -> float:
    """The value of a course at an age: straight lines between its points, its ends outside them."""
    if age_years <= course[0][0]:
        return course[0][1]
    for (young, first), (old, last) in pairwise(course):
        if age_years <= old:
            return first + (last - first) * (age_years - young) / (old - young)
    return course[-1][1]


_HEART: Final = frozenset(
    [
        "lv_unstressed_ml", "lv_slack_ml", "rv_unstressed_ml", "rv_slack_ml", "la_unstressed_ml", "ra_unstressed_ml",
        "pericardium_free_ml", "aorta_unstressed_ml", "large_arteries_unstressed_ml", "small_arteries_unstressed_ml",
        "lung_arteries_unstressed_ml", "lung_veins_unstressed_ml", "septum_rest_ml",
    ]
)  # fmt: skip
"""Volumes that go with the stroke volume."""
_INVERSE_HEART: Final = frozenset(
    [
        "la_elastance_mmhg_per_ml", "la_kick_mmhg_per_ml", "ra_elastance_mmhg_per_ml", "ra_kick_mmhg_per_ml",
        "lv_stretch_per_ml", "rv_stretch_per_ml", "pericardium_scale_per_ml", "rv_strength_mmhg_per_ml",
        "lung_arteries_stiffness_mmhg_per_ml", "lung_veins_stiffness_mmhg_per_ml",
    ]
)  # fmt: skip
_ARTERIES: Final = frozenset(
    [
        "aorta_stiffness_mmhg_per_ml", "large_arteries_stiffness_mmhg_per_ml", "small_arteries_stiffness_mmhg_per_ml",
    ]
)  # fmt: skip
_PRESSURE_OVER_HEART: Final = frozenset(["lv_strength_mmhg_per_ml"])
_BLOOD: Final = frozenset(
    [
        "chest_veins_unstressed_ml", "limb_unstressed_rest_ml", "splanchnic_gives_ml", "limb_gives_ml",
        "splanchnic_slackens_ml", "limb_slackens_ml", "limb_creep_ml_per_mmhg",
    ]
)  # fmt: skip
_INVERSE_BLOOD: Final = frozenset(
    ["splanchnic_stiffness_mmhg_per_ml", "limb_stiffness_mmhg_per_ml", "chest_veins_stiffness_mmhg_per_ml"]
)
_FLOW: Final = frozenset(
    [
        "cardiac_output_rest_ml_per_s", "aorta_ease_ml_per_mmhg_s2", "splanchnic_outflow_ml_per_s_per_mmhg",
        "limb_outflow_ml_per_s_per_mmhg", "chest_veins_ml_per_s_per_mmhg", "lung_veins_ml_per_s_per_mmhg",
        "inlet_valve_ml_per_s_per_mmhg", "pulmonary_valve_ml_per_s_per_mmhg",
    ]
)  # fmt: skip
_INVERSE_FLOW: Final = frozenset(
    ["outlet_valve_mmhg_s_per_ml", "lung_resistance_rest_mmhg_s_per_ml", "aorta_resistance_mmhg_s_per_ml"]
)
_FLOW_OVER_PRESSURE: Final = frozenset(["heart_conductance_rest", "large_arteries_ml_per_s_per_mmhg"])
_OTHER_BEDS: Final = (
    "gut_conductance_rest", "kidney_conductance_rest", "muscle_conductance_rest", "limb_skin_conductance_rest",
    "upper_skin_conductance_rest",
)  # fmt: skip
"""Beds that share what the brain leaves."""
_PRESSURES: Final = frozenset(["closing_pressure_rest_mmhg", "carotid_set_mmhg", "carotid_scale_mmhg"])
_HEIGHT: Final = frozenset(["limb_column_cm", "splanchnic_column_cm", "carotid_height_cm"])


def residual_capacity_ml(age_years: float, height_cm: float) -> float:
    """Gas in a child's lungs at the end of a quiet breath, awake, lying.

    Anaesthetised and paralysed 0.00175 height^2.66 (74 children of 0.1 to 11.2 years; Thorsteinsson 1990,
    Anesthesiology 73:876, seen in abstract), over the share that is left without muscle tone.
    """
    return 0.00175 * pow_(height_cm, 2.66) / (1.0 - at_age(SLACK_LOSS_FRAC, age_years))


def oxygen_use_ml_per_s(age_years: float, is_male: bool, mass_kg: float) -> float:
    """A child's oxygen use at rest, lying: Schofield 1985, Hum Nutr Clin Nutr 39C suppl 1:5 (from memory).

    MJ a day by mass and sex at 0-3, 3-10 and 10-18 years; 1 MJ a day is 34.4 mL/min of oxygen at 20.2 kJ/L.
    """
    if age_years < 3.0:
        energy = 0.249 * mass_kg - 0.127 if is_male else 0.244 * mass_kg - 0.130
    elif age_years < 10.0:
        energy = 0.095 * mass_kg + 2.110 if is_male else 0.085 * mass_kg + 2.033
    else:
        energy = 0.074 * mass_kg + 2.754 if is_male else 0.056 * mass_kg + 2.898
    return energy * 34.4 / 60.0


def stroke_volume_frac(age_years: float, surface_frac: float) -> float:
    """Stroke volume over the reference adult's: output over rate."""
    rate = at_age(HEART_RATE_PER_MIN, age_years) / HEART_RATE_PER_MIN[-1][1] if age_years < 18.0 else 1.0
    return surface_frac * at_age(CARDIAC_INDEX_FRAC, age_years) / rate


def toward_adult(factor: float, age_years: float) -> float:
    """A factor that counts in full up to 12 years and no more at 18."""
    return 1.0 + (factor - 1.0) * clamp((18.0 - age_years) / 6.0, 0.0, 1.0)


def veins_frac(age_years: float, surface_frac: float, blood_frac: float) -> float:
    """Size of veins over the reference adult's: with blood volume in children, with body surface in adults."""
    return surface_frac * toward_adult(blood_frac / surface_frac, age_years)


def grow(
    values: dict[str, float], age_years: float, mass_kg: float, height_cm: float, surface_frac: float, blood_frac: float
) -> None:
    """Turn the parameters of a small adult into those of a child, in place.

    Args:
        values: all parameters, scaled by size alone.
        surface_frac: body surface over the reference adult's.
        blood_frac: blood volume over the reference adult's.
    """
    if age_years >= ADULT_YEARS:
        return
    pressure = at_age(MEAN_PRESSURE_MMHG, age_years) / _ADULT_MEAN_PRESSURE_MMHG
    flow = at_age(CARDIAC_INDEX_FRAC, age_years)
    heart = stroke_volume_frac(age_years, surface_frac) / surface_frac
    blood = veins_frac(age_years, surface_frac, blood_frac) / surface_frac
    stiff = at_age(ARTERY_STIFFNESS_FRAC, age_years)
    factors = (
        (_HEART, heart), (_INVERSE_HEART, 1.0 / heart), (_PRESSURE_OVER_HEART, pressure / heart), (_BLOOD, blood),
        (_INVERSE_BLOOD, 1.0 / blood), (_ARTERIES, stiff / heart), (_FLOW, flow), (_INVERSE_FLOW, 1.0 / flow),
        (_FLOW_OVER_PRESSURE, flow / pressure), (_PRESSURES, pressure),
    )  # fmt: skip
    for names, factor in factors:
        for name in names:
            values[name] *= factor
    values["ventricle_viscosity_s_per_ml"] /= flow * pressure
    values["pressure_size_frac"] = pressure
    values["intracranial_rest_mmhg"] *= pressure
    values["skull_size_frac"] = at_age(BRAIN_MASS_FRAC, age_years)
    _divide_flow(values, age_years, flow, pressure)
    if age_years >= 18.0:
        return
    _set_rates(values, age_years)
    short = toward_adult(height_cm / 175.0, age_years)
    for name in _HEIGHT:
        values[name] *= short
    _set_breathing(values, age_years, mass_kg)
    values["slowed_below_sao2_frac"] = at_age(SLOWED_BELOW_SAO2_FRAC, age_years)
    values["compression_full_depth_cm"] = at_age(FULL_COMPRESSION_CM, age_years)


def _divide_flow(values: dict[str, float], age_years: float, flow: float, pressure: float) -> None:
    """A child's brain takes more of the output; the other beds share the rest as an adult's do."""
    adult_brain = values["brain_conductance_rest"]
    total = (adult_brain + sum(values[name] for name in _OTHER_BEDS)) * flow / pressure
    share = toward_adult(at_age(BRAIN_FLOW_ML_PER_S, age_years) / values["brain_flow_rest_ml_per_s"], age_years)
    brain = adult_brain * share / pressure
    values["brain_flow_rest_ml_per_s"] *= share
    values["brain_conductance_rest"] = brain
    left = (total - brain) / sum(values[name] for name in _OTHER_BEDS)
    for name in _OTHER_BEDS:
        values[name] *= left


def _set_rates(values: dict[str, float], age_years: float) -> None:
    """A heart without nerves beats faster in a child, and less of the rest is vagal.

    118.1 - 0.57 x age (Jose 1970) is for adults; 145 in infants (order of transplanted infant hearts, from memory).
    Highest rate 208 - 0.7 x age as in adults, 210 in infants (220 is taught as their limit in sinus rhythm).
    """
    intrinsic = at_age(((0.0, 148.0), (1.0, 145.0), (6.0, 122.0), (18.0, 107.8)), age_years)
    highest = at_age(((0.0, 212.0), (6.0, 206.0), (18.0, 195.4)), age_years)
    rest = at_age(HEART_RATE_PER_MIN, age_years)
    gain = highest / intrinsic - 1.0
    values["heart_rate_intrinsic_per_min"] = intrinsic
    values["rate_sympathetic_gain"] = gain
    # the resting rate is that of the table with the nerves as this body's children rest
    free = intrinsic * (1.0 + _SYMPATHETIC_REST_FRAC * (1.0 - 0.7 * _VAGAL_REST_FRAC) * gain)
    values["rate_vagal_gain"] = (free / rest - 1.0) / _VAGAL_REST_FRAC
    # by the same rule as an adult's: sympathetic 0.2, vagal 0.5
    values["heart_rate_rest_per_min"] = intrinsic * (1.0 + 0.13 * gain) / (1.0 + 0.5 * values["rate_vagal_gain"])


def _set_breathing(values: dict[str, float], age_years: float, mass_kg: float) -> None:
    """Rate by age; the breath that then clears the carbon dioxide made, and the effort that it takes."""
    stiff_before = 1.0 / values["lung_compliance_ml_per_cmh2o"] + 1.0 / values["wall_compliance_ml_per_cmh2o"]
    softness = at_age(WALL_SOFTNESS_FRAC, age_years)
    values["wall_compliance_ml_per_cmh2o"] *= softness
    stiff = 1.0 / values["lung_compliance_ml_per_cmh2o"] + 1.0 / values["wall_compliance_ml_per_cmh2o"]
    rate = at_age(BREATHING_RATE_PER_MIN, age_years)
    values["rate_rest_per_min"] = rate
    made = values["oxygen_use_rest_ml_per_s"] * values["respiratory_quotient"]
    alveolar = made * 60.0 * 863.0 / (40.0 * (1.0 - values["alveolar_dead_frac"]))
    before = values["tidal_rest_ml"]
    values["tidal_rest_ml"] = values["dead_space_ml"] + alveolar / rate
    for name in ("least_breath_ml", "least_flow_ml_per_s"):
        values[name] *= toward_adult(values["tidal_rest_ml"] / _ADULT_TIDAL_ML, age_years)
    values["longest_breath_per_min"] *= rate / _ADULT_BREATHING_PER_MIN
    values["least_lung_ml"] *= toward_adult(values["frc_ml"] / _ADULT_FRC_ML, age_years)
    # quick breaths take more effort for the same size: the lungs have less time to follow (our choice, set so that the
    # rate at rest is that of the table)
    quick = 1.0 + 0.012 * (rate - _ADULT_BREATHING_PER_MIN)
    values["force_rest_cmh2o"] *= values["tidal_rest_ml"] / before * stiff / stiff_before * quick
    # what is lost with muscle tone is shared by lungs and wall in proportion to their compliance
    loss = at_age(SLACK_LOSS_FRAC, age_years)
    values["wall_slack_frac"] = loss * (1.0 + softness) * 0.23 / (0.15 * 2.0)
    # resistance of a tube goes with the power 3.5 of its bore (order of Wright 1989); bore 3.5 mm + age / 4 (common
    # rule)
    values["tube_ml_per_s_per_cmh2o"] *= pow_(min(3.5 + age_years / 4.0, 8.0) / 8.0, 3.5)
    airway = values["lower_airway_ml_per_s_per_cmh2o"] / 800.0
    values["upper_airway_ml_per_s_per_cmh2o"] *= 1.0 + (min(airway, 1.0) - 1.0) * (1.0 - age_years / 18.0)
