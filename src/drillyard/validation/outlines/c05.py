"""C5: car park, slow breathing."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import UNTREATED, Case, Figure, Stage, at

_BAG = (
    at(0.0, "open airway", how="jaw thrust"),
    at(0.0, "give oxygen", device="bag with reservoir", flow_l_per_min=15.0),
    at(0.0, "ventilate", rate_per_min=12.0, volume_ml=500.0),
)


def play(stage: Stage) -> None:
    patient = healthy(29, "male", 78, 181)
    patient.wrong("drug taken", name="patches", drug="fentanyl", dose=570.0, dose_unit="ug", route="IM", over_s=14400.0)
    patient.run("110 min")
    patient.wrong("drug taken", name="injection", drug="fentanyl", dose=60.0, dose_unit="ug", route="IM")
    patient.run("10 min")
    stage.follow(UNTREATED, patient, 14)
    stage.follow("treated", patient, 30, *_BAG, at(2.0, "place line", site="left arm"))
    bagged = stage.follow("bagged two minutes", patient, 2, *_BAG, at(1.0, "place line", site="left arm"))
    bagged.do("stop ventilating")
    naloxone = {"drug": "naloxone", "dose_unit": "mg", "route": "IV"}
    stage.follow("naloxone 0.4 mg", bagged, 30, at(0.0, "give drug", dose=0.4, **naloxone), from_min=2.0)
    stage.follow("naloxone 2 mg", bagged, 30, at(0.0, "give drug", dose=2.0, **naloxone), from_min=2.0)


CASE = Case(
    id="C5",
    title="Car park, slow breathing",
    person="Man, 29 years, 78 kg",
    given="Fentanyl: patches that gave 285 of 570 \u00b5g over two hours, and 60 \u00b5g injected 10 min before.",
    needs=("drug taken",),
    play=play,
    drawn=(UNTREATED, "bagged two minutes", "naloxone 0.4 mg", "naloxone 2 mg"),
    panels=("spo2_pct", "spontaneous_rate_per_min", "heart_rate_per_min"),
    figures=(
        Figure(said="RR 4", signal="respiratory_rate_per_min", value=4.0),
        Figure(said="SpO2 76", signal="spo2_pct", value=76.0),
        Figure(said="ETCO2 72", signal="etco2_mmhg", value=72.0),
        Figure(said="HR 62", signal="heart_rate_per_min", value=62.0),
        Figure(said="BP 98 systolic", signal="systolic_pressure_mmhg", value=98.0),
        Figure(said="BP 60 diastolic", signal="diastolic_pressure_mmhg", value=60.0),
        Figure(said="pinpoint pupils", signal="pupil_left_mm", value=1.5),
        Figure(said="GCS 4", signal="gcs_total", value=4.0),
        Figure(said="SpO2 falls 6 a minute to 50", signal="spo2_pct", value=50.0, at_min=4.3, course=UNTREATED, how="falls to"),
        Figure(said="HR 38 at 6 min", signal="heart_rate_per_min", value=38.0, at_min=6.0, course=UNTREATED),
        Figure(said="pulseless at 9 min", signal="has_pulse", value=0.5, at_min=9.0, course=UNTREATED, how="falls to"),
        Figure(said="bag and mask: SpO2 95 in 90 s", signal="spo2_pct", value=95.0, at_min=1.5, course="treated", how="rises to"),
        Figure(said="naloxone 0.4 mg IV: RR 11 in 2 min", signal="spontaneous_rate_per_min", value=11.0, at_min=2.0, course="naloxone 0.4 mg"),
        Figure(said="naloxone 2 mg: awake", signal="gcs_total", value=15.0, at_min=2.0, course="naloxone 2 mg"),
        Figure(said="naloxone 2 mg: HR 130", signal="heart_rate_per_min", value=130.0, at_min=2.0, course="naloxone 2 mg"),
        Figure(said="sleep again at 25 min (RR under 9)", signal="spontaneous_rate_per_min", value=9.0, at_min=25.0, course="naloxone 0.4 mg"),
    ),
    left_out=(("agitated, vomits", "finding that the scenario's rule shows; the body has no withdrawal"),),
)  # fmt: skip
