"""Levels of drugs over time, with the drug module alone (a person at rest, no body)."""

import numpy as np

from drillyard.scripting import Adult, drugs_alone, shipped_drugs
from drillyard.validation.bench import Answers, Bench, answers
from drillyard.validation.drug_courses import Followed, effect_site, follow, plasma

CHILD = Adult(age_years=8.0, mass_kg=26.0, height_cm=128.0)
VENOUS_OF_ARTERIAL = 1.0 - 0.51
"""Forearm venous epinephrine over arterial: Best and Halter 1982, during 2 ug/min."""


def _draw(bench: Bench, row: str, course: Followed, factor: float, unit: str, published: tuple[float, float]) -> None:
    bench.draw(
        row, course.t_min, factor * course.value, x_label="minutes", y_label=f"level, {unit}", published=[published]
    )


@answers("PK005", "PK007")
def epinephrine_in_a_childs_thigh(bench: Bench) -> Answers:
    """0.3 mg in the thigh of a child of 26 kg: highest venous level; half-life in the last of four hours."""
    alone = drugs_alone(CHILD)
    alone.give("epinephrine", 0.3, "mg", "IM", site="left thigh")
    course = follow(alone, plasma("epinephrine"), 240.0, every_s=5)
    pg_per_ml = VENOUS_OF_ARTERIAL * 1e6
    _draw(bench, "PK005", course, pg_per_ml, "pg/mL", (8.0, 2136.0))
    hour = course.value[-1] / course.value[-1 - 720]
    return {"PK005": pg_per_ml * course.peak, "PK007": 60.0 * float(np.log(2.0) / -np.log(hour))}


@answers("PK013")
def epinephrine_venous_clearance(bench: Bench) -> Answers:
    """0.083 ug/kg/min for an hour: rate over forearm venous level."""
    alone = drugs_alone()
    alone.infuse("epinephrine", 0.083, "ug/kg/min")
    alone.run(3600)
    return {"PK013": 0.083e-3 * 70.0 / (VENOUS_OF_ARTERIAL * alone.plasma_per_l("epinephrine"))}


@answers("PK023")
def norepinephrine_infused(bench: Bench) -> Answers:
    """0.2 ug/kg/min for 30 min, pg/mL; the body's own norepinephrine is not in it."""
    alone = drugs_alone()
    alone.infuse("norepinephrine", 0.2, "ug/kg/min")
    course = follow(alone, plasma("norepinephrine"), 30.0, every_s=10)
    _draw(bench, "PK023", course, 1e6, "pg/mL", (30.0, 7475.0))
    return {"PK023": 1e6 * float(course.value[-1])}


@answers("PK042")
def amiodarone_spreads(bench: Bench) -> Answers:
    """150 mg over 10 min: level 30 to 45 min after its end, percent of the highest."""
    alone = drugs_alone()
    alone.give("amiodarone", 150.0, "mg", "IV", over_s=600.0)
    course = follow(alone, plasma("amiodarone"), 55.0, every_s=5)
    late = course.value[(course.t_min >= 40.0) & (course.t_min <= 55.0)]
    _draw(bench, "PK042", course, 1.0, "mg/L", (47.5, 0.1 * course.peak))
    return {"PK042": 100.0 * float(late.mean()) / course.peak}


@answers("PK047", "PK049")
def lidocaine(bench: Bench) -> Answers:
    """1.5 mg/kg then 3 mg/min: level after an hour.  The bolus alone: minutes at 1.5 mg/L or more."""
    alone = drugs_alone()
    alone.give("lidocaine", 105.0, "mg", "IV", over_s=60.0)
    alone.infuse("lidocaine", 3.0, "mg/min")
    alone.run(3600)
    bolus = drugs_alone()
    bolus.give("lidocaine", 105.0, "mg", "IV", over_s=60.0)
    course = follow(bolus, plasma("lidocaine"), 60.0, every_s=5)
    _draw(bench, "PK049", course, 1.0, "mg/L", (15.0, 1.5))
    return {"PK047": alone.plasma_per_l("lidocaine"), "PK049": course.minutes_above(1.5)}


@answers("PK050", "PK051", "PK052", "PK053", "PK055")
def nitroglycerin_under_the_tongue(bench: Bench) -> Answers:
    """0.6 mg: time and height of the peak, time at half of it, time at a twentieth of it (barely there); 0.4 mg: peak
    time.  The two studies' peaks lie apart (2 and 5.3 min); one absorption answers both."""
    alone = drugs_alone()
    alone.give("nitroglycerin", 0.6, "mg", "SL")
    course = follow(alone, plasma("nitroglycerin"), 60.0)
    _draw(bench, "PK051", course, 1000.0, "ng/mL", (2.0, 2.3))
    smaller = drugs_alone()
    smaller.give("nitroglycerin", 0.4, "mg", "SL")
    peak = course.peak_min
    return {
        "PK050": peak,
        "PK051": 1000.0 * course.peak,
        "PK052": course.first_min(below=0.5 * course.peak, after_min=peak),
        "PK053": course.first_min(below=0.05 * course.peak, after_min=peak),
        "PK055": follow(smaller, plasma("nitroglycerin"), 30.0).peak_min,
    }


@answers("PK062", "PK063")
def morphine_peaks(bench: Bench) -> Answers:
    """10 mg in the muscle: peak level; 10 mg in the vein: peak at the effect site, minutes."""
    muscle, vein = drugs_alone(), drugs_alone()
    muscle.give("morphine", 10.0, "mg", "IM")
    vein.give("morphine", 10.0, "mg", "IV")
    return {
        "PK062": follow(muscle, plasma("morphine"), 120.0, every_s=5).peak_min,
        "PK063": follow(vein, effect_site("morphine"), 120.0, every_s=5).peak_min,
    }


@answers("PK118", "PK119")
def propofol_peaks(bench: Bench) -> Answers:
    """1.8 mg/kg pushed at once: seconds to the peak at the effect site, adult and child of 7."""
    found = {}
    for row, person in (("PK118", Adult()), ("PK119", Adult(age_years=7.0, mass_kg=24.0, height_cm=122.0))):
        alone = drugs_alone(person)
        alone.give("propofol", 1.8 * person.mass_kg, "mg", "IV")
        course = follow(alone, effect_site("propofol"), 10.0)
        found[row] = 60.0 * course.peak_min
    return found


@answers("PK006")
def epinephrine_under_the_skin(bench: Bench) -> Answers:
    """0.01 mg/kg under the skin of a child: time of the highest level."""
    if "SC" not in shipped_drugs().get("epinephrine").routes():
        bench.leave("PK006", "the drug file of epinephrine has no absorption from under the skin")
        return {}
    alone = drugs_alone(CHILD)
    alone.give("epinephrine", 0.26, "mg", "SC")
    return {"PK006": follow(alone, plasma("epinephrine"), 180.0, every_s=10).peak_min}
