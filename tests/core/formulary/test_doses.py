"""Doses against what is published for them."""

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.formulary import dose_amount, dose_verdict, rate_amount_per_min, rate_verdict, usual_dose_text
from drillyard.core.quantities.faults import Refusal

FORMULARY = packaged_formulary()


@pytest.mark.parametrize(("drug", "dose", "unit", "route", "verdict"), [
    ("epinephrine", 1.0, "mg", "IV", "usual"),  # arrest, AHA 2020
    ("epinephrine", 1.0, "mg", "IO", "usual"),  # by bone as by vein
    ("epinephrine", 0.5, "mg", "IM", "usual"),  # anaphylaxis, EAACI 2022
    ("epinephrine", 3.0, "mg", "IM", "unusual"),
    ("epinephrine", 10.0, "mg", "IV", "impossible"),
    ("naloxone", 0.4, "mg", "IV", "usual"),  # US prescribing information
    ("naloxone", 400.0, "ug", "IM", "usual"),
    ("naloxone", 40.0, "mg", "IM", "impossible"),
    ("fentanyl", 100.0, "ug", "IV", "usual"),
    ("fentanyl", 100.0, "mg", "IV", "impossible"),  # mg for ug
    ("tranexamic acid", 1000.0, "mg", "IV", "usual"),  # CRASH-2 2010
    ("tranexamic acid", 1.0, "mg", "IV", "unusual"),  # 1 g meant
])  # fmt: skip
def test_verdict(drug, dose, unit, route, verdict):
    found = dose_verdict(FORMULARY.get(drug), dose, unit, route, 75.0)
    assert found.verdict == verdict
    assert bool(found.said) == (verdict != "usual")
    assert found.usual_text


@pytest.mark.parametrize(("drug", "rate", "unit", "verdict"), [
    ("epinephrine", 4.0, "ug/min", "usual"),  # 2 to 10 ug/min, AHA 2020
    ("epinephrine", 0.06, "ug/kg/min", "usual"),  # 4.5 ug/min at 75 kg
    ("epinephrine", 40.0, "ug/min", "unusual"),
    ("dopamine", 10.0, "ug/kg/min", "usual"),  # 5 to 20, AHA 2020
    ("dopamine", 10.0, "mg/kg/min", "impossible"),  # mg for ug
])  # fmt: skip
def test_verdict_on_a_rate(drug, rate, unit, verdict):
    known = FORMULARY.get(drug)
    found = rate_verdict(known, rate_amount_per_min(known, rate, unit, 75.0), "IV", 75.0)
    assert found.verdict == verdict, found
    assert bool(found.said) == (verdict != "usual")


def test_by_mass_and_limit():
    fentanyl = FORMULARY.get("fentanyl")
    assert dose_verdict(fentanyl, 120.0, "ug", "IV", 60.0).verdict == "usual"  # 2 ug/kg
    assert dose_verdict(fentanyl, 121.0, "ug", "IV", 60.0).verdict == "unusual"
    assert dose_verdict(fentanyl, 201.0, "ug", "IV", 150.0).verdict == "unusual"  # above the limit of 200 ug


def test_what_is_said_names_dose_limit_and_usual_range():
    said = dose_verdict(FORMULARY.get("naloxone"), 30.0, "mg", "IV", 80.0).said
    assert "30 mg of naloxone" in said and "20 mg" in said and "0.4 to 2 mg IV" in said


def test_a_volume_is_ambiguous_where_there_are_two_strengths():
    assert dose_amount(FORMULARY.get("fentanyl"), 2.0, "mL") == pytest.approx(0.1)
    with pytest.raises(Refusal, match=r"0.3 mg \(1 mg/mL ampoule\) or 0.03 mg \(0.1 mg/mL syringe\)"):
        dose_amount(FORMULARY.get("epinephrine"), 0.3, "mL")


@pytest.mark.parametrize(("dose", "unit", "words"), [
    (0.0, "mg", "no dose"), (-1.0, "mg", "no dose"), (float("nan"), "mg", "no dose"), (float("inf"), "mg", "no dose"),
    (1.0, "units", "mg, ug, g, mL"),
])  # fmt: skip
def test_no_dose_at_all_is_refused(dose, unit, words):
    with pytest.raises(Refusal, match=words):
        dose_amount(FORMULARY.get("naloxone"), dose, unit)


def test_a_route_that_is_not_modelled_is_refused():
    with pytest.raises(Refusal, match="naloxone PO is not modelled; allowed: IV, IO, IM, IN"):
        dose_verdict(FORMULARY.get("naloxone"), 0.4, "mg", "PO", 70.0)


def test_words_of_a_usual_dose():
    arrest = FORMULARY.get("epinephrine").usual_doses[0]
    assert usual_dose_text(arrest) == "1 mg IV (cardiac arrest, adult), again after 3 min to 5 min"
