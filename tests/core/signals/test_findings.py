"""The finding catalogue: complete, unambiguous, and in words that a bedside would use."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.signals import readings as r
from drillyard.core.signals.findings import FINDINGS, finding_for
from drillyard.core.signals.readings import Reading

EVEN = {"skin_redness_frac": 0, "skin_mottling_frac": 0}
MIDDLE = {name: (signal.low + signal.high) / 2 for name, signal in SIGNALS.items()}
OUTPUTS = st.fixed_dictionaries(
    {name: st.floats(signal.low, signal.high, allow_nan=False) for name, signal in SIGNALS.items()}
)


def test_no_words_mean_two_findings() -> None:
    typed = [words.casefold() for row in FINDINGS.values() for words in (row.id, *row.typed)]
    assert sorted(set(typed)) == sorted(typed)


def test_every_row_says_where_it_comes_from() -> None:
    for row in FINDINGS.values():
        assert row.note
        assert (row.origin == "body") == bool(row.signals), row.id
        assert row.system in {signal.system for signal in SIGNALS.values()}
        assert all(name in SIGNALS for name in row.signals), row.id


class _Watched(dict[str, float]):
    """Outputs that know which of them were read."""

    def __init__(self, values: dict[str, float]) -> None:
        super().__init__(values)
        self.read: set[str] = set()

    def __getitem__(self, name: str) -> float:
        self.read.add(name)
        return super().__getitem__(name)


@given(OUTPUTS)
def test_reads_only_the_signals_it_names_and_says_something_finite(outputs: dict[str, float]) -> None:
    for row in FINDINGS.values():
        watched = _Watched(outputs)
        reading = row.read(watched)
        assert watched.read <= set(row.signals), row.id
        assert reading.level is None or math.isfinite(reading.level), row.id
        assert bool(reading.words) == (row.origin == "body"), row.id


@pytest.mark.parametrize("row", [row for row in FINDINGS.values() if row.origin == "body"], ids=lambda row: row.id)
def test_the_scale_of_a_level_covers_what_its_signal_can_be_in_the_middle(row: object) -> None:
    level = row.read(MIDDLE).level  # type: ignore[attr-defined]
    assert row.level_low < row.level_high  # type: ignore[attr-defined]
    assert level is None or math.isfinite(level)


# The words below are common practice, no source: AVPU by eye opening, pinpoint pupils of an opioid, SpO2 without a
# pulse, no cuff reading without one.
@pytest.mark.parametrize(
    ("finding", "changed", "words"),
    [
        ("mind", {"gcs_eye": 4, "gcs_verbal": 5, "gcs_motor": 6}, "alert, E4 V5 M6"),
        ("mind", {"gcs_eye": 4, "gcs_verbal": 4, "gcs_motor": 6}, "awake, confused, E4 V4 M6"),
        ("mind", {"gcs_eye": 3, "gcs_verbal": 3, "gcs_motor": 5}, "responds to voice, E3 V3 M5"),
        ("mind", {"gcs_eye": 1, "gcs_verbal": 1, "gcs_motor": 2}, "responds to pain only, E1 V1 M2"),
        ("mind", {"gcs_eye": 1, "gcs_verbal": 1, "gcs_motor": 1}, "unresponsive, E1 V1 M1"),
        ("pupils", {"pupil_left_mm": 1.4, "pupil_right_mm": 1.4}, "pinpoint, equal, 1 mm, sluggish"),
        ("pupils", {"pupil_left_mm": 5.0, "pupil_right_mm": 3.0}, "unequal, left 5 mm sluggish, right 3 mm sluggish"),
        ("pressure", {"has_pulse": 1, "systolic_pressure_mmhg": 93.7, "diastolic_pressure_mmhg": 60.2}, "94/60 mmHg"),
        ("pressure", {"has_pulse": 0, "systolic_pressure_mmhg": 60, "diastolic_pressure_mmhg": 20}, "no reading"),
        ("SpO2", {"spo2_pct": 0.0}, "no signal"),
        ("SpO2", {"spo2_pct": 86.4}, "86 %"),
        ("radial pulse", {"pulse_radial_frac": 0.0, "pulse_rate_per_min": 130}, "absent"),
        ("radial pulse", {"pulse_radial_frac": 0.3, "pulse_rate_per_min": 131.6}, "thready, 132/min"),
        ("windpipe", {"trachea_shift_frac": 0.05}, "in the middle"),
        ("windpipe", {"trachea_shift_frac": 0.7}, "far to the right"),
        ("windpipe", {"trachea_shift_frac": -0.3}, "slightly to the left"),
        ("breathing", {"is_breathing": 0, "spontaneous_rate_per_min": 0, "tidal_volume_ml": 0}, "no breathing"),
        ("breathing", {"is_breathing": 1, "spontaneous_rate_per_min": 4, "tidal_volume_ml": 200}, "4/min, shallow"),
        (
            "skin",
            {"skin_pallor_frac": 0.8, "skin_cyanosis_frac": 0, "temperature_skin_degc": 22, "skin_sweat_frac": 0.8},
            "very pale, cold, wet",
        ),
        ("skin colour", {"skin_pallor_frac": 0, "skin_cyanosis_frac": 0} | EVEN, "normal"),
        ("skin colour", {"skin_pallor_frac": 0.5, "skin_cyanosis_frac": 0.5} | EVEN, "pale and bluish"),
        (
            "face droop",
            {"face_weak_left_frac": 0, "face_weak_right_frac": 1, "gaze_turned_frac": -1},
            "right side droops, eyes turned to the left",
        ),
        ("pain", {"gcs_verbal": 5, "pain_score": 7}, "7 of 10"),
        ("pain", {"gcs_verbal": 2, "pain_score": 0}, "cannot say"),
        ("seizure", {"convulsion_frac": 0.9, "seizure_frac": 1, "tongue_bitten": 1}, "jerking all over, tongue bitten"),
        ("seizure", {"convulsion_frac": 0, "seizure_frac": 0.3, "tongue_bitten": 0}, "jerking of one side, awake"),
        ("blood lost", {"blood_lost_ml": 1233.0}, "about 1250 mL"),
        ("rhythm", {"rhythm_code": 0, "heart_rate_per_min": 132}, "sinus tachycardia, 132/min"),
        ("rhythm", {"rhythm_code": 1, "heart_rate_per_min": 0}, "ventricular fibrillation"),
    ],
)  # fmt: skip
def test_says_it_as_people_at_a_bedside_do(finding: str, changed: dict[str, float], words: str) -> None:
    assert FINDINGS[finding].read(MIDDLE | changed).words == words


@pytest.mark.parametrize(
    ("typed", "finding"),
    [
        ("sats", "SpO2"),
        ("BP", "pressure"),
        ("  blood   pressure ", "pressure"),
        ("GCS", "mind"),
        ("left lung", "left breath sound"),
    ],
)
def test_finds_what_people_type(typed: str, finding: str) -> None:
    row = finding_for(typed)
    assert row is not None and row.id == finding


def test_unknown_words_find_nothing() -> None:
    assert finding_for("aura") is None


def test_bands_end_at_infinity_and_rise() -> None:
    bands = [value for name, value in vars(r).items() if name.isupper() and isinstance(value, tuple)]
    assert len(bands) >= 10
    for band in bands:
        edges = [edge for edge, _ in band]
        assert edges == sorted(edges) and edges[-1] == math.inf
    assert r.nothing(MIDDLE) == Reading(None, "")
