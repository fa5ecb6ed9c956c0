"""C1: collapse at the ferry terminal."""

from drillyard.scripting import healthy
from drillyard.validation.outlines.model import UNTREATED, Case, Figure, Stage, at

_CPR = {"rate_per_min": 110.0, "depth_cm": 5.5}


def play(stage: Stage) -> None:
    patient = healthy(58, "male", 82, 177).run("1 min")
    patient.wrong("arrest", rhythm="ventricular fibrillation")
    patient.do("compress", rate_per_min=100.0, depth_cm=4.5, recoil_frac=0.9)
    patient.run("3 min")
    stage.follow(UNTREATED, patient, 14, at(0.0, "stop compressions"))
    stage.follow("bystander goes on", patient, 2, at(0.0, "ventilate", rate_per_min=10.0, volume_ml=500.0))
    care = (
        at(0.0, "compress", **_CPR),
        at(0.25, "give oxygen", device="bag with reservoir", flow_l_per_min=15.0),
        at(0.25, "ventilate", rate_per_min=10.0, volume_ml=500.0),
        at(1.0, "shock", energy_j=200.0),
        at(1.5, "place line", site="left arm"),
        at(3.0, "shock", energy_j=200.0),
        at(3.5, "give drug", drug="epinephrine", dose=1.0, dose_unit="mg", route="IV"),
        at(5.0, "shock", energy_j=200.0),
        at(5.3, "give drug", drug="amiodarone", dose=300.0, dose_unit="mg", route="IV"),
        at(7.0, "shock", energy_j=200.0),
        at(7.5, "give drug", drug="epinephrine", dose=1.0, dose_unit="mg", route="IV"),
        at(9.0, "shock", energy_j=200.0),
    )
    stage.follow("treated", patient, 14, *care)


CASE = Case(
    id="C1",
    title="Collapse at the ferry terminal",
    person="Man, 58 years, 82 kg",
    given="Ventricular fibrillation 3 min before, bystander compressions of 4.5 cm, 100 a minute.",
    needs=("arrest",),
    play=play,
    panels=("etco2_mmhg", "rhythm_code", "systolic_pressure_mmhg"),
    figures=(
        Figure(said="no pulse", signal="has_pulse", value=0.0),
        Figure(said="ventricular fibrillation", signal="rhythm_code", value=1.0),
        Figure(
            said="ETCO2 18 with compressions", signal="etco2_mmhg", value=18.0, at_min=1.0, course="bystander goes on"
        ),
        Figure(said="asystole at 10 min", signal="rhythm_code", value=1.5, at_min=10.0, course=UNTREATED, how="rises to"),
        Figure(
            said="good compressions: ETCO2 18 to 22 in 60 s", signal="etco2_mmhg", value=20.0, at_min=1.0,
            course="treated",
        ),
    ),
)  # fmt: skip
