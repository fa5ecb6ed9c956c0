"""Circulation: sudden arrest, bleeding, fluids, posture, reflexes."""

import numpy as np

from drillyard.validation.bench import Answers, Bench, answers
from drillyard.validation.table import expected

PRESSURES = ["systolic_pressure_mmhg", "diastolic_pressure_mmhg", "mean_arterial_pressure_mmhg"]


@answers("CV032", "CV033", "CV034", "CV035")
def sudden_arrest(bench: Bench) -> Answers:
    """Fibrillation in an anaesthetised, ventilated patient, ventilator paused: pressures over 13 s without flow."""
    patient = bench.asleep(oxygen=True)
    patient.do("stop ventilating")
    patient.run("10 s")
    patient.wrong("arrest", rhythm="ventricular fibrillation")
    waves = patient.branch().waves("14 s")["arterial_pressure_mmhg"]
    patient.run("13 s")
    plateau = float(waves[1250:1350].mean())
    point = (13.0, expected("CV032"))
    seconds = np.arange(len(waves)) / 100.0
    bench.draw("CV032", seconds, waves, x_label="s", y_label="arterial pressure, mmHg", published=[point])
    # time constant of an exponential fall to the plateau, from one to five seconds
    t_s = np.arange(100, 500) / 100.0
    above = np.log(np.maximum(waves[100:500] - plateau, 1e-3))
    return {
        "CV032": plateau,
        "CV033": float(-1.0 / np.polyfit(t_s, above, 1)[0]),
        "CV034": patient["central_venous_pressure_mmhg"],
        "CV035": plateau - patient["central_venous_pressure_mmhg"],
    }


@answers("CV065", "CV066", "CV067")
def blood_donation(bench: Bench) -> Answers:
    """375 mL drawn in 6.4 min, supine.  The absolute row values start from 94 mL and 53 mmHg, so the fall is scaled."""
    patient = bench.patient()
    names = ["stroke_volume_ml", "heart_rate_per_min", *PRESSURES]
    before = patient.mean(names, "1 min")
    patient.control("venesection_ml_per_min", 375.0 / 6.4)
    patient.run(6.4 * 60.0)
    patient.control("venesection_ml_per_min", 0.0)
    after = patient.mean(names, "1 min")
    pulse_before, pulse_after = (
        values["systolic_pressure_mmhg"] - values["diastolic_pressure_mmhg"] for values in (before, after)
    )
    return {
        "CV065": 94.0 * after["stroke_volume_ml"] / before["stroke_volume_ml"],
        "CV066": 53.0 * pulse_after / pulse_before,
        "CV067": after["heart_rate_per_min"] - before["heart_rate_per_min"],
    }


@answers("CV097")
def refill_after_bleeding(bench: Bench) -> Answers:
    """750 mL (15 %) lost in ten minutes: plasma that comes back from the tissues in the next hour."""
    patient = bench.patient()
    patient.control("venesection_ml_per_min", 75.0)
    patient.run("10 min")
    patient.control("venesection_ml_per_min", 0.0)
    start = patient["blood_volume_ml"]
    course = patient.course(["blood_volume_ml"], "2 h", every_s=60.0)
    hours = (course.t_s - course.t_s[0]) / 3600.0
    bench.draw("CV097", hours, course["blood_volume_ml"], x_label="h", y_label="blood volume, mL")
    return {"CV097": (patient["blood_volume_ml"] - start) / 2.0}


@answers("CV099", "CV100")
def crystalloid_bolus(bench: Bench) -> Answers:
    """25 mL/kg of crystalloid in 30 min: share of it in the blood at the end, and half an hour later."""
    patient = bench.patient()
    before = patient["blood_volume_ml"]
    patient.do("place line", site="right arm", gauge=16)
    patient.do("start fluid", fluid="crystalloid", volume_ml=1750.0, rate_ml_per_min=1750.0 / 30.0)
    filled = patient.course(["blood_volume_ml"], "30 min", every_s=60.0)
    end = patient["blood_volume_ml"]
    spread = patient.course(["blood_volume_ml"], "30 min", every_s=60.0)
    volumes = np.concatenate([filled["blood_volume_ml"], spread["blood_volume_ml"]])
    minutes = (np.concatenate([filled.t_s, spread.t_s]) - filled.t_s[0]) / 60.0
    for row, at_min in (("CV099", 30.0), ("CV100", 60.0)):
        point = (at_min, before + 17.5 * expected(row))
        bench.draw(row, minutes, volumes, x_label="min", y_label="blood volume, mL", published=[point])
    return {
        "CV099": 100.0 * (end - before) / 1750.0,
        "CV100": 100.0 * (patient["blood_volume_ml"] - before) / 1750.0,
    }


