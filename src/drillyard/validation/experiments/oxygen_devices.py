"""Oxygen devices: the fraction that reaches the lungs."""

from drillyard.validation.bench import Answers, Bench, answers


@answers("LC047")
def reservoir_mask(bench: Bench) -> Answers:
    """Reservoir mask at 15 L/min, quiet breathing."""
    patient = bench.patient()
    patient.do("give oxygen", device="reservoir mask", flow="15 L/min")
    patient.run("3 min")
    return {"LC047": patient.mean(["inspired_o2_frac"], "1 min")["inspired_o2_frac"]}


@answers("LC049")
def bag_without_reservoir(bench: Bench) -> Answers:
    """Self-inflating bag without a reservoir at 15 L/min, 12 breaths of 500 mL."""
    patient = bench.patient()
    patient.control("paralysed", 1.0)
    patient.control("anaesthetised", 1.0)
    patient.do("open airway", how="jaw thrust")
    patient.do("give oxygen", device="bag without reservoir", flow="15 L/min")
    patient.do("ventilate", rate="12 /min", volume_ml=500.0)
    patient.run("3 min")
    return {"LC049": patient.mean(["inspired_o2_frac"], "1 min")["inspired_o2_frac"]}
