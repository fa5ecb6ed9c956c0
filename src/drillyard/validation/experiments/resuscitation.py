"""Compressions and what they move."""

from drillyard.scripting import ScriptedPatient
from drillyard.validation.bench import Answers, Bench, answers


def _arrested(bench: Bench, **cpr: float) -> ScriptedPatient:
    """Fibrillation, a tube, oxygen, ten breaths a minute, and compressions."""
    patient = bench.asleep(oxygen=True)
    patient.control("rhythm_is_held", 1.0)
    patient.wrong("arrest", rhythm="ventricular fibrillation")
    patient.run("1 min")
    patient.do("compress", **{"rate_per_min": 110.0, "depth_cm": 5.5, **cpr})
    return patient


@answers("CA007", "CA008")
def manual_compressions(bench: Bench) -> Answers:
    """Three minutes of good compressions: output over that before the arrest, and systolic pressure."""
    rest = bench.asleep(oxygen=True).mean(["cardiac_output_l_per_min"], "1 min")["cardiac_output_l_per_min"]
    patient = _arrested(bench)
    patient.run("2 min")
    got = patient.mean(["cardiac_output_l_per_min", "systolic_pressure_mmhg"], "1 min")
    return {"CA007": got["cardiac_output_l_per_min"] / rest, "CA008": got["systolic_pressure_mmhg"]}


@answers("CA059", "CA060")
def exhaled_carbon_dioxide(bench: Bench) -> Answers:
    """End-tidal carbon dioxide for one centimetre more depth, and for ten more breaths a minute."""
    got = []
    for depth, breaths in ((4.5, 10.0), (5.5, 10.0), (5.5, 20.0)):
        patient = _arrested(bench, depth_cm=depth)
        patient.do("ventilate", rate_per_min=breaths, volume_ml=490.0, leak_frac=0.0)
        patient.run("3 min")
        got.append(patient.mean(["etco2_mmhg"], "1 min")["etco2_mmhg"])
    return {"CA059": got[1] - got[0], "CA060": got[2] - got[1]}
