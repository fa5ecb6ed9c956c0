"""The set-by-hand list: largest change first, silent below what matters, only what hands can move."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.manikin.profile import FindingShown, Profile, Step
from drillyard.core.manikin.set_by_hand import set_by_hand, wanted_setting
from drillyard.core.quantities.signals import SIGNALS

MANIKIN = LabFolder(DEMO).manikin("adult-manikin-a").use()
HEALTHY = {
    **dict.fromkeys(SIGNALS, 0.0),
    "pulse_radial_frac": 1.0, "pulse_femoral_frac": 1.0, "pulse_carotid_frac": 1.0, "pulse_rate_per_min": 72.0,
    "has_pulse": 1.0, "systolic_pressure_mmhg": 120.0, "diastolic_pressure_mmhg": 80.0, "is_breathing": 1.0,
    "spontaneous_rate_per_min": 14.0, "tidal_volume_ml": 500.0, "chest_rise_left_frac": 1.0,
    "chest_rise_right_frac": 1.0, "breath_sound_left_frac": 1.0, "breath_sound_right_frac": 1.0,
    "gcs_eye": 4.0, "gcs_verbal": 5.0, "gcs_motor": 6.0,
}  # fmt: skip
PULSE = FindingShown(
    finding="radial pulse", shows="shown",
    steps=(Step(setting="off", level=0.0), Step(setting="weak", level=0.4), Step(setting="strong", level=1.0)),
)  # fmt: skip
DIAL = FindingShown(finding="pulse rate", shows="shown", step_size=5.0, low=0.0, high=180.0)


def _ticked(profile: Profile, outputs: dict[str, float], now_set: dict[str, str]) -> dict[str, str]:
    return now_set | {row.finding: row.to_setting for row in set_by_hand(profile, outputs, now_set)}


def test_at_first_everything_that_hands_can_move_must_be_set() -> None:
    rows = set_by_hand(MANIKIN, HEALTHY, {})
    assert {row.finding for row in rows} == {
        row.finding for row in MANIKIN.findings if row.set_by == "hand" and (row.steps or row.step_size)
    }
    assert all(row.from_setting == "" and row.change_frac == 1.0 for row in rows)


def test_is_silent_once_all_is_ticked() -> None:
    assert set_by_hand(MANIKIN, HEALTHY, _ticked(MANIKIN, HEALTHY, {})) == []


def test_the_largest_change_stands_first() -> None:
    now_set = _ticked(MANIKIN, HEALTHY, {})
    worse = HEALTHY | {"breath_sound_left_frac": 0.0, "spontaneous_rate_per_min": 24.0, "pulse_radial_frac": 0.45}
    rows = set_by_hand(MANIKIN, worse, now_set)
    assert [row.finding for row in rows] == ["left breath sound", "radial pulse", "breathing"]
    assert [row.to_setting for row in rows] == ["off", "weak", "24"]


def test_what_is_broken_today_is_not_asked_for() -> None:
    broken = replace(
        MANIKIN,
        findings=tuple(
            replace(r, shows="broken today") if r.finding == "radial pulse" else r for r in MANIKIN.findings
        ),
    )
    rows = set_by_hand(broken, HEALTHY, {})
    assert "radial pulse" not in {row.finding for row in rows}


@pytest.mark.parametrize(
    ("level", "current", "setting"),
    [
        (0.69, "strong", "strong"),  # just past the middle between weak and strong: too little to matter
        (0.60, "strong", "weak"),
        (0.71, "weak", "weak"),
        (0.80, "weak", "strong"),
        (0.05, "weak", "off"),
        (0.0, "", "off"),
        (1.0, "no such step", "strong"),
    ],
)
def test_a_step_is_left_only_well_past_the_middle(level: float, current: str, setting: str) -> None:
    assert wanted_setting(PULSE, level, current) == setting


@pytest.mark.parametrize(
    ("level", "current", "setting"),
    [(72.0, "", "70"), (73.0, "70", "70"), (74.0, "70", "75"), (400.0, "70", "180"), (-3.0, "70", "0")],
)
def test_a_dial_moves_in_its_steps_and_within_its_ends(level: float, current: str, setting: str) -> None:
    assert wanted_setting(DIAL, level, current) == setting


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=30))
def test_a_level_that_stays_is_asked_for_at_most_once(levels: list[float]) -> None:
    current = ""
    for level in levels:
        current = wanted_setting(PULSE, level, current)
        assert wanted_setting(PULSE, level, current) == current


@given(st.floats(0.0, 1.0), st.sampled_from(["", "off", "weak", "strong"]))
def test_what_is_shown_is_never_far_from_the_truth(level: float, current: str) -> None:
    """At worst a step is kept to 65 % of the way to its neighbour (half plus the margin)."""
    setting = wanted_setting(PULSE, level, current)
    shown = next(step.level for step in PULSE.steps if step.setting == setting)
    assert abs(shown - level) <= 0.65 * 0.6 + 1e-9
