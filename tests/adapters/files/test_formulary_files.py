"""Reading drug files: the packaged ones load; each way to be wrong has a sample and the words its fault must say."""

from pathlib import Path

import jsonschema_rs
import pytest
from ruamel.yaml import YAML

from drillyard.adapters.files.formulary_files import (
    drug_file_schema,
    load_formulary,
    packaged_formulary,
    read_citations,
    read_drug,
)
from drillyard.core.formulary import usual_dose_text
from drillyard.core.quantities.faults import Refusal

ROOT = Path(__file__).parents[3]
DATA = ROOT / "src" / "drillyard" / "data"
SAMPLES = Path(__file__).parent / "samples"
BROKEN = ROOT / "tests" / "broken" / "formulary"
CITATIONS, _ = read_citations(DATA / "citations.yaml")

WORDS = {
    "antagonist_turned_agonist": ("line 35", "an agonist needs emax and gamma"),
    "bad_dose_unit": (
        "line 40, usual_doses[0].low",
        "'0.4 mL' is not a dose of a drug counted in mg",
        "mg, ug, g; with /kg",
    ),
    "block_wanted": ("line 8, kinetics", "a block of 'key: value' lines belongs here"),
    "content_of_another_kind": ("line 38, delivers[0].content", "'1 mg/mg' cannot be turned into mmol/mg"),
    "depot_with_a_level": ("line 37, effects[2]", "site 'depot' is measured by 'half_amount' and not by 'half'"),
    "depot_without_routes": ("line 37, effects[2]", "needs 'routes'", "not IV or IO"),
    "doses_swapped": ("line 38", "low 4 and high 2", "0 < low <= high"),
    "effect_by_unknown_route": ("line 36, effects[1]", "an effect by PO is listed", "IV, IO, IM, IN"),
    "effect_twice": ("two effects at central_nervous_depression by IV",),
    "gas_with_kinetics": ("line 9, kinetics", "a gas acts through its own action"),
    "half_a_block": ("line 37, effects[2]", "write the antagonist of drugs at beta1 too"),
    "level_in_units": ("line 36, effects[1].half", "'0.33 U/L' cannot be turned into mg/L"),
    "list_wanted": ("line 3, synonyms", "a list belongs here"),
    "missing_key": ("line 8, kinetics", "'cl' is missing", "cl: 10 L/min"),
    "mixed_units": ("line 38, usual_doses[0]", "not in one unit"),
    "model_and_volumes": ("line 12, kinetics.model", "'Schnider 1998' brings its own volumes"),
    "no_caution": ("line 67, cautions", "at least one caution"),
    "no_effect_site": ("line 34", "the effect site needs ke0"),
    "no_source": ("line 12, kinetics.v1", "a number without a source", "'source:' once for the whole block"),
    "not_a_block": ("no 'key: value' lines", "begin it with 'format: 1'"),
    "not_yaml": ("line 6", "this is not YAML", "check indents, colons and quotes"),
    "out_of_range": ("line 24, absorptions[0].bioavailability", "1.36 is out of range", "0.001 to 1"),
    "route_without_absorption": ("line 59", "nebulised", "IV, IO, IM, IN"),
    "strength_without_unit": ("line 6, strengths[0].strength", "'0.4' has no unit"),
    "too_many_sites": ("line 32, effects", "at most two sites"),
    "twice_the_same_key": ("line 5", "'dose_unit' stands twice"),
    "unit_missing": ("line 13, kinetics.v1", "'2.87' has no unit", "10 L"),
    "unknown_key": ("line 19, kinetics.keo", "did you mean 'ke0'?"),
    "unknown_receptor": ("line 35, effects[0].receptor", "did you mean 'mu_opioid'?"),
    "unknown_model": ("line 12, kinetics.model", "did you mean 'Schnider 1998'?"),
    "unknown_substance": ("line 38, delivers[0].substance", "did you mean 'potassium'?"),
    "unknown_source": ("line 13, kinetics.v1", "'Dowling' is neither a key of citations.yaml nor a full source"),
    "unknown_unit": ("line 13, kinetics.v1", "'buckets' cannot be turned into L"),
    "volume_without_exchange": ("line 8, kinetics", "v2 and q2 belong together"),
    "wrong_format": ("line 1, format", "format 9 is not known here", "allowed: 1"),
    "wrong_unit": ("line 16, kinetics.cl", "'kg' cannot be turned into L/min"),
}


@pytest.mark.parametrize("name", sorted(path.stem for path in BROKEN.glob("*.yaml")))
def test_broken_file_is_refused_in_words(name):
    drug, faults = read_drug((BROKEN / f"{name}.yaml").read_text(), f"{name}.yaml", CITATIONS)
    assert drug is None
    said = [fault.sentence() for fault in faults]
    assert any(all(word in sentence for word in WORDS[name]) for sentence in said), said
    assert all(fault.place.file == f"{name}.yaml" for fault in faults)
    assert all(fault.place.line for fault in faults) or name == "not_a_block"


