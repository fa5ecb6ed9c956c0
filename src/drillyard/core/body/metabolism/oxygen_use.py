"""Oxygen used, carbon dioxide made, lactate.

In:       resting oxygen uptake of the patient, temperature, drugs and holds, oxygen content of blood leaving tissues.
Out:      oxygen use and carbon dioxide output of quick and slow tissues, lactate.
Assumes:  use falls as the content of tissue blood nears zero (critical extraction about 65-70 %: Ronco 1993, JAMA
          270:1724, from memory); oxygen that is wanted and not had makes lactate; liver and kidney clear it with
          a half-time of 25 min at full blood flow, more slowly once there is much of it.  The carbon dioxide that acid
          frees comes out of the stores by itself, as their content stays and their base falls.
Left out: exercise.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("lactate_mmol_per_l", 1.012, "mmol/L", "blood lactate", "mid", 0.0),
    State("oxygen_uptake_ml_per_s", 4.045, "mL/s", "oxygen used by all tissues", "mid", 0.0),
    State("co2_output_ml_per_s", 3.319, "mL/s", "carbon dioxide made by all tissues", "mid", 0.0),
    Param("oxygen_use_rest_ml_per_s", 4.17, "mL/s", "oxygen use at rest",
          "250 mL/min for 70 kg (Brody-Kleiber: 3.5 mL/kg/min)"),
    Param("respiratory_quotient", 0.82, "1", "carbon dioxide made over oxygen used",
          "mixed diet (common textbook value)"),
    Param("lactate_space_l", 35.0, "L", "volume in which lactate spreads", "about 0.5 L/kg (from memory)"),
    Param("lactate_per_debt_mmol_per_ml", 0.14, "mmol/mL", "lactate made per mL of oxygen wanted and not had",
          "5 mmol per 22.4 mL by energy yield, two thirds of demand met (reckoned)"),
    Param("lactate_clearance_per_s", 4.6e-4, "/s", "share of a small excess of lactate cleared a second at full flow",
          "half-time 25 min: 20-60 (reference notes, from memory)"),
    State("organ_o2_use_ml_per_s", 3.034, "mL/s", "oxygen used by quick tissues", "slow", 0.0),
    State("muscle_o2_use_ml_per_s", 1.011, "mL/s", "oxygen used by slow tissues", "slow", 0.0),
    State("organ_co2_made_ml_per_s", 2.489, "mL/s", "carbon dioxide made by quick tissues", "slow", 0.0),
    State("muscle_co2_made_ml_per_s", 0.8297, "mL/s", "carbon dioxide made by slow tissues", "slow", 0.0),
)  # fmt: skip


def met_frac(content_ml_per_ml):
    """Share of the demand that tissue blood of this oxygen content can meet; 1 at rest (content 0.15)."""
    square = content_ml_per_ml * content_ml_per_ml
    return square * 1.0267 / (square + 6.0e-4)


def oxygen_use(
    organ_o2_ml_per_ml, muscle_o2_ml_per_ml, lactate_mmol_per_l, gas_flow_ml_per_s, oxygen_demand_ml_per_s,
    respiratory_quotient, lactate_space_l, lactate_per_debt_mmol_per_ml, lactate_clearance_per_s,
    cardiac_output_rest_ml_per_s, stress_lactate_mmol_per_s, oxygen_use_rest_ml_per_s, shivering_frac, shiver_most,
    convulsion_frac, septic_frac, temperature_core_degc, bicarbonate_given_mmol_per_s,
):  # fmt: skip
    """Use, output and lactate of the next second."""
    organ_want = 0.75 * oxygen_demand_ml_per_s
    work = shiver_most * shivering_frac + 2.5 * clamp(convulsion_frac, 0.0, 1.0)
    muscle_rest = 0.25 * oxygen_demand_ml_per_s
    muscle_want = muscle_rest + oxygen_use_rest_ml_per_s * work
    next_organ_o2_use_ml_per_s = organ_want * met_frac(organ_o2_ml_per_ml)
    next_muscle_o2_use_ml_per_s = muscle_want * met_frac(muscle_o2_ml_per_ml)
    # work that muscle has no oxygen for is left undone
    debt = larger(organ_want - next_organ_o2_use_ml_per_s, 0.0) + larger(muscle_rest - next_muscle_o2_use_ml_per_s, 0.0)
    # glycogen is used up and acid slows its breakdown: no more than about 30 mmol/L
    fuel = clamp((32.0 - lactate_mmol_per_l) / 10.0, 0.0, 1.0)
    # muscle in a convulsion burns glycogen faster than oxygen can come: 12.7 mmol/L after one (Orringer 1977)
    burnt = 4.4 * clamp(convulsion_frac, 0.0, 1.0) + 0.035 * septic_frac + 0.02 * shivering_frac
    made = fuel * (lactate_per_debt_mmol_per_ml * debt + stress_lactate_mmol_per_s + burnt)
    # the liver takes less when it is poor of blood, cold or septic, and no more than so much at once
    liver = clamp(gas_flow_ml_per_s / (0.8 * cardiac_output_rest_ml_per_s), 0.0, 1.0)
    liver = liver * clamp(1.0 - 0.05 * (36.0 - temperature_core_degc), 0.2, 1.0) * (1.0 - 0.4 * septic_frac)
    over = lactate_mmol_per_l - 1.0
    cleared = lactate_clearance_per_s * liver * over / (1.0 + larger(over, 0.0) / 7.0)
    d_lactate_mmol_per_l_per_s = made / lactate_space_l - cleared
    # bicarbonate given brings its own carbon dioxide (22.26 mL/mmol)
    brought = 22.26 * bicarbonate_given_mmol_per_s
    next_organ_co2_made_ml_per_s = respiratory_quotient * next_organ_o2_use_ml_per_s + 0.75 * brought
    next_muscle_co2_made_ml_per_s = respiratory_quotient * next_muscle_o2_use_ml_per_s + 0.25 * brought
    next_oxygen_uptake_ml_per_s = next_organ_o2_use_ml_per_s + next_muscle_o2_use_ml_per_s
    next_co2_output_ml_per_s = next_organ_co2_made_ml_per_s + next_muscle_co2_made_ml_per_s
    return (
        next_organ_o2_use_ml_per_s, next_muscle_o2_use_ml_per_s, next_organ_co2_made_ml_per_s,
        next_muscle_co2_made_ml_per_s,
        d_lactate_mmol_per_l_per_s, next_oxygen_uptake_ml_per_s, next_co2_output_ml_per_s,
    )  # fmt: skip


PARTS: Final = {"SLOW": (oxygen_use,)}
