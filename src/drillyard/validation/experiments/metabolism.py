"""Glucose, lactate, potassium, heat and cold."""

import numpy as np

from drillyard.scripting import ScriptedPatient
from drillyard.validation.bench import Answers, Bench, answers


def _dextrose(patient: ScriptedPatient, grams: float = 25.0, over_s: float = 60.0) -> None:
    patient.do("give drug", drug="dextrose", dose=1000.0 * grams, dose_unit="mg", route="IV", over_s=over_s)


def _low(bench: Bench, action_frac: float = 0.7, minutes: int = 40) -> ScriptedPatient:
    """A patient whom too much insulin has made low in glucose."""
    patient = bench.patient()
    patient.wrong("insulin excess", action_frac=action_frac)
    return patient.run(f"{minutes} min")


@answers("MN005", "MN006", "MN007", "MN008", "MN009", "MN010")
def dextrose_in_health(bench: Bench) -> Answers:
    """25 g (50 mL of 50 %, the label's monohydrate) within a minute; glucose over two hours, from the injection."""
    patient = bench.patient()
    _dextrose(patient)
    course = patient.course(["glucose_mg_per_dl"], "120 min", every_s=10.0)
    rows = {"MN005": 0.0, "MN006": 5.0, "MN007": 15.0, "MN008": 30.0, "MN009": 60.0, "MN010": 120.0}
    return {row: course.at("glucose_mg_per_dl", 60.0 * minute) for row, minute in rows.items()}


@answers("MN011")
def dextrose_in_low_glucose(bench: Bench) -> Answers:
    """25 g to a patient made drowsy by insulin; rise at five minutes, when a second strip is usually read."""
    patient = _low(bench)
    before = patient["glucose_mg_per_dl"]
    _dextrose(patient)
    return {"MN011": patient.run("5 min")["glucose_mg_per_dl"] - before}


@answers("MN012")
def dextrose_in_critical_illness(bench: Bench) -> Answers:
    """A septic patient brought low by an insulin infusion of 4 units an hour, which goes on: 25 g, per gram.

    Read a quarter of an hour later.
    """
    patient = bench.patient()
    patient.wrong("sepsis", severity_frac=0.4)
    patient.do("start infusion", drug="insulin", rate=4.0, rate_unit="units/h")
    patient.run("3 h")
    before = patient["glucose_mg_per_dl"]
    _dextrose(patient)
    return {"MN012": (patient.run("15 min")["glucose_mg_per_dl"] - before) / 25.0}


@answers("MN014", "MN015")
def glucagon_in_low_glucose(bench: Bench) -> Answers:
    """1 mg into a muscle: time of the highest glucose in low glucose by insulin; how long it stays up in health.

    "Up" is more than 10 mg/dL over the start.
    """
    patient = _low(bench, 0.5)
    patient.do("give drug", drug="glucagon", dose=1.0, dose_unit="mg", route="IM")
    low = patient.course(["glucose_mg_per_dl"], "90 min", every_s=10.0)
    healthy = bench.patient()
    healthy.do("give drug", drug="glucagon", dose=1.0, dose_unit="mg", route="IM")
    course = healthy.course(["glucose_mg_per_dl"], "150 min", every_s=10.0)
    up = np.flatnonzero(course["glucose_mg_per_dl"] > course["glucose_mg_per_dl"][0] + 10.0)
    return {
        "MN014": float(low.t_s[int(low["glucose_mg_per_dl"].argmax())] - low.t_s[0]) / 60.0,
        "MN015": float(course.t_s[up[-1]] - course.t_s[0]) / 60.0,
    }


@answers("MN016", "MN017", "MN018", "MN019", slow=True)
def stepped_low_glucose_clamp(bench: Bench) -> Answers:
    """Glucose led down in steps of 2 mg/dL, each half an hour, by insulin and a hand on the glucose infusion.

    Thresholds: the glucose at which counter-regulation begins, tremor begins, the brain's supply first falls short
    (symptoms), and falls 5 % short (tests of the mind).
    """
    patient = bench.patient()
    patient.control("insulin_excess_frac", 0.85)
    found: dict[str, float] = {}
    wanted_of = {
        "MN016": ("counter_regulation_frac", 0.02, 1.0),
        "MN017": ("tremor_frac", 0.02, 1.0),
        "MN018": ("brain_glucose_frac", 0.995, -1.0),
        "MN019": ("brain_glucose_frac", 0.95, -1.0),
    }
    for target in np.arange(84.0, 42.0, -2.0):
        for _ in range(90):
            patient.run("20 s")
            miss = target - patient["glucose_mg_per_dl"]
            rate = patient.body.control("glucose_infusion_mg_per_min") + 12.0 * miss
            patient.control("glucose_infusion_mg_per_min", min(max(rate, 0.0), 3000.0))
        for row, (signal, limit, sign) in wanted_of.items():
            if row not in found and sign * (patient[signal] - limit) > 0.0:
                found[row] = patient["glucose_mg_per_dl"]
    return found


