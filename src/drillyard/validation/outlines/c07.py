"""C7: "just tired" in the care home."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    GCS,
    HR,
    RR,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Stage,
    at,
    change,
    level,
    start,
)

_SEVERITY = 0.7


def play(stage: Stage) -> None:
    patient = healthy(79, "female", 55, 160)
    patient.wrong("pneumonia", side="right", solid_frac=0.25)
    for share in (0.4, 0.7, 1.0):
        patient.wrong("sepsis", severity_frac=_SEVERITY * share)
        patient.run("60 min")
    stage.follow(UNTREATED, patient, 20)
    line = (at(0.0, "place line", site="left arm", gauge=16), at(0.0, "place line", site="right arm", gauge=16))
    stage.follow("500 mL", patient, 25, *line, at(0.0, "start fluid", fluid="crystalloid", volume_ml=500.0))
    stage.follow("30 mL/kg", patient, 30, *line, at(0.0, "start fluid", fluid="crystalloid", volume_ml=1650.0))
    stage.follow(
        "treated", patient, 30, *line,
        at(0.0, "give oxygen", device="reservoir mask", flow_l_per_min=15.0),
        at(0.0, "start fluid", fluid="crystalloid", volume_ml=1650.0),
        at(10.0, "start infusion", drug="norepinephrine", rate=8.0, rate_unit="ug/min"),
    )  # fmt: skip


CASE = Case(
    id="C7",
    title="\u201cJust tired\u201d in the care home",
    person="Woman, 79 years, 55 kg",
    given=f"Sepsis of severity {_SEVERITY:g} over three hours, a quarter of the right lung solid.",
    needs=("sepsis", "pneumonia"),
    play=play,
    drawn=(UNTREATED, "500 mL", "treated"),
    panels=("systolic_pressure_mmhg", "heart_rate_per_min", "lactate_mmol_per_l", "spo2_pct"),
    figures=(
        start("HR 118", HR, 118.0),
        start("BP 96 systolic", SBP, 96.0),
        start("BP 48 diastolic", DBP, 48.0),
        start("RR 26", RR, 26.0),
        start("T 38.9", "temperature_core_degc", 38.9),
        start("SpO2 91", SPO2, 91.0),
        start("confused (GCS 14)", GCS, 14.0),
        start("lactate 4.2", "lactate_mmol_per_l", 4.2),
        start("capillary refill 5 s", "capillary_refill_s", 5.0),
        level(UNTREATED, 8.0, "SBP -3 a minute (72 at 8 min)", SBP, 72.0),
        level(UNTREATED, 20.0, "lactate 6 in 20 min", "lactate_mmol_per_l", 6.0),
        level(UNTREATED, 10.0, "GCS 12 at 10 min", GCS, 12.0),
        change("500 mL", 4.0, "500 mL: SBP +6", SBP, 6.0),
        change("30 mL/kg", 8.0, "30 mL/kg: SBP +14", SBP, 14.0),
        level("treated", 20.0, "pressor holds mean pressure at 65", "mean_arterial_pressure_mmhg", 65.0),
    ),
    left_out=(("mottled knees, cloudy urine", "told or shown as pictures"),),
)
