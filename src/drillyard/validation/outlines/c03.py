"""C3: home oxygen turned up."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    ETCO2,
    GCS,
    HR,
    RR,
    SBP,
    SPO2,
    UNTREATED,
    Case,
    Stage,
    at,
    change,
    level,
    start,
)

_SPASM, _RISE = 0.75, 22.0


def play(stage: Stage) -> None:
    patient = healthy(71, "male", 64, 172)
    patient.wrong("lasting hypercapnia", rise_mmhg=_RISE, days=60.0)
    patient.wrong("bronchospasm", severity_frac=_SPASM, swelling_share_frac=0.8)
    patient.run("20 min")
    patient.do("give oxygen", device="simple mask", flow_l_per_min=8.0)
    patient.run("20 min")
    stage.follow(UNTREATED, patient, 15)
    stage.follow("oxygen cut", patient, 10, at(0.0, "give oxygen", device="nasal cannula", flow_l_per_min=1.0))
    stage.follow("oxygen taken away", patient, 10, at(0.0, "stop oxygen"))
    stage.follow(
        "mask ventilation", patient, 12,
        at(0.0, "stop oxygen"),
        at(0.0, "control", name="ventilator_mode_code", value=4.0),
        at(0.0, "control", name="ventilator_pressure_cmh2o", value=12.0),
        at(0.0, "control", name="ventilator_peep_cmh2o", value=5.0),
        at(0.0, "control", name="ventilator_rate_per_min", value=14.0),
        at(0.0, "control", name="ventilator_o2_frac", value=0.28),
    )  # fmt: skip


CASE = Case(
    id="C3",
    title="Home oxygen turned up",
    person="Man, 71 years, 64 kg",
    given=(
        f"Carbon dioxide {_RISE:g} mmHg too high for two months, narrow lower airways {_SPASM:g} (four "
        "fifths fixed), 8 L/min by simple mask for 20 min."
    ),
    needs=("lasting hypercapnia", "bronchospasm"),
    play=play,
    drawn=(UNTREATED, "oxygen cut", "oxygen taken away", "mask ventilation"),
    panels=("spo2_pct", "etco2_mmhg", "respiratory_rate_per_min", "gcs_total"),
    figures=(
        start("RR 12", RR, 12.0),
        start("SpO2 98", SPO2, 98.0),
        start("ETCO2 66", ETCO2, 66.0),
        start("gas card: PaCO2 78", "paco2_mmhg", 78.0),
        start("gas card: pH 7.22", "ph", 7.22),
        start("HR 104", HR, 104.0),
        start("BP 158 systolic", SBP, 158.0),
        start("BP 84 diastolic", DBP, 84.0),
        start("GCS 13", GCS, 13.0),
        level(UNTREATED, 6.0, "ETCO2 +6 each 3 min (78 at 6 min)", ETCO2, 78.0),
        level(UNTREATED, 6.0, "GCS -1 each 3 min (11 at 6 min)", GCS, 11.0),
        level(UNTREATED, 12.0, "RR 6 at 12 min", RR, 6.0),
        level("oxygen cut", 4.0, "oxygen cut: SpO2 90 in 4 min", SPO2, 90.0),
        level("oxygen taken away", 3.0, "oxygen taken away: SpO2 74 in 3 min", SPO2, 74.0),
        change("mask ventilation", 4.0, "NIV: ETCO2 -3 a minute (-12 in 4 min)", ETCO2, -12.0),
        change("mask ventilation", 8.0, "NIV: GCS +1 per 4 min", GCS, 2.0),
    ),
    left_out=(("warm hands, flap", "told; a flap of the hands is not a finding of the body"),),
)
