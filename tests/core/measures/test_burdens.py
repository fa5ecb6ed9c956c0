"""Burdens on tracks whose integral is known exactly.

The 65 mmHg of measure 13 is the mean pressure aimed at in the surviving sepsis adult guideline (as printed in Scand J
Trauma Resusc Emerg Med 2019;27:22, table 4); 90 % and 90 mmHg are common practice, from memory.
"""

import numpy as np
import pytest

from tests.core.measures.hand_log import HandLog, HandTracks, measured


def at_patient(t_s: float, end_s: float) -> HandLog:
    log = HandLog()
    log.phase(t_s, "at patient")
    log.end(end_s)
    return log


def test_hypoxia_burden_of_a_triangle() -> None:
    """Saturation falls from 98 at 100 s by 0.2 % a second to 70 at 240 s and stays 98 from then on.

    It passes 90 at 140 s.  Shortfall: a triangle of base 240 - 140 = 100 s and height 20 %, which is
    100 x 20 / 2 = 1000 %.s, and the last step back to 98 within one second adds 20 / 2 = 10 %.s:
    1010 / 60 = 16.83 %.min.  Below 90 % at the whole seconds 141 to 240: 100 s.
    """
    sao2 = np.full(601, 98.0)
    sao2[100:241] = 98.0 - 0.2 * np.arange(141)
    result = measured(at_patient(0, 600), 12, HandTracks(600, true={"sao2_pct": sao2}))
    assert result.value == pytest.approx(1010 / 60)
    assert result.text == "16.8 %.min, 1:40 below 90 %"
    assert result.is_patient_not_crew and result.status == "not met"
    assert result.t_s == 240.0


def test_only_the_time_at_the_patient_counts() -> None:
    """80 % throughout: shortfall 10 %.  From 300 to 600 s: 10 x 300 / 60 = 50 %.min.

    Each end is uncertain by 1 s at a shortfall of 10 %: u = sqrt(10^2 + 10^2) / 60 = 0.236 %.min.
    """
    sao2 = np.full(601, 80.0)
    result = measured(at_patient(300, 600), 12, HandTracks(600, true={"sao2_pct": sao2}))
    assert result.value == pytest.approx(50.0)
    assert result.uncertainty == pytest.approx(200**0.5 / 60)


def test_no_shortfall_is_met() -> None:
    assert measured(at_patient(0, 600), 12).status == "met"


def test_low_pressure_counts_either_limit_once() -> None:
    """Systolic 85 from 100 to 199 s (100 s), mean 60 from 150 to 249 s (100 s): together 100 to 249 s, 150 s."""
    systolic, mean = np.full(601, 120.0), np.full(601, 90.0)
    systolic[100:200], mean[150:250] = 85.0, 60.0
    tracks = HandTracks(600, true={"systolic_pressure_mmhg": systolic, "mean_arterial_pressure_mmhg": mean})
    result = measured(at_patient(0, 600), 13, tracks)
    assert result.value == pytest.approx(150 / 60)
    assert result.text == "2:30" and result.status == "no target" and result.is_patient_not_crew
    assert result.note == "lowest mean pressure 60 mmHg"


def test_low_at_the_zero_itself_carries_its_uncertainty() -> None:
    """Low all 600 s from 0: 601 values a second apart; u = sqrt(1 + 1) s from the two ends."""
    systolic = np.full(601, 85.0)
    result = measured(at_patient(0, 600), 13, HandTracks(600, true={"systolic_pressure_mmhg": systolic}))
    assert result.uncertainty == pytest.approx(2**0.5 / 60)
