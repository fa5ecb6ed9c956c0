"""Finding drugs, and what the packaged drug files promise."""

import re
from pathlib import Path

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.body.drugs import slots
from drillyard.core.formulary import Formulary
from drillyard.core.formulary.checks import BOUNDS, _numbers
from drillyard.core.formulary.vocabulary import RECEPTORS, SUBSTANCES
from drillyard.core.quantities.faults import Refusal


@pytest.fixture(scope="module")
def formulary() -> Formulary:
    return packaged_formulary()


def test_names_synonyms_and_letter_case(formulary):
    assert formulary.get("Adrenaline").name == formulary.get(" epi ").name == "epinephrine"
    assert formulary.get("TXA").name == formulary.get("tranexamic  acid").name == "tranexamic acid"
    assert {"epinephrine", "fentanyl", "naloxone", "tranexamic acid"} <= set(formulary)
    assert "fent" in formulary and "moonshine" not in formulary


def test_a_misspelt_drug_is_refused_with_near_matches(formulary):
    with pytest.raises(Refusal) as refused:
        formulary.get("naloxon")
    (fault,) = refused.value.faults
    assert fault.code == "unknown drug"
    assert "naloxone" in fault.near
    assert "epinephrine" in fault.allowed


def test_one_word_for_two_drugs_is_refused(formulary):
    import dataclasses

    twin = dataclasses.replace(formulary.get("naloxone"), name="other", synonyms=("epi",))
    with pytest.raises(Refusal, match="'epi' names both epinephrine and other"):
        Formulary([formulary.get("epinephrine"), twin])


def test_every_number_of_every_drug_has_a_source_and_the_bounds_cover_all(formulary):
    for name in formulary:
        numbers = list(_numbers(formulary.get(name), ""))
        assert len(numbers) > (3 if formulary.get(name).given_as == "drug" else 0)
        for path, field, number in numbers:
            assert number.source.strip(), path
            assert field in BOUNDS


def test_the_two_tables_hold_every_word_once_and_in_the_order_of_the_slots():
    from typing import get_args

    from drillyard.core.body import drugs
    from drillyard.core.formulary.vocabulary import Receptor, Substance

    assert get_args(Receptor) == tuple(row.name for row in RECEPTORS)
    assert get_args(Substance) == tuple(row.name for row in SUBSTANCES)
    assert len(RECEPTORS) == slots.N_RECEPTORS
    assert len(SUBSTANCES) == slots.N_SUBSTANCES
    states = [row.state for row in (*RECEPTORS, *SUBSTANCES)]
    assert len(set(states)) == len(states)
    assert [name.name for name in drugs.NAMES] == states == list(drugs.TAPS)
    assert list(drugs.TAPS.values()) == list(range(slots.X_RECEPTORS, slots.X_SIZE))


def test_published_sets_are_keyed_right(formulary):
    """Each figure as printed in the abstract of the paper named beside it."""
    fentanyl = formulary.get("fentanyl").kinetics  # Bae 2020, Br J Anaesth 125:976-985
    printed = (10.1, 26.5, 206.0, 0.704, 2.38, 1.49)
    ours = (
        fentanyl.v1_l,
        fentanyl.v2_l,
        fentanyl.v3_l,
        fentanyl.cl_l_per_min,
        fentanyl.q2_l_per_min,
        fentanyl.q3_l_per_min,
    )
    assert tuple(number.value for number in ours) == printed
    naloxone = formulary.get("naloxone").kinetics  # Dowling 2008, Ther Drug Monit 30:490-496, per hour
    assert (naloxone.v1_l.value, naloxone.v2_l.value, naloxone.v3_l.value) == (2.87, 1.49, 33.6)
    per_h = [60.0 * n.value for n in (naloxone.cl_l_per_min, naloxone.q2_l_per_min, naloxone.q3_l_per_min)]
    assert per_h == pytest.approx([91.0, 5.66, 29.8])
    txa = formulary.get("TXA")  # Grassin-Delyle 2021, Br J Anaesth 126:201-209, per hour
    assert (txa.kinetics.v1_l.value, txa.kinetics.v2_l.value) == (16.1, 9.4)
    assert 60.0 * txa.kinetics.cl_l_per_min.value == pytest.approx(7.1)
    assert 60.0 * txa.absorption("IM").ka_per_min.value == pytest.approx(1.94)
    # Best & Halter 1982: 33 and 35 mL/kg/min
    assert 0.033 * 70 <= formulary.get("epi").kinetics.cl_l_per_min.value <= 0.035 * 70


def test_the_digest_follows_every_number(formulary):
    import dataclasses

    drug = formulary.get("naloxone")
    other = dataclasses.replace(drug.kinetics, v1_l=dataclasses.replace(drug.kinetics.v1_l, value=2.88))
    changed = Formulary([dataclasses.replace(drug, kinetics=other)])
    assert changed.digest() != Formulary([drug]).digest()
    assert re.fullmatch(r"[0-9a-f]{16}", changed.digest())


def test_the_page_on_drug_files_lists_both_tables_as_they_are():
    page = (Path(__file__).parents[3] / "docs" / "files" / "drug.md").read_text(encoding="utf-8")
    for row in RECEPTORS:
        assert f"| `{row.name}` | {row.meaning} |" in page
    for row in SUBSTANCES:
        assert f"| `{row.name}` | `{row.state}` | {row.meaning} |" in page
