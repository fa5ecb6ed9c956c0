"""The patient's size: from age, sex, mass and height to every parameter of the body.

Each ``Param`` of the organs holds the value of the reference adult (man, 40 years, 70 kg, 175 cm).  Here those values
are scaled: flows, conductances, vessel and heart volumes and compliances with body surface, stiffness and resistance
with its inverse, lung volumes with height (less with belly fat), stores of gas and heat with mass, blood volume by
Nadler's equation.  Pressures, tensions and time constants do not change with size.  What changes with age in childhood
is in ``growth.py``.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from drillyard.core.body import growth, pregnancy
from drillyard.core.numerics.elementary import clamp, exp, pow_
from drillyard.core.numerics.names import Name, Param, State
from drillyard.core.quantities.faults import Fault, Place, Refusal

Sex = Literal["male", "female"]

LIMITS: Final = {"age_years": (0.0, 100.0), "mass_kg": (35.0, 250.0), "height_cm": (130.0, 220.0)}
CHILD_LIMITS: Final = {"age_years": (0.0, 16.0), "mass_kg": (2.0, 120.0), "height_cm": (44.0, 200.0)}
"""Sizes under 16 years."""


def limits(age_years: float) -> dict[str, tuple[float, float]]:
    """Lowest and highest age, mass and height that the body can be scaled to, at this age."""
    return CHILD_LIMITS if 0.0 <= age_years < CHILD_LIMITS["age_years"][1] else LIMITS


_BY_SURFACE: Final = frozenset(
    [
        "lv_unstressed_ml",
        "lv_slack_ml",
        "rv_unstressed_ml",
        "rv_slack_ml",
        "septum_rest_ml",
        "la_unstressed_ml",
        "ra_unstressed_ml",
        "pericardium_free_ml",
        "aorta_unstressed_ml",
        "large_arteries_unstressed_ml",
        "small_arteries_unstressed_ml",
        "chest_veins_unstressed_ml",
        "lung_arteries_unstressed_ml",
        "lung_veins_unstressed_ml",
        "cardiac_output_rest_ml_per_s",
        "gut_conductance_rest",
        "kidney_conductance_rest",
        "muscle_conductance_rest",
        "limb_skin_conductance_rest",
        "splanchnic_slackens_ml",
        "limb_slackens_ml",
        "limb_creep_ml_per_mmhg",
        "upper_skin_conductance_rest",
        "brain_conductance_rest",
        "heart_conductance_rest",
        "limb_unstressed_rest_ml",
        "splanchnic_gives_ml",
        "limb_gives_ml",
        "aorta_ease_ml_per_mmhg_s2",
        "large_arteries_ml_per_s_per_mmhg",
        "splanchnic_outflow_ml_per_s_per_mmhg",
        "limb_outflow_ml_per_s_per_mmhg",
        "chest_veins_ml_per_s_per_mmhg",
        "lung_veins_ml_per_s_per_mmhg",
        "inlet_valve_ml_per_s_per_mmhg",
        "pulmonary_valve_ml_per_s_per_mmhg",
        "urine_rest_ml_per_s",
        "brain_flow_rest_ml_per_s",
        "sweat_w",
    ]
)
_BY_INVERSE_SURFACE: Final = frozenset(
    [
        "la_elastance_mmhg_per_ml",
        "la_kick_mmhg_per_ml",
        "ra_elastance_mmhg_per_ml",
        "ra_kick_mmhg_per_ml",
        "aorta_resistance_mmhg_s_per_ml",
        "outlet_valve_mmhg_s_per_ml",
        "ventricle_viscosity_s_per_ml",
        "lv_strength_mmhg_per_ml",
        "rv_strength_mmhg_per_ml",
        "aorta_stiffness_mmhg_per_ml",
        "large_arteries_stiffness_mmhg_per_ml",
        "small_arteries_stiffness_mmhg_per_ml",
        "splanchnic_stiffness_mmhg_per_ml",
        "limb_stiffness_mmhg_per_ml",
        "chest_veins_stiffness_mmhg_per_ml",
        "lung_arteries_stiffness_mmhg_per_ml",
        "lung_veins_stiffness_mmhg_per_ml",
        "lv_stretch_per_ml",
        "rv_stretch_per_ml",
        "pericardium_scale_per_ml",
        "lung_resistance_rest_mmhg_s_per_ml",
    ]
)
_BY_LUNG: Final = frozenset(
    [
        "lung_compliance_ml_per_cmh2o",
        "wall_compliance_ml_per_cmh2o",
        "lung_full_ml",
        "lower_airway_ml_per_s_per_cmh2o",
        "mediastinum_ml_per_cmh2o",
        "flooded_ml",
        "capillary_filtration_ml_per_s_per_mmhg",
        "membrane_ml_per_min_per_mmhg",
        "capillary_blood_ml",
    ]
)
_BY_MASS: Final = frozenset(
    [
        "dead_space_ml",
        "tidal_rest_ml",
        "organ_o2_store_ml",
        "muscle_o2_store_ml",
        "organ_co2_store_ml",
        "muscle_co2_store_ml",
        "lactate_space_l",
        "extracellular_l",
        "heat_store_j_per_k",
        "outside_cells_l",
        "body_water_l",
        "cell_potassium_mmol_per_step",
        "potassium_kidney_l_per_s",
        "succinylcholine_mmol_per_s",
        "glucose_space_dl",
        "glucose_tissue_space_dl",
        "glucose_exchange_dl_per_s",
        "liver_output_rest_mg_per_s",
        "brain_glucose_use_mg_per_s",
        "insulin_uptake_dl_per_s",
        "glomerular_dl_per_s",
        "liver_glycogen_mg",
        "glucagon_output_mg_per_s",
        "counter_output_mg_per_s",
        "quick_n2_ml",
        "slow_n2_ml",
        "trigger_ml_per_s",
        "capillary_filtration_ml_per_s_per_mmhg",
        "tissue_fluid_rest_ml",
        "tissue_softness_ml_per_mmhg",
        "lymph_rest_ml_per_s",
        "protein_exchange_ml_per_s",
        "urine_per_dilution_ml_per_s_per_mmhg",
        "loop_urine_ml_per_s",
        "citrate_space_l",
    ]
)
_BLOOD_STATES_BY_SURFACE: Final = frozenset(
    [
        "left_atrium_ml",
        "left_ventricle_ml",
        "right_atrium_ml",
        "right_ventricle_ml",
        "aorta_ml",
        "aorta_flow_ml_per_s",
        "large_arteries_ml",
        "small_arteries_ml",
        "limb_veins_ml",
        "chest_veins_ml",
        "lung_arteries_ml",
        "lung_veins_ml",
        "gas_flow_ml_per_s",
        "cardiac_output_ml_per_s",
        "output_lag_ml_per_s",
        "stroke_volume_ml",
        "lv_end_diastolic_volume_ml",
        "lv_end_systolic_volume_ml",
        "oxygen_uptake_ml_per_s",
        "co2_output_ml_per_s",
        "minute_ventilation_ml_per_s",
        "inspiratory_flow_ml_per_s",
        "tidal_volume_ml",
        "tidal_left_ml",
    ]
)
_BLOOD_STORES: Final = (
    "left_atrium_ml", "left_ventricle_ml", "right_atrium_ml", "right_ventricle_ml", "aorta_ml", "large_arteries_ml",
    "small_arteries_ml", "limb_veins_ml", "chest_veins_ml", "lung_arteries_ml", "lung_veins_ml",
)  # fmt: skip
_TISSUE_BY_MASS: Final = ("tissue_fluid_ml", "tissue_protein_g", "filtration_ml_per_s", "lymph_ml_per_s")
_LUNG_STATES: Final = (
    "lung_left_ml", "lung_right_ml", "alveolar_o2_left_ml", "alveolar_o2_right_ml", "alveolar_co2_left_ml",
    "alveolar_co2_right_ml",
)  # fmt: skip
_REFERENCE_SURFACE_M2: Final = 1.848
_REFERENCE_MASS_KG: Final = 70.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Patient:
    """Who the patient is.

    Raises:
        Refusal: outside the sizes that this body can be scaled to (``LIMITS``).
    """

    age_years: float
    sex: Sex
    mass_kg: float
    height_cm: float
    pregnant_weeks: float = 0.0
    is_delivered: bool = False

    def __post_init__(self) -> None:
        faults = [
            Fault(
                code="out of range",
                said=f"{name.rsplit('_', 1)[0]} {getattr(self, name):g} is outside what the body can be scaled to",
                place=Place(field=name),
                value=f"{getattr(self, name):g}",
                allowed=f"{low:g} to {high:g} {name.rsplit('_', 1)[1]}",
                remedy="use a patient of that size",
            )
            for name, (low, high) in limits(self.age_years).items()
            if not low <= getattr(self, name) <= high
        ]
        faults += pregnancy.faults_of(self.age_years, self.sex, self.pregnant_weeks)
        if self.sex not in ("male", "female"):
            faults.append(
                Fault(code="unknown word", said=f"sex '{self.sex}'", place=Place(field="sex"), allowed="male or female")
            )
        if faults:
            raise Refusal(*faults)


def blood_volume_ml(patient: Patient) -> float:
    """Blood of this patient: that of the same patient not pregnant, and what pregnancy adds."""
    return _blood_before_ml(patient) * _blood_added_frac(patient)


def _blood_added_frac(patient: Patient) -> float:
    return pregnancy.blood_frac(patient.pregnant_weeks, _haematocrit_before_frac(patient))


def _haematocrit_before_frac(patient: Patient) -> float:
    return _haemoglobin_before_g_per_dl(patient) / (100.0 * _parameter("red_cell_hb_g_per_ml"))


def _blood_before_ml(patient: Patient) -> float:
    """Adults: Nadler 1962, Surgery 51:224: litres from height in m and mass in kg; children: by mass (``growth``)."""
    by_mass = growth.at_age(growth.BLOOD_ML_PER_KG, patient.age_years) * patient.mass_kg
    adult = clamp((patient.age_years - 12.0) / 4.0, 0.0, 1.0)
    return by_mass + adult * (_nadler_ml(patient) - by_mass) if adult < 1.0 else _nadler_ml(patient)


def _nadler_ml(patient: Patient) -> float:
    height_m = patient.height_cm / 100.0
    cube = height_m * height_m * height_m
    if patient.sex == "male":
        return 1000.0 * (0.3669 * cube + 0.03219 * patient.mass_kg + 0.6041)
    return 1000.0 * (0.3561 * cube + 0.03308 * patient.mass_kg + 0.1833)


def body_surface_m2(patient: Patient) -> float:
    """Du Bois 1916, Arch Intern Med 17:863; under 16 years Haycock 1978, J Pediatr 93:62."""
    if patient.age_years < 16.0:
        return 0.024265 * pow_(patient.mass_kg, 0.5378) * pow_(patient.height_cm, 0.3964)
    return 0.007184 * pow_(patient.mass_kg, 0.425) * pow_(patient.height_cm, 0.725)


def lean_mass_kg(patient: Patient) -> float:
    """Janmahasatian 2005, Clin Pharmacokinet 44:1051 (from memory)."""
    height_m = patient.height_cm / 100.0
    bmi = patient.mass_kg / (height_m * height_m)
    if patient.sex == "male":
        return 9270.0 * patient.mass_kg / (6680.0 + 216.0 * bmi)
    return 9270.0 * patient.mass_kg / (8780.0 + 244.0 * bmi)


def residual_capacity_ml(patient: Patient) -> float:
    """Gas in the lungs at the end of a quiet breath, lying.

    2.5 L for a man of 175 cm, with the cube of height over 175 cm to the power 2 (order of Stocks and Quanjer 1995,
    from memory); 12 % less in women; falls with body mass index as exp(-0.041 (BMI - 24)) (Pelosi 1998, Anesth Analg
    87:654, order from memory).  Under 8 years as in ``growth``, then towards the adult's at 16.
    """
    child = growth.residual_capacity_ml(patient.age_years, patient.height_cm)
    adult = clamp((patient.age_years - 8.0) / 8.0, 0.0, 1.0)
    return child + adult * (_adult_residual_capacity_ml(patient) - child)


def _adult_residual_capacity_ml(patient: Patient) -> float:
    bmi = patient.mass_kg * 10000.0 / (patient.height_cm * patient.height_cm)
    height = patient.height_cm / 175.0
    frc = 2500.0 * height * height * (1.0 if patient.sex == "male" else 0.88)
    return frc * exp(-0.041 * (bmi - 24.0)) if bmi > 24.0 else frc


def _lung_frac(patient: Patient) -> float:
    """Size of the lungs over the reference adult's: by height and sex in adults, as the resting volume in children."""
    height = patient.height_cm / 175.0
    size = height * height * (1.0 if patient.sex == "male" else 0.88)
    adult = clamp((patient.age_years - 8.0) / 8.0, 0.0, 1.0)
    if adult >= 1.0:
        return size
    child = growth.residual_capacity_ml(patient.age_years, patient.height_cm) / 2500.0
    return child + adult * (size - child)


