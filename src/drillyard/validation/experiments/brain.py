"""The brain: its flow and oxygen use, and what takes consciousness."""

from drillyard.validation.bench import Answers, Bench, answers

BRAIN_HUNDREDS_OF_G = 15.0
"""A brain of 1500 g: 750 mL/min is then the 50 mL/100 g/min of the reference."""


@answers("MN038", "MN039")
def brain_at_rest(bench: Bench) -> Answers:
    """A man of 40 years at rest: flow and oxygen use of the brain over 100 g."""
    got = bench.patient().mean(["brain_blood_flow_ml_per_min", "brain_oxygen_use_ml_per_min"], "1 min")
    return {
        "MN038": got["brain_blood_flow_ml_per_min"] / BRAIN_HUNDREDS_OF_G,
        "MN039": got["brain_oxygen_use_ml_per_min"] / BRAIN_HUNDREDS_OF_G,
    }


@answers("MN047")
def neck_restraint(bench: Bench) -> Answers:
    """Flow at the neck cut to 18 %, a young man: seconds until he no longer follows anything (half awake)."""
    patient = bench.patient(age_years=30.0)
    patient.control("neck_compressed_frac", 0.82)
    course = patient.course(["conscious_frac"], "40 s", every_s=0.5)
    return {"MN047": course.first_s("conscious_frac", below=0.5)}


@answers("PK111")
def etomidate_and_pressure(bench: Bench) -> Answers:
    """0.3 mg/kg into a healthy patient who is bagged with oxygen: mean pressure of minutes 1 to 3 over that before."""
    patient = bench.patient()
    before = patient.mean(["mean_arterial_pressure_mmhg"], "1 min")["mean_arterial_pressure_mmhg"]
    patient.do("open airway", how="jaw thrust")
    patient.do("give oxygen", device="bag with reservoir", flow="15 L/min")
    patient.do("give drug", drug="etomidate", dose=21.0, dose_unit="mg", route="IV", over_s=30.0)
    patient.do("ventilate", rate="12 /min", volume_ml=500.0)
    patient.run("1 min")
    after = patient.mean(["mean_arterial_pressure_mmhg"], "2 min")["mean_arterial_pressure_mmhg"]
    return {"PK111": 100.0 * (after / before - 1.0)}
