"""What the engine can do beyond one drug at one receptor: sites, slow answers, airways, substances, infusions."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from drillyard.adapters.files.formulary_files import DATA, read_citations, read_drug
from drillyard.core.body.drugs import slots
from drillyard.core.body.drugs.alone import DrugsAlone
from drillyard.core.formulary import Drug, Formulary, Sourced
from drillyard.core.formulary.covariates import MODELS, fat_free_mass_kg, lean_body_mass_kg
from drillyard.core.quantities.faults import Refusal

from .conftest import Someone

SAMPLE = Path(__file__).parents[3] / "adapters" / "files" / "samples" / "every_construct.yaml"


@pytest.fixture(scope="module")
def sample() -> Drug:
    citations, _ = read_citations(DATA / "citations.yaml")
    drug, faults = read_drug(SAMPLE.read_text(encoding="utf-8"), SAMPLE.name, citations)
    assert not faults
    return drug


@pytest.fixture
def alone(sample: Drug) -> DrugsAlone:
    return DrugsAlone(Formulary([sample]), Someone())


def test_two_effect_sites_follow_plasma_each_at_its_own_rate(alone):
    """Held at one level, a site is 1 - exp(-ke0 t) of the way: 0.4 /min at one site, 0.5 /min at the main one."""
    alone.infuse("exemplamine", 400.0, "units/h")
    own, main, t_s = 0.0, 0.0, 900
    for _ in range(t_s):
        before = alone.plasma_per_l("exemplamine")
        alone.run(1)
        level = 0.5 * (before + alone.plasma_per_l("exemplamine"))
        own += (level - own) * (1.0 - math.exp(-0.4 / 60.0))
        main += (level - main) * (1.0 - math.exp(-0.5 / 60.0))
    assert alone.effect_site_per_l("exemplamine") == pytest.approx(main, rel=1e-9)
    ratio = (own / 2.0) ** 4  # half 2 units/L, slope 4 in the file
    assert alone.share("diaphragm_block") == pytest.approx(ratio / (1.0 + ratio), rel=1e-9)
    ratio = (main / 2.0) ** 2
    assert alone.share("anaesthetic") == pytest.approx(ratio / (1.0 + ratio), rel=1e-9)


def test_a_slow_answer_comes_and_goes_with_its_turnover(alone):
    """4 h: 1 - 1/e of the way after four hours of a steady level, and still there long after the drug has gone."""
    alone.infuse("exemplamine", 3000.0, "units/h")
    alone.run(4 * 3600)
    after_4_h = alone.share("steroid_action")
    alone.stop_infusion("exemplamine")
    alone.x[: slots.X_PER_SLOT] = [0.0] * slots.X_PER_SLOT  # the drug taken out at once
    alone.run(4 * 3600)
    assert 0.5 < after_4_h < 1.0 - math.exp(-1.0)
    assert alone.share("v1_vasopressin") == 0.0
    assert alone.share("steroid_action") == pytest.approx(after_4_h * math.exp(-1.0), rel=1e-9)


def test_an_effect_outlives_its_drug_where_the_drug_stays_on(alone):
    """A stay of 30 s at its receptor: e-fold a mean stay after the drug was taken out at once."""
    alone.infuse("exemplamine", 3000.0, "units/h")
    alone.run(600)
    before = alone.share("anaesthetic")
    alone.stop_infusion("exemplamine")
    alone.x[: slots.X_PER_SLOT] = [0.0] * slots.X_PER_SLOT
    alone.run(30)
    assert before > 0.9
    assert alone.share("anaesthetic") == pytest.approx(before * math.exp(-1.0), rel=1e-9)


def test_what_was_breathed_in_acts_where_it_lies_and_only_there(alone):
    """Half amount 0.5 units; a fifth of the dose lies in the airway and leaves at 0.01 /min."""
    alone.give("exemplamine", 10.0, "units", "nebulised", over_s=600.0)
    alone.run(3600)
    assert 0.45 < alone.share("airway_beta2") < 0.8
    vein = DrugsAlone(alone.formulary, alone.person)
    vein.give("exemplamine", 10.0, "units", "IV")
    vein.run(60)
    assert vein.share("airway_beta2") == 0.0
    assert vein.share("v1_vasopressin") > 5.0 * alone.share("v1_vasopressin") > 0.0


def test_an_infusion_arrives_in_full_and_stops(alone):
    """What arrives of a substance is the rate times its content: 3 mg of glucose and 0.05 mL of water a unit."""
    alone.infuse("exemplamine", 120.0, "units/h")
    alone.run(300)
    assert alone.arriving_per_s("glucose") == pytest.approx(3.0 * 120.0 / 3600.0, rel=1e-6)
    assert alone.arriving_per_s("water") == pytest.approx(0.05 * 120.0 / 3600.0, rel=1e-6)
    alone.infuse("exemplamine", 60.0, "units/h")  # a new rate takes the place of the old one
    alone.run(300)
    assert alone.arriving_per_s("glucose") == pytest.approx(3.0 * 60.0 / 3600.0, rel=1e-6)
    alone.give("exemplamine", 1.0, "units", "IV")  # a dose goes on beside it
    alone.run(20)
    assert alone.arriving_per_s("glucose") > 2.0 * 3.0 * 60.0 / 3600.0
    alone.stop_infusion("exemplamine")
    alone.run(600)
    assert alone.arriving_per_s("glucose") == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("route", "taken"), [("IV", 1.0), ("PR", 0.5), ("IM", 1.0)])
def test_no_substance_is_lost_or_made(alone, route, taken):
    alone.give("exemplamine", 5.0, "units", route)
    total = 0.0
    for _ in range(8 * 3600):
        alone.run(1)
        total += alone.arriving_per_s("glucose")
    assert total == pytest.approx(5.0 * 3.0 * taken, rel=1e-3)


def test_the_place_of_an_injection_decides_its_uptake(alone):
    alone.give("exemplamine", 5.0, "units", "IM", site="left thigh")
    other = DrugsAlone(alone.formulary, alone.person)
    other.give("exemplamine", 5.0, "units", "IM", site="right shoulder")
    for drugs in (alone, other):
        drugs.run(300)
    assert alone.held == {"0": "exemplamine|IM|thigh"}
    assert alone.plasma_per_l("exemplamine") > 1.3 * other.plasma_per_l("exemplamine")


@pytest.mark.parametrize(("rate", "unit", "strength", "per_min"), [
    (6.0, "units/h", 0.0, 0.1), (0.1, "units/kg/h", 0.0, 7.0 / 60.0), (0.04, "units/min", 0.0, 0.04),
    (12.0, "mL/h", 0.5, 0.1),
])  # fmt: skip
def test_rates_of_infusion(alone, rate, unit, strength, per_min):
    alone.infuse("exemplamine", rate, unit, strength_per_ml=strength)
    assert alone.x[slots.X_INFUSION_RATE] == pytest.approx(per_min / 60.0, rel=1e-12)


@pytest.mark.parametrize(("rate", "unit", "words"), [
    (5.0, "mg/h", "'mg/h' is no unit of a rate of exemplamine"), (5.0, "units", "'units' is no unit of a rate"),
    (0.0, "units/h", "0 units/h is no rate"), (5.0, "mL/h", "needs the strength of what runs"),
])  # fmt: skip
def test_a_rate_that_cannot_be_is_refused(alone, rate, unit, words):
    with pytest.raises(Refusal, match=words):
        alone.infuse("exemplamine", rate, unit)
    assert not any(alone.x)


def test_an_antagonist_meets_every_agonist_of_its_receptor(formulary):
    """A benzodiazepine held at four times its half level; the antagonist at its Ki halves what acts (Gaddum 1937)."""
    midazolam, flumazenil = formulary.get("midazolam"), formulary.get("flumazenil")
    both = {d.name: next(e for e in d.effects if e.receptor == "benzodiazepine_site") for d in (midazolam, flumazenil)}
    drugs = DrugsAlone(formulary, Someone())
    drugs.give("midazolam", 1.0, "mg", "IV")
    drugs.give("flumazenil", 1.0, "mg", "IV")
    half, gamma = both["midazolam"].half_per_l.value, both["midazolam"].gamma.value
    drugs.run(1)
    for slot, name in enumerate(("midazolam", "flumazenil")):
        first = slots.X_PER_SLOT * slot
        level = 4.0 * half if name == "midazolam" else both["flumazenil"].half_per_l.value
        # steady levels: nothing moves while there is no flow
        drugs.x[first : first + slots.X_PER_SLOT] = [0.0] * slots.X_PER_SLOT
        drugs.x[first + slots.X_MODE] = level / drugs.p[slots.P_PER_SLOT * slot + slots.P_PER_LITRE]
        drugs.x[first + slots.X_SITE : first + slots.X_SITE + slots.N_SITES] = [level] * slots.N_SITES
    drugs.run(1, 0.0)
    ratio = (4.0 / 2.0) ** gamma
    assert both["midazolam"].stays_s is None
    assert drugs.share("benzodiazepine_site") == pytest.approx(ratio / (1.0 + ratio), rel=0.02)


def test_published_covariates_for_their_own_reference_people():
    """Schnider 1998 at 53 years, 77 kg, 177 cm, lean mass 59 kg: the paper's typical man.  Eleveld 2018 at 35 years,
    70 kg, 170 cm: its reference man (Q2 1.83 L/min by the printed equations).  Schuttler 2000 at 30 years, 70 kg."""
    schnider = MODELS["Schnider 1998"].of(Someone(age_years=53.0, mass_kg=77.0, height_cm=177.0))
    assert (schnider.v1_l, schnider.v2_l, schnider.v3_l, schnider.q2_l_per_min) == (4.27, 18.9, 238.0, 1.29)
    assert schnider.cl_l_per_min == pytest.approx(1.89, abs=0.12)
    eleveld = MODELS["Eleveld 2018"].of(Someone(age_years=35.0))
    assert eleveld.v1_l == pytest.approx(6.28) and eleveld.v3_l == pytest.approx(273.0)
    assert eleveld.cl_l_per_min == pytest.approx(1.79) and eleveld.q2_l_per_min == pytest.approx(1.83, abs=0.005)
    schuttler = MODELS["Schuttler 2000"].of(Someone(age_years=30.0))
    assert (schuttler.v1_l, schuttler.v2_l, schuttler.cl_l_per_min) == pytest.approx((9.3, 44.2, 1.44))


def test_lean_and_fat_free_mass():
    """James: 55.3 kg in a man of 70 kg and 170 cm (hand-worked: 77 - 128 x 0.1696).  Al-Sallami 2015: 54.5 kg."""
    assert lean_body_mass_kg(Someone()) == pytest.approx(77.0 - 128.0 * (70.0 / 170.0) ** 2, rel=1e-12)
    assert fat_free_mass_kg(Someone()) == pytest.approx(54.5, abs=0.2)


@pytest.mark.parametrize("model", sorted(MODELS))
@pytest.mark.parametrize(
    ("age_years", "mass_kg", "height_cm"), [(0.5, 7.0, 66.0), (5.0, 18.0, 108.0), (90.0, 45.0, 150.0)]
)
def test_covariates_stay_possible_for_anybody(model, age_years, mass_kg, height_cm):
    found = MODELS[model].of(Someone(age_years=age_years, mass_kg=mass_kg, height_cm=height_cm, sex="female"))
    assert min(found.v1_l, found.v2_l, found.v3_l, found.cl_l_per_min, found.q2_l_per_min, found.q3_l_per_min) > 0.0


def test_every_shipped_drug_by_every_route_can_be_given(formulary):
    for name in formulary:
        drug = formulary.get(name)
        for route in drug.routes():
            drugs = DrugsAlone(formulary, Someone())
            drugs.give(name, 0.5 * drug.impossible.value, drug.amount_unit, route)
            drugs.run(120)
            assert all(math.isfinite(value) and value >= 0.0 for value in drugs.x), (name, route)
            assert drugs.plasma_per_l(name) > 0.0, (name, route)


def test_a_fluid_cannot_be_given_as_a_dose(formulary):
    fluids = [name for name in formulary if formulary.get(name).given_as != "drug"]
    drugs = DrugsAlone(formulary, Someone())
    for name in fluids:
        with pytest.raises(Refusal, match="is not modelled"):
            drugs.give(name, 100.0, "mL", "IV")
    assert not drugs.held


def test_a_set_without_an_effect_site_needs_one(sample):
    """Schuttler 2000 has no ke0: without one an effect at the effect site is refused."""
    from drillyard.core.formulary import drug_faults

    citations, _ = read_citations(DATA / "citations.yaml")
    kinetics = replace(sample.kinetics, model="Schuttler 2000", ke0_per_min=None)
    assert any("needs ke0" in fault.said for fault in drug_faults(replace(sample, kinetics=kinetics), citations))
    with_one = replace(kinetics, ke0_per_min=Sourced(value=0.5, source="Ng1999"))
    assert not drug_faults(replace(sample, kinetics=with_one), citations)
