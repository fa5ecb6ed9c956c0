"""Numbers in the lab's units."""

import pytest

from drillyard.core.quantities.signals import SIGNALS, TRACKED
from drillyard.service.records import LabSettings
from drillyard.web.units import label_of, scale_of, span_of, weight_text

KPA = LabSettings(
    pressure_unit="kPa", gas_tension_unit="kPa", temperature_unit="degF", glucose_unit="mmol/L", weight_unit="lb"
)


def test_pressure_in_kilopascal() -> None:
    # 120 mmHg = 16.0 kPa: 1 mmHg = 133.322387415 Pa, BIPM SI brochure, 8th edition 2006, table 8.
    assert scale_of("systolic_pressure_mmhg", KPA).text(120.0) == "16.0"
    assert scale_of("etco2_mmhg", KPA).text(40.0) == "5.3"
    assert scale_of("systolic_pressure_mmhg", LabSettings()).text(119.6) == "120"


def test_pressures_and_gas_tensions_are_chosen_apart() -> None:
    only_gas = LabSettings(gas_tension_unit="kPa")
    assert scale_of("paco2_mmhg", only_gas).unit == "kPa"
    assert scale_of("systolic_pressure_mmhg", only_gas).unit == "mmHg"


def test_glucose_in_millimoles() -> None:
    # 90 mg/dL = 5.0 mmol/L with 180.156 mg/mmol (C6H12O6, CIAAW 2021 standard atomic weights).
    assert scale_of("glucose_mg_per_dl", KPA).text(90.0) == "5.0"


def test_temperature_in_fahrenheit() -> None:
    assert scale_of("temperature_core_degc", KPA).text(37.0) == "98.6"
    assert scale_of("temperature_core_degc", LabSettings()).text(36.55) in ("36.5", "36.6")


def test_a_weight_in_pounds_keeps_its_kilograms() -> None:
    # 1 lb = 0.45359237 kg exactly (international pound, 1959): 70 kg = 154.3 lb.
    assert weight_text(70.0, KPA) == "154 lb (70 kg)"
    assert weight_text(70.0, LabSettings()) == "70 kg"


@pytest.mark.parametrize("value", [None, float("nan"), float("inf")])
def test_what_is_not_known_is_a_dash(value: float | None) -> None:
    assert scale_of("spo2_pct", LabSettings()).text(value) == "–"


def test_every_tracked_signal_has_a_label_and_a_span_inside_its_range() -> None:
    for signal in TRACKED:
        low, high = span_of(signal)
        assert label_of(signal)
        assert SIGNALS[signal].low <= low < high <= SIGNALS[signal].high, signal
