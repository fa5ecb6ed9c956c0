"""Units at the border: conversions by definition, refusals that name the unit, and the split of names."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillyard.core.quantities.faults import Refusal
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.quantities.units import _EXACT, _converted, quantity_from_text, unit_of_name


# Definitions of the units (BIPM, The International System of Units, 9th edition 2019; 1 mmHg = 133.322 Pa, table 8 of
# the 8th edition; 1 inch = 2.54 cm exactly, international yard and pound agreement 1959).
@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("120 mL/min", "mL/min", 120.0),
        ("2 L/h", "mL/min", 2000.0 / 60.0),
        ("8 kPa", "mmHg", 8000.0 / 133.322387415),
        ("98.6 degF", "degC", 37.0),
        ("98.6 °F", "degC", 37.0),
        ("18 min", "s", 1080.0),
        ("1.5 h", "s", 5400.0),
        ("250 mcg", "mg", 0.25),
        ("250 µg", "mg", 0.25),
        ("10 in", "cm", 25.4),
        ("40 %", "1", 0.4),
        ("0.4", "1", 0.4),
        (0.4, "1", 0.4),
        (7, "1", 7.0),
        ("-3 min", "s", -180.0),
        ("1e-3 mg/mL", "mg/mL", 0.001),
        ("72 /min", "/min", 72.0),
        ("1.2 /s", "/min", 72.0),
        ("29 years", "years", 29.0),
        ("90 %", "%", 90.0),
    ],
)
def test_text_becomes_the_number_in_the_wanted_unit(text: object, unit: str, value: float) -> None:
    assert quantity_from_text(text, unit) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("3", "mmHg", "has no unit"),
        (3.0, "mmHg", "has no unit"),
        ("90", "%", "has no unit"),
        ("3 kg", "mmHg", "'kg' cannot be turned into mmHg"),
        ("3 blips", "mmHg", "'blips' cannot be turned into mmHg"),
        ("three mmHg", "mmHg", "is not a number with a unit"),
        ("inf", "1", "is not a number with a unit"),
        ("nan mmHg", "mmHg", "is not a number with a unit"),
        ("1e999 mmHg", "mmHg", "is not a number with a unit"),
        ("", "mmHg", "is not a number with a unit"),
        (True, "1", "is not a number with a unit"),
        (None, "1", "is not a number with a unit"),
        ("3 mg", "mg/mL", "cannot be turned into mg/mL"),
    ],
)
def test_refuses_what_could_be_read_in_two_ways(text: object, unit: str, words: str) -> None:
    with pytest.raises(Refusal, match=words.replace("/", "/")):
        quantity_from_text(text, unit)


@given(st.floats(-1e6, 1e6, allow_nan=False).map(lambda x: float(f"{x:.6g}")), st.sampled_from(["mL/min", "s", "mmHg"]))
def test_a_number_in_its_own_unit_is_unchanged(number: float, unit: str) -> None:
    assert quantity_from_text(f"{number!r} {unit}", unit) == number


@pytest.mark.parametrize(
    ("name", "split"),
    [
        ("leak_ml_per_s_per_cmh2o", ("leak", "mL/s/cmH2O")),
        ("compression_rate_per_min", ("compression_rate", "/min")),
        ("spo2_pct", ("spo2", "%")),
        ("held_for_s", ("held_for", "s")),
        ("age_years", ("age", "years")),
        ("last_meal", None),
        ("sex", None),
        ("dose_unit", None),
    ],
)
def test_a_name_is_split_into_stem_and_unit(name: str, split: tuple[str, str] | None) -> None:
    assert unit_of_name(name) == split


def test_the_unit_in_every_signals_name_is_the_unit_in_its_row() -> None:
    for name, signal in SIGNALS.items():
        split = unit_of_name(name)
        if split is not None and "resistance" not in name:  # mmHg s/mL is a product, which names write without "per"
            assert split[1] == signal.unit, name


@pytest.mark.parametrize(("units", "factor"), _EXACT.items())
def test_the_short_cuts_agree_with_the_registry(units: tuple[str, str], factor: float) -> None:
    assert _converted(1.0, *units) == pytest.approx(factor, rel=1e-12)
