"""Sizes: from age, sex, mass and height to parameters."""

import pytest

from drillyard.core.body.assembly import ALL_NAMES
from drillyard.core.body.patient import (
    Patient,
    blood_volume_ml,
    body_surface_m2,
    lean_mass_kg,
    parameters,
    residual_capacity_ml,
    start_values,
)
from drillyard.core.numerics.names import Param
from drillyard.core.quantities.faults import Refusal

MAN = Patient(age_years=40.0, sex="male", mass_kg=70.0, height_cm=175.0)
WOMAN = Patient(age_years=30.0, sex="female", mass_kg=60.0, height_cm=165.0)


@pytest.mark.reference
def test_blood_volume_is_nadlers() -> None:
    # Nadler 1962, Surgery 51:224, reckoned by hand: men 0.3669 h^3 + 0.03219 m + 0.6041,
    # women 0.3561 h^3 + 0.03308 m + 0.1833
    assert blood_volume_ml(MAN) == pytest.approx(4824.0, abs=1.0)
    assert blood_volume_ml(WOMAN) == pytest.approx(3767.8, abs=1.0)


@pytest.mark.reference
def test_surface_and_lean_mass() -> None:
    # Du Bois 1916: 70 kg and 175 cm give 1.85 m2 (nomogram); Janmahasatian 2005: 70 kg, BMI 22.9, man about 55-56 kg
    assert body_surface_m2(MAN) == pytest.approx(1.85, abs=0.01)
    assert 54.0 <= lean_mass_kg(MAN) <= 57.0
    assert lean_mass_kg(WOMAN) < 0.75 * WOMAN.mass_kg


@pytest.mark.reference
def test_heart_rates_without_nerves_and_at_most() -> None:
    # Jose 1970: 118.1 - 0.57 x age; Tanaka 2001: 208 - 0.7 x age
    values = parameters(MAN)
    assert values["heart_rate_intrinsic_per_min"] == pytest.approx(95.3)
    highest = values["heart_rate_intrinsic_per_min"] * (1.0 + values["rate_sympathetic_gain"])
    assert highest == pytest.approx(180.0)


def test_every_parameter_has_a_value_and_a_source() -> None:
    params = [name for name in ALL_NAMES if isinstance(name, Param)]
    assert set(parameters(WOMAN)) == {name.name for name in params}
    for name in params:
        assert name.source.strip(), name.name
        assert name.meaning.strip(), name.name


def test_blood_lies_somewhere() -> None:
    stores = (
        "left_atrium_ml", "left_ventricle_ml", "right_atrium_ml", "right_ventricle_ml", "aorta_ml", "large_arteries_ml",
        "small_arteries_ml", "splanchnic_veins_ml", "limb_veins_ml", "chest_veins_ml", "lung_arteries_ml",
        "lung_veins_ml",
    )  # fmt: skip
    for patient in (MAN, WOMAN, Patient(age_years=70.0, sex="male", mass_kg=140.0, height_cm=190.0)):
        start = start_values(patient)
        assert sum(start[name] for name in stores) == pytest.approx(blood_volume_ml(patient), abs=1e-6)
        assert min(start[name] for name in stores) > 0.0


def test_belly_fat_takes_lung_volume() -> None:
    heavy = Patient(age_years=40.0, sex="male", mass_kg=130.0, height_cm=175.0)
    assert residual_capacity_ml(heavy) < 0.6 * residual_capacity_ml(MAN)


@pytest.mark.parametrize(
    ("field", "value"),
    [("age_years", -1.0), ("age_years", 130.0), ("mass_kg", 20.0), ("height_cm", 90.0), ("sex", "none")],
)
def test_sizes_that_the_body_does_not_cover_are_refused(field: str, value: float | str) -> None:
    given = {"age_years": 40.0, "sex": "male", "mass_kg": 70.0, "height_cm": 175.0, field: value}
    with pytest.raises(Refusal) as refusal:
        Patient(**given)  # type: ignore[arg-type]
    assert refusal.value.faults[0].place.field == field
    assert refusal.value.faults[0].allowed
