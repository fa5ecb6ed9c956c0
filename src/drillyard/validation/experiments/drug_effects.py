"""Onset, height and length of drug effects at their receptors, with the drug module alone.

The thresholds are those of ``drug_courses.py``, the same for every row; none was chosen for one.
"""

from drillyard.scripting import Adult, drugs_alone
from drillyard.validation.bench import Answers, Bench, answers
from drillyard.validation.drug_courses import COMPLETE_FRAC, HALF, Followed, follow, share

QUARTER_BACK = 0.75
"""Block at which a quarter of the first twitch is back."""
YOUNG = Adult(age_years=30.0)


def _given(drug: str, dose: float, unit: str, route: str, receptor: str, minutes: float, **how: float) -> Followed:
    """The share at a receptor after one dose."""
    alone = drugs_alone()
    alone.give(drug, dose, unit, route, over_s=how.get("over_s", 0.0))
    return follow(alone, share(receptor), minutes, every_s=int(how.get("every_s", 1)))


def _draw(bench: Bench, row: str, course: Followed, published: tuple[float, float]) -> None:
    bench.draw(
        row, course.t_min, course.value, x_label="minutes", y_label="share of full effect", published=[published]
    )


@answers("PK026")
def dopamine(bench: Bench) -> Answers:
    """10 ug/kg/min: minutes to half of the steady effect on the heart."""
    alone = drugs_alone()
    alone.infuse("dopamine", 10.0, "ug/kg/min")
    course = follow(alone, share("beta1"), 60.0, every_s=5)
    _draw(bench, "PK026", course, (5.0, HALF * float(course.value[-1])))
    return {"PK026": course.first_min(above=HALF * float(course.value[-1]))}


@answers("PK034")
def adenosine(bench: Bench) -> Answers:
    """6 mg pushed: seconds to half effect at the AV node."""
    course = _given("adenosine", 6.0, "mg", "IV", "adenosine_a1", 2.0)
    _draw(bench, "PK034", course, (17.5 / 60.0, HALF))
    return {"PK034": 60.0 * course.first_min(above=HALF)}


@answers("PK070")
def fentanyl_relieves_pain(bench: Bench) -> Answers:
    """Level at which half of full pain relief is reached while an infusion slowly raises it, ng/mL."""
    alone = drugs_alone()
    rate = 20.0
    alone.infuse("fentanyl", rate, "ug/h")
    while alone.share("opioid_analgesia") < HALF and alone.t_s < 48 * 3600:
        alone.run(60)
        if alone.t_s % 3600 == 0:
            rate += 10.0
            alone.infuse("fentanyl", rate, "ug/h")
    return {"PK070": 1000.0 * alone.effect_site_per_l("fentanyl")}


@answers("PK084")
def naloxone_wears_off(bench: Bench) -> Answers:
    """An opioid held steady at 90 % of its full effect; 0.4 mg IV: minutes until half of what was lost is back."""
    alone = drugs_alone()
    rate = 5.0
    while alone.share("mu_opioid") < 0.9 and alone.t_s < 24 * 3600:
        alone.infuse("morphine", rate, "mg/h")
        alone.run(600)
        rate += 2.0
    before = alone.share("mu_opioid")
    # the opioid that lasts: an infusion that keeps its level
    alone.infuse("morphine", 60.0 * 1.03 * alone.plasma_per_l("morphine"), "mg/h")
    alone.give("naloxone", 0.4, "mg", "IV")
    course = follow(alone, share("mu_opioid"), 180.0, every_s=5)
    least = float(course.value.min())
    _draw(bench, "PK084", course, (45.0, 0.5 * (before + least)))
    lowest_min = float(course.t_min[int(course.value.argmin())])
    return {"PK084": course.first_min(above=0.5 * (before + least), after_min=lowest_min)}


@answers("PK085", "PK088")
def ketamine(bench: Bench) -> Answers:
    """Surgical anaesthesia, taken as 95 % of full dissociation.  2 mg/kg IV over 10 s: seconds to it; 11 mg/kg IM:
    minutes for which it lasts."""
    vein = _given("ketamine", 140.0, "mg", "IV", "nmda_block", 15.0, over_s=10.0)
    muscle = _given("ketamine", 770.0, "mg", "IM", "nmda_block", 300.0, every_s=5)
    _draw(bench, "PK085", vein, (0.5, COMPLETE_FRAC))
    _draw(bench, "PK088", muscle, (18.0, COMPLETE_FRAC))
    return {"PK085": 60.0 * vein.first_min(above=COMPLETE_FRAC), "PK088": muscle.minutes_above(COMPLETE_FRAC)}


@answers("PK095")
def lorazepam_stops_a_seizure(bench: Bench) -> Answers:
    """4 mg IV over 2 min: minutes from the start of injection to half of the full action (half of patients)."""
    course = _given("lorazepam", 4.0, "mg", "IV", "antiseizure", 20.0, over_s=120.0)
    _draw(bench, "PK095", course, (1.6, HALF))
    return {"PK095": course.first_min(above=HALF)}


