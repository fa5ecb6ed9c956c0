"""Typed orders of every family of the packaged formulary, with a box that holds each drug in all of its strengths."""

from dataclasses import replace

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.care.actions import GiveDrug
from drillyard.core.entry import DrugAtHand, parse
from tests.core.entry.hand import CASE

FORMULARY = packaged_formulary()
FULL_BOX = replace(
    CASE,
    drugs=tuple(
        DrugAtHand(drug=drug, labels_per_ml=tuple(s.strength_per_ml for s in drug.strengths) or (1.0,))
        for drug in map(FORMULARY.get, FORMULARY)
    ),
)

ORDERS = [
    # pressors and arrest
    ("epi 1 mg iv", "Epinephrine 1 mg IV"),
    ("epi 5 mcg/min iv", "Epinephrine infusion 5 mcg/min IV"),
    ("norepi 0.1 mcg/kg/min iv", "Norepinephrine infusion 0.1 mcg/kg/min IV"),
    ("noradrenaline 5 mcg/min iv", "Norepinephrine infusion 5 mcg/min IV"),
    ("dopamine 5 mcg/kg/min iv", "Dopamine infusion 5 mcg/kg/min IV"),
    ("phenylephrine 100 mcg iv", "Phenylephrine 100 mcg IV"),
    ("vasopressin 0.03 units/min iv", "Vasopressin infusion 0.03 units/min IV"),
    ("atropine 1 mg iv", "Atropine 1 mg IV"),
    # rhythm
    ("amio 300 iv", "Amiodarone 300 mg IV"),
    ("amiodarone 150 mg iv over 10 min", "Amiodarone 150 mg IV, over 10 min"),
    ("adenosine 6 iv", "Adenosine 6 mg IV"),
    ("lido 100 mg iv", "Lidocaine 100 mg IV"),
    ("lignocaine 100 mg io", "Lidocaine 100 mg IO"),
    ("procainamide 100 iv", "Procainamide 100 mg IV"),
    ("diltiazem 20 iv", "Diltiazem 20 mg IV"),
    ("metoprolol 5 iv", "Metoprolol 5 mg IV"),
    ("esmolol 40 mg iv", "Esmolol 40 mg IV"),
    # pressure and the heart's vessels
    ("gtn 0.4 sl", "Nitroglycerin 0.4 mg SL"),
    ("nitro 0.4 sl", "Nitroglycerin 0.4 mg SL"),
    ("labetalol 20 iv", "Labetalol 20 mg IV"),
    ("hydralazine 5 iv", "Hydralazine 5 mg IV"),
    ("aspirin 300 po", "Aspirin 300 mg PO"),
    ("heparin 5000 units iv", "Heparin 5000 units IV"),
    ("tnk 40 iv", "Tenecteplase 40 mg IV"),
    ("furosemide 40 iv", "Furosemide 40 mg IV"),
    # pain
    ("morphine 4 iv", "Morphine 4 mg IV"),
    ("hydromorphone 0.5 mg iv", "Hydromorphone 0.5 mg IV"),
    ("ketorolac 30 iv", "Ketorolac 30 mg IV"),
    ("paracetamol 1 g iv", "Paracetamol 1 g IV"),
    ("acetaminophen 1 g po", "Paracetamol 1 g PO"),
    # airway drugs
    ("ketamine 100 mg iv", "Ketamine 100 mg IV"),
    ("etomidate 20 mg iv", "Etomidate 20 mg IV"),
    ("propofol 100 mg iv", "Propofol 100 mg IV"),
    ("rocuronium 80 mg iv", "Rocuronium 80 mg IV"),
    ("sux 100 iv", "Succinylcholine 100 mg IV"),
    ("suxamethonium 100 mg iv", "Succinylcholine 100 mg IV"),
    # seizures and sedation
    ("midaz 5 im", "Midazolam 5 mg IM"),
    ("midazolam 10 mg in", "Midazolam 10 mg IN"),
    ("lorazepam 4 iv", "Lorazepam 4 mg IV"),
    ("diazepam 20 mg pr", "Diazepam 20 mg PR"),
    ("flumazenil 0.2 iv", "Flumazenil 0.2 mg IV"),
    ("levetiracetam 4 g iv over 10 min", "Levetiracetam 4 g IV, over 10 min"),
    ("haloperidol 5 im", "Haloperidol 5 mg IM"),
    # breathing
    ("salbutamol 5 neb", "Salbutamol 5 mg nebulised"),
    ("albuterol 2.5 mg neb", "Salbutamol 2.5 mg nebulised"),
    ("ipratropium 0.5 neb", "Ipratropium 0.5 mg nebulised"),
    ("epi 5 mg neb", "Epinephrine 5 mg nebulised"),
    ("mag 2 g iv over 20 min", "Magnesium sulfate 2 g IV, over 20 min"),
    ("methylprednisolone 125 iv", "Methylprednisolone 125 mg IV"),
    ("diphenhydramine 50 iv", "Diphenhydramine 50 mg IV"),
    # sugar and salts
    ("dextrose 10 g iv", "Dextrose 10 g IV"),
    ("dextrose 250 ml of 100 mg/ml iv", "Dextrose 25 g IV"),
    ("oral glucose 15 g po", "Oral glucose 15 g PO"),
    ("glucagon 1 im", "Glucagon 1 mg IM"),
    ("insulin 10 units iv", "Insulin 10 units IV"),
    ("kcl 10 mmol/h iv", "Potassium chloride infusion 10 mmol/h IV"),
    ("calcium chloride 1 g iv", "Calcium chloride 1 g IV"),
    ("calcium gluconate 2 g iv", "Calcium gluconate 2 g IV"),
    ("bicarb 50 mmol iv", "Sodium bicarbonate 50 mmol IV"),
    ("mannitol 70 g iv over 20 min", "Mannitol 70 g IV, over 20 min"),
    ("hypertonic saline 250 ml iv", "Hypertonic saline 250 mL IV"),
    # the rest
    ("oxytocin 10 units im", "Oxytocin 10 units IM"),
    ("ondansetron 4 iv", "Ondansetron 4 mg IV"),
    ("ceftriaxone 2 g iv", "Ceftriaxone 2 g IV"),
    ("hydroxocobalamin 5 g iv over 15 min", "Hydroxocobalamin 5 g IV, over 15 min"),
]


