"""Pressure in the skull, seizure, pain, stroke, skin signs: which way the body moves, with published sizes."""

from itertools import pairwise

import pytest

from drillyard.core.body.body import Body
from drillyard.core.body.patient import Patient
from drillyard.core.care.brain_problems import BrainSwelling, IntracranialBleeding, Pain, Seizure, Stroke

from .bench import after, healthy


def bled(ml: float, minutes: float, body: Body | None = None) -> Body:
    body = healthy() if body is None else body
    problem = IntracranialBleeding(name="clot", side="left", volume_ml=ml)
    for step in range(round(minutes * 6)):
        body.set_problem(problem, (step + 1) / (minutes * 6))
        body.advance(1000)
    return body


def test_at_rest_the_skull_is_at_rest() -> None:
    # 7-15 mmHg lying (textbook); flow 750 mL/min (Kety and Schmidt 1948)
    body = after(healthy(), 600.0)
    assert 9.0 < body.read("intracranial_pressure_mmhg") < 11.0
    assert 700.0 < body.read("brain_blood_flow_ml_per_min") < 820.0
    assert body.read("stem_pressed_frac") == body.read("pain_score") == body.read("agitation_frac") == 0.0


@pytest.mark.parametrize("age_years", [0.5, 8.0])
def test_a_child_s_skull_is_at_rest_too(age_years: float) -> None:
    size = {0.5: (7.5, 66.0), 8.0: (26.0, 128.0)}[age_years]
    child = healthy(Patient(age_years=age_years, sex="male", mass_kg=size[0], height_cm=size[1]))
    first = child.read("intracranial_pressure_mmhg")
    assert 3.0 < first < 12.0
    assert abs(after(child, 300.0).read("intracranial_pressure_mmhg") - first) < 1.5


def test_pressure_rises_slowly_at_first_and_then_steeply() -> None:
    # shape: Monro, Kellie, Marmarou 1978 (J Neurosurg 48:332)
    pressures = [bled(ml, 10.0).read("intracranial_pressure_mmhg") for ml in (0.0, 20.0, 40.0, 60.0)]
    rises = [b - a for a, b in pairwise(pressures)]
    assert pressures[1] < 25.0
    assert rises[2] > 2.0 * rises[0]


def test_25_ml_at_once_make_the_pressure_about_tenfold_without_room() -> None:
    # pressure-volume index 25 mL (Marmarou 1978); the veins give way, so it stays below that
    body = healthy()
    body.set_problem(IntracranialBleeding(name="clot", side="left", volume_ml=25.0), 1.0)
    after(body, 2.0)
    assert 35.0 < body.read("intracranial_pressure_mmhg") <= 105.0


def test_a_large_clot_widens_its_own_pupil_first_then_slows_the_heart_and_lifts_the_pressure() -> None:
    # order: common teaching; response: Cushing 1901
    body = bled(55.0, 18.0)
    assert body.read("pupil_left_mm") > body.read("pupil_right_mm") + 1.0
    rest = healthy()
    seen = []
    for _ in range(40):
        after(body, 10.0, skull_mass_left_ml=body.control("skull_mass_left_ml") + 2.0)
        seen.append((body.read("mean_arterial_pressure_mmhg"), body.read("heart_rate_per_min")))
    highest = max(pressure for pressure, _ in seen)
    assert highest > rest.read("mean_arterial_pressure_mmhg") + 25.0
    assert min(rate for pressure, rate in seen if pressure > 100.0) < rest.read("heart_rate_per_min") - 5.0
    assert body.read("gcs_total") <= 4.0


def test_mannitol_breathing_more_and_head_up_lower_the_pressure() -> None:
    # mannitol: by a third within the hour; 30 degrees of head up: by some 5 mmHg (order, common teaching)
    body = bled(50.0, 20.0)
    plain = after(body.copy(), 900.0).read("intracranial_pressure_mmhg")
    dried = body.copy()
    dried.give("mannitol", 70000.0, "mg", "IV", 300.0)
    assert after(dried, 900.0).read("intracranial_pressure_mmhg") < 0.85 * plain
    up = after(body.copy(), 60.0, tilt_deg=30.0).read("intracranial_pressure_mmhg")
    flat = after(body.copy(), 60.0).read("intracranial_pressure_mmhg")
    assert 2.0 < flat - up < 12.0
    blown = body.copy()
    blown.hold("breathing rate", 30.0)
    assert after(blown, 90.0).read("intracranial_pressure_mmhg") < after(body, 90.0).read("intracranial_pressure_mmhg")


def test_swelling_presses_both_sides_alike() -> None:
    body = healthy()
    for step in range(90):
        body.set_problem(BrainSwelling(name="swelling", volume_ml=80.0), (step + 1) / 90.0)
        body.advance(1000)
    assert body.read("pupil_left_mm") == body.read("pupil_right_mm")
    assert body.read("intracranial_pressure_mmhg") > 30.0


def test_flow_cut_off_takes_consciousness_in_seconds() -> None:
    # 6.8 s, 4-11 (Rossen 1943, Arch Neurol Psychiatry 50:510)
    body = after(healthy(), 0.01, neck_compressed_frac=1.0)
    seen = [after(body, 1.0).read("conscious_frac") for _ in range(11)]
    assert seen[2] > 0.9
    assert min(seen) < 0.5


