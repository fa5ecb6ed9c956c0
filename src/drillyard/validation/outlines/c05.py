"""C5: car park, slow breathing."""

from typing import Any

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    ETCO2,
    GCS,
    HR,
    OWN_RR,
    PULSE,
    RR,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Stage,
    at,
    falls,
    level,
    rises,
    start,
)

_BAG = (
    at(0.0, "open airway", how="jaw thrust"),
    at(0.0, "give oxygen", device="bag with reservoir", flow_l_per_min=15.0),
    at(0.0, "ventilate", rate_per_min=12.0, volume_ml=500.0),
)


def play(stage: Stage) -> None:
    patient = healthy(29, "male", 78, 181)
    patient.wrong("drug taken", name="patches", drug="fentanyl", dose=570.0, dose_unit="ug", route="IM", over_s=14400.0)
    patient.run("109 min")
    patient.wrong("drug taken", name="injection", drug="fentanyl", dose=60.0, dose_unit="ug", route="IM")
    patient.run("11 min")
    stage.follow(UNTREATED, patient, 14)
    stage.follow("treated", patient, 30, *_BAG, at(2.0, "place line", site="left arm"))
    bagged = stage.follow("bagged two minutes", patient, 2, *_BAG, at(1.0, "place line", site="left arm"))
    bagged.do("stop ventilating")
    naloxone: dict[str, Any] = {"drug": "naloxone", "dose_unit": "mg", "route": "IV"}
    stage.follow("naloxone 0.4 mg", bagged, 30, at(0.0, "give drug", dose=0.4, **naloxone), from_min=2.0)
    stage.follow("naloxone 2 mg", bagged, 30, at(0.0, "give drug", dose=2.0, **naloxone), from_min=2.0)


CASE = Case(
    id="C5",
    title="Car park, slow breathing",
    person="Man, 29 years, 78 kg",
    given=("Fentanyl: patches that gave 285 of 570 \u00b5g over two hours, and 60 \u00b5g injected 11 min before."),
    needs=("drug taken",),
    play=play,
    drawn=(UNTREATED, "bagged two minutes", "naloxone 0.4 mg", "naloxone 2 mg"),
    panels=("spo2_pct", "spontaneous_rate_per_min", "heart_rate_per_min"),
    figures=(
        start("RR 4", RR, 4.0),
        start("SpO2 76", SPO2, 76.0),
        start("ETCO2 72", ETCO2, 72.0),
        start("HR 62", HR, 62.0),
        start("BP 98 systolic", SBP, 98.0),
        start("BP 60 diastolic", DBP, 60.0),
        start("pinpoint pupils", "pupil_left_mm", 1.5),
        start("GCS 4", GCS, 4.0),
        falls(UNTREATED, 4.3, "SpO2 falls 6 a minute to 50", SPO2, 50.0),
        level(UNTREATED, 6.0, "HR 38 at 6 min", HR, 38.0),
        falls(UNTREATED, 9.0, "pulseless at 9 min", PULSE, 0.5),
        rises("treated", 1.5, "bag and mask: SpO2 95 in 90 s", SPO2, 95.0),
        level("naloxone 0.4 mg", 2.0, "naloxone 0.4 mg IV: RR 11 in 2 min", OWN_RR, 11.0),
        level("naloxone 2 mg", 2.0, "naloxone 2 mg: awake", GCS, 15.0),
        level("naloxone 2 mg", 2.0, "naloxone 2 mg: HR 130", HR, 130.0),
        level("naloxone 0.4 mg", 25.0, "sleep again at 25 min (RR under 9)", OWN_RR, 9.0),
    ),
    left_out=(("agitated, vomits", "finding that the scenario's rule shows; the body has no withdrawal"),),
)