@pytest.mark.parametrize(("typed", "sentence"), ORDERS)
def test_an_order_is_said_back_in_full(typed, sentence):
    result = parse(typed, FULL_BOX)
    # a muscle without a place may be filled in with the usual one
    assert result.sentence.removesuffix(", thigh") == sentence
    assert result.is_complete and not result.needs_confirmation


def test_every_drug_can_be_ordered_by_each_of_its_words_at_a_published_dose():
    """The low end of the first published dose, typed as mass (or units, or volume) with its route."""
    typed = {"mg": ("mg", 1.0), "ug": ("mcg", 1.0), "g": ("g", 1.0), "units": ("units", 1.0), "mmol": ("mmol", 1.0),
             "mL": ("ml", 1.0)}  # fmt: skip
    for name in FORMULARY:
        drug = FORMULARY.get(name)
        if drug.given_as != "drug":
            continue
        dose = next((d for d in drug.usual_doses if not d.per_time), None)
        if dose is None:
            continue
        unit, factor = typed[dose.unit]
        amount = dose.low * factor * (FULL_BOX.mass_kg if dose.by_mass else 1.0)
        if dose.high_limit is not None:
            amount = min(amount, dose.high_limit * factor)
        for word in (drug.name, *drug.synonyms):
            line = f"{word} {amount:.6g} {unit} {'neb' if dose.route == 'nebulised' else dose.route.lower()}"
            result = parse(line, FULL_BOX)
            assert isinstance(result.action, GiveDrug), (line, result.fault or result.question)
            assert result.action.drug == name, line
            assert not result.needs_confirmation, (line, result.warning)


@pytest.mark.parametrize("typed", ["mag 2 g over 20 min", "midaz 5", "dextrose 100 ml iv", "rocuronium 100 iv"])
def test_what_can_be_read_in_two_ways_is_asked(typed):
    result = parse(typed, FULL_BOX)
    assert result.action is None and result.question


@pytest.mark.parametrize(("typed", "words"), [
    ("phenylephrine 10 mg iv", "more than any single dose on file"),
    ("kcl 100 mmol iv", "more than any single dose on file"),
    ("insulin 200 units iv", "more than any single dose on file"),
    ("amio 3000 mg iv", "more than any single dose on file"),
    ("morphine 30 mg iv", "outside the usual dose"),
    ("adenosine 0.5 mg iv", "outside the usual dose"),
])  # fmt: skip
def test_a_slip_of_the_pen_wants_a_second_yes(typed, words):
    result = parse(typed, FULL_BOX)
    assert result.needs_confirmation and words in result.warning


@pytest.mark.parametrize(
    "typed", ["salbutamol 5 mg im", "adenosine 6 mg po", "propofol 100 mg im", "ceftriaxone 1 g neb"]
)
def test_a_route_that_no_file_knows_is_refused(typed):
    result = parse(typed, FULL_BOX)
    assert result.action is None and result.fault is not None
    assert result.fault.code == "route not modelled"
