"""Bedside arithmetic against printed examples; each source stands beside its check."""

import pytest

from drillyard.core.quantities import bedside_formulas as bedside


def test_henderson_and_hasselbalch_agree_both_ways_and_with_the_textbook_normal() -> None:
    # pH 7.40, PaCO2 40 mmHg, bicarbonate 24 mmol/L: normal values of any textbook
    assert bedside.ph_of(40.0, 24.0) == pytest.approx(7.39, abs=0.01)
    assert bedside.ph_of(57.0, bedside.bicarbonate_mmol_per_l(7.21, 57.0)) == pytest.approx(7.21, abs=1e-12)
    with pytest.raises(ValueError, match="pco2_mmhg must be above 0"):
        bedside.ph_of(0.0, 24.0)


def test_qtc_is_the_interval_itself_at_sixty_and_orders_as_published_above() -> None:
    # all four rules are defined to leave the interval alone at 60/min
    for rule in ("Bazett", "Fridericia", "Framingham", "Hodges"):
        assert bedside.qtc_ms(400.0, 60.0, rule) == pytest.approx(400.0)
    # Bazett over-corrects at fast rates (Sagie 1992, Am J Cardiol 70:797)
    assert bedside.qtc_ms(300.0, 120.0, "Bazett") > bedside.qtc_ms(300.0, 120.0, "Fridericia")


def test_alveolar_oxygen_on_air_at_sea_level() -> None:
    # about 100 mmHg at PaCO2 40 and R 0.8 (common textbook value)
    assert bedside.alveolar_po2_mmhg(0.21, 40.0) == pytest.approx(101.5, abs=1.5)
    # with pure oxygen the exchange ratio drops out: 760 - 47 - 40
    assert bedside.alveolar_po2_mmhg(1.0, 40.0, exchange_ratio=0.7) == pytest.approx(673.0)


def test_a_warmed_and_cooled_sample_comes_back() -> None:
    cold = bedside.po2_at_temperature_mmhg(90.0, 30.0)
    # about 7 % a degree below full saturation (Severinghaus 1979): 90 x exp(-0.071 x 7) = 55 at the steepest
    assert 54.0 < cold < 60.0
    assert bedside.po2_at_temperature_mmhg(90.0, 37.0) == pytest.approx(90.0)


def test_burn_fluid_that_starts_late_is_given_faster() -> None:
    assert bedside.burn_fluid_rate_ml_per_h(70.0, 40.0, hours_since_burn=4.0) == pytest.approx(1400.0)
    with pytest.raises(ValueError, match="hours_left_of_eight must be above 0"):
        bedside.burn_fluid_rate_ml_per_h(70.0, 40.0, hours_since_burn=8.0)


def test_surface_gap_and_mean_pressure() -> None:
    # Mosteller 1987: 180 cm, 80 kg is exactly 2.00 m2
    assert bedside.body_surface_m2(80.0, 180.0) == pytest.approx(2.0)
    assert bedside.anion_gap_mmol_per_l(140.0, 104.0, 24.0) == 12.0
    assert bedside.mean_pressure_mmhg(120.0, 80.0) == pytest.approx(93.33, abs=0.01)
