"""C9: Sunday roast."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    GCS,
    HR,
    SBP,
    UNTREATED,
    Case,
    Stage,
    at,
    change,
    level,
    start,
)


def play(stage: Stage) -> None:
    patient = healthy(68, "female", 66, 163)
    patient.wrong("stroke", side="left", severity_frac=0.6)
    patient.run("30 min")
    stage.follow(UNTREATED, patient, 15)
    stage.follow("labetalol unasked", patient, 15, at(0.0, "place line", site="left arm"),
                 at(1.0, "give drug", drug="labetalol", dose=20.0, route="IV"))  # fmt: skip


CASE = Case(
    id="C9",
    title="Sunday roast",
    person="Woman, 68 years, 66 kg",
    given="Stroke of the left middle cerebral artery, severity 0.6, its findings scripted.",
    needs=("stroke",),
    play=play,
    drawn=(UNTREATED, "labetalol unasked"),
    panels=("systolic_pressure_mmhg", "gcs_total"),
    figures=(
        start("BP 186 systolic", SBP, 186.0),
        start("BP 102 diastolic", DBP, 102.0),
        start("HR 88", HR, 88.0),
        start("glucose 118", "glucose_mg_per_dl", 118.0),
        start("right arm drifts", "arm_weak_right_frac", 0.5),
        start("GCS 14", GCS, 14.0),
        level(UNTREATED, 12.0, "GCS 12 at 12 min", GCS, 12.0),
        change("labetalol unasked", 10.0, "BP drug unasked: SBP -40", SBP, -40.0),
    ),
    left_out=(
        ("face, arm, speech", "scripted findings of the stroke, not computed"),
        ("irregular pulse", "atrial fibrillation does not exist in this version of the heart"),
        ("vomits if flat; worse with a blood-pressure drug", "scripted by rules of the scenario"),
    ),
)
