"""What must be sane in every packaged drug file, whatever the drug.

The bounds are ours, wide enough for real drugs; published figures of single drugs are in
``test_published_levels.py`` and ``test_published_effects.py``.
"""

import pytest

from drillyard.adapters.files.formulary_files import DATA, packaged_formulary, read_citations
from drillyard.core.body.drugs.alone import DrugsAlone
from drillyard.core.entry.commands import commands
from drillyard.core.entry.grammar.sensors_looks import findings_by_word
from drillyard.core.formulary import dose_verdict

from .course import ADULT, CHILD, Course, amount_of, person_of

FORMULARY = packaged_formulary()
ALL = tuple(FORMULARY)
DRUGS = tuple(name for name in ALL if FORMULARY.get(name).given_as == "drug")
LISTED = (
    "oxygen", "epinephrine", "norepinephrine", "dopamine", "phenylephrine", "vasopressin", "atropine", "adenosine",
    "amiodarone", "lidocaine", "procainamide", "diltiazem", "metoprolol", "esmolol", "nitroglycerin", "aspirin",
    "heparin", "morphine", "hydromorphone", "fentanyl", "ketamine", "midazolam", "lorazepam", "diazepam", "etomidate",
    "propofol", "rocuronium", "succinylcholine", "naloxone", "flumazenil", "dextrose", "oral glucose", "glucagon",
    "salbutamol", "albuterol", "ipratropium", "magnesium", "methylprednisolone", "insulin", "potassium chloride",
    "labetalol", "hydralazine", "haloperidol", "ketorolac", "levetiracetam", "tenecteplase", "diphenhydramine",
    "furosemide", "calcium chloride", "calcium gluconate", "sodium bicarbonate", "tranexamic acid", "oxytocin",
    "ondansetron", "paracetamol", "acetaminophen", "ceftriaxone", "hydroxocobalamin", "crystalloid",
    "hypertonic saline", "mannitol", "red cells", "plasma", "whole blood", "adrenaline", "noradrenaline",
    "suxamethonium", "glyceryl trinitrate", "frusemide", "lignocaine",
)  # fmt: skip
"""What an emergency crew's formulary must know, under either side's generic names (our list)."""
SLOWEST_PEAK_MIN = {"IM": 240, "SC": 300, "IN": 90, "SL": 120, "PO": 300, "PR": 300, "nebulised": 300, "inhaled": 300,
                    "ETT": 60}  # fmt: skip


def doses(name):
    return FORMULARY.get(name).usual_doses


def course_of(name, dose, end, minutes=60.0):
    drug, person = FORMULARY.get(name), person_of(dose)
    amount = amount_of(dose, end, person)
    if dose.per_time:
        return Course(
            drug, amount * minutes, "IV" if dose.route == "IV" else dose.route, minutes, minutes * 60.0, person
        )
    return Course(drug, amount, dose.route, minutes, max(dose.over_s, 1.0), person)


@pytest.mark.parametrize("word", LISTED)
def test_the_list_is_whole(word):
    assert word in FORMULARY


def test_no_word_for_a_drug_is_a_word_for_something_else():
    others = {*commands(), *findings_by_word()}
    for name in DRUGS:
        drug = FORMULARY.get(name)
        for word in (drug.name, *drug.synonyms):
            assert word == word.strip() and word.lower() not in others, word


def test_every_citation_is_used():
    citations, faults = read_citations(DATA / "citations.yaml")
    text = "\n".join(file.read_text() for file in (DATA / "formulary").glob("*.yaml"))
    assert not faults
    assert [key for key in citations if f"source: {key}" not in text] == []


@pytest.mark.parametrize("name", ALL)
def test_every_file_defers_to_licensed_practice_and_says_what_it_leaves_out(name):
    drug = FORMULARY.get(name)
    assert any("Local protocols and licensed practice" in line for line in drug.cautions)
    assert drug.not_modelled
    assert drug.usual_doses


@pytest.mark.parametrize("name", ALL)
def test_usual_doses_are_possible_and_the_bound_is_not_far_above_them(name):
    drug = FORMULARY.get(name)
    single = [amount_of(d, "high", ADULT) for d in doses(name) if not d.per_time and person_of(d) is ADULT]
    rates = [amount_of(d, "high", ADULT) for d in doses(name) if d.per_time]
    assert all(amount <= drug.impossible.value for amount in single), name
    if single:
        assert drug.impossible.value <= 25.0 * max(single), name
    if drug.given_as == "drug" and rates:
        assert drug.impossible_rate_per_min is not None, name
        assert max(rates) <= drug.impossible_rate_per_min.value <= 60.0 * max(rates), name


@pytest.mark.parametrize("name", DRUGS)
def test_both_ends_of_a_published_dose_are_taken_for_usual(name):
    drug = FORMULARY.get(name)
    own = drug.dose_unit
    for dose in doses(name):
        if dose.per_time:
            continue
        person = person_of(dose)
        for end in ("low", "high"):
            amount = amount_of(dose, end, person) / (0.001 if own == "ug" else 1.0)
            assert dose_verdict(drug, amount, own, dose.route, person.mass_kg).verdict == "usual", (dose.what, end)