def _oxygen_use_ml_per_s(patient: Patient) -> float:
    """Kleiber 1947, Physiol Rev 27:511: with mass to the power 3/4; children as in ``growth``, mixed from 14 to 18."""
    adult = _parameter("oxygen_use_rest_ml_per_s") * pow_(patient.mass_kg / _REFERENCE_MASS_KG, 0.75)
    grown = clamp((patient.age_years - 14.0) / 4.0, 0.0, 1.0)
    if grown >= 1.0:
        return adult
    child = growth.oxygen_use_ml_per_s(patient.age_years, patient.sex == "male", patient.mass_kg)
    return child + grown * (adult - child)


def haemoglobin_rest_g_per_dl(patient: Patient) -> float:
    """Haemoglobin at rest, diluted by what pregnancy adds."""
    cells = growth.at_age(pregnancy.RED_CELL_FRAC, patient.pregnant_weeks)
    return _haemoglobin_before_g_per_dl(patient) * cells / _blood_added_frac(patient)


def _haemoglobin_before_g_per_dl(patient: Patient) -> float:
    """Common textbook values: men 14.5, women 13.3; children by age."""
    if patient.age_years < 12.0:
        return growth.at_age(growth.HAEMOGLOBIN_G_PER_DL, patient.age_years)
    return 14.5 if patient.sex == "male" else 13.3


