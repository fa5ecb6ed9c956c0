"""Acid-base answers to acute changes of ventilation, and the control of breathing."""

import numpy as np

from drillyard.scripting import ScriptedPatient
from drillyard.validation.bench import Answers, Bench, answers


def _ventilated(bench: Bench, rate_per_min: float, minutes: int = 40) -> ScriptedPatient:
    patient = bench.asleep(oxygen=True)
    patient.do("ventilate", rate_per_min=rate_per_min, volume_ml=490.0, leak_frac=0.0)
    return patient.run(f"{minutes} min")


def _gas(patient: ScriptedPatient) -> tuple[float, float, float, float]:
    """PaCO2 (mmHg), pH, H+ (nmol/L), bicarbonate (mmol/L)."""
    got = patient.mean(["paco2_mmhg", "ph", "bicarbonate_mmol_per_l"], "30 s")
    return got["paco2_mmhg"], got["ph"], 10.0 ** (9.0 - got["ph"]), got["bicarbonate_mmol_per_l"]


@answers("GX054", "GX055", "GX057")
def acute_hypercapnia(bench: Bench) -> Answers:
    """Ventilation cut to about a half and a third: slope of H+ and of pH over carbon dioxide.

    The pH at 80 mmHg follows from 39.8 nmol/L at 40 mmHg and the measured slope, as its row asks.
    """
    points = [_gas(_ventilated(bench, rate)) for rate in (11.0, 7.0, 5.0)]
    pco2, _, hydrogen, _ = (np.array(column) for column in zip(*points, strict=True))
    near = [_gas(_ventilated(bench, rate)) for rate in (11.0, 7.5)]
    slope = float(np.polyfit(pco2, hydrogen, 1)[0])
    # published line: 0.77 nmol/L per mmHg (Brackett 1965, the row's source) from 39.8 at 40
    line = [(at, 39.8 + 0.77 * (at - 40.0)) for at in (40.0, 60.0, 80.0)]
    bench.draw("GX054", pco2, hydrogen, x_label="PaCO2, mmHg", y_label="H+, nmol/L", published=line)
    return {
        "GX054": slope,
        "GX055": 9.0 - float(np.log10(39.8 + 40.0 * slope)),
        "GX057": (near[0][1] - near[1][1]) / (near[1][0] - near[0][0]) * 10.0,
    }


@answers("GX060", "GX061")
def acute_hypocapnia(bench: Bench) -> Answers:
    """Ventilation raised in steps: slope of H+ and fall of bicarbonate over carbon dioxide."""
    points = [_gas(_ventilated(bench, rate)) for rate in (11.0, 15.0, 20.0)]
    pco2, _, hydrogen, bicarbonate = (np.array(column) for column in zip(*points, strict=True))
    bench.draw("GX060", pco2, hydrogen, x_label="PaCO2, mmHg", y_label="H+, nmol/L")
    bench.draw("GX061", pco2, bicarbonate, x_label="PaCO2, mmHg", y_label="bicarbonate, mmol/L")
    return {
        "GX060": float(np.polyfit(pco2, hydrogen, 1)[0]),
        "GX061": float(np.polyfit(pco2, bicarbonate, 1)[0]) * 10.0,
    }


@answers("GX075", slow=True)
def ventilation_doubled(bench: Bench) -> Answers:
    """Alveolar ventilation doubled at a constant output of carbon dioxide, from 40 mmHg; an hour to settle.

    Breaths keep their size, so twice the rate is twice the alveolar ventilation.  Metabolic rate is held at rest, for
    an anaesthetised patient would cool and make less carbon dioxide by the hour.
    """
    patient = bench.asleep(oxygen=True)
    patient.hold("metabolic rate", 1.0)
    low, high = 4.0, 24.0
    for _ in range(9):  # find the rate that holds 40 mmHg
        rate = 0.5 * (low + high)
        trial = patient.branch()
        trial.do("ventilate", rate_per_min=rate, volume_ml=490.0, leak_frac=0.0)
        trial.run("1 h")
        low, high = (low, rate) if trial["paco2_mmhg"] < 40.0 else (rate, high)
    trial.do("ventilate", rate_per_min=2.0 * rate, volume_ml=490.0, leak_frac=0.0)
    course = trial.course(["paco2_mmhg"], "1 h", every_s=60.0)
    minutes = (course.t_s - course.t_s[0]) / 60.0
    bench.draw("GX075", minutes, course["paco2_mmhg"], x_label="min", y_label="PaCO2, mmHg", published=[(60.0, 20.0)])
    return {"GX075": trial.mean(["paco2_mmhg"], "30 s")["paco2_mmhg"]}


