"""Children: at rest as published, and different from small adults where it matters."""

import pytest

from drillyard.core.body import growth
from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient, blood_volume_ml, parameters
from drillyard.core.quantities.faults import Refusal
from tests.core.body.bench import healthy

SIZES = {0.02: (3.5, 50.0), 1.0: (10.0, 75.0), 4.0: (16.5, 103.0), 10.0: (32.0, 138.0), 16.0: (60.0, 172.0)}
"""Age in years to mass and height, near the median."""


def child(age_years: float) -> Body:
    mass_kg, height_cm = SIZES[age_years]
    patient = Patient(age_years=age_years, sex="male", mass_kg=mass_kg, height_cm=height_cm)
    body = healthy(patient)
    body.advance(3000)
    return body


@pytest.mark.reference
@pytest.mark.parametrize(("age_years", "heart_per_min", "breaths_per_min"), [(0.02, 127.0, 44.0), (4.0, 103.0, 23.5)])
def test_rates_at_rest_by_age(age_years: float, heart_per_min: float, breaths_per_min: float) -> None:
    # Fleming 2011, Lancet 377:1011: medians at birth 127 and 44, between 4 and 6 years 98 and 23 (four years: memory)
    body = child(age_years)
    assert body.read("heart_rate_per_min") == pytest.approx(heart_per_min, abs=8.0)
    if age_years > 1.0:
        assert body.read("respiratory_rate_per_min") == pytest.approx(breaths_per_min, abs=4.0)
    else:
        # a newborn that has settled breathes faster than the median, within the 1st to 99th centile (25 to 66)
        assert 25.0 <= body.read("respiratory_rate_per_min") <= 66.0


@pytest.mark.parametrize("age_years", list(SIZES))
def test_every_age_rests_in_balance(age_years: float) -> None:
    # PaCO2 35 to 45 mmHg at every age past the first days, saturation over 95 % (common textbook values)
    body = child(age_years)
    assert 35.0 <= body.read("paco2_mmhg") <= 45.0
    assert body.read("sao2_pct") > 95.0
    assert body.read("gcs_total") == 15.0
    assert body.read("pulse_radial_frac") > 0.8
    assert 1.0 <= body.read("central_venous_pressure_mmhg") <= 8.0
    mass_kg, _ = SIZES[age_years]
    # 60 to 110 mL/kg/min in adolescents to 180 to 260 in newborns (common textbook values, from memory)
    assert 60.0 <= 1000.0 * body.read("cardiac_output_l_per_min") / mass_kg <= 280.0


@pytest.mark.reference
def test_pressure_grows_with_age() -> None:
    # 90 + 2 x age is the median systolic pressure and 70 + 2 x age the fifth centile from 1 to 10 years (paediatric
    # life support guidelines of 2020): at rest, lying, a child stands between that centile and a little over the median
    pressures = {age_years: child(age_years).read("systolic_pressure_mmhg") for age_years in (1.0, 4.0, 10.0)}
    for age_years, pressure_mmhg in pressures.items():
        assert 70.0 + 2.0 * age_years <= pressure_mmhg <= 100.0 + 2.0 * age_years
    assert sorted(pressures.values()) == list(pressures.values())


@pytest.mark.reference
def test_blood_by_mass() -> None:
    # about 80 mL/kg in infants, 75 in children (common textbook values)
    assert blood_volume_ml(Patient(age_years=1.0, sex="male", mass_kg=10.0, height_cm=75.0)) == pytest.approx(800.0)


@pytest.mark.reference
def test_oxygen_use_by_schofield() -> None:
    # Schofield 1985, boys under three: 0.249 x 10 - 0.127 = 2.363 MJ a day, 81 mL/min at 20.2 kJ/L, 8 mL/kg/min
    values = parameters(Patient(age_years=1.0, sex="male", mass_kg=10.0, height_cm=75.0))
    assert 60.0 * values["oxygen_use_rest_ml_per_s"] == pytest.approx(81.3, abs=0.5)


def test_nothing_jumps_on_a_birthday() -> None:
    for age_years in (8.0, 12.0, 14.0, 16.0, 18.0, 20.0, 25.0):
        before, after = (
            parameters(Patient(age_years=age_years + shift, sex="female", mass_kg=55.0, height_cm=163.0))
            for shift in (-0.001, 0.001)
        )
        for name, value in before.items():
            assert after[name] == pytest.approx(value, rel=0.035, abs=1e-9), f"{name} at {age_years}"


def test_lack_of_oxygen_slows_an_infant_before_an_adult() -> None:
    infant = parameters(Patient(age_years=0.5, sex="male", mass_kg=7.5, height_cm=67.0))["slowed_below_sao2_frac"]
    adult = parameters(Patient(age_years=30.0, sex="male", mass_kg=75.0, height_cm=178.0))["slowed_below_sao2_frac"]
    assert infant > 0.6
    assert adult < 0.4


def test_compressions_of_a_third_of_the_chest_move_blood_in_an_infant() -> None:
    # a quarter to a third of output (as in adults: reference row CA007); 4 cm for infants (guidelines of 2020)
    body = child(1.0)
    rest = body.read("cardiac_output_l_per_min")
    body.set_control("rhythm_order", 2.0)
    body.set_control("rhythm_is_held", 1.0)
    body.advance(2000)
    for name, value in (("rate_per_min", 110.0), ("depth_cm", 4.0), ("recoil_frac", 1.0)):
        body.set_control(f"compression_{name}", value)
    body.advance(3000)
    assert 0.15 <= body.read("cardiac_output_l_per_min") / rest <= 0.45


@pytest.mark.parametrize(("age_years", "mass_kg", "height_cm"), [(5.0, 1.0, 110.0), (1.0, 10.0, 30.0)])
def test_sizes_no_child_has_are_refused(age_years: float, mass_kg: float, height_cm: float) -> None:
    with pytest.raises(Refusal):
        Patient(age_years=age_years, sex="female", mass_kg=mass_kg, height_cm=height_cm)


def test_a_course_is_straight_between_its_points() -> None:
    course = ((0.0, 10.0), (2.0, 20.0))
    assert [growth.at_age(course, age) for age in (-1.0, 0.0, 1.0, 2.0, 9.0)] == [10.0, 10.0, 15.0, 20.0, 20.0]
