"""C8: tractor roll-over."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import UNTREATED, Case, Figure, Stage, at

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
        Figure(said="HR 132", signal="heart_rate_per_min", value=132.0),
        Figure(said="BP 94 systolic", signal="systolic_pressure_mmhg", value=94.0),
        Figure(said="BP 60 diastolic", signal="diastolic_pressure_mmhg", value=60.0),
        Figure(said="RR 32", signal="respiratory_rate_per_min", value=32.0),
        Figure(said="SpO2 86", signal="spo2_pct", value=86.0),
        Figure(said="ETCO2 28", signal="etco2_mmhg", value=28.0),
        Figure(said="left chest silent", signal="breath_sound_left_frac", value=0.0),
        Figure(said="SBP 70 at 4 min", signal="systolic_pressure_mmhg", value=70.0, at_min=4.0, course=UNTREATED, how="falls to"),
        Figure(said="SBP 50 at 7 min", signal="systolic_pressure_mmhg", value=50.0, at_min=7.0, course=UNTREATED, how="falls to"),
        Figure(said="SpO2 70 at 5 min", signal="spo2_pct", value=70.0, at_min=5.0, course=UNTREATED),
        Figure(said="neck veins full at 5 min", signal="neck_veins_frac", value=0.8, at_min=5.0, course=UNTREATED),
        Figure(said="arrest (PEA) at 8 min", signal="has_pulse", value=0.5, at_min=8.0, course=UNTREATED, how="falls to"),
        Figure(said="tourniquet stops the bleeding", signal="bleeding_ml_per_min", value=0.0, at_min=1.5, course="tourniquet"),
        Figure(said="needle left: SpO2 +14 in 30 s", signal="spo2_pct", value=14.0, at_min=0.5, course="needle, left", how="change"),
        Figure(said="needle left: BP +12 in 30 s", signal="systolic_pressure_mmhg", value=12.0, at_min=0.5, course="needle, left", how="change"),
        Figure(said="clots at 6 min: left chest silent again", signal="breath_sound_left_frac", value=0.0, at_min=8.0, course="needle, left"),
    ),
)  # fmt: skip