@answers("MN022", "MN023", "MN024")
def one_convulsion(bench: Bench) -> Answers:
    """A generalised seizure of 90 s that ends by itself: lactate and pH right after, lactate an hour later."""
    patient = bench.patient()
    patient.wrong("seizure", lasts_s=90.0)
    patient.run("40 s")
    while patient["convulsion_frac"] > 0.05:
        patient.run("1 s")
    after = patient.mean(["lactate_mmol_per_l", "ph"], "30 s")
    later = patient.run("59.5 min")["lactate_mmol_per_l"]
    return {"MN022": after["lactate_mmol_per_l"], "MN023": after["ph"], "MN024": later}


@answers("MN026", "MN027", "MN028")
def fever_of_two_degrees(bench: Bench) -> Answers:
    """A set point raised by 2 degC, six hours later: oxygen uptake, heart and breathing rate per degree."""
    names = ["oxygen_uptake_ml_per_min", "heart_rate_per_min", "respiratory_rate_per_min", "temperature_core_degc"]
    patient = bench.patient()
    rest = patient.branch().mean(names, "2 min")
    patient.wrong("fever", rise_degc=2.0)
    patient.run("6 h")
    got = patient.mean(names, "2 min")
    risen = got["temperature_core_degc"] - rest["temperature_core_degc"]
    uptake = got["oxygen_uptake_ml_per_min"] / rest["oxygen_uptake_ml_per_min"] - 1.0
    return {
        "MN026": 100.0 * uptake / risen,
        "MN027": (got["heart_rate_per_min"] - rest["heart_rate_per_min"]) / risen,
        "MN028": (got["respiratory_rate_per_min"] - rest["respiratory_rate_per_min"]) / risen,
    }


def _cooled(bench: Bench, core_degc: float) -> ScriptedPatient:
    """Asleep, relaxed and ventilated, the core brought to a temperature and held there for some minutes."""
    patient = bench.asleep(oxygen=True)
    patient.wrong(
        "exposure", ambient_degc=core_degc, added_loss_frac=0.0, core_change_degc=core_degc - _core(patient)
    )  # fmt: skip
    return patient.run("2 min")


def _core(patient: ScriptedPatient) -> float:
    return patient["temperature_core_degc"]


@answers("MN029", "MN030", "MN033")
def brain_in_the_cold(bench: Bench) -> Answers:
    """Oxygen need of the brain at 37, 30 and 27 degC: Q10, and share at 30."""
    need = {}
    for core_degc in (37.0, 30.0, 27.0):
        patient = _cooled(bench, core_degc)
        need[core_degc] = (patient["brain_need_frac"], _core(patient))
    (warm, t_warm), (cool, t_cool), (cold, t_cold) = need[37.0], need[30.0], need[27.0]
    q10 = (warm / cool) ** (10.0 / (t_warm - t_cool))
    return {
        "MN029": q10,
        "MN030": 100.0 * cool / warm * q10 ** ((t_cool - t_warm + 7.0) / 10.0),
        "MN033": (warm / cold) ** (10.0 / (t_warm - t_cold)),
    }


