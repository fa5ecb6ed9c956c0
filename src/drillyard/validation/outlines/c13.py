"""C13: kitchen fire."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    HR,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Stage,
    at,
    grows,
    level,
    start,
)


def play(stage: Stage) -> None:
    patient = healthy(52, "male", 95, 178)
    patient.wrong("carbon monoxide", cohb_frac=0.23)
    patient.wrong("burn", surface_frac=0.28, full_thickness_frac=0.3)
    patient.run("15 min")
    swelling = grows("airway swelling", "swelling_frac", 0.1, 0.75, until_min=18.0)
    stage.follow(UNTREATED, patient, 18, *swelling)
    stage.follow(
        "treated", patient, 60, *swelling,
        at(1.0, "give oxygen", device="reservoir mask", flow_l_per_min=15.0),
        at(2.0, "place line", site="left arm", gauge=16),
        at(3.0, "give drug", drug="morphine", dose=8.0, route="IV"),
        at(4.0, "start fluid", fluid="crystalloid", volume_ml=1000.0, rate_ml_per_min=8.33),
        at(12.0, "give drug", drug="ketamine", dose=150.0, route="IV"),
        at(12.5, "give drug", drug="rocuronium", dose=100.0, route="IV"),
        at(13.5, "place airway", device="tracheal tube", size=7.5, depth_cm=22.0),
        at(13.5, "give oxygen", device="bag with reservoir", flow_l_per_min=15.0),
        at(13.5, "ventilate", rate_per_min=14.0, volume_ml=550.0, leak_frac=0.0),
    )  # fmt: skip


CASE = Case(
    id="C13",
    title="Kitchen fire",
    person="Man, 52 years, 95 kg",
    given=(
        "Burns of 28 % a quarter of an hour old, carboxyhaemoglobin 23 % then, swelling of the throat "
        "from 0.1 to 0.75 in 18 min."
    ),
    needs=("carbon monoxide", "burn", "airway swelling"),
    play=play,
    panels=("spo2_pct", "cohb_pct", "stridor_frac", "systolic_pressure_mmhg"),
    figures=(
        start("SpO2 97 (carbon monoxide hides)", SPO2, 97.0),
        start("carbon monoxide 22 %", "cohb_pct", 22.0),
        start("HR 124", HR, 124.0),
        start("BP 138 systolic", SBP, 138.0),
        start("BP 86 diastolic", DBP, 86.0),
        level(UNTREATED, 8.0, "stridor at 8 min", "stridor_frac", 0.4),
        level(UNTREATED, 15.0, "SBP 100 at 15 min", SBP, 100.0),
    ),
    left_out=(
        ("harder tube each 3 min", "the view at the tube is a finding of the scenario"),
        ("cooling, warmth", "cooling of the burn by water has no action yet, only the room"),
    ),
)
