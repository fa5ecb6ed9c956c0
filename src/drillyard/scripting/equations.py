"""Equations of the body as plain functions, for checks by hand and by ``drillyard validate``.

Each calls the very function that the body is assembled from.
"""

from drillyard.core.body.blood import curves


def o2_saturation_frac(po2_mmhg: float, ph: float, temperature_degc: float) -> float:
    """Saturation of haemoglobin, 0 to 1 (Severinghaus 1979 with Bohr and temperature shift)."""
    return float(curves.o2_saturation_frac(po2_mmhg, ph, temperature_degc))  # type: ignore[no-untyped-call]


def o2_content_ml_per_ml(po2_mmhg: float, saturation_frac: float, haemoglobin_g_per_dl: float) -> float:
    """Oxygen content of blood, bound and dissolved, mL gas per mL."""
    return float(curves.o2_content_ml_per_ml(po2_mmhg, saturation_frac, haemoglobin_g_per_dl))  # type: ignore[no-untyped-call]


def co2_content_ml_per_ml(
    pco2_mmhg: float, ph: float, bicarbonate_mmol_per_l: float, saturation_frac: float, haemoglobin_g_per_dl: float
) -> float:
    """Carbon dioxide content of whole blood, mL gas per mL (Douglas 1988)."""
    content = curves.co2_content_ml_per_ml(  # type: ignore[no-untyped-call]
        pco2_mmhg, ph, bicarbonate_mmol_per_l, saturation_frac, haemoglobin_g_per_dl
    )
    return float(content)
