"""Bedside arithmetic with its sources: so that the numbers of a printed result agree with each other and with the body.

Plain functions of numbers in stated units.  They say nothing about a real patient: a handout of a case is made with
them, and local protocols and licensed practice come before any of them.  Docs: ``docs/bedside-formulas.md``.
"""

import math
from collections.abc import Callable
from math import exp, log, log10, sqrt
from typing import Final, Literal

WATER_VAPOUR_MMHG: Final = 47.0
"""Saturated at 37 degC (common textbook value)."""
CO2_SOLUBILITY_MMOL_PER_L_PER_MMHG: Final = 0.0307
"""In plasma at 37 degC (Kelman 1967, Respir Physiol 3:111-115)."""
_CARBONIC_PK: Final = 6.1
"""Apparent first dissociation constant of carbonic acid in plasma (common textbook value)."""

QtRule = Literal["Bazett", "Fridericia", "Framingham", "Hodges"]


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0.0:
            raise ValueError(f"{name} must be above 0, not {value:g}.")


def ph_of(pco2_mmhg: float, bicarbonate_mmol_per_l: float) -> float:
    """pH of plasma by Henderson and Hasselbalch (Hasselbalch 1917, Biochem Z 78:112, from memory).

    Raises:
        ValueError: an argument is not above 0.
    """
    _positive(pco2_mmhg=pco2_mmhg, bicarbonate_mmol_per_l=bicarbonate_mmol_per_l)
    return _CARBONIC_PK + log10(bicarbonate_mmol_per_l / (CO2_SOLUBILITY_MMOL_PER_L_PER_MMHG * pco2_mmhg))


def bicarbonate_mmol_per_l(ph: float, pco2_mmhg: float) -> float:
    """Bicarbonate of plasma by the same equation."""
    return CO2_SOLUBILITY_MMOL_PER_L_PER_MMHG * pco2_mmhg * math.pow(10.0, ph - _CARBONIC_PK)


def standard_base_excess_mmol_per_l(ph: float, bicarbonate_mmol_per_l: float) -> float:
    """Standard base excess, CLSI form of the Van Slyke equation (Siggaard-Andersen 1977, Scand J Clin Lab Invest 37
    Suppl 146:15-20, from memory).
    """
    return 0.9287 * (bicarbonate_mmol_per_l - 24.4 + 14.83 * (ph - 7.4))


def expected_pco2_mmhg(bicarbonate_mmol_per_l: float) -> float:
    """Carbon dioxide that breathing should bring about in metabolic acidosis; the paper gives 2 mmHg either way.

    Source: Albert, Dell and Winters 1967, Ann Intern Med 66:312-322 (from memory).
    """
    return 1.5 * bicarbonate_mmol_per_l + 8.0


def anion_gap_mmol_per_l(sodium_mmol_per_l: float, chloride_mmol_per_l: float, bicarbonate_mmol_per_l: float) -> float:
    """Anion gap without potassium (Emmett and Narins 1977, Medicine 56:38-54, from memory)."""
    return sodium_mmol_per_l - chloride_mmol_per_l - bicarbonate_mmol_per_l


def alveolar_po2_mmhg(
    inspired_o2_frac: float, paco2_mmhg: float, barometric_mmhg: float = 760.0, exchange_ratio: float = 0.8
) -> float:
    """Alveolar oxygen tension: FIO2 (PB - 47) - PaCO2 (FIO2 + (1 - FIO2) / R).

    Source: Fenn, Rahn and Otis 1946, Am J Physiol 146:637-653 (from memory).

    Raises:
        ValueError: ``exchange_ratio`` is not above 0.
    """
    _positive(exchange_ratio=exchange_ratio)
    share = inspired_o2_frac + (1.0 - inspired_o2_frac) / exchange_ratio
    return inspired_o2_frac * (barometric_mmhg - WATER_VAPOUR_MMHG) - paco2_mmhg * share


def alveolar_pco2_mmhg(co2_output_ml_per_min: float, alveolar_ventilation_l_per_min: float) -> float:
    """Carbon dioxide tension in steady state: 0.863 VCO2 (STPD) / VA (BTPS).

    Source: Lumb 2021, Nunn and Lumb's Applied Respiratory Physiology, 9th ed. (from memory).

    Raises:
        ValueError: there is no ventilation.
    """
    _positive(alveolar_ventilation_l_per_min=alveolar_ventilation_l_per_min)
    return 0.863 * co2_output_ml_per_min / alveolar_ventilation_l_per_min


def washout_time_constant_s(resting_lung_volume_l: float, alveolar_ventilation_l_per_min: float) -> float:
    """Time in which breathing pure oxygen takes nitrogen in the lungs to 37 %; three of them leave 5 %.

    Source: a well-mixed volume; Lumb 2021, Nunn and Lumb's Applied Respiratory Physiology, 9th ed. (from memory).

    Raises:
        ValueError: there is no ventilation.
    """
    _positive(alveolar_ventilation_l_per_min=alveolar_ventilation_l_per_min)
    return 60.0 * resting_lung_volume_l / alveolar_ventilation_l_per_min


