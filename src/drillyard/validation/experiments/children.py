"""Children at rest and in apnoea, each of a size near the median of its age."""

from drillyard.scripting import ScriptedPatient
from drillyard.validation.bench import Answers, Bench, answers

MEDIAN_SIZE = {
    0.0: (3.5, 50.0), 0.25: (6.0, 60.0), 0.5: (7.5, 67.0), 2.0: (12.5, 87.0), 3.5: (15.0, 98.0), 4.0: (16.5, 103.0),
    5.0: (18.5, 110.0), 10.0: (32.0, 138.0), 14.0: (50.0, 163.0), 16.5: (62.0, 174.0),
}  # fmt: skip
"""Age in years to kg and cm; near the medians of the usual growth charts (from memory)."""


def _child(bench: Bench, age_years: float) -> ScriptedPatient:
    mass_kg, height_cm = MEDIAN_SIZE[age_years]
    return bench.patient(age_years=age_years, mass_kg=mass_kg, height_cm=height_cm)


@answers("CV140", "CV142", "CV143", "CV145", "CV146", "CV147", "CV148", "CV149", "CV152")
def at_rest(bench: Bench) -> Answers:
    """Heart and breathing rate and systolic pressure at rest, lying: means over a minute."""
    signals = ["heart_rate_per_min", "respiratory_rate_per_min", "systolic_pressure_mmhg"]
    got = {age: _child(bench, age).mean(signals, "1 min") for age in (0.0, 2.0, 4.0, 5.0, 10.0, 16.5)}
    return {
        "CV140": got[0.0]["heart_rate_per_min"],
        "CV142": got[2.0]["heart_rate_per_min"],
        "CV143": got[0.0]["respiratory_rate_per_min"],
        "CV145": got[5.0]["heart_rate_per_min"],
        "CV146": got[10.0]["heart_rate_per_min"],
        "CV147": got[16.5]["heart_rate_per_min"],
        "CV148": got[5.0]["respiratory_rate_per_min"],
        "CV149": got[16.5]["respiratory_rate_per_min"],
        "CV152": got[4.0]["systolic_pressure_mmhg"],
    }


@answers("CV023")
def infant_elastance(bench: Bench) -> Answers:
    """End-systolic elastance of an infant's left ventricle, by a sudden rise of resistance as in the adult's row."""
    patient = _child(bench, 0.5)
    names = ["systolic_pressure_mmhg", "lv_end_systolic_volume_ml"]
    rest = patient.branch().mean(names, "1 min")
    patient.hold("vascular resistance", 1.6)
    patient.run("6 s")
    after = patient.mean(names, "3 s")
    rise_mmhg = 0.9 * (after["systolic_pressure_mmhg"] - rest["systolic_pressure_mmhg"])
    return {"CV023": rise_mmhg / (after["lv_end_systolic_volume_ml"] - rest["lv_end_systolic_volume_ml"])}


@answers("LC032", "LC033", "LC034")
def apnoea_after_two_minutes_of_oxygen(bench: Bench) -> Answers:
    """Asleep and paralysed, two minutes of breaths of oxygen, then the airway closed: seconds to a saturation of 90 %.

    The lungs have lost what muscle tone held open before the apnoea begins, as in the study.
    """
    got = {}
    for row, age_years in (("LC032", 0.25), ("LC033", 3.5), ("LC034", 14.0)):
        patient = _child(bench, age_years)
        patient.control("anaesthetised", 1.0)
        patient.control("paralysed", 1.0)
        patient.do("place airway", device="tracheal tube", size=4.0)
        patient.control("given_breath_is_circuit", 1.0)
        rate, volume_ml = patient["respiratory_rate_per_min"], patient["tidal_volume_ml"]
        patient.do("ventilate", rate=f"{rate:.1f} /min", volume_ml=volume_ml, leak_frac=0.0)
        patient.run("3 min")
        patient.do("give oxygen", device="tight circuit", flow="15 L/min")
        patient.run("2 min")
        patient.do("stop ventilating")
        patient.run("2 s")
        patient.do("remove airway")
        patient.control("airway_block_frac", 1.0)
        got[row] = patient.course(["sao2_pct"], "14 min").first_s("sao2_pct", below=90.0)
    return got