def test_a_seizure_ends_by_itself_and_leaves_sleep_that_passes() -> None:
    body = healthy()
    body.set_problem(Seizure(name="fit", lasts_s=60.0))
    after(body, 45.0)
    assert body.read("convulsion_frac") > 0.8
    assert body.read("gcs_total") == 3.0
    assert body.read("heart_rate_per_min") > 85.0
    after(body, 75.0)
    assert body.read("seizure_frac") < 0.05
    assert body.read("gcs_total") <= 9.0, "sleep after it"
    after(body, 1500.0)
    assert body.read("gcs_total") == 15.0, "awake within half an hour (common teaching)"


def test_status_goes_on_until_it_is_treated_and_sooner_is_easier() -> None:
    # lorazepam IV works within minutes (median 1.6 min: Silbergleit 2012, N Engl J Med 366:591)
    body = healthy()
    body.set_problem(Seizure(name="fit"))
    after(body, 300.0)
    assert body.read("seizure_frac") > 0.9
    treated, left = body.copy(), after(body.copy(), 240.0)
    treated.give("lorazepam", 4.0, "mg", "IV", 60.0)
    assert after(treated, 240.0).read("seizure_frac") < 0.05
    assert left.read("seizure_frac") > 0.9
    late = after(body, 3600.0, airway_device_code=3.0, given_breath_rate_per_min=12.0)
    late.give("lorazepam", 2.0, "mg", "IV", 60.0)
    early = healthy()
    early.set_problem(Seizure(name="fit"))
    after(early, 120.0).give("lorazepam", 2.0, "mg", "IV", 60.0)
    assert after(early, 300.0).read("seizure_frac") < after(late, 300.0).read("seizure_frac")


def test_a_relaxant_stops_the_jerking_and_not_the_seizure() -> None:
    body = healthy()
    body.set_problem(Seizure(name="fit"))
    after(body, 60.0, airway_device_code=3.0, given_breath_rate_per_min=12.0)
    body.give("rocuronium", 84.0, "mg", "IV")
    after(body, 120.0)
    assert body.read("convulsion_frac") < 0.05
    assert body.read("seizure_frac") > 0.9


def test_magnesium_stops_eclampsia_and_not_epilepsy() -> None:
    def after_magnesium(eclampsia: bool) -> float:
        body = healthy()
        body.set_problem(Seizure(name="fit", eclampsia=eclampsia))
        after(body, 60.0, airway_device_code=3.0, given_breath_rate_per_min=12.0)
        body.give("magnesium sulfate", 4000.0, "mg", "IV", 300.0)
        return after(body, 480.0).read("seizure_frac")

    assert after_magnesium(eclampsia=True) < 0.1
    assert after_magnesium(eclampsia=False) > 0.9


def test_a_focal_seizure_leaves_the_patient_awake() -> None:
    body = healthy()
    body.set_problem(Seizure(name="fit", spreads=False))
    after(body, 120.0)
    assert 0.1 < body.read("seizure_frac") < 0.4
    assert body.read("gcs_total") == 15.0


def test_pain_drives_the_heart_and_an_opioid_relieves_it() -> None:
    body = healthy()
    rest = body.read("heart_rate_per_min")
    body.set_problem(Pain(name="leg", site="left thigh", severity_frac=0.9))
    after(body, 120.0)
    assert body.read("pain_score") >= 8.0
    assert rest + 4.0 < body.read("heart_rate_per_min") < rest + 45.0
    body.give("fentanyl", 0.1, "mg", "IV")
    after(body, 300.0)
    assert body.read("pain_score") <= 6.0
    body.end_problem(Pain(name="leg", site="left thigh", severity_frac=0.9))
    assert after(body, 120.0).read("pain_score") == 0.0


def test_a_stroke_shows_on_the_other_side_as_its_problem_says() -> None:
    # crossing and loss of words with the left half: common teaching
    body = healthy()
    body.set_problem(Stroke(name="stroke", side="left"))
    after(body, 1.0)
    assert body.read("face_weak_right_frac") == body.read("arm_weak_right_frac") == 1.0
    assert body.read("face_weak_left_frac") == 0.0
    assert body.read("words_lost_frac") == 1.0
    assert body.read("gaze_turned_frac") == -1.0


def test_lasting_shock_mottles_and_low_oxygen_turns_the_tongue_blue() -> None:
    shocked = after(healthy(), 900.0, venesection_ml_per_min=120.0)
    assert after(shocked, 600.0, venesection_ml_per_min=0.0).read("skin_mottling_frac") > 0.15
    blue = after(healthy(), 60.0, paralysed=1.0, airway_block_frac=1.0)
    while blue.read("sao2_pct") > 70.0:
        blue.advance(100)
    # 5 g/dL of reduced haemoglobin in capillaries (Lundsgaard 1919): seen by most at a saturation of 75 % or so
    assert blue.read("skin_cyanosis_central_frac") > 0.2
    assert healthy().read("skin_cyanosis_central_frac") == 0.0
