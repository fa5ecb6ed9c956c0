"""Care that must not do what it cannot do."""

from drillyard.scripting import healthy
from tests.core.body import bench


def test_a_synchronised_shock_finds_no_r_wave_in_fibrillation() -> None:
    """Common practice, no source: a synchronised shock is timed by the R wave and is not delivered without one."""
    patient = healthy(seed=3)
    patient.wrong("arrest", rhythm="ventricular fibrillation")
    patient.run("5 s")
    said = patient.do("shock", energy_j=200, synchronised=True)
    assert "no shock is given" in said
    patient.run("1 s")
    assert patient["shocks_given"] == 0
    assert patient.do("shock", energy_j=200) == ""
    patient.run("1 s")
    assert patient["shocks_given"] == 1


def test_fluid_stops_with_its_last_line() -> None:
    patient = healthy(seed=3)
    patient.do("place line", site="left arm")
    patient.do("place line", site="right arm")
    patient.do("start fluid", fluid="crystalloid", volume="500 mL")
    assert patient.do("remove line", site="left arm") == ""
    patient.run("1 min")
    assert patient["crystalloid_left_ml"] > 0
    assert "stopped" in patient.do("remove line", site="right arm")
    assert patient["crystalloid_left_ml"] == 0


def test_the_airway_falls_back_when_the_patient_leaves_the_recovery_position() -> None:
    patient = healthy(seed=3)
    for posture, held in (("recovery position", 1.0), ("flat", 0.0), ("legs raised", 0.0)):
        patient.do("position", posture=posture)
        assert patient["airway_held_open"] == held


def test_a_hand_that_holds_the_airway_open_is_not_undone_by_a_change_of_posture() -> None:
    patient = healthy(seed=3)
    patient.do("position", posture="recovery position")
    patient.do("open airway", how="jaw thrust")
    patient.do("position", posture="flat")
    assert patient["airway_held_open"] == 1.0
    patient.do("open airway", how="jaw thrust", held=False)
    assert patient["airway_held_open"] == 0.0


def test_who_holds_the_airway_survives_a_snapshot() -> None:
    patient = healthy(seed=3)
    patient.do("position", posture="recovery position")
    again = bench.healthy(patient.body.patient)
    again.seed = patient.body.seed
    again.restore(patient.body.snapshot())
    assert again.notes["airway"] == {"posture": "held"}


def test_a_hold_is_let_go_by_shares_and_never_taken_up_by_a_release() -> None:
    """The share that is left is what weighs, after the body's own second or two."""
    body = bench.healthy()
    rest_per_min = body.read("heart_rate_per_min")
    body.hold("heart rate", 150.0)
    body.advance(3000)
    assert abs(body.read("heart_rate_per_min") - 150.0) < 2.0
    body.release("heart rate", 0.5)
    body.advance(1000)
    half_per_min = body.read("heart_rate_per_min")
    assert rest_per_min + 15.0 < half_per_min < 135.0
    body.release("heart rate", 0.9)
    assert body.control("hold_heart_rate_on") == 0.5, "a release never holds more than before"
    body.release("heart rate")
    body.release("heart rate", 0.4)
    assert body.control("hold_heart_rate_on") == 0.0


def test_an_infusion_runs_until_it_is_stopped() -> None:
    """Norepinephrine raises the pressure while it runs (half-life 2.4 min: Silverberg 1978, Am J Physiol 234:E252)."""
    patient = healthy(seed=3)
    before = patient.mean(["mean_arterial_pressure_mmhg"], "1 min")["mean_arterial_pressure_mmhg"]
    assert patient.do("stop infusion", drug="norepinephrine") == "No infusion of norepinephrine was running."
    patient.do("start infusion", drug="norepinephrine", rate=10.0, rate_unit="ug/min")
    patient.run("15 min")
    level = patient.drug_level_ng_per_ml("norepinephrine")
    after = patient.mean(["mean_arterial_pressure_mmhg"], "1 min")["mean_arterial_pressure_mmhg"]
    assert after > before + 5.0
    assert patient.do("stop infusion", drug="norepinephrine") == ""
    patient.run("12 min")
    assert patient.drug_level_ng_per_ml("norepinephrine") < 0.1 * level


def test_a_snapshot_keeps_infusions_and_places_of_injection() -> None:
    patient = healthy(seed=3)
    patient.do("start infusion", drug="dopamine", rate=10.0, rate_unit="ug/kg/min")
    patient.do("give drug", drug="epinephrine", dose=0.3, dose_unit="mg", route="IM", site="left thigh")
    patient.run("2 min")
    twin = healthy(seed=3)
    twin.restore(patient.body.snapshot())
    for one in (patient, twin):
        one.run("3 min")
    assert twin.body.state_hash() == patient.body.state_hash()