@answers("MN031", "MN032")
def arrest_in_the_cold(bench: Bench) -> Answers:
    """Time without any circulation that harms the brain as much as five minutes do at 37 degC."""

    def harm(core_degc: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        patient = _cooled(bench, core_degc)
        patient.wrong("arrest", rhythm="asystole")
        return patient.course(["brain_injury_frac"], "30 min", every_s=5.0)["brain_injury_frac"]

    limit = harm(37.0)[60]
    return {
        row: 5.0 / 60.0 * float(np.argmax(harm(core_degc) >= limit))
        for row, core_degc in (("MN031", 30.0), ("MN032", 20.0))
    }


@answers("MN034")
def uptake_in_the_cold(bench: Bench) -> Answers:
    """Asleep and relaxed, so without shivering: oxygen uptake at 30 against 37 degC, per degree."""
    warm, cold = _cooled(bench, 37.0), _cooled(bench, 30.0)
    fallen = _core(cold) - _core(warm)
    got = [patient.mean(["oxygen_uptake_ml_per_min"], "1 min")["oxygen_uptake_ml_per_min"] for patient in (warm, cold)]
    return {"MN034": -100.0 * (got[1] / got[0] - 1.0) / fallen}


@answers("MN035")
def strongest_shivering(bench: Bench) -> Answers:
    """Naked in wind at 5 degC for an hour: highest oxygen uptake over rest."""
    patient = bench.patient()
    rest = patient.branch().mean(["oxygen_uptake_ml_per_min"], "1 min")["oxygen_uptake_ml_per_min"]
    patient.wrong("exposure", ambient_degc=5.0, added_loss_frac=3.0)
    most = patient.course(["oxygen_uptake_ml_per_min"], "60 min", every_s=10.0)["oxygen_uptake_ml_per_min"].max()
    return {"MN035": float(most) / rest}


@answers("MN036")
def unconscious_from_cold(bench: Bench) -> Answers:
    """The core led down by half a degree every ten minutes: the temperature at which the coma scale falls to 8.

    To the whole degree, as the stages are given.
    """
    patient = bench.patient()
    patient.run("1 min")
    change = 0.0
    while patient["gcs_total"] > 8.0 and change > -14.0:
        change -= 0.5
        patient.wrong("exposure", ambient_degc=20.0, added_loss_frac=1.0, core_change_degc=change)
        patient.run("3 min")
    return {"MN036": float(round(_core(patient)))}


@answers("MN037")
def cold_saline(bench: Bench) -> Answers:
    """Two litres at 4 degC through a wide line into an unconscious, ventilated patient: core half an hour later."""
    patient = bench.asleep(oxygen=True)
    before = _core(patient)
    patient.control("fluid_degc", 4.0)
    patient.do("place line", line_kind="IV", site="left arm", gauge=14)
    patient.do("start fluid", fluid="crystalloid", volume_ml=2000.0, rate_ml_per_min=100.0)
    return {"MN037": _core(patient.run("30 min")) - before}


@answers("PK130")
def succinylcholine_and_potassium(bench: Bench) -> Answers:
    """1.25 mg/kg into a vein, asleep and ventilated: highest rise of potassium."""
    patient = bench.asleep(oxygen=True)
    before = patient["potassium_mmol_per_l"]
    patient.do("give drug", drug="succinylcholine", dose=87.5, dose_unit="mg", route="IV")
    course = patient.course(["potassium_mmol_per_l"], "15 min", every_s=5.0)
    return {"PK130": float(course["potassium_mmol_per_l"].max()) - before}


@answers("PK134", "PK135")
def salbutamol_and_potassium(bench: Bench) -> Answers:
    """10 and 20 mg nebulised without kidneys, potassium 1.5 mmol/L too high: deepest fall within two hours."""
    fall = {}
    for row, dose_mg in (("PK134", 10.0), ("PK135", 20.0)):
        patient = bench.patient()
        patient.wrong("potassium disorder", rise_mmol_per_l=1.5, kidney_lost_frac=1.0)
        patient.run("30 min")
        before = patient["potassium_mmol_per_l"]
        patient.do("give drug", drug="salbutamol", dose=dose_mg, dose_unit="mg", route="nebulised", over_s=600.0)
        course = patient.course(["potassium_mmol_per_l"], "2 h", every_s=30.0)
        fall[row] = float(course["potassium_mmol_per_l"].min()) - before
    return fall


@answers("PK143")
def calcium_in_high_potassium(bench: Bench) -> Answers:
    """1 g of calcium chloride at a potassium of 7.5: time to half of its effect on the heart's membranes."""
    patient = bench.patient()
    patient.wrong("potassium disorder", rise_mmol_per_l=3.3, kidney_lost_frac=1.0)
    patient.run("10 min")
    name = "membrane_potassium_mmol_per_l"
    before = patient[name]
    patient.do("give drug", drug="calcium chloride", dose=1000.0, dose_unit="mg", route="IV", over_s=60.0)
    course = patient.course([name], "20 min", every_s=2.0)
    half = before + 0.5 * (course[name].min() - before)
    return {"PK143": course.first_s(name, below=float(half)) / 60.0}
