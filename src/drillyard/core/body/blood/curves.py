"""How much oxygen and carbon dioxide blood holds: plain functions of one blood sample.

Units: tensions mmHg, saturation 0..1, haemoglobin g/dL, contents mL of dry gas (0 degC, 760 mmHg) per mL of blood,
concentrations mmol/L.  Errors: saturation within 0.0055 of the standard curve from 0 to 1 (the paper's own figure).
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, exp, sqrt

LN_10: Final = 2.302585092994046
O2_PER_HB: Final = 0.0134
"""mL O2 per mL blood and g/dL haemoglobin: Hufner's number 1.34 mL/g (Gregory 1974, Br J Anaesth 46:255, from
memory)."""
O2_SOLUBILITY: Final = 3.0e-5
"""mL/mL/mmHg at 37 degC (0.003 mL/dL/mmHg, common textbook value)."""
CO2_SOLUBILITY: Final = 0.0307
"""mmol/L/mmHg in plasma at 37 degC (Kelman 1967, Respir Physiol 3:111)."""
PK: Final = 6.1
"""Apparent first dissociation constant of carbonic acid in plasma (common textbook value)."""
ML_PER_MMOL_CO2: Final = 0.02226
"""mL of CO2 gas per mL of fluid for 1 mmol/L (molar volume 22.26 L)."""


def o2_saturation_frac(po2_mmhg, ph, temperature_degc):
    """Saturation of haemoglobin.

    Source: Severinghaus 1979, J Appl Physiol 46:599 (curve, equation 1; Bohr slope, equation 4); shift with
    temperature 0.024 log10 units per degC: Kelman 1966, J Appl Physiol 21:1375.
    """
    p = clamp(po2_mmhg, 0.01, 2000.0)
    # (p / 26.6)**0.184 as a parabola in the fourth root: saturation differs by less than 0.0003 from pH 6.6 to 7.8
    root = sqrt(sqrt(p / 26.6))
    bohr = 0.189 + root * (0.8844 - 0.0743 * root) - 2.2
    p = p * exp((7.4 - ph) * bohr - 0.0553 * (temperature_degc - 37.0))
    cube = p * (p * p + 150.0)
    return cube / (cube + 23400.0)


def o2_content_ml_per_ml(po2_mmhg, saturation_frac, haemoglobin_g_per_dl):
    """Oxygen content: bound and dissolved."""
    return O2_PER_HB * haemoglobin_g_per_dl * saturation_frac + O2_SOLUBILITY * po2_mmhg


def buffer_value_mmol_per_l(haemoglobin_g_per_dl):
    """Non-bicarbonate buffer value of blood, mmol/L per pH (Siggaard-Andersen and Fogh-Andersen 1995, from memory)."""
    return 7.7 + 2.3 * haemoglobin_g_per_dl / 1.6114


def bound_base_mmol_per_l(base_excess_mmol_per_l, saturation_frac, haemoglobin_g_per_dl):
    """Base term of the Van Slyke equation: (HCO3 - 24.4) + buffer value x (pH - 7.4).

    Source: Siggaard-Andersen and Fogh-Andersen 1995, Acta Anaesthesiol Scand 39 Suppl 107:123 (from memory): factor
    1 - 0.023 Hb (mmol/L), and 0.2 mmol of base gained per mmol of haemoglobin that gives off its oxygen.
    """
    hb_mmol = haemoglobin_g_per_dl / 1.6114
    return (base_excess_mmol_per_l + 0.2 * hb_mmol * (1.0 - saturation_frac)) / (1.0 - 0.023 * hb_mmol)


def ph_nearer(ph, pco2_mmhg, base_term_mmol_per_l, buffer_mmol_per_l):
    """One Newton step towards the pH at which Henderson-Hasselbalch and Van Slyke agree."""
    hco3 = CO2_SOLUBILITY * pco2_mmhg * exp(LN_10 * (ph - PK))
    surplus = hco3 - 24.4 + buffer_mmol_per_l * (ph - 7.4) - base_term_mmol_per_l
    return clamp(ph - surplus / (LN_10 * hco3 + buffer_mmol_per_l), 6.3, 8.0)


def bicarbonate_from(ph, base_term_mmol_per_l, buffer_mmol_per_l):
    """Bicarbonate of plasma at a pH that solves both equations."""
    return clamp(24.4 + base_term_mmol_per_l - buffer_mmol_per_l * (ph - 7.4), 0.1, 100.0)


def co2_content_ml_per_ml(pco2_mmhg, ph, bicarbonate, saturation_frac, haemoglobin_g_per_dl):
    """Carbon dioxide content of whole blood.

    Source: Douglas, Jones and Reed 1988, J Appl Physiol 65:473: plasma content times a factor for the red cells.
    """
    plasma = ML_PER_MMOL_CO2 * (bicarbonate + CO2_SOLUBILITY * pco2_mmhg)
    cells = 1.0 - 0.0289 * haemoglobin_g_per_dl / ((3.352 - 0.456 * saturation_frac) * (8.142 - ph))
    return plasma * cells
