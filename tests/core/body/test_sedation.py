"""Sleep by drugs, reversal, relaxants: which way the body moves, and when, against published times."""

import pytest

from drillyard.core.body.body import Body

from .bench import after, healthy


def given(drug: str, dose: float, body: Body | None = None, unit: str = "mg", route: str = "IV") -> Body:
    body = healthy() if body is None else body
    body.give(drug, dose, unit, route)
    return body


def first_s(body: Body, what: str, below: float, most_s: int = 600) -> int:
    for second in range(most_s):
        body.advance(100)
        if body.read(what) < below:
            return second + 1
    return most_s


@pytest.mark.parametrize(
    ("drug", "dose", "low_s", "high_s"),
    [
        # arm-brain time of an induction dose: 30 to 60 s (US prescribing information of each drug)
        ("propofol", 140.0, 15, 60),
        ("etomidate", 21.0, 20, 60),
        ("ketamine", 140.0, 10, 60),
    ],
)
def test_an_induction_dose_puts_to_sleep_within_a_minute(drug: str, dose: float, low_s: int, high_s: int) -> None:
    assert low_s <= first_s(given(drug, dose), "gcs_total", 8.0) <= high_s


def test_ketamine_keeps_breath_and_throat_where_propofol_takes_them() -> None:
    # direction: common teaching, and the label of ketamine
    dissociated, asleep = after(given("ketamine", 140.0), 90.0), after(given("propofol", 140.0), 90.0)
    assert dissociated.read("gcs_total") == asleep.read("gcs_total") == 3.0
    assert dissociated.read("spo2_pct") > 96.0
    assert asleep.read("spo2_pct") < 93.0
    assert dissociated.read("pupil_left_mm") > asleep.read("pupil_left_mm")


def test_flumazenil_wakes_from_midazolam_and_not_from_propofol() -> None:
    sleepy = after(given("midazolam", 10.0), 300.0)
    assert sleepy.read("gcs_total") <= 8.0
    awake = after(given("flumazenil", 0.5, sleepy.copy()), 180.0)
    assert awake.read("gcs_total") >= 12.0 > after(sleepy, 180.0).read("gcs_total")
    asleep = after(given("propofol", 140.0), 60.0)
    assert after(given("flumazenil", 0.5, asleep), 60.0).read("gcs_total") == 3.0


def test_a_sedative_beside_an_opioid_takes_more_breath_than_both_alone() -> None:
    # direction: Bailey 1990, Anesthesiology 73:826 (from memory)
    def lowest_sao2(body: Body) -> float:
        return min(after(body, 5.0).read("sao2_pct") for _ in range(60))

    alone = lowest_sao2(given("midazolam", 4.0)), lowest_sao2(given("fentanyl", 0.1))
    assert lowest_sao2(given("fentanyl", 0.1, given("midazolam", 4.0))) < min(alone) - 2.0


def test_a_relaxed_patient_is_still_and_silent_but_awake() -> None:
    body = after(given("rocuronium", 84.0), 150.0)
    assert body.read("gcs_total") == 3.0
    assert body.read("conscious_frac") > 0.9
    assert body.read("chest_rise_left_frac") < 0.3


def test_breathing_outlasts_a_block_of_nine_tenths() -> None:
    # a small dose makes the hand weak and leaves breathing: common teaching; reserve of the breathing muscles
    body = after(given("rocuronium", 42.0), 180.0)
    assert body.read("hand_block_frac") > 0.9
    assert body.read("tidal_volume_ml") > 350.0


def test_a_tube_takes_speech() -> None:
    body = after(healthy(), 1.0, airway_device_code=3.0)
    assert (body.read("gcs_eye"), body.read("gcs_verbal"), body.read("gcs_motor")) == (4.0, 1.0, 6.0)


def test_atropine_widens_pupils_and_opioid_narrows_them() -> None:
    assert after(given("atropine", 1.0), 120.0).read("pupil_left_mm") > 4.3
    assert after(given("fentanyl", 0.2), 180.0).read("pupil_left_mm") < 2.0
