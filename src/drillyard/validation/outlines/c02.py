"""C2: shortness of breath, third floor."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import (
    DBP,
    ETCO2,
    GCS,
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


def play(stage: Stage) -> None:
    patient = healthy(24, "female", 60, 166)
    patient.wrong("bronchospasm", severity_frac=1.0)
    patient.run("17 min")
    stage.follow(UNTREATED, patient, 16)
    oxygen = at(0.0, "give oxygen", device="reservoir mask", flow_l_per_min=15.0)
    nebules = (
        at(0.5, "give drug", drug="salbutamol", dose=5.0, route="nebulised", over_s=420.0),
        at(0.5, "give drug", drug="ipratropium", dose=0.5, route="nebulised", over_s=420.0),
    )
    stage.follow("oxygen", patient, 3, oxygen)
    stage.follow(
        "treated", patient, 20, oxygen, *nebules,
        at(3.0, "place line", site="left arm"),
        at(4.0, "give drug", drug="magnesium sulfate", dose=2000.0, route="IV", over_s=600.0),
        at(8.0, "give drug", drug="salbutamol", dose=5.0, route="nebulised", over_s=420.0),
    )  # fmt: skip
    dying = stage.follow("untreated for 5 min", patient, 5)
    stage.follow(
        "adrenaline when dying", dying, 5, oxygen,
        at(0.0, "give drug", drug="epinephrine", dose=0.5, route="IM", site="thigh"), from_min=5.0,
    )  # fmt: skip
    # bagged fast while asleep and still: twenty large breaths against narrow airways, then the bag is taken off
    tubed = patient.branch()
    tubed.do("place line", site="left arm")
    tubed.do("give oxygen", device="bag with reservoir", flow_l_per_min=15.0)
    tubed.do("give drug", drug="ketamine", dose=100.0, route="IV")
    tubed.do("give drug", drug="rocuronium", dose=70.0, route="IV")
    tubed.do("ventilate", rate_per_min=8.0, volume_ml=400.0, leak_frac=0.0)
    tubed.run("90 s")
    tubed.do("place airway", device="tracheal tube", size=7.0, depth_cm=21.0)
    tubed.run("2 min")
    stacked = stage.follow(
        "tube, bag 24/min",
        tubed,
        3,
        at(0.0, "ventilate", rate_per_min=24.0, volume_ml=500.0, leak_frac=0.0),
        from_min=4.0,
    )
    stage.follow("bag taken off", stacked, 0.75, at(0.0, "stop ventilating"), from_min=7.0)


CASE = Case(
    id="C2",
    title="Shortness of breath, third floor",
    person="Woman, 24 years, 60 kg",
    given=(
        "Bronchospasm of severity 1 (the worst), three tenths of it swelling, for 17 min; no worse "
        "later, the muscles tire."
    ),
    needs=("bronchospasm",),
    play=play,
    panels=("spo2_pct", "etco2_mmhg", "respiratory_rate_per_min", "systolic_pressure_mmhg"),
    figures=(
        start("RR 34", RR, 34.0),
        start("SpO2 86", SPO2, 86.0),
        start("HR 138", HR, 138.0),
        start("BP 146 systolic", SBP, 146.0),
        start("BP 88 diastolic", DBP, 88.0),
        start("ETCO2 32", ETCO2, 32.0),
        start("wheeze on both sides", "wheeze_frac", 0.75),
        level(UNTREATED, 4.0, "RR 40 at 4 min", RR, 40.0),
        level(UNTREATED, 4.0, "SpO2 80 at 4 min", SPO2, 80.0),
        level(UNTREATED, 8.0, "silent chest at 8 min", "wheeze_frac", 0.1),
        level(UNTREATED, 8.0, "ETCO2 52 at 8 min", ETCO2, 52.0),
        level(UNTREATED, 8.0, "drowsy at 8 min", GCS, 12.0),
        level(UNTREATED, 12.0, "RR 8 at 12 min", RR, 8.0),
        level(UNTREATED, 12.0, "ETCO2 80 at 12 min", ETCO2, 80.0),
        falls(UNTREATED, 14.0, "pulseless at 14 min", PULSE, 0.5),
        change("oxygen", 2.0, "oxygen: SpO2 +6 in 2 min", SPO2, 6.0),
        level("treated", 5.0, "nebules: wheeze half at 5 min", "wheeze_frac", 0.4),
        change("tube, bag 24/min", 2.0, "bag over 12 a minute: SBP -30", SBP, -30.0),
        change("bag taken off", 0.5, "bag off: SBP back (+30)", SBP, 30.0),
    ),
    left_out=(
        ("tripod, sweat, speech in words", "told or played; sweat is shown, posture and speech are not computed"),
    ),
)
