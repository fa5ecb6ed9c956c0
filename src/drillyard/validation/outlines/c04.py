"""C4: harvest lunch."""

from collections.abc import Mapping
from typing import Any, Final

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
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

_IM: Final[Mapping[str, Any]] = {"drug": "epinephrine", "dose": 0.5, "route": "IM", "site": "thigh"}
_SEVERITY, _BEFORE_MIN = 1.0, 12.0


def play(stage: Stage) -> None:
    patient = healthy(33, "female", 70, 168)
    patient.wrong("allergic reaction", severity_frac=_SEVERITY, entry="skin")
    patient.run(f"{_BEFORE_MIN:g} min")
    stage.follow(UNTREATED, patient, 14)
    stage.follow("stands up", patient, 1, at(0.0, "control", name="tilt_deg", value=75.0))
    one = (at(0.0, "give oxygen", device="reservoir mask", flow_l_per_min=15.0), at(0.0, "give drug", **_IM))
    stage.follow("one dose", patient, 20, *one)
    stage.follow(
        "treated", patient, 20, *one, at(0.0, "position", posture="legs raised"), at(5.0, "give drug", **_IM),
        at(2.0, "place line", site="left arm", gauge=16),
        at(3.0, "start fluid", fluid="crystalloid", volume_ml=1400.0),
    )  # fmt: skip
    stage.follow("1 mg IV by mistake", patient, 5, at(0.0, "place line", site="left arm"),
                 at(0.0, "give drug", drug="epinephrine", dose=1.0, route="IV", confirmed_unusual=True))  # fmt: skip


CASE = Case(
    id="C4",
    title="Harvest lunch",
    person="Woman, 33 years, 70 kg",
    given=f"Allergic reaction of severity {_SEVERITY:g} (the worst) by the skin, begun {_BEFORE_MIN:g} min before.",
    needs=("allergic reaction",),
    play=play,
    drawn=(UNTREATED, "one dose", "treated"),
    panels=("systolic_pressure_mmhg", "spo2_pct", "wheeze_frac", "heart_rate_per_min"),
    figures=(
        start("HR 126", HR, 126.0),
        start("BP 92 systolic", SBP, 92.0),
        start("BP 54 diastolic", DBP, 54.0),
        start("RR 28", RR, 28.0),
        start("SpO2 93", SPO2, 93.0),
        start("wheeze", "wheeze_frac", 0.5),
        level(UNTREATED, 3.0, "stridor at 3 min", "stridor_frac", 0.4),
        level(UNTREATED, 3.0, "SBP 76 at 3 min", SBP, 76.0),
        level(UNTREATED, 6.0, "SBP 60 at 6 min", SBP, 60.0),
        level(UNTREATED, 6.0, "SpO2 82 at 6 min", SPO2, 82.0),
        falls(UNTREATED, 9.0, "arrest at 9 min", PULSE, 0.5),
        change("stands up", 0.5, "standing up: SBP -30 at once", SBP, -30.0),
        change("one dose", 4.0, "0.5 mg IM: SBP +18 in 4 min", SBP, 18.0),
        level("one dose", 4.0, "0.5 mg IM: wheeze half in 4 min", "wheeze_frac", 0.25),
        level("one dose", 12.0, "one dose wears off from 8 min: SBP back to 92", SBP, 92.0),
        level("1 mg IV by mistake", 1.5, "1 mg IV by mistake: HR 190", HR, 190.0),
    ),
    left_out=(
        ("run of ventricular tachycardia after 1 mg IV", "the rhythm does not exist in this version of the heart"),
        ("voice change, itch", "told or played"),
    ),
)