@lru_cache(maxsize=1)
def _names() -> tuple[Name, ...]:
    from drillyard.core.body.assembly import ALL_NAMES

    return ALL_NAMES


def _mass_frac(patient: Patient) -> float:
    """Size of stores that go with mass over the reference adult's."""
    return lean_mass_kg(patient) / 55.0 if patient.mass_kg > 100.0 else patient.mass_kg / _REFERENCE_MASS_KG


def parameters(patient: Patient) -> dict[str, float]:
    """All parameters of the body by name, for this patient."""
    surface = body_surface_m2(patient) / _REFERENCE_SURFACE_M2
    mass = _mass_frac(patient)
    frc = residual_capacity_ml(patient)
    lung = _lung_frac(patient)
    values: dict[str, float] = {}
    for name in _names():
        if not isinstance(name, Param):
            continue
        value = name.value
        if name.name in _BY_SURFACE:
            value *= surface
        elif name.name in _BY_INVERSE_SURFACE:
            value /= surface
        elif name.name in _BY_LUNG:
            value *= lung
        elif name.name in _BY_MASS:
            value *= mass
        values[name.name] = value
    blood = blood_volume_ml(patient)
    intrinsic = 118.1 - 0.57 * patient.age_years
    values["heart_rate_intrinsic_per_min"] = intrinsic
    values["rate_sympathetic_gain"] = (208.0 - 0.7 * patient.age_years) / intrinsic - 1.0
    # nerves at rest: sympathetic 0.2, vagal 0.5
    values["heart_rate_rest_per_min"] = (
        intrinsic * (1.0 + 0.2 * 0.65 * values["rate_sympathetic_gain"]) / (1.0 + 0.5 * values["rate_vagal_gain"])
    )
    values["frc_ml"] = frc
    values["mass_kg"] = patient.mass_kg
    values["body_surface_m2"] = surface * _REFERENCE_SURFACE_M2
    values["oxygen_use_rest_ml_per_s"] = _oxygen_use_ml_per_s(patient)
    values["blood_volume_rest_ml"] = blood
    values["arterial_pool_ml"] *= blood / 4822.0
    values["venous_pool_ml"] *= blood / 4822.0
    values["arterial_o2_rest_ml_per_ml"] *= haemoglobin_rest_g_per_dl(patient) / 14.5
    # PaO2 falls by 0.43 mmHg a year lying (Sorbini 1968, Respiration 25:3): as shunt
    values["shunt_rest_frac"] += 0.0012 * (max(patient.age_years, 18.0) - 40.0)
    growth.grow(values, patient.age_years, patient.mass_kg, patient.height_cm, surface, blood / 4822.0)
    pregnancy.carry(values, patient.pregnant_weeks, patient.is_delivered)
    # a covered patient of any size loses at rest what is made at rest
    for heat in ("core_to_shell_w_per_k", "shell_to_room_w_per_k"):
        values[heat] *= values["oxygen_use_rest_ml_per_s"] / 4.17
    # what the other stores do not hold lies in splanchnic veins
    stressed = _start("splanchnic_veins_ml") - _parameter("splanchnic_unstressed_rest_ml")
    veins = growth.veins_frac(patient.age_years, surface, blood / 4822.0)
    veins *= growth.at_age(growth.FULL_VEINS_FRAC, patient.age_years)
    values["splanchnic_unstressed_rest_ml"] = start_values(patient)["splanchnic_veins_ml"] - veins * stressed
    return values


