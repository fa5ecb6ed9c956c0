"""Ampoules used, counted by hand from doses and rates."""

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.core.care.actions import Action, GiveDrug, StartInfusion, StopInfusion
from drillyard.core.scenario.model import BoxDrug
from drillyard.service.drug_use import used_of_box

FORMULARY = packaged_formulary()


def row(drug: str, per_ml: float, volume_ml: float, unit: str = "mg") -> BoxDrug:
    return BoxDrug(drug=drug, concentration_per_ml=per_ml, amount_unit=unit, volume_ml=volume_ml, count=9)


def used(box: list[BoxDrug], *care: tuple[float, Action], end_s: float = 3600.0) -> tuple[int, ...]:
    return used_of_box(box, care, end_s, FORMULARY, mass_kg=80.0)


def dose(drug: str, amount: float, unit: str = "mg", route: str = "IV") -> GiveDrug:
    return GiveDrug(drug=drug, dose=amount, dose_unit=unit, route=route)


def test_doses_in_the_unit_of_each_drug() -> None:
    """250 mcg of 100 mcg ampoules: 3.  8 units of a 10 units/mL, 1 mL ampoule: 1.  75 mmol of 50 mmol syringes: 2.
    400 mL of 250 mL bags: 2.  0.4 mg and 0.4 mg of 0.4 mg ampoules: 2."""
    box = [row("fentanyl", 0.05, 2.0), row("oxytocin", 10.0, 1.0, "units"),
           row("sodium bicarbonate", 1.0, 50.0, "mmol"), row("hypertonic saline", 1.0, 250.0, "mL"),
           row("naloxone", 0.4, 1.0)]  # fmt: skip
    care = [
        (10.0, dose("fentanyl", 250.0, "ug")),
        (20.0, dose("oxytocin", 8.0, "units", "IM")),
        (30.0, dose("sodium bicarbonate", 75.0, "mmol")),
        (40.0, dose("hypertonic saline", 400.0, "mL")),
        (50.0, dose("naloxone", 0.4)),
        (60.0, dose("naloxone", 0.4)),
    ]
    assert used(box, *care) == (3, 1, 2, 2, 2)


def test_a_dose_is_counted_from_one_label_only() -> None:
    """1 mg is one syringe of 10 mL 0.1 mg/mL or one ampoule of 1 mg: neither is larger, the first counts.  0.3 mg fits
    into the smaller of 0.5 mg and 1 mg."""
    box = [row("epinephrine", 1.0, 1.0), row("epinephrine", 0.1, 10.0), row("epinephrine", 0.1, 5.0)]
    assert used(box, (0.0, dose("epinephrine", 1.0)), (180.0, dose("epinephrine", 1.0))) == (2, 0, 0)
    assert used(box, (0.0, dose("epinephrine", 0.3, "mg", "IM"))) == (0, 0, 1)


def test_an_infusion_uses_what_ran_in() -> None:
    """8 mcg/min for 30 min, then 16 mcg/min for 15 min: 0.24 + 0.24 = 0.48 mg, one bag of 4 mg.  1000 mcg/min for an
    hour: 60 mg, 15 bags of 4 mg."""
    box = [row("norepinephrine", 1.0, 4.0), row("norepinephrine", 0.016, 250.0)]

    def rate(per_min: float) -> StartInfusion:
        return StartInfusion(drug="norepinephrine", rate=per_min, rate_unit="ug/min")

    stopped = StopInfusion(drug="norepinephrine")
    assert used(box, (0.0, rate(8.0)), (1800.0, rate(16.0)), (2700.0, stopped)) == (0, 1)
    assert used(box, (0.0, rate(1000.0))) == (0, 15)


def test_an_infusion_by_volume_or_body_mass() -> None:
    """300 mL/h of 0.2 mg/mL for 2 h: 120 mg, three bags of 50 mg.  0.1 units/kg/h at 80 kg for an hour: 8 units."""
    gtn = StartInfusion(drug="nitroglycerin", rate=300.0, rate_unit="mL/h", strength_per_ml=0.2)
    assert used([row("nitroglycerin", 0.2, 250.0)], (0.0, gtn), end_s=7200.0) == (3,)
    insulin = StartInfusion(drug="insulin", rate=0.1, rate_unit="units/kg/h")
    assert used([row("insulin", 1.0, 5.0, "units")], (0.0, insulin)) == (2,)


def test_the_wide_box_of_the_demo_gives_the_entry_line_its_labels() -> None:
    kit = CaseFiles(LabFolder(DEMO)).kit("street-ambulance-kit").record
    box = {(item.drug, item.concentration_per_ml, item.amount_unit) for item in kit.drug_box}
    assert {("heparin", 1000.0, "units"), ("sodium bicarbonate", 1.0, "mmol"), ("hypertonic saline", 1.0, "mL"),
            ("dextrose", 100.0, "mg"), ("norepinephrine", 0.016, "mg"), ("lidocaine", 20.0, "mg")} <= box  # fmt: skip
