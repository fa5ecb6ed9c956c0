"""Breathing: lung volume, dead space, resistance of a tube, shunt, oxygen stores, carbon monoxide, methaemoglobin."""

import math

from drillyard.scripting import ScriptedPatient
from drillyard.scripting.equations import o2_saturation_frac
from drillyard.validation.bench import Answers, Bench, answers


@answers("LC001")
def resting_volume_upright(bench: Bench) -> Answers:
    """Awake, sitting: gas in the lungs at the end of a quiet breath."""
    patient = bench.patient()
    patient.do("position", posture="sitting")
    patient.run("5 min")
    return {"LC001": patient.mean(["end_expiratory_ml"], "1 min")["end_expiratory_ml"] / 1000.0}


@answers("LC006")
def anatomical_dead_space(bench: Bench) -> Answers:
    """Fowler's way: in one expiration, the volume at the mouth until CO2 reaches half of its plateau, per kg."""
    patient = bench.patient()
    patient.run("10 s")
    for _ in range(1000):  # to the start of an expiration
        before = patient["airway_flow_ml_per_s"]
        patient.run(0.01)
        if before > 0.0 >= patient["airway_flow_ml_per_s"]:
            break
    plateau, out_ml, front_ml, trace = 0.0, 0.0, math.nan, []
    for _ in range(400):
        patient.run(0.01)
        flow = -patient["airway_flow_ml_per_s"]
        if flow < -20.0:
            break
        out_ml += max(flow, 0.0) * 0.01
        trace.append((out_ml, patient["airway_co2_mmhg"]))
        plateau = max(plateau, trace[-1][1])
    # a sensor sees gas with a lag of 50 ms: the flow of that time is taken off again
    for volume, co2 in trace:
        if co2 >= 0.5 * plateau:
            front_ml = volume
            break
    return {"LC006": front_ml / 70.0}


@answers("LC011")
def resistance_through_a_tube(bench: Bench) -> Answers:
    """Asleep with an 8 mm tube, a volume breath of 1 L in 1 s: peak airway less mean alveolar pressure, over flow."""
    patient = bench.asleep()
    patient.do("ventilate", rate="12 /min", volume_ml=1000.0, leak_frac=0.0)
    patient.run("30 s")
    drop = 0.0
    for _ in range(1000):
        patient.run(0.01)
        flow_l_per_s = patient["airway_flow_ml_per_s"] / 1000.0
        if flow_l_per_s > 0.9:
            alveolar_cmh2o = patient["alveolar_pressure_mmhg"] / 0.7356
            drop = (patient["airway_pressure_cmh2o"] - alveolar_cmh2o) / flow_l_per_s
    return {"LC011": drop}


@answers("GX073")
def shunt_on_air(bench: Bench) -> Answers:
    """Shunt equation (Berggren 1942): contents of blood after ideal alveoli, arterial and mixed venous, healthy, on
    air."""
    patient = bench.patient()
    patient.run("1 min")
    hb = patient["haemoglobin_g_per_dl"]
    inspired_mmhg = 0.2093 * 713.0
    alveolar_mmhg = inspired_mmhg - patient["paco2_mmhg"] * (0.2093 + (1.0 - 0.2093) / 0.8)
    ideal = 0.0134 * hb * o2_saturation_frac(alveolar_mmhg, patient["ph"], 37.0) + 3.0e-5 * alveolar_mmhg
    arterial, venous = patient["arterial_o2_ml_per_ml"], patient["venous_o2_ml_per_ml"]
    return {"GX073": 100.0 * (ideal - arterial) / (ideal - venous)}