def start_values(patient: Patient) -> dict[str, float]:
    """States that begin elsewhere than in the reference adult."""
    surface = body_surface_m2(patient) / _REFERENCE_SURFACE_M2
    heart = growth.stroke_volume_frac(patient.age_years, surface)
    values = {name: (heart if name in _BLOOD_STORES else surface) * _start(name) for name in _BLOOD_STATES_BY_SURFACE}
    blood = blood_volume_ml(patient)
    values["splanchnic_veins_ml"] = blood - sum(values[name] for name in _BLOOD_STORES)
    haemoglobin = haemoglobin_rest_g_per_dl(patient)
    values["red_cells_ml"] = blood * haemoglobin / (100.0 * _parameter("red_cell_hb_g_per_ml"))
    values["haemoglobin_seen_g_per_dl"] = haemoglobin
    plasma = blood - values["red_cells_ml"]
    values["plasma_protein_g"] = 0.07 * plasma  # 7 g/dL (common textbook value)
    values["clotting_factors_ml"] = plasma
    values["urine_ml_per_s"] = _parameter("urine_rest_ml_per_s") * surface
    for name in _TISSUE_BY_MASS:
        values[name] = _start(name) * _mass_frac(patient)
    for name in ("arterial_o2_ml_per_ml", "organ_o2_ml_per_ml", "muscle_o2_ml_per_ml", "venous_o2_ml_per_ml"):
        values[name] = _start(name) * haemoglobin / 14.5
    lungs = residual_capacity_ml(patient) / _parameter("frc_ml")
    for name in _LUNG_STATES:
        values[name] = _start(name) * lungs
    return values


def _start(name: str) -> float:
    return next(n.start for n in _names() if isinstance(n, State) and n.name == name)


def _parameter(name: str) -> float:
    return next(n.value for n in _names() if isinstance(n, Param) and n.name == name)
