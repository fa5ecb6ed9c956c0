"""Apnoea: carbon dioxide rises, oxygen falls, and how long each takes."""

import math
from typing import Any

import numpy as np

from drillyard.scripting import Course, ScriptedPatient
from drillyard.validation.bench import Answers, Bench, answers
from drillyard.validation.table import expected

PARALYSE = ("paralysed", 1.0)


def breathed_out(patient: ScriptedPatient) -> None:
    """Go on to the end of the present breath: the published apnoeas begin at resting lung volume."""
    for _ in range(1000):
        if patient["breath_phase_frac"] > 0.95:
            return
        patient.run(0.01)


@answers("LC015")
def asleep_and_apnoeic(bench: Bench) -> Answers:
    """Anaesthetised on oxygen, ventilator stopped with a closed airway: slope from the first to the fifth minute."""
    patient = bench.asleep(oxygen=True)
    patient.do("stop ventilating")
    patient.control("airway_block_frac", 1.0)
    course = patient.course(["paco2_mmhg"], "5 min")
    bench.draw("LC015", minutes(course), course["paco2_mmhg"], x_label="min", y_label="PaCO2, mmHg")
    return {"LC015": (course.at("paco2_mmhg", 300.0) - course.at("paco2_mmhg", 60.0)) / 4.0}


@answers("LC016", "LC017", "LC018")
def awake_breath_hold(bench: Bench) -> Answers:
    """Awake on oxygen, breath held at rest: alveolar tension in the first seconds and later."""
    patient = bench.patient()
    patient.do("give oxygen", device="tight circuit", flow="15 L/min")
    patient.run("5 min")
    breathed_out(patient)
    patient.control("paralysed", 1.0)
    patient.control("airway_block_frac", 1.0)
    course = patient.course(["alveolar_pco2_mmhg"], "60 s", every_s=0.5)
    for row in ("LC016", "LC017", "LC018"):
        seconds = course.t_s - course.t_s[0]
        bench.draw(row, seconds, course["alveolar_pco2_mmhg"], x_label="s", y_label="alveolar PCO2, mmHg")
    at = [course.at("alveolar_pco2_mmhg", t) for t in (0.0, 10.0, 20.0, 50.0)]
    return {"LC016": at[1] - at[0], "LC017": at[2] - at[1], "LC018": (at[3] - at[2]) * 2.0}


@answers("LC019")
def apnoeic_oxygenation(bench: Bench) -> Answers:
    """Open airway on oxygen for 20 minutes without a breath: slope of carbon dioxide, while saturation holds."""
    patient = bench.asleep(oxygen=True)
    patient.do("stop ventilating")
    patient.run("2 min")
    course = patient.course(["paco2_mmhg", "sao2_pct"], "18 min", every_s=10.0)
    bench.draw("LC019", minutes(course) + 2.0, course["paco2_mmhg"], x_label="min", y_label="PaCO2, mmHg")
    if course["sao2_pct"].min() < 98.0:
        return {"LC019": math.nan}
    return {"LC019": (course["paco2_mmhg"][-1] - course["paco2_mmhg"][0]) / 18.0}


def minutes(course: Course) -> "np.ndarray[Any, np.dtype[np.float64]]":
    """Minutes since the start of a course, for its picture."""
    passed: np.ndarray[Any, np.dtype[np.float64]] = (course.t_s - course.t_s[0]) / 60.0
    return passed


def _closed_apnoea(bench: Bench, mass_kg: float = 70.0, height_cm: float = 175.0) -> Course:
    """Saturation over 14 minutes of closed apnoea from an alveolar oxygen fraction of 0.87."""
    start_o2_frac = 0.87
    patient = bench.patient(mass_kg=mass_kg, height_cm=height_cm)
    patient.do("give oxygen", device="tight circuit", flow="15 L/min")
    patient.run("2 min")
    for _ in range(240):
        if patient["end_tidal_o2_frac"] >= start_o2_frac:
            break
        patient.run("1 s")
    breathed_out(patient)
    patient.control("anaesthetised", 1.0)
    patient.control("paralysed", 1.0)
    patient.control("airway_block_frac", 1.0)
    return patient.course(["sao2_pct"], "14 min")


