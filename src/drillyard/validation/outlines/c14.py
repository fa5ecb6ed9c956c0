"""C14: the difficult night tube."""

from drillyard.scripting import ScriptedPatient, healthy
from drillyard.validation.outlines.model import (
    DBP,
    ETCO2,
    HR,
    RR,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Doing,
    Stage,
    at,
    change,
    falls,
    grows,
    level,
    start,
)

_SOLID = 0.45


def _mask_pressure(minute: float) -> tuple[Doing, ...]:
    """Steady pressure by mask, as a control: the vocabulary of care has no word for it yet."""
    return (
        at(minute, "control", name="ventilator_mode_code", value=3.0),
        at(minute, "control", name="ventilator_peep_cmh2o", value=10.0),
        at(minute, "control", name="ventilator_o2_frac", value=0.9),
    )


def _asleep(patient: ScriptedPatient) -> None:
    patient.do("give drug", drug="propofol", dose=200.0, route="IV")
    patient.do("give drug", drug="rocuronium", dose=130.0, route="IV")


def play(stage: Stage) -> None:
    patient = healthy(61, "male", 128, 175)
    patient.do("place line", site="left arm")
    patient.do("position", posture="head up 30")
    for share in (0.5, 0.8, 1.0):
        for side in ("left", "right"):
            patient.wrong("pneumonia", name=f"{side} lung", side=side, solid_frac=_SOLID * share)
        patient.run("10 min")
    patient.do("give oxygen", device="simple mask", flow_l_per_min=8.0)
    patient.run("10 min")
    worse = [
        doing
        for side in ("left", "right")
        for doing in grows(
            "pneumonia", "solid_frac", _SOLID, _SOLID + 0.2, until_min=15.0, name=f"{side} lung", side=side
        )
    ]
    stage.follow(UNTREATED, patient, 16, *worse)
    ready = stage.follow("treated", patient, 6, *_mask_pressure(0.0))
    for name, value in (("ventilator_mode_code", 0.0), ("ventilator_peep_cmh2o", 0.0)):
        ready.control(name, value)
    ready.do("stop oxygen")
    drugs = (
        at(0.0, "give drug", drug="propofol", dose=200.0, route="IV"),
        at(0.0, "give drug", drug="rocuronium", dose=130.0, route="IV"),
    )
    stage.follow("asleep, no breath", ready, 4, *drugs, from_min=6.0)
    stage.follow("asleep, pressor ready", ready, 4, *drugs,
                 at(0.75, "give drug", drug="phenylephrine", dose=0.1, route="IV"), from_min=6.0)  # fmt: skip
    gullet = ready.branch()
    _asleep(gullet)
    gullet.run("100 s")
    stage.follow(
        "tube in the gullet", gullet, 2,
        at(0.0, "place airway", device="tracheal tube", size=8.0, place="gullet"),
        at(0.0, "ventilate", rate_per_min=12.0, volume_ml=500.0), from_min=7.0,
    )  # fmt: skip
    lean = healthy(40, "male", 70, 178)
    for name, kg in (
        ("lean adult, full of oxygen", lean),
        ("great weight, full of oxygen", healthy(40, "male", 140, 175)),
    ):
        kg.do("give oxygen", device="tight circuit", flow_l_per_min=15.0)
        kg.run("5 min")
        kg.control("anaesthetised", 1.0)
        kg.control("paralysed", 1.0)
        kg.do("stop oxygen")
        stage.follow(name, kg, 14)


CASE = Case(
    id="C14",
    title="The difficult night tube",
    person="Man, 61 years, 128 kg",
    given=(
        f"Solid lung of {_SOLID:g} on both sides over half an hour, mask oxygen 8 L/min; untreated to "
        f"{_SOLID + 0.2:g} in a quarter of an hour."
    ),
    needs=("pneumonia",),
    play=play,
    drawn=(UNTREATED, "treated", "asleep, no breath"),
    panels=("spo2_pct", "respiratory_rate_per_min", "systolic_pressure_mmhg"),
    figures=(
        start("RR 36", RR, 36.0),
        start("SpO2 84 on mask", SPO2, 84.0),
        start("BP 104 systolic", SBP, 104.0),
        start("BP 58 diastolic", DBP, 58.0),
        start("HR 122", HR, 122.0),
        level(UNTREATED, 8.0, "SpO2 -1 a minute (to 76 at 8 min)", SPO2, 76.0),
        falls(UNTREATED, 12.0, "tires at 12 min (RR falls to 20)", RR, 20.0),
        level("treated", 5.0, "93 with CPAP", SPO2, 93.0),
        falls("asleep, no breath", 1.25, "apnoea: 90 % after 60 to 90 s", SPO2, 90.0),
        falls("asleep, no breath", 2.1, "then 1 % each 2 to 3 s (70 % some 50 s later)", SPO2, 70.0),
        change("asleep, no breath", 2.0, "full sedative: SBP -35", SBP, -35.0),
        change("asleep, pressor ready", 2.0, "pressor ready: SBP -10", SBP, -10.0),
        level("tube in the gullet", 0.6, "tube in the gullet: CO2 gone after 6 breaths", ETCO2, 0.0),
        falls("lean adult, full of oxygen", 9.92, "lean, full of oxygen: 595 s to 90 % (Berthoud 1991)", SPO2, 90.0),
        falls("great weight, full of oxygen", 3.27, "great weight: 196 s to 90 % (Berthoud 1991)", SPO2, 90.0),
    ),
    left_out=(("view at the tube, secretions", "findings of the scenario"),),
)