def test_one_of_everything_that_may_be_written_is_read():
    text = (SAMPLES / "every_construct.yaml").read_text()
    drug, faults = read_drug(text, "every_construct.yaml", CITATIONS)
    assert not faults
    by_receptor = {effect.receptor: effect for effect in drug.effects}
    assert drug.amount_unit == "units"
    assert drug.strengths[0].strength_per_ml == 20.0
    assert by_receptor["v1_vasopressin"].half_per_l.value == 0.03  # 30 mU/L
    assert by_receptor["airway_beta2"].half_amount.value == 0.5
    assert by_receptor["steroid_action"].turnover_s.value == 4 * 3600.0
    assert [delivery.content.value for delivery in drug.delivers] == [3.0, 0.05]
    assert drug.impossible_rate_per_min.value == 1.0  # 60 units/h
    assert drug.absorption("IM", "left thigh").ka_per_min.value == 0.2
    assert drug.absorption("IM", "right shoulder").ka_per_min.value == drug.absorption("IM").ka_per_min.value == 0.1
    assert usual_dose_text(drug.usual_doses[3]) == "0.05 to 0.1 units/kg/h IV (infusion by mass), at most 10 units/h"
    validator = jsonschema_rs.Draft202012Validator(drug_file_schema())
    assert not list(validator.iter_errors(YAML(typ="safe").load(text)))


@pytest.mark.parametrize(("written", "unit", "wanted"), [
    ("330 pg/mL", "mg", 0.00033), ("6 mg/L", "mg", 6.0), ("0.6 mg/dL", "mg", 6.0), ("5 mcg/mL", "mg", 5.0),
    ("2 mU/mL", "units", 2.0), ("4 mmol/L", "mmol", 4.0), ("300 umol/L", "mmol", 0.3),
])  # fmt: skip
def test_levels_in_any_unit_of_the_drugs_kind(written, unit, wanted):
    text = (SAMPLES / "every_construct.yaml").read_text()
    text = text.replace("dose_unit: units", f"dose_unit: {unit}").replace("30 mU/L", written)
    for own in ("units/mL", "units/kg/h", "units/kg", "units/min", "units/h", "units"):
        text = text.replace(own, own.replace("units", unit)) if unit != "units" else text
    text = text.replace(" U/L", f" {unit}/L") if unit != "units" else text
    drug, faults = read_drug(text, "a.yaml", CITATIONS)
    assert not faults, [fault.sentence() for fault in faults]
    assert drug.effects[0].half_per_l.value == pytest.approx(wanted, rel=1e-12)


def test_every_sample_has_its_words():
    assert {path.stem for path in BROKEN.glob("*.yaml")} == set(WORDS)


def test_packaged_drugs_load_and_every_citation_is_used():
    assert len(packaged_formulary()) >= 4
    text = "".join(path.read_text() for path in (DATA / "formulary").glob("*.yaml"))
    unused = [key for key in CITATIONS if key not in text]
    assert not unused


def test_all_faults_of_all_files_come_at_once(tmp_path):
    for name in ("unit_missing", "unknown_key"):
        (tmp_path / f"{name}.yaml").write_text((BROKEN / f"{name}.yaml").read_text())
    with pytest.raises(Refusal) as refused:
        load_formulary(tmp_path, DATA / "citations.yaml")
    assert {fault.place.file for fault in refused.value.faults} == {"unit_missing.yaml", "unknown_key.yaml"}


def test_rates_and_shares_may_be_written_in_any_unit_of_their_kind():
    text = (DATA / "formulary" / "naloxone.yaml").read_text()
    same = (
        text.replace("cl: 91 L/h", "cl: 1.5166666666667 L/min")
        .replace("36 %", "0.36")
        .replace("v1: 2.87 L", "v1: 2870 mL")
    )
    assert same != text
    first, _ = read_drug(text, "a.yaml", CITATIONS)
    second, faults = read_drug(same, "b.yaml", CITATIONS)
    assert not faults
    assert second.kinetics.cl_l_per_min.value == pytest.approx(first.kinetics.cl_l_per_min.value, rel=1e-10)
    assert second.kinetics.v1_l.value == first.kinetics.v1_l.value
    assert second.absorption("IM").bioavailability_frac.value == 0.36


def test_schema_takes_the_packaged_files_and_refuses_a_broken_one():
    """JSON Schema draft 2020-12, judged by the jsonschema_rs package (comes with schemathesis)."""
    validator = jsonschema_rs.Draft202012Validator(drug_file_schema())
    yaml = YAML(typ="safe")
    for path in (DATA / "formulary").glob("*.yaml"):
        assert not list(validator.iter_errors(yaml.load(path.read_text()))), path.name
    for name in (
        "unknown_key",
        "unknown_receptor",
        "missing_key",
        "wrong_format",
        "list_wanted",
        "unknown_model",
        "unknown_substance",
    ):
        assert list(validator.iter_errors(yaml.load((BROKEN / f"{name}.yaml").read_text()))), name