@pytest.mark.parametrize("name", DRUGS)
def test_doses_for_children_go_by_mass_and_stop_at_an_adult_dose(name):
    grown = [amount_of(d, "high", ADULT) for d in doses(name) if person_of(d) is ADULT and not d.per_time]
    for dose in doses(name):
        if person_of(dose) is not CHILD or dose.per_time or not grown:
            continue
        assert amount_of(dose, "high", CHILD) <= max(grown), dose.what
        if dose.by_mass and dose.high_limit is not None:
            heavy = type(CHILD)(mass_kg=100.0)
            assert amount_of(dose, "high", heavy) <= 2.0 * max(grown), dose.what


@pytest.mark.parametrize("name", DRUGS)
def test_what_is_drawn_up_can_be_held_in_the_hand(name):
    drug = FORMULARY.get(name)
    if not drug.strengths:
        assert drug.dose_unit == "mL" or "mL" in drug.name
        return
    strongest = max(s.strength_per_ml for s in drug.strengths)
    weakest = min(s.strength_per_ml for s in drug.strengths)
    for dose in doses(name):
        # a tablet or gel is not drawn up
        if dose.per_time or dose.route in ("PO", "SL", "PR", "IN", "inhaled"):
            continue
        person = person_of(dose)
        assert amount_of(dose, "high", person) / strongest <= 500.0, dose.what
        assert amount_of(dose, "low", person) / weakest >= 0.01, dose.what


@pytest.mark.parametrize("name", DRUGS)
def test_peaks_come_when_a_peak_by_that_route_can_come(name):
    for dose in doses(name):
        if dose.per_time:
            continue
        is_vein = dose.route in ("IV", "IO")
        course = course_of(name, dose, "high", 45.0 + dose.over_s / 60.0 if is_vein else 360.0)
        peak = course.peak_min(course.plasma)
        if is_vein:
            assert peak <= max(dose.over_s / 60.0, 0.1) + 1.5, dose.what
        else:
            assert 0.3 <= peak <= SLOWEST_PEAK_MIN[dose.route], (dose.what, peak)


@pytest.mark.parametrize("name", DRUGS)
def test_effect_sites_answer_within_the_hour_after_a_push(name):
    drug = FORMULARY.get(name)
    pushes = [d for d in doses(name) if d.route == "IV" and not d.per_time and d.over_s <= 120.0]
    if not pushes or not drug.effects:
        return
    course = course_of(name, pushes[0], "high", 120.0)
    for effect in course.agonists():
        level = course.level(effect)
        assert course.peak_min(level) <= 115.0, effect.receptor
        assert course.first_min(level, 0.5 * level.max()) <= 45.0, effect.receptor


@pytest.mark.parametrize("name", DRUGS)
def test_half_effect_lies_within_reach_of_usual_doses(name):
    """The largest usual dose comes within a factor of 20 of every half effect, and passes a tenth of its chief one."""
    drug = FORMULARY.get(name)
    most, chief_least = {}, []
    for dose in doses(name):
        course = course_of(name, dose, "high", 120.0)
        for index, effect in enumerate(course.agonists()):
            half = (effect.half_amount or effect.half_per_l).value
            most[effect.receptor] = max(most.get(effect.receptor, 0.0), float(course.level(effect).max()) / half)
            if index == 0 and effect.turnover_s is None:
                low = course_of(name, dose, "low", 120.0)
                chief_least.append(float(low.share(effect.receptor).max() / effect.emax_frac.value))
    for receptor, ratio in most.items():
        assert ratio >= 0.05, (receptor, ratio)
    if drug.effects and drug.effects[0].kind == "agonist" and not drug.delivers:
        assert most[drug.effects[0].receptor] >= 0.2
        assert min(chief_least, default=0.0) < 0.99, "the smallest usual dose already does everything"


@pytest.mark.parametrize("name", DRUGS)
def test_a_route_other_than_the_vein_is_slower_and_never_brings_more(name):
    drug = FORMULARY.get(name)
    for absorption in drug.absorptions:
        vein = Course(drug, 1.0, "IV", 360.0, step_s=20.0)
        other = Course(drug, 1.0, absorption.route, 360.0, step_s=20.0, site=absorption.site)
        assert other.plasma.max() <= vein.plasma.max() * 1.02, absorption.route
        assert other.plasma.sum() <= vein.plasma.sum() * 1.05, absorption.route


@pytest.mark.parametrize("name", ["midazolam", "salbutamol", "propofol", "rocuronium", "vasopressin", "epinephrine"])
def test_the_slots_read_the_file_as_the_matrix_exponential_does(name):
    """The body's slots against scipy within 2 %, in level and in every effect; the two share no text."""
    drug = FORMULARY.get(name)
    route = "IM" if name == "epinephrine" else "nebulised" if name == "salbutamol" else "IV"
    dose = next(d for d in doses(name) if d.route == route and not d.per_time)
    amount = amount_of(dose, "high", ADULT)
    course = Course(drug, amount, route, 40.0, 60.0, step_s=1.0)
    alone = DrugsAlone(FORMULARY, ADULT)
    alone.give(name, amount, drug.amount_unit, route, 60.0)
    done = 0
    for minute in (3, 10, 38):
        alone.run(60 * minute - done)
        done = 60 * minute
        assert alone.plasma_per_l(name) == pytest.approx(course.at(course.plasma, minute), rel=0.02)
        for effect in course.agonists():
            expected = course.at(course.share(effect.receptor), minute)
            assert alone.share(effect.receptor) == pytest.approx(expected, rel=0.02, abs=2e-3), effect.receptor