@answers("PK105", "PK107")
def flumazenil(bench: Bench) -> Answers:
    """10 mg of midazolam; 20 min later 0.4 mg over 30 s, or nothing.  What it takes away, as a share of the sedation
    that there would be: minutes from the start of injection to a fifth of its most, and to its most."""
    courses = []
    for dose_mg in (0.4, 0.0):
        alone = drugs_alone()
        alone.give("midazolam", 10.0, "mg", "IV")
        alone.run(1200)
        if dose_mg:
            alone.give("flumazenil", dose_mg, "mg", "IV", over_s=30.0)
        courses.append(follow(alone, share("benzodiazepine_site"), 40.0))
    reversed_course, left_alone = courses
    taken = Followed(left_alone.t_min, 1.0 - reversed_course.value / left_alone.value)
    _draw(bench, "PK107", taken, (8.0, taken.peak))
    return {"PK105": taken.onset_min(), "PK107": taken.peak_min}


@answers("PK108")
def etomidate(bench: Bench) -> Answers:
    """0.3 mg/kg over 30 s: seconds from its start to half hypnosis."""
    course = _given("etomidate", 21.0, "mg", "IV", "anaesthetic", 10.0, over_s=30.0)
    return {"PK108": 60.0 * course.first_min(above=HALF)}


@answers("PK125", "PK128", "PK129")
def succinylcholine(bench: Bench) -> Answers:
    """1 mg/kg: seconds to complete block of hand and larynx, minutes to the first return of the diaphragm."""
    hand = _given("succinylcholine", 70.0, "mg", "IV", "hand_block", 20.0)
    larynx = _given("succinylcholine", 70.0, "mg", "IV", "diaphragm_block", 20.0)
    _draw(bench, "PK129", larynx, (4.7, COMPLETE_FRAC))
    complete = larynx.first_min(above=COMPLETE_FRAC)
    return {
        "PK125": 60.0 * hand.first_min(above=COMPLETE_FRAC),
        "PK128": 60.0 * complete,
        "PK129": larynx.first_min(below=COMPLETE_FRAC, after_min=complete + 1e-9),
    }


@answers("PK126", "PK127")
def rocuronium(bench: Bench) -> Answers:
    """0.6 and 1.2 mg/kg: minutes from injection until a quarter of the thumb's twitch is back."""
    found = {}
    for row, dose_mg, published in (("PK126", 42.0, 30.0), ("PK127", 84.0, 67.0)):
        course = _given("rocuronium", dose_mg, "mg", "IV", "hand_block", 240.0, every_s=5)
        _draw(bench, row, course, (published, QUARTER_BACK))
        blocked = course.first_min(above=QUARTER_BACK)
        found[row] = course.first_min(below=QUARTER_BACK, after_min=blocked + 1e-9)
    return found


@answers("PK132", "PK137")
def inhaled(bench: Bench) -> Answers:
    """Salbutamol 2.5 mg and ipratropium 0.5 mg nebulised over 10 min: minutes to the most in the airway."""
    salbutamol = _given("salbutamol", 2.5, "mg", "nebulised", "airway_beta2", 360.0, over_s=600.0, every_s=10)
    ipratropium = _given(
        "ipratropium", 0.5, "mg", "nebulised", "airway_muscarinic_block", 600.0, over_s=600.0, every_s=10
    )
    return {"PK132": salbutamol.peak_min, "PK137": ipratropium.peak_min}


@answers("PK138", "PK139")
def furosemide(bench: Bench) -> Answers:
    """40 mg IV over 2 min: minutes to a fifth of the most, and to the most, of the diuretic action."""
    course = _given("furosemide", 40.0, "mg", "IV", "loop_diuretic", 240.0, over_s=120.0, every_s=5)
    _draw(bench, "PK139", course, (30.0, course.peak))
    return {"PK138": course.onset_min(), "PK139": course.peak_min}


@answers("PK147")
def magnesium(bench: Bench) -> Answers:
    """Serum magnesium where tendon reflexes are lost (half of the action) under a slow infusion, mmol/L.

    0.0041 mmol/mg of the salt; 0.85 mmol/L of the body's own is added (usual serum level, common textbook value).
    """
    alone = drugs_alone()
    alone.infuse("magnesium sulfate", 10_000.0, "mg/h")
    while alone.share("magnesium_action") < HALF and alone.t_s < 24 * 3600:
        alone.run(30)
    return {"PK147": 0.85 + 0.00406 * alone.plasma_per_l("magnesium sulfate")}


@answers("PK160")
def diltiazem(bench: Bench) -> Answers:
    """0.25 mg/kg over 2 min: minutes from its start to a fifth of the most at the AV node."""
    course = _given("diltiazem", 17.5, "mg", "IV", "calcium_channel_block", 60.0, over_s=120.0)
    return {"PK160": course.onset_min()}


@answers("PK169")
def hydroxocobalamin(bench: Bench) -> Answers:
    """5 g over 15 min: hours from its end until less than a tenth of the pressor action's most is left."""
    course = _given("hydroxocobalamin", 5000.0, "mg", "IV", "nitric_oxide_scavenging", 720.0, over_s=900.0, every_s=30)
    _draw(bench, "PK169", course, (255.0, 0.1 * course.peak))
    return {"PK169": (course.first_min(below=0.1 * course.peak, after_min=course.peak_min) - 15.0) / 60.0}


@answers("PK171")
def oxytocin(bench: Bench) -> Answers:
    """10 units in the muscle: minutes to a fifth of the most in the womb."""
    course = _given("oxytocin", 10.0, "units", "IM", "uterotonic", 120.0)
    _draw(bench, "PK171", course, (4.0, 0.2 * course.peak))
    return {"PK171": course.onset_min()}
