"""Glucose, heat, potassium, acid and base, sepsis: which way they move, how far, and that nothing is made or lost."""

import pytest

from drillyard.core.body.body import Body
from drillyard.core.care.metabolic_problems import (
    AcidBaseDisorder,
    Exposure,
    Fever,
    InsulinExcess,
    InsulinLack,
    LastingHypercapnia,
    PotassiumDisorder,
    Sepsis,
)
from drillyard.core.care.problems import Problem

from .bench import after, healthy


def sick(problem: Problem, minutes: float = 0.0) -> Body:
    body = healthy()
    body.set_problem(problem)
    return after(body, 60.0 * minutes)


def parameter(body: Body, name: str) -> float:
    return float(body.p[body.kernel.layout.p_index[name]])


# ---- glucose ---------------------------------------------------------------------------------------------------


def glucose_mg(body: Body) -> float:
    return body.read("glucose_mg_per_dl") * parameter(body, "glucose_space_dl") + body.read(
        "glucose_tissue_mg_per_dl"
    ) * parameter(body, "glucose_tissue_space_dl")


@pytest.mark.parametrize("problem", [InsulinExcess(name="i", action_frac=0.6), InsulinLack(name="l")])
def test_glucose_is_neither_made_nor_lost(problem: Problem) -> None:
    body = healthy()
    kept = ("glucose_made_mg", "glucose_used_mg", "glucose_in_urine_mg")
    before, counted = glucose_mg(body), [body.read(name) for name in kept]
    body.set_problem(problem)
    after(body, 600.0, glucose_infusion_mg_per_min=500.0)
    after(body, 3600.0, glucose_infusion_mg_per_min=0.0)
    made, used, spilt = (body.read(name) - was for name, was in zip(kept, counted, strict=True))
    assert glucose_mg(body) - before == pytest.approx(5000.0 + made - used - spilt, abs=1.0)


def test_too_much_insulin_makes_sweat_tremor_pulse_and_sleep_and_sugar_wakes() -> None:
    rest = healthy().read("heart_rate_per_min")
    body = sick(InsulinExcess(name="i", action_frac=0.9), 45.0)
    assert body.read("glucose_mg_per_dl") < 36.0
    assert body.read("skin_sweat_frac") > 0.5 and body.read("tremor_frac") > 0.5
    assert body.read("heart_rate_per_min") > rest + 8.0
    assert body.read("gcs_total") < 13.0
    body.give("dextrose", 25000.0, "mg", "IV", 120.0)
    after(body, 600.0)
    assert body.read("gcs_total") == 15.0


def test_tablets_answer_sugar_with_more_insulin() -> None:
    lows = []
    for by_tablets in (False, True):
        body = sick(InsulinExcess(name="i", action_frac=0.6, by_tablets=by_tablets), 45.0)
        before = body.read("insulin_uu_per_ml")
        body.give("dextrose", 25000.0, "mg", "IV", 120.0)
        after(body, 1200.0)
        lows.append(body.read("insulin_uu_per_ml") - before)
    assert lows[1] > lows[0] + 10.0


def test_glucagon_needs_glycogen() -> None:
    rises = []
    for emptied in (0.0, 1.0):
        body = sick(InsulinExcess(name="i", action_frac=0.5, glycogen_emptied_frac=emptied), 40.0)
        before = body.read("glucose_mg_per_dl")
        body.give("glucagon", 1.0, "mg", "IM")
        after(body, 1800.0)
        rises.append(body.read("glucose_mg_per_dl") - before)
    assert rises[0] > 20.0
    assert rises[1] < 0.4 * rises[0]


def test_ketoacidosis_breathes_deep_spills_water_and_is_turned_by_insulin() -> None:
    body = sick(InsulinLack(name="l", glucose_rise_mg_per_dl=450.0, ketones_mmol_per_l=9.0), 60.0)
    assert 400.0 < body.read("glucose_mg_per_dl") < 650.0
    assert body.read("ph") < 7.32 and body.read("paco2_mmhg") < 34.0
    assert body.read("anion_gap_mmol_per_l") > 18.0
    assert body.read("osmotic_urine_ml_per_s") > 0.05
    assert body.read("potassium_mmol_per_l") > 4.3
    untreated = after(body.copy(), 7200.0)
    body.infuse("insulin", 7.0, "units/h", "IV")
    after(body, 7200.0)
    # common practice, no source: ketones fall by about half a millimole an hour
    assert body.read("ketones_mmol_per_l") < untreated.read("ketones_mmol_per_l") - 1.0
    assert body.read("glucose_mg_per_dl") < untreated.read("glucose_mg_per_dl") - 60.0
    assert body.read("potassium_mmol_per_l") < untreated.read("potassium_mmol_per_l") - 0.3


# ---- heat ------------------------------------------------------------------------------------------------------


def test_fever_shivers_up_and_an_antipyretic_brings_it_down() -> None:
    body = sick(Fever(name="f", rise_degc=2.0), 20.0)
    assert body.read("shivering_frac") > 0.1, "chills while the core is under its new set point"
    after(body, 4.0 * 3600.0)
    assert 38.2 < body.read("temperature_core_degc") < 38.9
    body.end_problem(Fever(name="f", rise_degc=2.0))
    after(body, 3.0 * 3600.0)
    assert body.read("temperature_core_degc") < 37.3


