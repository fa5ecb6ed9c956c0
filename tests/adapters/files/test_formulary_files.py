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
from drillyard.core.quantities.faults import Refusal

ROOT = Path(__file__).parents[3]
DATA = ROOT / "src" / "drillyard" / "data"
BROKEN = ROOT / "tests" / "broken" / "formulary"
CITATIONS, _ = read_citations(DATA / "citations.yaml")

WORDS = {
    "antagonist_turned_agonist": ("line 35", "an agonist needs emax and gamma"),
    "bad_dose_unit": ("line 40, usual_doses[0].low", "'0.4 mL' is not a dose", "mg, ug, mg/kg, ug/kg"),
    "block_wanted": ("line 8, kinetics", "a block of 'key: value' lines belongs here"),
    "doses_swapped": ("line 38", "low 4 and high 2", "0 < low <= high"),
    "list_wanted": ("line 3, synonyms", "a list belongs here"),
    "missing_key": ("line 8, kinetics", "'cl' is missing", "cl: 10 L/min"),
    "mixed_units": ("line 38, usual_doses[0]", "not in one unit"),
    "no_caution": ("line 67, cautions", "at least one caution"),
    "no_effect_site": ("line 34", "the effect site needs ke0"),
    "no_source": ("line 12, kinetics.v1", "a number without a source", "'source:' once for the whole block"),
    "not_a_block": ("no 'key: value' lines", "begin it with 'format: 1'"),
    "not_yaml": ("line 6", "this is not YAML", "check indents, colons and quotes"),
    "out_of_range": ("line 24, absorptions[0].bioavailability", "1.36 is out of range", "0.001 to 1"),
    "route_without_absorption": ("line 59", "nebulised", "IV, IO, IM, IN"),
    "twice_the_same_key": ("line 5", "'dose_unit' stands twice"),
    "unit_missing": ("line 13, kinetics.v1", "'2.87' has no unit", "10 L"),
    "unknown_key": ("line 19, kinetics.keo", "did you mean 'ke0'?"),
    "unknown_receptor": ("line 35, effects[0].receptor", "did you mean 'mu_opioid'?"),
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


def test_every_sample_has_its_words():
    assert {path.stem for path in BROKEN.glob("*.yaml")} == set(WORDS)


def test_packaged_drugs_load_and_every_citation_is_used():
    formulary = packaged_formulary()
    assert len(formulary) == 4
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
    for name in ("unknown_key", "unknown_receptor", "missing_key", "wrong_format", "list_wanted"):
        assert list(validator.iter_errors(yaml.load((BROKEN / f"{name}.yaml").read_text()))), name
