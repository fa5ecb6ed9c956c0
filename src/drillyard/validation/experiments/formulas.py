"""Closed formulas that the body or the bedside arithmetic uses, evaluated at the published points."""

from math import log

from drillyard.scripting import bedside
from drillyard.scripting import equations as eq
from drillyard.validation.bench import Answers, Bench, answers


@answers("GX012", "GX013", "GX021", "GX026", "GX027", "GX045", "GX047")
def blood_gas_curves(bench: Bench) -> Answers:
    """Saturation at 40 and 100 mmHg, P50 at pH 7.20, steepest Hill slope, oxygen and CO2 content of blood.

    Hill's slope is read between 20 and 80 % saturation, as Hill plots are (common practice, no source).  Plasma alone
    is blood without haemoglobin.
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
    tensions = [float(tension) for tension in range(2, 122, 4)]
    curve = [100.0 * eq.o2_saturation_frac(tension, 7.4, 37.0) for tension in tensions]
    acid = [100.0 * eq.o2_saturation_frac(tension, 7.2, 37.0) for tension in tensions]
    # published points: the rows' own
    for row, point in (("GX012", (40.0, 74.95)), ("GX013", (100.0, 97.75))):
        bench.draw(row, tensions, curve, x_label="PO2, mmHg", y_label="saturation, %", published=[point])
    bench.draw(
        "GX021", tensions, acid, x_label="PO2, mmHg", y_label="saturation at pH 7.2, %", published=[(33.8, 50.0)]
    )
    # venous blood of the row: pH 7.37 and 46 mmHg fix bicarbonate by Henderson-Hasselbalch
    venous, arterial = (0.0307 * p * 10.0 ** (ph - 6.091) for p, ph in ((46.0, 7.37), (40.0, 7.40)))
    return {
        "GX012": 100.0 * eq.o2_saturation_frac(40.0, 7.4, 37.0),
        "GX013": 100.0 * eq.o2_saturation_frac(100.0, 7.4, 37.0),
        "GX021": low,
        "GX026": max(slopes),
        "GX027": 100.0 * eq.o2_content_ml_per_ml(100.0, 0.975, 15.0),
        "GX045": 100.0 * eq.co2_content_ml_per_ml(40.0, 7.40, arterial, 1.0, 0.0),
        "GX047": 100.0 * eq.co2_content_ml_per_ml(46.0, 7.37, venous, 0.75, 15.0),
    }


@answers("GX016", "GX017", "GX038", "GX051", "GX066", "GX074", "LC040")
def bedside_gas_and_acid_base(bench: Bench) -> Answers:
    """The gas and acid-base arithmetic that case authors write printed results with."""
    tensions = [float(tension) for tension in range(10, 520, 10)]
    shifts = [bedside.po2_shift_per_degc(tension) for tension in tensions]
    for row, point in (("GX016", (26.6, 0.071)), ("GX017", (500.0, 0.0315))):
        bench.draw(row, tensions, shifts, x_label="PO2, mmHg", y_label="d(ln PO2)/dT, per \u00b0C", published=[point])
    return {
        "GX016": bedside.po2_shift_per_degc(26.6),
        "GX017": bedside.po2_shift_per_degc(500.0),
        "GX038": bedside.alveolar_po2_mmhg(0.2093, 36.0, barometric_mmhg=630.0, exchange_ratio=0.8),
        "GX051": bedside.standard_base_excess_mmol_per_l(7.20, 12.0),
        "GX066": bedside.bicarbonate_space_l_per_kg(10.0),
        "GX074": bedside.alveolar_pco2_mmhg(200.0, 4.315),
        "LC040": bedside.washout_time_constant_s(2.5, 4.3),
    }


@answers("CV127", "CV128", "CV129", "CV130", "MN055", "MN056")
def bedside_heart_and_burns(bench: Bench) -> Answers:
    """QT of 360 ms at 90/min by four rules; fluid for 70 kg with 40 % burned."""
    return {
        "CV127": bedside.qtc_ms(360.0, 90.0, "Bazett"),
        "CV128": bedside.qtc_ms(360.0, 90.0, "Fridericia"),
        "CV129": bedside.qtc_ms(360.0, 90.0, "Framingham"),
        "CV130": bedside.qtc_ms(360.0, 90.0, "Hodges"),
        "MN055": bedside.burn_fluid_ml(70.0, 40.0) / 1000.0,
        "MN056": bedside.burn_fluid_rate_ml_per_h(70.0, 40.0),
    }


@answers("CV028", "CV030")
def blood_volume_by_size(bench: Bench) -> Answers:
    """Blood volume of a man of 1.75 m and 70 kg at rest, in litres and per kilogram."""
    volume_ml = bench.patient()["blood_volume_ml"]
    return {"CV028": volume_ml / 1000.0, "CV030": volume_ml / 70.0}
