"""C12: flat 9B, new mother."""

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
    level,
    start,
)

_RATE = 75.0


def play(stage: Stage) -> None:
    patient = healthy(27, "female", 68, 165, pregnant_weeks=40.0, is_delivered=True)
    patient.wrong("uterine bleeding", rate_ml_per_min=_RATE)
    patient.run("9 min")
    stage.follow(UNTREATED, patient, 20)
    massage = at(1.0, "control bleeding", how="massage", site="uterus", stopped_frac=0.4)
    stage.follow("massage", patient, 4, massage)
    stage.follow(
        "treated", patient, 20, massage,
        at(1.0, "give drug", drug="oxytocin", dose=10.0, dose_unit="units", route="IM"),
        at(3.0, "place line", site="left arm", gauge=16),
        at(3.0, "give drug", drug="tranexamic acid", dose=1000.0, route="IV", over_s=600.0),
        at(4.0, "start fluid", fluid="crystalloid", volume_ml=500.0),
    )  # fmt: skip


CASE = Case(
    id="C12",
    title="Flat 9B, new mother",
    person="Woman, 27 years, 68 kg, 25 min after birth",
    given=f"Bleeding of {_RATE:g} mL/min at normal pressure from the uterus, begun 9 min before.",
    needs=("uterine bleeding",),
    play=play,
    panels=("systolic_pressure_mmhg", "heart_rate_per_min", "blood_lost_ml"),
    figures=(
        start("loss 450 mL", "blood_lost_ml", 450.0),
        start("bleeding 60 mL/min", "bleeding_ml_per_min", 60.0),
        start("HR 108", HR, 108.0),
        start("BP 106 systolic", SBP, 106.0),
        start("BP 64 diastolic", DBP, 64.0),
        level(UNTREATED, 8.0, "loss 900 mL at 8 min", "blood_lost_ml", 900.0),
        level(UNTREATED, 8.0, "SBP 84 at 8 min", SBP, 84.0),
        level(UNTREATED, 18.0, "loss 1500 mL at 18 min", "blood_lost_ml", 1500.0),
        level(UNTREATED, 18.0, "SBP 64 at 18 min", SBP, 64.0),
        level(UNTREATED, 18.0, "GCS 13 at 18 min", GCS, 13.0),
        level("massage", 2.0, "massage: flow -40 % (to 36)", "bleeding_ml_per_min", 36.0),
        level("treated", 4.0, "with uterotonic at 3 min a further half (to 18)", "bleeding_ml_per_min", 18.0),
    ),
    left_out=(
        ("full bladder blocks a third, missing placenta part keeps 30 %", "events of the scenario, not of the body"),
        ("baby", "one patient a body"),
    ),
)
