"""Conditions of a case as a person reads them."""

import pytest

from drillyard.service.records import LabSettings
from drillyard.web.condition_words import condition_words


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        ('blood_lost_ml > 800 && phase == "at patient"', "blood lost > 800 mL and phase at patient"),
        ('t_s > 210.0 && !done["decompress chest left"]', "time > 3:30 and not “decompress chest left” done"),
        (
            'skin_pallor_frac > 0.4 && (done["survey circulation"] || done["examine skin"])',
            "skin pallor > 0.4 and (“survey circulation” done or “examine skin” done)",
        ),
        ('dose_mg["naloxone"] >= 1.6 && gcs_total >= 12', "naloxone given (mg) ≥ 1.6 and mind ≥ 12"),
        ('since_s["give drug naloxone"] > 600.0', "time since “give drug naloxone” > 10:00"),
        ('phase != "end"', "phase is not end"),
        ("gcs_verbal\n  < 3", "GCS verbal < 3"),
        ("respiratory_rate_per_min < 8", "breathing < 8/min"),
        ("pupil_left_mm < 2.5", "left pupil < 2.5 mm"),
    ],
)
def test_a_condition_in_words(condition: str, words: str) -> None:
    assert condition_words(condition, LabSettings()) == words


def test_numbers_are_in_the_units_of_the_lab() -> None:
    # 1 kPa = 7.50062 mmHg (SI Brochure 2006, table 8): 90 mmHg = 12.0 kPa.
    assert condition_words("systolic_pressure_mmhg < 90", LabSettings(pressure_unit="kPa")) == "pressure < 12 kPa"


def test_what_has_no_words_stands_as_it_was_written() -> None:
    assert condition_words("nobody_knows(3) > 1", LabSettings()) == "nobody_knows (3) > 1"
