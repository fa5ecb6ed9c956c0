"""The drug box of a kit as people write it: strengths in the unit in which each drug is counted."""

from dataclasses import replace
from pathlib import Path

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.core.entry import context_for, parse
from drillyard.core.formulary import Formulary

FORMULARY: Formulary = packaged_formulary()
HEAD = "format: 1\nname: bag\ntitle: Bag\nitems: [{name: gloves, count: 1}]\ndrug_box:\n"


def faults_of(tmp_path: Path, *rows: str) -> tuple[object, list[str]]:
    lab = LabFolder.open_or_create(tmp_path / "lab", known_names())
    (lab.path / "kits" / "bag.yaml").write_text(HEAD + "".join(f"  - {row}\n" for row in rows), "utf-8")
    loaded = lab.kit("bag")
    return loaded.record, [fault.sentence() for fault in loaded.faults]


@pytest.mark.parametrize(("written", "per_ml", "unit"), [
    ("drug: naloxone, concentration: 0.4 mg/mL", 0.4, "mg"), ("drug: fentanyl, concentration: 50 ug/mL", 0.05, "mg"),
    ("drug: dextrose, concentration: 10 %", 100.0, "mg"),
    ("drug: heparin, concentration: 1000 units/mL", 1000.0, "units"),
    ("drug: potassium chloride, concentration: 2 mEq/mL", 2.0, "mmol"),
    ("drug: sodium bicarbonate, concentration: 1 mmol/mL", 1.0, "mmol"), ("drug: hypertonic saline", 1.0, "mL"),
])  # fmt: skip
def test_a_strength_is_read_in_the_unit_of_its_drug(tmp_path: Path, written: str, per_ml: float, unit: str) -> None:
    kit, said = faults_of(tmp_path, f"{{{written}, volume: 10 mL, count: 2}}")
    assert said == []
    assert (kit.drug_box[0].concentration_per_ml, kit.drug_box[0].amount_unit) == (per_ml, unit)


@pytest.mark.parametrize(("written", "words"), [
    ("drug: heparin, concentration: 5 mg/mL", "heparin is counted in units, and its concentration is in mg/mL"),
    ("drug: naloxone", "naloxone has no concentration; write for instance 'concentration: 10 mg/mL'"),
    ("drug: hypertonic saline, concentration: 3 %", "hypertonic saline is counted in mL and has no concentration"),
    ("drug: naloxone, concentration: 0.4", "0.4"), ("drug: naloxone, concentration: 0 mg/mL", "must be above 0"),
    ("drug: naloxone, concentration: 4 cm", "4 cm"),
])  # fmt: skip
def test_a_strength_that_cannot_be_is_said_in_one_sentence(tmp_path: Path, written: str, words: str) -> None:
    _, said = faults_of(tmp_path, f"{{{written}, volume: 10 mL, count: 2}}")
    assert len(said) == 1 and words in said[0] and "drug_box[0]" in said[0]


def test_two_strengths_of_one_drug_may_lie_there_and_the_same_row_twice_may_not(tmp_path: Path) -> None:
    one = "{drug: epinephrine, concentration: 1 mg/mL, volume: 1 mL, count: 2}"
    other = "{drug: epinephrine, concentration: 0.1 mg/mL, volume: 10 mL, count: 2}"
    assert faults_of(tmp_path, one, other)[1] == []
    assert "stands twice" in faults_of(tmp_path, one, one)[1][0]


def test_every_kit_of_the_demo_is_without_fault() -> None:
    lab = LabFolder(DEMO, known_names())
    for name in lab.names("kits"):
        loaded = lab.kit(name)
        assert loaded.record is not None and loaded.faults == []


def test_a_case_with_the_wide_box_knows_what_lies_in_it() -> None:
    lab = LabFolder(DEMO, known_names())
    scenario, kit = lab.scenario("c8-tractor").record, lab.kit("street-ambulance-kit").record
    assert scenario is not None and kit is not None
    context = context_for(replace(scenario, drug_box=()), FORMULARY, kit)
    assert "not in the drug box" not in parse("bicarb 1 amp iv", context).warning
    assert parse("dextrose 250 ml iv", context).reckoned == "250 mL of 10 %"
    assert parse("norepi 30 ml/h", context).reckoned == "8 mcg/min from 0.016 mg/mL"
    assert "not in the drug box" not in parse("hypertonic saline 250 ml iv", context).warning
    assert "Insulin is not in the drug box." in parse("insulin 10 units iv", context).warning
    assert "Vasopressin is not in the drug box." in parse("vasopressin 0.03 units/min", context).warning