@answers("CV105")
def venesection_pressure(bench: Bench) -> Answers:
    """675 mL drawn in 15 minutes: fall of systolic pressure."""
    patient = bench.patient()
    before = patient.mean(["systolic_pressure_mmhg"], "1 min")["systolic_pressure_mmhg"]
    patient.control("venesection_ml_per_min", 45.0)
    patient.run("15 min")
    patient.control("venesection_ml_per_min", 0.0)
    return {"CV105": patient.mean(["systolic_pressure_mmhg"], "1 min")["systolic_pressure_mmhg"] - before}


@answers("CV049", "CV050", "CV052", "CV055")
def head_up_tilt(bench: Bench) -> Answers:
    """Tilt to 60 degrees, passive: change between rest and minutes five to six."""
    patient = bench.patient()
    names = ["cardiac_output_l_per_min", "heart_rate_per_min", "diastolic_pressure_mmhg", "stroke_volume_ml"]
    before = patient.mean(names, "1 min")
    tilted = patient.branch()
    tilted.control("tilt_deg", 60.0)
    tilted.run("5 min")
    after = tilted.mean(names, "1 min")
    less = patient.branch()
    less.control("tilt_deg", 55.0)
    less.run("5 min")
    stroke = less.mean(["stroke_volume_ml"], "1 min")["stroke_volume_ml"]
    return {
        "CV049": after["cardiac_output_l_per_min"] - before["cardiac_output_l_per_min"],
        "CV050": after["heart_rate_per_min"] - before["heart_rate_per_min"],
        "CV052": after["diastolic_pressure_mmhg"] - before["diastolic_pressure_mmhg"],
        "CV055": 100.0 * (stroke / before["stroke_volume_ml"] - 1.0),
    }


@answers("CV047", "CV048")
def neck_suction(bench: Bench) -> Answers:
    """Suction of 60 mmHg over both carotid sinuses for five seconds: largest fall of rate and of mean pressure."""
    patient = bench.patient(age_years=25.0)
    before = patient.mean(["heart_rate_per_min", "mean_arterial_pressure_mmhg"], "1 min")
    patient.control("neck_suction_mmhg", 60.0)
    first = patient.course(["heart_rate_per_min", "mean_arterial_pressure_mmhg"], "5 s", every_s=0.25)
    patient.control("neck_suction_mmhg", 0.0)
    later = patient.course(["heart_rate_per_min", "mean_arterial_pressure_mmhg"], "12 s", every_s=0.25)
    lowest = {name: min(first[name].min(), later[name].min()) for name in before}
    return {
        "CV047": lowest["heart_rate_per_min"] - before["heart_rate_per_min"],
        "CV048": lowest["mean_arterial_pressure_mmhg"] - before["mean_arterial_pressure_mmhg"],
    }


@answers("CV119")
def acute_tamponade(bench: Bench) -> Answers:
    """Blood in the pericardium at 20 mL a minute: volume at which systolic pressure falls below 70 mmHg."""
    patient = bench.patient()
    for volume in range(0, 420, 10):
        patient.wrong("tamponade", volume_ml=float(volume))
        patient.run("30 s")
        if patient["systolic_pressure_mmhg"] < 70.0:
            return {"CV119": float(volume)}
    return {"CV119": float("nan")}


@answers("MN046")
def loss_of_consciousness(bench: Bench) -> Answers:
    """Sudden arrest of flow to the brain: seconds until the patient no longer answers (no eye opening).

    Mean of five arrests spread over a beat, since the one that has begun is still finished.
    """
    patient = bench.patient(age_years=25.0)
    times = []
    for _ in range(5):
        arrested = patient.branch()
        arrested.wrong("arrest", rhythm="asystole")
        times.append(arrested.course(["gcs_eye"], "40 s", every_s=0.1).first_s("gcs_eye", below=2.0))
        patient.run(0.2)
    return {"MN046": float(np.mean(times))}
