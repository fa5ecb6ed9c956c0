"""Closed formulas that the body uses, evaluated at the published points."""

from math import log

from drillyard.scripting import equations as eq
from drillyard.validation.bench import Answers, Bench, answers


@answers("GX021", "GX026", "GX027", "GX047")
def blood_gas_curves(bench: Bench) -> Answers:
    """P50 at pH 7.20; steepest Hill slope; oxygen content of arterial and CO2 content of venous blood.

    Hill's slope is read between 20 and 80 % saturation, as Hill plots are (common practice, no source).
    """
    low, high = 10.0, 80.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if eq.o2_saturation_frac(middle, 7.2, 37.0) < 0.5 else (low, middle)
    slopes = []
    for step in range(50, 1000):
        p_mmhg = step / 10.0
        below, above = (eq.o2_saturation_frac(p_mmhg * factor, 7.4, 37.0) for factor in (0.995, 1.005))
        if 0.2 < below < 0.8:
            slopes.append(log((above / (1.0 - above)) / (below / (1.0 - below))) / log(1.005 / 0.995))
    # venous blood of the row: pH 7.37 and 46 mmHg fix bicarbonate by Henderson-Hasselbalch
    bicarbonate = 0.0307 * 46.0 * 10.0 ** (7.37 - 6.091)
    return {
        "GX021": low,
        "GX026": max(slopes),
        "GX027": 100.0 * eq.o2_content_ml_per_ml(100.0, 0.975, 15.0),
        "GX047": 100.0 * eq.co2_content_ml_per_ml(46.0, 7.37, bicarbonate, 0.75, 15.0),
    }


@answers("CV028")
def blood_volume_by_size(bench: Bench) -> Answers:
    """Blood volume of a man of 1.75 m and 70 kg at rest, litres."""
    return {"CV028": bench.patient()["blood_volume_ml"] / 1000.0}
