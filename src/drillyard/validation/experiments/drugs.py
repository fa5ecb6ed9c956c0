"""Drugs in the body: levels and effects."""

import numpy as np

from drillyard.scripting import ScriptedPatient
from drillyard.validation.bench import Answers, Bench, answers


def _levels(
    patient: ScriptedPatient, drug: str, minutes: float, every_s: float = 10.0
) -> tuple[np.ndarray, np.ndarray]:
    """Minutes and plasma level (ng/mL) from now on."""
    t_min, level = [0.0], [patient.drug_level_ng_per_ml(drug)]
    while t_min[-1] < minutes:
        patient.run(every_s)
        t_min.append(t_min[-1] + every_s / 60.0)
        level.append(patient.drug_level_ng_per_ml(drug))
    return np.array(t_min), np.array(level)


@answers("PK008")
def epinephrine_in_the_thigh(bench: Bench) -> Answers:
    """0.3 mg IM in an adult: time of the first peak."""
    patient = bench.patient()
    patient.do("give drug", drug="epinephrine", dose=0.3, dose_unit="mg", route="IM")
    t_min, level = _levels(patient, "epinephrine", 25.0)
    rising = np.flatnonzero(np.diff(level) < 0.0)
    return {"PK008": float(t_min[rising[0]]) if rising.size else float("nan")}


def _infused(bench: Bench, ug_per_min: float, minutes: float) -> ScriptedPatient:
    patient = bench.patient(age_years=25.0)
    patient.do(
        "give drug", drug="epinephrine", dose=ug_per_min * minutes, dose_unit="ug", route="IV", over_s=minutes * 60
    )
    return patient.run(minutes * 60.0 - 1.0)


@answers("PK010", "PK012")
def epinephrine_infused(bench: Bench) -> Answers:
    """2 ug/min for 30 min (arterial, basal 71 pg/mL added); 0.1 ug/kg/min for ten minutes (forearm vein).

    The body's level is arterial; the forearm takes out 51 % of it (Best and Halter 1982, during 2 ug/min).
    """
    first = _infused(bench, 2.0, 30.0).drug_level_ng_per_ml("epinephrine")
    second = _infused(bench, 7.0, 10.0).drug_level_ng_per_ml("epinephrine") * (1.0 - 0.51)
    return {"PK010": first * 1000.0 + 71.0, "PK012": second / 183.2 * 1000.0}


@answers("PK077")
def naloxone_in_muscle(bench: Bench) -> Answers:
    """0.8 mg IM: time to peak."""
    patient = bench.patient(age_years=25.0)
    patient.do("give drug", drug="naloxone", dose=0.8, dose_unit="mg", route="IM")
    t_min, level = _levels(patient, "naloxone", 40.0)
    return {"PK077": float(t_min[int(level.argmax())])}


@answers("PK083")
def naloxone_onset(bench: Bench) -> Answers:
    """Apnoea from an opioid, bagged; 0.4 mg IV: minutes until breathing is back above eight a minute."""
    patient = bench.patient()
    patient.do("open airway", how="jaw thrust")
    patient.do("give oxygen", device="bag with reservoir", flow="15 L/min")
    patient.do("give drug", drug="fentanyl", dose=500.0, dose_unit="ug", route="IV")
    patient.do("ventilate", rate="8 /min", volume_ml=500.0)
    patient.run("5 min")
    patient.do("give drug", drug="naloxone", dose=0.4, dose_unit="mg", route="IV")
    course = patient.course(["spontaneous_rate_per_min"], "6 min", every_s=5.0)
    return {"PK083": course.first_s("spontaneous_rate_per_min", above=8.0) / 60.0}


@answers("PK155", "PK156")
def tranexamic_acid_in_muscle(bench: Bench) -> Answers:
    """1 g IM in an adult of 70 kg and 44 years without shock: minutes to 5 and to 10 mg/L."""
    patient = bench.patient(age_years=44.0)
    patient.do("give drug", drug="tranexamic acid", dose=1000.0, dose_unit="mg", route="IM")
    t_min, level = _levels(patient, "tranexamic acid", 40.0)
    reached = [np.flatnonzero(level >= limit * 1000.0) for limit in (5.0, 10.0)]
    first, second = (float(t_min[hit[0]]) if hit.size else float("nan") for hit in reached)
    return {"PK155": first, "PK156": second}


@answers("PK018")
def epinephrine_direction(bench: Bench) -> Answers:
    """15 ng/kg/min for an hour: rate up, mean and diastolic pressure down, glucose up."""
    names = ["heart_rate_per_min", "mean_arterial_pressure_mmhg", "diastolic_pressure_mmhg", "glucose_mg_per_dl"]
    before = bench.patient(age_years=25.0).mean(names, "1 min")
    patient = _infused(bench, 0.015 * 70.0, 60.0)
    after = patient.mean(names, "20 s")
    moved = (
        after[names[0]] > before[names[0]]
        and after[names[1]] < before[names[1]]
        and after[names[2]] < before[names[2]]
        and after[names[3]] > before[names[3]]
    )
    return {"PK018": 1.0 if moved else 0.0}


def _threshold(
    bench: Bench, drug: str, steps_ug_per_min: list[float], signal: str, basal: float, factor: float
) -> float:
    """Level (pg/mL) at which ``signal`` has risen by 5 %, read between steps of an infusion of ten minutes each.

    ``factor``: measured level over arterial; ``basal``: the body's own hormone, which the computed level does not hold.
    """
    patient = bench.patient(age_years=25.0)
    start = patient.mean([signal], "2 min")[signal]
    levels, rises = [basal], [0.0]
    for rate in steps_ug_per_min:
        patient.do("start infusion", drug=drug, rate=rate, rate_unit="ug/min", route="IV")
        patient.run("9 min")
        rises.append(patient.mean([signal], "1 min")[signal] / start - 1.0)
        levels.append(basal + 1000.0 * factor * patient.drug_level_ng_per_ml(drug))
        if rises[-1] > 0.05:
            return levels[-2] + (levels[-1] - levels[-2]) * (0.05 - rises[-2]) / (rises[-1] - rises[-2])
    return float("nan")


@answers("PK015")
def epinephrine_threshold(bench: Bench) -> Answers:
    """0.1 to 5 ug/min in steps: forearm venous level at which the heart rate has risen by 5 %.

    The body's own 30 pg/mL is added (from memory).
    """
    steps = [0.1, 0.25, 0.5, 1.0, 2.5, 5.0]
    return {"PK015": _threshold(bench, "epinephrine", steps, "heart_rate_per_min", 30.0, 1.0 - 0.51)}


@answers("PK022")
def norepinephrine_threshold(bench: Bench) -> Answers:
    """0.5 to 10 ug/min in steps: level at which mean pressure has risen by 5 %.

    The body's own 220 pg/mL is added (from memory).
    """
    steps = [0.5, 1.0, 2.5, 5.0, 7.5, 10.0]
    return {"PK022": _threshold(bench, "norepinephrine", steps, "mean_arterial_pressure_mmhg", 220.0, 1.0)}
