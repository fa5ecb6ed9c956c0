"""C6: quiet driver."""

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
    rises,
    start,
)

_ACTION, _EMPTIED = 1.0, 0.8


def play(stage: Stage) -> None:
    patient = healthy(46, "male", 90, 178)
    patient.wrong("insulin excess", action_frac=_ACTION, glycogen_emptied_frac=_EMPTIED)
    for _ in range(240):
        patient.run("1 min")
        if patient["glucose_mg_per_dl"] <= 31.0:
            break
    patient.do("place line", site="left arm")
    stage.follow(UNTREATED, patient, 14)
    stage.follow("treated", patient, 30, at(0.0, "give drug", drug="dextrose", dose=10000.0, route="IV", over_s=120.0))
    stage.follow("glucagon", patient, 20, at(0.0, "give drug", drug="glucagon", dose=1.0, route="IM"))


CASE = Case(
    id="C6",
    title="Quiet driver",
    person="Man, 46 years, 90 kg",
    given=(
        f"Insulin at {_ACTION:g} of its full action, glycogen emptied by {_EMPTIED:g}, until glucose has "
        "fallen to 31 mg/dL."
    ),
    needs=("insulin excess",),
    play=play,
    drawn=(UNTREATED, "treated", "glucagon"),
    panels=("glucose_mg_per_dl", "gcs_total", "heart_rate_per_min"),
    figures=(
        start("glucose 31 mg/dL", "glucose_mg_per_dl", 31.0),
        start("GCS 11", GCS, 11.0),
        start("HR 104", HR, 104.0),
        start("BP 150 systolic", SBP, 150.0),
        start("BP 90 diastolic", DBP, 90.0),
        level(UNTREATED, 5.0, "GCS 8 at 5 min", GCS, 8.0),
        change("treated", 4.0, "dextrose 10 % 100 mL: glucose +45", "glucose_mg_per_dl", 45.0),
        rises("treated", 4.0, "GCS 15 in 4 min", GCS, 15.0),
        level("treated", 20.0, "falls again at 20 min (under 60)", "glucose_mg_per_dl", 60.0),
        change("glucagon", 10.0, "IM glucagon works in 10 min (glucose +20)", "glucose_mg_per_dl", 20.0),
    ),
    left_out=(
        ("left arm weak", "a stroke-like deficit of low sugar is a scripted finding"),
        ("seizure at 8 min", "the body does not start seizures by low sugar on this page"),
    ),
)
