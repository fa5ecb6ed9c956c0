"""Care that must not do what it cannot do."""

from drillyard.scripting import healthy


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
