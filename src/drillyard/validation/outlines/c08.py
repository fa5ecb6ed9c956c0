"""C8: tractor roll-over."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    ETCO2,
    HR,
    PULSE,
    RR,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Stage,
    at,
    change,
    falls,
    level,
    start,
)

_TOURNIQUET = at(1.0, "control bleeding", how="tourniquet", site="left thigh")


def play(stage: Stage) -> None:
    patient = healthy(38, "male", 88, 183)
    patient.wrong("bleeding", name="thigh", rate_ml_per_min=180.0, site="left thigh")
    patient.wrong("shunt", shunt_frac=0.12)
    patient.run("20 s")
    patient.wrong("pneumothorax", side="left", leak_ml_per_s_per_cmh2o=3.5)
    patient.run("400 s")
    stage.follow(UNTREATED, patient, 14)
    tied = stage.follow("tourniquet", patient, 2, _TOURNIQUET)
    stage.follow("needle, wrong side", tied, 2, at(0.0, "decompress chest", side="right"), from_min=2.0)
    stage.follow("needle, left", tied, 12, at(0.0, "decompress chest", side="left"), from_min=2.0)
    relieved = patient.branch()
    relieved.do("decompress chest", side="left")
    relieved.do("give oxygen", device="reservoir mask", flow_l_per_min=15.0)
    relieved.do("place line", site="right arm", gauge=14)
    relieved.do("place line", site="left arm", gauge=14)
    relieved.do("start fluid", fluid="crystalloid", volume_ml=3000.0)
    stage.follow("needle and much fluid, no tourniquet", relieved, 14)


CASE = Case(
    id="C8",
    title="Tractor roll-over",
    person="Man, 38 years, 88 kg",
    given=(
        "Thigh wound of 180 mL/min at normal pressure, 7 min before; left tension pneumothorax, leak 3.5 mL/s a cmH2O, "
        "400 s before; 12 % shunt of bruised lung."
    ),
    needs=("bleeding", "pneumothorax", "shunt"),
    play=play,
    drawn=(UNTREATED, "tourniquet", "needle, left"),
    panels=("systolic_pressure_mmhg", "spo2_pct", "heart_rate_per_min"),
    figures=(
        start("HR 132", HR, 132.0),
        start("BP 94 systolic", SBP, 94.0),
        start("BP 60 diastolic", DBP, 60.0),
        start("RR 32", RR, 32.0),
        start("SpO2 86", SPO2, 86.0),
        start("ETCO2 28", ETCO2, 28.0),
        start("left chest silent", "breath_sound_left_frac", 0.0),
        falls(UNTREATED, 4.0, "SBP 70 at 4 min", SBP, 70.0),
        falls(UNTREATED, 7.0, "SBP 50 at 7 min", SBP, 50.0),
        level(UNTREATED, 5.0, "SpO2 70 at 5 min", SPO2, 70.0),
        level(UNTREATED, 5.0, "neck veins full at 5 min", "neck_veins_frac", 0.8),
        falls(UNTREATED, 8.0, "arrest (PEA) at 8 min", PULSE, 0.5),
        level("tourniquet", 1.5, "tourniquet stops the bleeding", "bleeding_ml_per_min", 0.0),
        change("needle, left", 0.5, "needle left: SpO2 +14 in 30 s", SPO2, 14.0),
        change("needle, left", 0.5, "needle left: BP +12 in 30 s", SBP, 12.0),
        level("needle, left", 8.0, "clots at 6 min: left chest silent again", "breath_sound_left_frac", 0.0),
    ),
)
