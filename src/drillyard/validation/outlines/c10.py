"""C10: convulsing at the bus stop."""

from typing import Any

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    HR,
    OWN_RR,
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


def play(stage: Stage) -> None:
    patient = healthy(31, "male", 74, 180)
    patient.wrong("seizure", severity_frac=1.0)
    patient.run("7 min")
    stage.follow(UNTREATED, patient, 16)
    oxygen = at(0.0, "give oxygen", device="reservoir mask", flow_l_per_min=15.0)
    midazolam: dict[str, Any] = {"drug": "midazolam", "route": "IM", "site": "thigh"}
    stage.follow("treated", patient, 16, oxygen, at(0.5, "give drug", dose=10.0, **midazolam))
    stage.follow("2.5 mg", patient, 16, oxygen, at(0.5, "give drug", dose=2.5, **midazolam))


CASE = Case(
    id="C10",
    title="Convulsing at the bus stop",
    person="Man, 31 years, 74 kg",
    given="Generalised seizure without end, 7 min before, of usual resistance to drugs.",
    needs=("seizure",),
    play=play,
    drawn=(UNTREATED, "treated", "2.5 mg"),
    panels=("seizure_frac", "spo2_pct", "heart_rate_per_min", "temperature_core_degc"),
    figures=(
        start("HR 140", HR, 140.0),
        start("SpO2 84", SPO2, 84.0),
        start("BP 166 systolic", SBP, 166.0),
        start("BP 98 diastolic", DBP, 98.0),
        start("glucose 104", "glucose_mg_per_dl", 104.0),
        level(UNTREATED, 5.0, "SpO2 70 at 5 min", SPO2, 70.0),
        change(UNTREATED, 5.0, "temperature +0.2 a minute (+1 in 5 min)", "temperature_core_degc", 1.0),
        falls(UNTREATED, 12.0, "stops breathing at 12 min", OWN_RR, 2.0),
        falls("treated", 3.8, "midazolam 10 mg IM stops it 3.3 min later", "seizure_frac", 0.2),
        level("2.5 mg", 4.5, "2.5 mg: partial, restarts by 4 min", "seizure_frac", 0.8),
        level("treated", 7.0, "post-ictal RR 8", RR, 8.0),
    ),
    left_out=(("tongue bite, incontinence", "told or shown"),),
)