def test_cold_takes_consciousness_and_pulse_and_a_blanket_helps() -> None:
    bare = sick(Exposure(name="e", ambient_degc=5.0, added_loss_frac=3.0), 120.0)
    covered = sick(Exposure(name="e", ambient_degc=5.0, added_loss_frac=-0.5), 120.0)
    assert bare.read("temperature_core_degc") < 35.5 < covered.read("temperature_core_degc")
    # stages of Durrer 2003: unconscious below 28 degC
    deep = sick(Exposure(name="e", ambient_degc=15.0, core_change_degc=-10.0), 15.0)
    assert deep.read("hypothermia_stage") == 3.0
    assert deep.read("gcs_total") <= 8.0
    assert deep.read("heart_rate_per_min") < 45.0
    assert deep.read("shivering_frac") < 0.01


# ---- potassium and calcium -------------------------------------------------------------------------------------


def test_potassium_is_neither_made_nor_lost() -> None:
    body = healthy()
    names = ("cell_potassium_mmol", "potassium_in_urine_mmol", "potassium_freed_mmol")

    def stores(b: Body) -> float:
        return b.read("potassium_mmol_per_l") * parameter(b, "outside_cells_l") + sum(
            sign * b.read(name) for sign, name in zip((1.0, 1.0, -1.0), names, strict=True)
        )

    before = stores(body)
    body.set_problem(PotassiumDisorder(name="k", rise_mmol_per_l=1.5, release_mmol_per_min=0.4))
    body.give("potassium chloride", 20.0, "mmol", "IV", 1800.0)
    body.give("salbutamol", 10.0, "mg", "nebulised", 600.0)
    after(body, 5400.0)
    assert stores(body) == pytest.approx(before, abs=0.01)


def test_treatments_of_high_potassium() -> None:
    high = sick(PotassiumDisorder(name="k", rise_mmol_per_l=2.8, kidney_lost_frac=1.0), 20.0)
    assert high.read("potassium_mmol_per_l") == pytest.approx(7.0, abs=0.3)
    left = after(high.copy(), 3600.0)
    by_insulin = high.copy()
    by_insulin.give("insulin", 10.0, "units", "IV")
    by_insulin.give("dextrose", 25000.0, "mg", "IV", 300.0)
    after(by_insulin, 3600.0)
    # 0.6 to 1.2 mmol/L within the hour: Weisberg 2008, Crit Care Med 36:3246 (from memory)
    assert -1.4 < by_insulin.read("potassium_mmol_per_l") - left.read("potassium_mmol_per_l") < -0.5
    guarded = high.copy()
    guarded.give("calcium chloride", 1000.0, "mg", "IV", 60.0)
    after(guarded, 300.0)
    assert guarded.read("membrane_potassium_mmol_per_l") < high.read("membrane_potassium_mmol_per_l") - 1.0
    assert guarded.read("potassium_mmol_per_l") == pytest.approx(high.read("potassium_mmol_per_l"), abs=0.1)


# ---- acid and base ---------------------------------------------------------------------------------------------


def test_lost_base_is_breathed_against_and_bicarbonate_gives_it_back() -> None:
    body = sick(AcidBaseDisorder(name="a", base_loss_mmol_per_l=12.0), 60.0)
    assert body.read("ph") < 7.33 and body.read("paco2_mmhg") < 36.0
    before, exhaled = body.read("bicarbonate_mmol_per_l"), body.read("etco2_mmhg")
    body.give("sodium bicarbonate", 140.0, "mmol", "IV", 300.0)
    after(body, 300.0)
    assert body.read("etco2_mmhg") > exhaled + 0.5, "its carbon dioxide is breathed out"
    after(body, 3300.0)
    # 2 mmol/kg in 0.5 to 0.65 L/kg: Fernandez 1989, Kidney Int 36:747
    assert 2.0 < body.read("bicarbonate_mmol_per_l") - before < 4.5


def test_lasting_hypercapnia_has_won_base_by_its_days() -> None:
    got = [sick(LastingHypercapnia(name="c", rise_mmhg=15.0, days=days), 60.0) for days in (0.0, 30.0)]
    new, old = got
    assert new.read("paco2_mmhg") > 45.0 and old.read("paco2_mmhg") > 45.0
    assert old.read("bicarbonate_mmol_per_l") > new.read("bicarbonate_mmol_per_l") + 3.5
    assert old.read("ph") > new.read("ph") + 0.03


# ---- sepsis ----------------------------------------------------------------------------------------------------


def test_sepsis_is_warm_fast_low_and_sour() -> None:
    rest = healthy()
    body = sick(Sepsis(name="s", severity_frac=0.7), 90.0)
    assert body.read("temperature_core_degc") > rest.read("temperature_core_degc") + 0.7
    assert body.read("heart_rate_per_min") > rest.read("heart_rate_per_min") + 25.0
    assert body.read("respiratory_rate_per_min") > rest.read("respiratory_rate_per_min") + 5.0
    assert body.read("mean_arterial_pressure_mmhg") < rest.read("mean_arterial_pressure_mmhg") - 10.0
    assert body.read("lactate_mmol_per_l") > 2.0
    assert body.read("systemic_resistance_mmhg_s_per_ml") < rest.read("systemic_resistance_mmhg_s_per_ml")


def test_a_load_is_put_in_once_and_stays_when_its_cause_ends() -> None:
    problem = PotassiumDisorder(name="k", rise_mmol_per_l=2.0, kidney_lost_frac=1.0)
    body = healthy()
    for size in (0.25, 0.5, 1.0, 1.0):
        body.set_problem(problem, size)
        after(body, 60.0)
    assert body.read("potassium_mmol_per_l") == pytest.approx(6.2, abs=0.2)
    body.end_problem(problem)
    assert body.control("kidney_lost_frac") == 0.0
    assert after(body, 60.0).read("potassium_mmol_per_l") > 5.9
