"""Levels printed by two outside packages, where they hold the same published set: within 2 %.

``outside_levels.csv``: a man (or woman) of 40 years, 70 kg, 170 cm; a bolus over 10 s, or 10 mg/kg/h.  Printed by
PyTCI 1.2.0 (MIT licence, its exact mode), by the matrix exponential on the parameters of opentiva 1.1.2 (MIT), and
by the formulas of Eleveld 2018 solved by matrix exponential; the two packages' own Eleveld propofol departs from it.
"""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from drillyard.core.body.drugs.alone import DrugsAlone
from drillyard.core.formulary import Formulary, Kinetics, Sourced

from .conftest import Someone

pytestmark = pytest.mark.reference
ROWS = list(csv.DictReader((Path(__file__).parent / "outside_levels.csv").read_text(encoding="utf-8").splitlines()))
CASES = sorted({(r["drug"], r["set"], r["sex"], r["how"], float(r["dose_mg"])) for r in ROWS})
OTHER_SITE = {"ketamine": "its ke0 is from another source than the set's", "rocuronium": "two sites of its own"}
"""Drugs whose effect site is not that of the package, so that plasma alone is compared."""
MODELS = {"Schnider": "Schnider 1998", "Eleveld": "Eleveld 2018"}


def without_circulation(formulary: Formulary, drug: str, model: str | None) -> Formulary:
    """The drug as filed, or with a set of its own, but at once in the blood: packages know no way from arm to heart."""
    known = formulary.get(drug)
    assert known.kinetics is not None
    at_once = Sourced(value=1e-3, source="")
    kinetics = replace(known.kinetics, arm_to_heart_s=at_once)
    if model is not None:
        kinetics = Kinetics(model=model, arm_to_heart_s=at_once)
    return Formulary([replace(known, kinetics=kinetics)])


@pytest.mark.parametrize(("drug", "published", "sex", "how", "dose_mg"), CASES)
def test_levels_agree_within_two_percent(formulary, drug, published, sex, how, dose_mg):
    theirs = {
        (int(r["t_s"]), r["site"]): float(r["level_mg_per_l"])
        for r in ROWS
        if (r["drug"], r["set"], r["sex"], r["how"], float(r["dose_mg"])) == (drug, published, sex, how, dose_mg)
    }
    alone = DrugsAlone(without_circulation(formulary, drug, MODELS.get(published)), Someone(sex=sex))
    if how == "bolus":
        alone.give(drug, dose_mg, "mg", "IV", over_s=10.0)
    else:
        alone.infuse(drug, dose_mg, "mg/kg/h")
    compared = 0
    for t_s in sorted({t for t, _ in theirs}):
        alone.run(t_s - alone.t_s)
        assert alone.plasma_per_l(drug) == pytest.approx(theirs[t_s, "plasma"], rel=0.02), (t_s, "plasma")
        compared += 1
        if drug not in OTHER_SITE:
            assert alone.effect_site_per_l(drug) == pytest.approx(theirs[t_s, "effect"], rel=0.02), (t_s, "effect")
            compared += 1
    assert compared >= 4
