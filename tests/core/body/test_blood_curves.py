"""Blood as a function of its gases, against published equations and values."""

import math

import pytest

from drillyard.core.body.blood import curves

HB = 15.0


def settled_ph(pco2_mmhg: float, base_excess: float, saturation: float = 1.0, hb: float = HB) -> float:
    """pH at which the Newton steps of the body come to rest."""
    ph = 7.4
    base = curves.bound_base_mmol_per_l(base_excess, saturation, hb)
    for _ in range(60):
        ph = curves.ph_nearer(ph, pco2_mmhg, base, curves.buffer_value_mmol_per_l(hb))
    return ph


@pytest.mark.reference
@pytest.mark.parametrize("po2_mmhg", [5.0, 10.0, 20.0, 26.9, 40.0, 60.0, 80.0, 100.0, 150.0, 500.0])
def test_standard_oxygen_curve(po2_mmhg: float) -> None:
    # Severinghaus 1979, J Appl Physiol 46:599, equation 1 (seen in the abstract), written as printed there
    printed = 1.0 / (23400.0 / (po2_mmhg**3 + 150.0 * po2_mmhg) + 1.0)
    assert curves.o2_saturation_frac(po2_mmhg, 7.4, 37.0) == pytest.approx(printed, abs=1e-12)


@pytest.mark.reference
def test_half_saturation_pressure() -> None:
    # standard human P50 26.6-26.9 mmHg (Severinghaus 1979; textbook)
    low, high = 20.0, 35.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if curves.o2_saturation_frac(middle, 7.4, 37.0) < 0.5:
            low = middle
        else:
            high = middle
    assert 26.4 <= low <= 27.0


@pytest.mark.reference
@pytest.mark.parametrize("ph", [6.8, 7.0, 7.2, 7.6, 7.8])
@pytest.mark.parametrize("po2_mmhg", [10.0, 20.0, 30.0, 40.0, 60.0, 90.0, 150.0])
def test_bohr_shift_is_that_of_the_paper(po2_mmhg: float, ph: float) -> None:
    # Severinghaus 1979 equation 4: d ln PO2 / d pH = (PO2 / 26.6)**0.184 - 2.2; the body uses a parabola for the power
    shifted = po2_mmhg * math.exp((7.4 - ph) * ((po2_mmhg / 26.6) ** 0.184 - 2.2))
    printed = 1.0 / (23400.0 / (shifted**3 + 150.0 * shifted) + 1.0)
    assert curves.o2_saturation_frac(po2_mmhg, ph, 37.0) == pytest.approx(printed, abs=5e-4)


def test_acid_and_warm_blood_give_oxygen_off() -> None:
    normal = curves.o2_saturation_frac(40.0, 7.4, 37.0)
    assert curves.o2_saturation_frac(40.0, 7.2, 37.0) < normal
    assert curves.o2_saturation_frac(40.0, 7.4, 39.0) < normal
    assert curves.o2_saturation_frac(40.0, 7.4, 33.0) > normal


@pytest.mark.reference
def test_oxygen_content_of_arterial_blood() -> None:
    # 15 g/dL, saturation 1, PO2 100: 1.34 x 15 + 0.3 = 20.4 mL/dL (textbook sum)
    assert 100.0 * curves.o2_content_ml_per_ml(100.0, 1.0, HB) == pytest.approx(20.4, abs=0.05)


@pytest.mark.reference
def test_normal_acid_base_point() -> None:
    # pH 7.40 and bicarbonate 24.4 mmol/L at PCO2 40 and base excess 0 (Siggaard-Andersen's reference point)
    ph = settled_ph(40.0, 0.0)
    base = curves.bound_base_mmol_per_l(0.0, 1.0, HB)
    bicarbonate = curves.bicarbonate_from(ph, base, curves.buffer_value_mmol_per_l(HB))
    assert ph == pytest.approx(7.40, abs=0.005)
    assert bicarbonate == pytest.approx(24.5, abs=0.3)
    # Henderson-Hasselbalch holds for what comes out
    assert ph == pytest.approx(6.1 + math.log10(bicarbonate / (0.0307 * 40.0)), abs=1e-6)


@pytest.mark.reference
def test_carbon_dioxide_content_of_arterial_blood() -> None:
    # 46-49 mL/dL in whole arterial blood in textbooks; Douglas 1988 (J Appl Physiol 65:473) gives the lower end
    base = curves.bound_base_mmol_per_l(0.0, 0.97, HB)
    buffer = curves.buffer_value_mmol_per_l(HB)
    ph = settled_ph(40.0, 0.0, 0.97)
    content = curves.co2_content_ml_per_ml(40.0, ph, curves.bicarbonate_from(ph, base, buffer), 0.97, HB)
    assert 100.0 * content == pytest.approx(47.0, abs=2.0)


def test_blood_that_has_given_off_oxygen_carries_more_carbon_dioxide() -> None:
    buffer = curves.buffer_value_mmol_per_l(HB)
    contents = []
    for saturation in (0.97, 0.70):
        base = curves.bound_base_mmol_per_l(0.0, saturation, HB)
        ph = settled_ph(45.0, 0.0, saturation)
        bicarbonate = curves.bicarbonate_from(ph, base, buffer)
        contents.append(curves.co2_content_ml_per_ml(45.0, ph, bicarbonate, saturation, HB))
    assert contents[1] > contents[0] + 0.005


@pytest.mark.parametrize("base_excess", [-25.0, -10.0, 0.0, 10.0])
@pytest.mark.parametrize("pco2_mmhg", [10.0, 40.0, 90.0, 200.0])
def test_ph_comes_to_rest_everywhere(pco2_mmhg: float, base_excess: float) -> None:
    ph = settled_ph(pco2_mmhg, base_excess)
    base = curves.bound_base_mmol_per_l(base_excess, 1.0, HB)
    assert curves.ph_nearer(ph, pco2_mmhg, base, curves.buffer_value_mmol_per_l(HB)) == pytest.approx(ph, abs=1e-9)
    assert 6.3 <= ph <= 8.0