def _oxygen_stores_ml(patient: ScriptedPatient) -> float:
    """Lungs as gas (as the textbook counts them), blood and tissues."""
    read, p, index = patient.body.read, patient.body.p, patient.body.kernel.layout.p_index
    lungs = read("alveolar_o2_left_ml") + read("alveolar_o2_right_ml")
    stores = (
        ("arterial_o2_ml_per_ml", "arterial_pool_ml"), ("venous_o2_ml_per_ml", "venous_pool_ml"),
        ("organ_o2_ml_per_ml", "organ_o2_store_ml"), ("muscle_o2_ml_per_ml", "muscle_o2_store_ml"),
    )  # fmt: skip
    return lungs + sum(read(content) * float(p[index[pool]]) for content, pool in stores)


@answers("GX084")
def oxygen_stores(bench: Bench) -> Answers:
    """Sitting (resting volume about 3 L), seven minutes on pure oxygen: all oxygen of the body."""
    patient = bench.patient()
    patient.do("position", posture="sitting")
    patient.do("give oxygen", device="tight circuit", flow="15 L/min")
    patient.run("7 min")
    return {"GX084": _oxygen_stores_ml(patient)}


def _half_life_min(patient: ScriptedPatient, minutes: float) -> float:
    """Half-life of carboxyhaemoglobin over so many minutes."""
    first = patient["cohb_pct"]
    patient.run(60.0 * minutes)
    return minutes * math.log(2.0) / math.log(first / patient["cohb_pct"])


@answers("GX078")
def carbon_monoxide_on_oxygen(bench: Bench) -> Answers:
    """Poisoned to 30 %, an hour on pure oxygen at one atmosphere."""
    patient = bench.patient()
    patient.control("cohb_order_frac", 0.3)
    patient.do("give oxygen", device="tight circuit", flow="15 L/min")
    patient.run("5 min")
    return {"GX078": _half_life_min(patient, 60.0)}


@answers("GX080")
def carbon_monoxide_under_pressure(bench: Bench) -> Answers:
    """Volunteers with a fifth of their haemoglobin bound, half an hour on pure oxygen at three atmospheres."""
    patient = bench.patient()
    patient.control("cohb_order_frac", 0.2)
    patient.control("ambient_pressure_mmhg", 2280.0)
    patient.do("give oxygen", device="tight circuit", flow="15 L/min")
    patient.run("5 min")
    return {"GX080": _half_life_min(patient, 30.0)}


@answers("GX081", slow=True)
def haldane_ratio(bench: Bench) -> Answers:
    """Breathing 100 ppm until balance: COHb over O2Hb, over the ratio of the tensions in the alveoli."""
    patient = bench.patient()
    patient.control("ambient_co_ppm", 100.0)
    patient.run("40 h")
    co, saturation = patient["cohb_pct"] / 100.0, patient["sao2_pct"] / 100.0
    ratio = co / ((1.0 - co) * saturation)
    return {"GX081": ratio * patient.body.read("lungs_po2_smooth_mmhg") / (100.0e-6 * 713.0)}


@answers("GX082")
def methaemoglobin_at_the_finger(bench: Bench) -> Answers:
    """Methaemoglobin of 40 %: what the finger oximeter shows."""
    patient = bench.patient()
    patient.control("methb_order_frac", 0.4)
    patient.run("3 min")
    return {"GX082": patient.mean(["spo2_pct"], "30 s")["spo2_pct"]}


@answers("LC046")
def stomach_insufflation(bench: Bench) -> Answers:
    """Relaxed, bagged by mask with ever larger breaths: airway pressure of the first that fills the stomach."""
    patient = bench.patient()
    patient.control("paralysed", 1.0)
    patient.control("anaesthetised", 1.0)
    patient.do("open airway", how="jaw thrust")
    for volume_ml in range(300, 2000, 25):
        before = patient["stomach_air_ml"]
        patient.do("ventilate", rate="12 /min", volume_ml=float(volume_ml), leak_frac=0.0)
        patient.run("10 s")
        if patient["stomach_air_ml"] > before + 5.0:
            return {"LC046": patient["peak_airway_pressure_cmh2o"]}
    return {"LC046": math.nan}