def po2_shift_per_degc(po2_mmhg: float) -> float:
    """Change of ln PO2 of a closed blood sample per degree, falling as haemoglobin fills.

    Source: Severinghaus 1979, J Appl Physiol 46:599-602 (seen).
    """
    return 0.058 / (math.pow(0.243 * po2_mmhg / 100.0, 3.88) + 1.0) + 0.013


def po2_at_temperature_mmhg(po2_at_37_mmhg: float, temperature_degc: float) -> float:
    """Oxygen tension at body temperature of a sample that the analyser measured at 37 degC; small steps of the shift.

    Raises:
        ValueError: the tension is not above 0.
    """
    _positive(po2_at_37_mmhg=po2_at_37_mmhg)
    po2_mmhg, steps = po2_at_37_mmhg, 100
    for _ in range(steps):
        po2_mmhg *= exp(po2_shift_per_degc(po2_mmhg) * (temperature_degc - 37.0) / steps)
    return po2_mmhg


def mean_pressure_mmhg(systolic_mmhg: float, diastolic_mmhg: float) -> float:
    """Mean arterial pressure as a third of the way up from diastolic (common practice, no source)."""
    return diastolic_mmhg + (systolic_mmhg - diastolic_mmhg) / 3.0


def _bazett(qt_ms: float, rr_s: float) -> float:
    return qt_ms / sqrt(rr_s)


def _fridericia(qt_ms: float, rr_s: float) -> float:
    return qt_ms / exp(log(rr_s) / 3.0)


def _framingham(qt_ms: float, rr_s: float) -> float:
    return qt_ms + 154.0 * (1.0 - rr_s)


def _hodges(qt_ms: float, rr_s: float) -> float:
    return qt_ms + 1.75 * (60.0 / rr_s - 60.0)


_QT_RULES: Final[dict[QtRule, Callable[[float, float], float]]] = {
    "Bazett": _bazett, "Fridericia": _fridericia, "Framingham": _framingham, "Hodges": _hodges,
}  # fmt: skip


def qtc_ms(qt_ms: float, heart_rate_per_min: float, rule: QtRule = "Fridericia") -> float:
    """QT interval corrected for heart rate.

    Sources (all from memory): Bazett 1920, Heart 7:353-370; Fridericia 1920, Acta Med Scand 53:469-486; Framingham:
    Sagie 1992, Am J Cardiol 70:797-801; Hodges 1983, J Am Coll Cardiol 1:694.

    Raises:
        ValueError: the rate is not above 0.
    """
    _positive(heart_rate_per_min=heart_rate_per_min)
    return _QT_RULES[rule](qt_ms, 60.0 / heart_rate_per_min)


def body_surface_m2(mass_kg: float, height_cm: float) -> float:
    """Body surface (Mosteller 1987, N Engl J Med 317:1098, from memory).

    Raises:
        ValueError: an argument is not above 0.
    """
    _positive(mass_kg=mass_kg, height_cm=height_cm)
    return sqrt(mass_kg * height_cm / 3600.0)


def burn_fluid_ml(mass_kg: float, burned_pct: float, ml_per_kg_per_pct: float = 4.0) -> float:
    """Fluid of the first 24 h after a burn; half of it is due within 8 h of the burn.

    Source: Baxter and Shires 1968, Ann N Y Acad Sci 150:874-894 (from memory).  Local guidelines often begin lower.
    """
    return ml_per_kg_per_pct * mass_kg * burned_pct


def burn_fluid_rate_ml_per_h(mass_kg: float, burned_pct: float, hours_since_burn: float = 0.0) -> float:
    """Rate that gives what is due by 8 h after the burn in the hours that are left of them.

    Raises:
        ValueError: the eight hours are over.
    """
    _positive(hours_left_of_eight=8.0 - hours_since_burn)
    return 0.5 * burn_fluid_ml(mass_kg, burned_pct) / (8.0 - hours_since_burn)


def bicarbonate_space_l_per_kg(bicarbonate_mmol_per_l: float) -> float:
    """Apparent space in which given bicarbonate spreads; it grows as bicarbonate falls.

    Source: Fernandez, Cohen and Feldman 1989, Kidney Int 36:747-752 (from memory).

    Raises:
        ValueError: there is no bicarbonate.
    """
    _positive(bicarbonate_mmol_per_l=bicarbonate_mmol_per_l)
    return 0.4 + 2.6 / bicarbonate_mmol_per_l


def bicarbonate_rise_mmol_per_l(dose_mmol_per_kg: float, bicarbonate_mmol_per_l: float = 24.0) -> float:
    """Rise of bicarbonate at equilibrium after a dose, from the space above."""
    return dose_mmol_per_kg / bicarbonate_space_l_per_kg(bicarbonate_mmol_per_l)