@answers("LC012")
def answer_to_carbon_dioxide(bench: Bench) -> Answers:
    """Carbon dioxide in hyperoxic air, each step eight minutes: slope of minute ventilation over arterial tension."""
    points = []
    for fraction in (0.0004, 0.05, 0.065):
        patient = bench.patient()
        patient.control("ambient_o2_frac", 0.5)
        patient.control("ambient_co2_frac", fraction)
        patient.run("8 min")
        got = patient.mean(["minute_ventilation_l_per_min", "paco2_mmhg"], "1 min")
        points.append((got["paco2_mmhg"], got["minute_ventilation_l_per_min"]))
    tension, breathed = zip(*points, strict=True)
    bench.draw("LC012", tension, breathed, x_label="PaCO2, mmHg", y_label="ventilation, L/min")
    (_, _), (p1, v1), (p2, v2) = points
    return {"LC012": (v2 - v1) / (p2 - p1)}


@answers("LC013")
def answer_to_hypoxia(bench: Bench) -> Answers:
    """Low inspired oxygen with carbon dioxide added to keep its arterial tension: A of VE = V0 + A / (PAO2 - 32)."""
    rest = bench.patient().mean(["minute_ventilation_l_per_min", "paco2_mmhg", "end_tidal_o2_frac"], "1 min")
    patient = bench.patient()
    patient.control("ambient_o2_frac", 0.105)
    carbon_dioxide = 0.0004
    for _ in range(60):  # a hand on the gas mixer: five seconds at a time
        patient.run("5 s")
        carbon_dioxide += 0.0002 * (rest["paco2_mmhg"] - patient["paco2_mmhg"])
        carbon_dioxide = min(max(carbon_dioxide, 0.0), 0.08)
        patient.control("ambient_co2_frac", carbon_dioxide)
    got = patient.mean(["minute_ventilation_l_per_min", "end_tidal_o2_frac"], "30 s")
    low_mmhg, rest_mmhg = (713.0 * value["end_tidal_o2_frac"] for value in (got, rest))
    spread = 1.0 / (low_mmhg - 32.0) - 1.0 / (rest_mmhg - 32.0)
    return {"LC013": (got["minute_ventilation_l_per_min"] - rest["minute_ventilation_l_per_min"]) / spread}


@answers("GX058", "GX059", slow=True)
def lasting_hypercapnia(bench: Bench) -> Answers:
    """Air with 6 and 7 % of carbon dioxide for four days: bicarbonate and pH per 10 mmHg against those before."""
    rest = _gas(bench.patient())
    points = [rest]
    for fraction in (0.06, 0.07):
        patient = bench.patient()
        patient.control("ambient_co2_frac", fraction)
        patient.control("ambient_o2_frac", 0.25)
        patient.run("96 h")
        points.append(_gas(patient))
    pco2, ph, _, bicarbonate = (np.array(column) for column in zip(*points, strict=True))
    return {
        "GX058": 10.0 * float(np.polyfit(pco2, bicarbonate, 1)[0]),
        "GX059": -10.0 * float(np.polyfit(pco2, ph, 1)[0]),
    }


@answers("GX063", slow=True)
def metabolic_acidosis(bench: Bench) -> Answers:
    """Mineral acid without kidneys for 18 hours, in three sizes: carbon dioxide where bicarbonate is 12 mmol/L."""
    points = []
    for loss in (9.0, 13.0, 17.0):
        patient = bench.patient()
        patient.control("kidney_lost_frac", 1.0)
        patient.wrong("acid-base disorder", base_loss_mmol_per_l=loss)
        patient.run("18 h")
        points.append(_gas(patient))
    pco2, _, _, bicarbonate = (np.array(column) for column in zip(*points, strict=True))
    order = np.argsort(bicarbonate)
    return {"GX063": float(np.interp(12.0, bicarbonate[order], pco2[order]))}
