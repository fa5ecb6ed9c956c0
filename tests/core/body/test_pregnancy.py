"""Pregnancy: blood, output, breathing by week, and the womb on the great vein."""

import pytest

from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient, blood_volume_ml, haemoglobin_rest_g_per_dl, parameters
from drillyard.core.care.actions import Position
from drillyard.core.quantities.faults import Refusal
from tests.core.body.bench import healthy


def woman(pregnant_weeks: float, is_delivered: bool = False) -> Patient:
    return Patient(
        age_years=29.0,
        sex="female",
        mass_kg=68.0,
        height_cm=166.0,
        pregnant_weeks=pregnant_weeks,
        is_delivered=is_delivered,
    )


def on_the_side(pregnant_weeks: float) -> Body:
    body = healthy(woman(pregnant_weeks))
    body.apply(Position(posture="left tilt"))
    body.advance(12000)
    return body


@pytest.mark.reference
def test_blood_grows_and_thins() -> None:
    # Hytten 1985, Clin Haematol 14:601 (from memory): plasma half as much again, red cells a fifth more, Hb 11-12
    before, term = woman(0.0), woman(40.0)
    assert 1.32 <= blood_volume_ml(term) / blood_volume_ml(before) <= 1.50
    assert 11.0 <= haemoglobin_rest_g_per_dl(term) <= 12.2


@pytest.mark.reference
def test_output_and_breathing_at_term() -> None:
    # Robson 1989, Am J Physiol 256:H1060: output 43 % over that before, rate 15-20 more; PaCO2 28-32 mmHg, minute
    # volume 40-50 % more (80-95 % here, said on the page), base excess -3 to -4 (common textbook values)
    before, term = healthy(woman(0.0)), on_the_side(38.0)
    assert 1.25 <= term.read("cardiac_output_l_per_min") / before.read("cardiac_output_l_per_min") <= 1.5
    assert 8.0 <= term.read("heart_rate_per_min") - before.read("heart_rate_per_min") <= 22.0
    assert 29.0 <= term.read("paco2_mmhg") <= 33.5
    assert 1.35 <= term.read("minute_ventilation_l_per_min") / before.read("minute_ventilation_l_per_min") <= 2.0
    assert abs(term.read("respiratory_rate_per_min") - before.read("respiratory_rate_per_min")) < 3.0
    assert term.read("mean_arterial_pressure_mmhg") == pytest.approx(
        before.read("mean_arterial_pressure_mmhg"), abs=6.0
    )


@pytest.mark.reference
def test_lying_flat_at_term_takes_output() -> None:
    # a tenth to a quarter (Milsom 1984, Acta Obstet Gynecol Scand 63:191; Bieniarz 1966, from memory)
    side, flat = on_the_side(38.0), healthy(woman(38.0))
    flat.advance(12000)
    lost = 1.0 - flat.read("cardiac_output_l_per_min") / side.read("cardiac_output_l_per_min")
    assert 0.10 <= lost <= 0.30
    early = healthy(woman(12.0))
    tilted = on_the_side(12.0)
    assert early.read("cardiac_output_l_per_min") == pytest.approx(tilted.read("cardiac_output_l_per_min"), rel=0.03)


def test_after_the_birth_nothing_presses() -> None:
    assert parameters(woman(39.0))["veins_pressed_frac"] == 1.0
    assert parameters(woman(39.0, is_delivered=True))["veins_pressed_frac"] == 0.0


def test_less_oxygen_in_store_and_more_used() -> None:
    # resting lung volume a fifth less, oxygen use a fifth more at term (common textbook values)
    before, term = parameters(woman(0.0)), parameters(woman(40.0))
    assert term["frc_ml"] / before["frc_ml"] == pytest.approx(0.78)
    assert term["oxygen_use_rest_ml_per_s"] / before["oxygen_use_rest_ml_per_s"] == pytest.approx(1.20)


@pytest.mark.parametrize(
    ("age_years", "sex", "weeks"), [(30.0, "male", 20.0), (70.0, "female", 20.0), (30.0, "female", 60.0)]
)
def test_who_cannot_be_pregnant_is_refused(age_years: float, sex: str, weeks: float) -> None:
    with pytest.raises(Refusal) as refusal:
        Patient(age_years=age_years, sex=sex, mass_kg=70.0, height_cm=170.0, pregnant_weeks=weeks)  # type: ignore[arg-type]
    assert refusal.value.faults[0].place.field == "pregnant_weeks"
