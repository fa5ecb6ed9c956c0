"""Fluids and blood: capillaries, kidneys, anaphylaxis, burns."""

from drillyard.validation.bench import Answers, Bench, answers


@answers("CV101")
def colloid_half_life(bench: Bench) -> Answers:
    """10 mL/kg of colloid in 30 min: time in which the excess of plasma over what it was falls to half, after the end.

    The first half hour, in which fluid and colloid mix with tissue, is left out as in volume kinetics.
    """
    patient = bench.patient()
    before = patient["blood_volume_ml"]
    patient.do("place line", site="right arm", gauge=16)
    patient.do("start fluid", fluid="colloid", volume_ml=700.0, rate_ml_per_min=700.0 / 30.0)
    patient.run("30 min")
    course = patient.course(["blood_volume_ml"], "6 h", every_s=60.0)
    excess = course["blood_volume_ml"] - before
    hours = (course.t_s - course.t_s[0]) / 3600.0
    bench.draw("CV101", hours, excess, x_label="h", y_label="plasma over rest, mL")
    below = hours[excess < 0.5 * excess[0]]
    if not len(below):
        bench.leave("CV101", "the excess does not fall to half within six hours")
        return {}
    return {"CV101": float(below[0])}


@answers("CV139")
def plasma_lost_in_anaphylaxis(bench: Bench) -> Answers:
    """The worst reaction, agent by the vein: share of the plasma that has left after ten minutes."""
    patient = bench.patient()

    def plasma_ml() -> float:
        return patient["blood_volume_ml"] * (1.0 - patient["haematocrit_frac"])

    before = plasma_ml()
    patient.wrong("allergic reaction", severity_frac=1.0, entry="vein")
    course = patient.course(["blood_volume_ml", "haematocrit_frac"], "10 min", every_s=10.0)
    minutes = (course.t_s - course.t_s[0]) / 60.0
    plasma = course["blood_volume_ml"] * (1.0 - course["haematocrit_frac"])
    bench.draw("CV139", minutes, 100.0 * (1.0 - plasma / before), x_label="min", y_label="plasma lost, %")
    return {"CV139": 100.0 * (1.0 - plasma_ml() / before)}


@answers("MN064")
def urine_at_rest(bench: Bench) -> Answers:
    """Urine of a healthy man over two hours."""
    patient = bench.patient()
    before = patient["urine_ml"]
    patient.run("2 h")
    return {"MN064": (patient["urine_ml"] - before) / 70.0 / 2.0}


@answers("CV098", slow=True)
def refill_completed(bench: Bench) -> Answers:
    """750 mL (15 %) lost in ten minutes, no treatment: hours until 98 % of the blood volume is there again."""
    patient = bench.patient()
    rest = patient["blood_volume_ml"]
    patient.control("venesection_ml_per_min", 75.0)
    patient.run("10 min")
    patient.control("venesection_ml_per_min", 0.0)
    low = patient["blood_volume_ml"]
    course = patient.course(["blood_volume_ml"], "48 h", every_s=900.0)
    hours = (course.t_s - course.t_s[0]) / 3600.0
    bench.draw("CV098", hours, course["blood_volume_ml"], x_label="h", y_label="blood volume, mL")
    full = hours[course["blood_volume_ml"] > 0.98 * rest]
    if not len(full):
        back = 100.0 * (course["blood_volume_ml"][-1] - low) / (rest - low)
        why = "the body makes no albumin and holds too little salt in the long run"
        bench.leave("CV098", f"after 48 h only {back:.0f} % of the loss is back: {why}")
        return {}
    return {"CV098": float(full[0])}


@answers("PK140")
def furosemide_filling(bench: Bench) -> Answers:
    """A failing left heart, filled to a high pressure: fall ten minutes after 40 mg, taken from the row's 20.4 mmHg."""
    patient = bench.patient()
    patient.wrong("pump failure", lost_frac=0.5)
    patient.do("place line", site="right arm", gauge=14)
    patient.do("start fluid", fluid="albumin", volume_ml=1000.0, rate_ml_per_min=100.0)
    patient.run("30 min")
    names = ["lv_end_diastolic_pressure_mmhg"]
    before = patient.mean(names, "1 min")[names[0]]
    untreated = patient.branch()
    patient.do("give drug", drug="furosemide", dose=40, dose_unit="mg", route="IV", over_s=120.0)
    for each in (patient, untreated):
        each.run("10 min")
    fall = untreated.mean(names, "1 min")[names[0]] - patient.mean(names, "1 min")[names[0]]
    return {"PK140": 20.4 * (1.0 - fall / before)}
