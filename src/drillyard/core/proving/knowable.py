"""What a crew can know: the signals that a crew's conditions may read, and their values as the crew has them.

On the surface of the patient anybody can see, hear or feel them at any time.  A number of the room monitor is known
only while it stands there.  All else is hidden in the body, and a script that reads it is refused.
"""

from collections.abc import Mapping
from math import nan
from typing import Final

SURFACE: Final = frozenset(
    {
        "respiratory_rate_per_min", "spontaneous_rate_per_min", "gcs_eye", "gcs_verbal", "gcs_motor", "gcs_total",
        "pupil_left_mm", "pupil_right_mm", "skin_pallor_frac", "skin_cyanosis_frac", "skin_sweat_frac",
        "temperature_skin_degc", "capillary_refill_s", "neck_veins_frac", "pulse_radial_frac", "pulse_femoral_frac",
        "pulse_carotid_frac", "pulse_rate_per_min", "chest_rise_left_frac", "chest_rise_right_frac",
        "breath_sound_left_frac", "breath_sound_right_frac", "trachea_shift_frac", "work_of_breathing_frac",
        "snoring_frac", "bleeding_ml_per_min", "is_breathing", "has_pulse",
    }
)  # fmt: skip
"""Seen, heard or felt on the patient."""

MONITOR: Final = frozenset(
    {
        "heart_rate_per_min", "rhythm_code", "spo2_pct", "etco2_mmhg", "systolic_pressure_mmhg",
        "diastolic_pressure_mmhg", "mean_arterial_pressure_mmhg", "temperature_core_degc",
    }
)  # fmt: skip
"""Known only while they stand on the room monitor."""

KNOWABLE: Final = SURFACE | MONITOR


def known_values(signals: Mapping[str, float], shown: Mapping[str, float | None]) -> dict[str, float]:
    """Each knowable signal as the crew has it; not a number where it stands on no screen: then no comparison holds."""
    known = {name: signals[name] for name in SURFACE}
    for name in MONITOR:
        value = shown.get(name)
        known[name] = nan if value is None else value
    return known