def _draw_fall(bench: Bench, course: Course, rows: dict[str, tuple[float, float]]) -> None:
    """The fall of saturation until some time after it passed 70 %, with each row's published point."""
    shown = max(60, round(course.first_s("sao2_pct", below=70.0)))
    for row, point in rows.items():
        bench.draw(
            row,
            minutes(course)[:shown],
            course["sao2_pct"][:shown],
            x_label="min",
            y_label="SaO2, %",
            published=[point],
        )


@answers("LC021", "LC025")
def healthy_after_oxygen(bench: Bench) -> Answers:
    """A healthy adult of 70 kg, preoxygenated, airway closed."""
    course = _closed_apnoea(bench)
    to_80, to_90 = (course.first_s("sao2_pct", below=below) / 60.0 for below in (80.0, 90.0))
    _draw_fall(bench, course, {"LC021": (expected("LC021"), 80.0), "LC025": (expected("LC025"), 90.0)})
    return {"LC021": to_80, "LC025": to_90}


@answers("LC024", "LC026", "LC031")
def obese_after_oxygen(bench: Bench) -> Answers:
    """An obese adult of 127 kg and 170 cm, preoxygenated, airway closed."""
    course = _closed_apnoea(bench, 127.0, 170.0)
    to_80, to_90 = (course.first_s("sao2_pct", below=below) / 60.0 for below in (80.0, 90.0))
    points = {"LC024": (expected("LC024"), 80.0), "LC026": (expected("LC026"), 90.0)}
    _draw_fall(bench, course, points | {"LC031": (expected("LC031") / 60.0, 90.0)})
    return {"LC024": to_80, "LC026": to_90, "LC031": to_90 * 60.0}


@answers("LC036", "LC037", "LC038")
def preoxygenation(bench: Bench) -> Answers:
    """End-tidal oxygen after three minutes of quiet breathing, eight deep breaths in 60 s, four in 30 s."""
    got = {}
    for row, rate, duration in (("LC036", 0.0, "3 min"), ("LC037", 8.0, "60 s"), ("LC038", 8.0, "30 s")):
        patient = bench.patient()
        patient.do("give oxygen", device="tight circuit", flow="15 L/min")
        if rate > 0.0:
            patient.hold("breathing rate", rate)
            patient.hold("breath size", 2000.0)
        patient.run(duration)
        got[row] = patient["end_tidal_o2_frac"]
    return got


@answers("LC041")
def arterial_to_end_tidal(bench: Bench) -> Answers:
    """Anaesthetised, ventilated: arterial minus end-tidal carbon dioxide."""
    patient = bench.asleep()
    got = patient.mean(["paco2_mmhg", "etco2_mmhg"], "2 min")
    return {"LC041": got["paco2_mmhg"] - got["etco2_mmhg"]}


@answers("LC054")
def oximeter_lag(bench: Bench) -> Answers:
    """Sudden desaturation by nitrogen: delay of the finger reading behind arterial blood at half of the fall."""
    patient = bench.patient()
    patient.run("1 min")
    patient.control("ambient_o2_frac", 0.05)
    course = patient.course(["sao2_pct", "spo2_pct"], "75 s", every_s=0.5)
    seconds = course.t_s - course.t_s[0]
    bench.draw("LC054", seconds, course["spo2_pct"], x_label="s", y_label="SpO2, %")
    start, low = course["sao2_pct"][0], max(course["sao2_pct"].min(), 70.0)
    half = 0.5 * (start + low)
    return {"LC054": course.first_s("spo2_pct", below=half) - course.first_s("sao2_pct", below=half)}


@answers("MN048")
def useful_consciousness(bench: Bench) -> Answers:
    """Oxygen lost at 7620 m, at rest: minutes until the patient no longer opens eyes and obeys as in health."""
    patient = bench.patient()
    patient.control("ambient_pressure_mmhg", 282.0)  # standard atmosphere at 7620 m
    course = patient.course(["gcs_total"], "12 min")
    bench.draw("MN048", minutes(course), course["gcs_total"], x_label="min", y_label="GCS")
    return {"MN048": course.first_s("gcs_total", below=15.0) / 60.0}
