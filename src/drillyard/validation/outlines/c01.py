"""C1: collapse at the ferry terminal."""

from drillyard.scripting import ScriptedPatient, healthy
from drillyard.validation.outlines.model import (
    DBP,
    ETCO2,
    HR,
    PULSE,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Doing,
    Stage,
    at,
    level,
    rises,
    start,
)

_SEED = 1

_CPR = {"rate_per_min": 110.0, "depth_cm": 5.5}


def _round(minute: float, *drugs: Doing) -> tuple[Doing, ...]:
    """A look, a shock while there is no pulse, drugs, two minutes of compressions; with a pulse hands come off."""
    return (
        at(minute, "shock", energy_j=200.0, only="without a pulse"),
        at(minute + 0.25, "stop compressions", only="with a pulse"),
        *drugs,
    )


def _drug(minute: float, drug: str, dose_mg: float) -> Doing:
    return at(minute, "give drug", drug=drug, dose=dose_mg, route="IV", only="without a pulse")


def _patient() -> ScriptedPatient:
    patient = healthy(58, "male", 82, 177, seed=_SEED).run("1 min")
    patient.wrong("coronary occlusion", territory="inferior", occluded_frac=1.0)
    patient.run("5 min")
    patient.wrong("arrest", rhythm="ventricular fibrillation")
    patient.do("compress", rate_per_min=100.0, depth_cm=4.5, recoil_frac=0.9)
    return patient.run("3 min")


def play(stage: Stage) -> None:
    patient = _patient()
    stage.follow(UNTREATED, patient, 14, at(0.0, "stop compressions"))
    stage.follow("bystander goes on", patient, 2, at(0.0, "ventilate", rate_per_min=10.0, volume_ml=500.0))
    good = (
        at(0.0, "compress", rate_per_min=110.0, depth_cm=5.5),
        at(0.25, "give oxygen", device="bag with reservoir", flow_l_per_min=15.0),
        at(0.25, "ventilate", rate_per_min=10.0, volume_ml=500.0),
    )
    stage.follow("compressions, no shock", patient, 4, *good)
    stage.follow(
        "treated", patient, 16, *good,
        *_round(1.0),
        at(1.5, "place line", site="left arm"),
        *_round(3.0, _drug(3.5, "epinephrine", 1.0)),
        *_round(5.0, _drug(5.5, "amiodarone", 300.0)),
        *_round(7.0, _drug(7.5, "epinephrine", 1.0)),
        *_round(9.0),
        *_round(11.0, _drug(11.5, "epinephrine", 1.0)),
    )  # fmt: skip


CASE = Case(
    id="C1",
    title="Collapse at the ferry terminal",
    person="Man, 58 years, 82 kg",
    given=(
        "Inferior coronary artery shut 8 min before, ventricular fibrillation 3 min before, bystander "
        "compressions of 4.5 cm, 100 a minute."
    ),
    needs=("arrest", "coronary occlusion"),
    play=play,
    panels=("etco2_mmhg", "rhythm_code", "systolic_pressure_mmhg", "heart_rate_per_min"),
    drawn=(UNTREATED, "compressions, no shock", "treated"),
    figures=(
        start("no pulse", PULSE, 0.0),
        start("ventricular fibrillation", "rhythm_code", 1.0),
        level("bystander goes on", 1.0, "ETCO2 18 with compressions", ETCO2, 18.0),
        rises(UNTREATED, 10.0, "asystole at 10 min", "rhythm_code", 1.5),
        level("compressions, no shock", 1.0, "good compressions: ETCO2 18 to 22 in 60 s", ETCO2, 20.0),
        rises("treated", 5.2, "pulse again after the 3rd shock (5 min)", PULSE, 0.5),
        level("treated", 7.0, "then HR 112", HR, 112.0),
        level("treated", 7.0, "then BP 88 systolic", SBP, 88.0),
        level("treated", 7.0, "then BP 50 diastolic", DBP, 50.0),
        level("treated", 7.0, "then SpO2 91", SPO2, 91.0),
        level("treated", 7.0, "then ETCO2 42, later 38", ETCO2, 40.0),
    ),
    left_out=(
        (
            "coarse, then fine fibrillation at 6 min",
            "the size of the waves is drawn by the ECG, not a number of the body",
        ),
        (
            "shocks 1 and 2 fail by rule",
            "here each shock has its own chance, from the heart's oxygen and the time in fibrillation",
        ),
        ("skin grey and cold, the wife's words", "told or played"),
    ),
)
