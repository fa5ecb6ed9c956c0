"""Closed formulas that the body uses, evaluated at the published points."""

from drillyard.scripting import equations as eq
from drillyard.validation.bench import Answers, Bench, answers


@answers("GX021", "GX026", "GX027", "GX047")
def blood_gas_curves(bench: Bench) -> Answers:
    """P50 at pH 7.20; steepest Hill slope; oxygen content of arterial and CO2 content of venous blood."""
    low, high = 10.0, 80.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if eq.o2_saturation_frac(middle, 7.2, 37.0) < 0.5 else (low, middle)
    slopes = []
    for step in range(50, 1000):
        p = step / 10.0
        logit = [eq.o2_saturation_frac(q, 7.4, 37.0) for q in (p * 0.995, p * 1.005)]
        odds = [s / (1.0 - s) for s in logit]
        slopes.append((odds[1] / odds[0] - 1.0) / 0.01)
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
