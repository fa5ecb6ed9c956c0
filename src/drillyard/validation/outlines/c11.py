"""C11: cot-side alarm."""

from typing import Final

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    HR,
    PULSE,
    RR,
    SPO2,
    UNTREATED,
    Case,
    Stage,
    at,
    falls,
    level,
    start,
)

_SPASM = 0.75
_SHARE: Final = {"swelling_share_frac": 0.95}


def play(stage: Stage) -> None:
    patient = healthy(0.42, "male", 6.5, 64)
    patient.wrong("secretions", amount_frac=0.1)
    patient.wrong("bronchospasm", severity_frac=_SPASM, **_SHARE)
    patient.run("12 min")
    stage.follow(UNTREATED, patient, 16)
    oxygen = (
        at(0.0, "clear airway", how="suction"),
        at(0.5, "give oxygen", device="nasal cannula", flow_l_per_min=2.0),
    )
    stage.follow("treated", patient, 16, *oxygen)
    stage.follow("treated and salbutamol", patient, 16, *oxygen,
                 at(3.0, "give drug", drug="salbutamol", dose=2.5, route="nebulised", over_s=420.0))  # fmt: skip
    stage.follow("bag and mask, 25/min", patient, 10, at(0.0, "clear airway", how="suction"),
                 at(0.0, "give oxygen", device="bag with reservoir", flow_l_per_min=10.0),
                 at(0.0, "ventilate", rate_per_min=25.0, volume_ml=55.0))  # fmt: skip


CASE = Case(
    id="C11",
    title="Cot-side alarm",
    person="Boy, 5 months, 6.5 kg",
    given=(
        f"Narrow lower airways {_SPASM:g} (nearly all swelling and mucus) for 12 min, secretions 0.1; no worse later."
    ),
    needs=("bronchospasm", "secretions"),
    play=play,
    drawn=(UNTREATED, "treated", "bag and mask, 25/min"),
    panels=("spo2_pct", "respiratory_rate_per_min", "heart_rate_per_min"),
    figures=(
        start("RR 68", RR, 68.0),
        start("SpO2 86", SPO2, 86.0),
        start("HR 174", HR, 174.0),
        level(UNTREATED, 5.0, "RR 76 at 5 min", RR, 76.0),
        level(UNTREATED, 5.0, "SpO2 80 at 5 min", SPO2, 80.0),
        level(UNTREATED, 11.0, "HR 58 at 11 min", HR, 58.0),
        falls(UNTREATED, 13.0, "pulseless at 13 min", PULSE, 0.5),
        level("treated", 3.0, "suction and oxygen: SpO2 93 in 3 min", SPO2, 93.0),
        level("treated and salbutamol", 10.0, "salbutamol does nothing (SpO2 as without)", SPO2, 93.0),
        level("bag and mask, 25/min", 2.0, "bag and mask works", SPO2, 96.0),
    ),
    left_out=(
        ("apnoea spells of 15 s at 8 min", "spells of apnoea in small infants are not modelled; the rate falls evenly"),
        ("head bob, grunt, poor feed", "told or played; work of breathing is computed as one number"),
    ),
)
