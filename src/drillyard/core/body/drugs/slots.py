"""The drug slots: one array part, called once a second.

A slot holds one drug given by one route.  Two routes of one drug use two slots: the kinetics are linear, so levels
add, and the receptors below add them.  All amounts are mg, all levels mg/L, all rates per second.

Each slot, from the needle to the receptor:

    feed (infusion) -> chain 1 -> chain 2 ----------\
               \\-> wait 1 -> depot 1 ----------------> central <-> peripheral -> out
                \\-> wait 2 -> depot 2 --------------/       \\-> effect site

Central and peripheral compartments are carried as the decaying exponentials of which they are made
(``kinetics.py``), so a second is advanced exactly whatever the blood flow, with three exponentials and no matrix.
All movement that blood carries runs on a clock driven by cardiac output: in low output a drug arrives later, spreads
and leaves more slowly (in pigs whose output was halved or doubled, clearances and volumes of an opioid followed:
Birkholz 2018, Anesthesiology 128:912-920; shock doubled fentanyl levels: Egan 1999, Anesthesiology 91:156-166); with
no output it does not move at all.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, exp, pow_, smaller

RECEPTORS: Final = ("mu_opioid", "alpha1", "beta1", "beta2", "antifibrinolysis", "central_nervous_depression")
"""What a drug file may name as a receptor, in its fixed order here.  A further one is added at the end."""

N_SLOTS: Final = 12
N_RECEPTORS: Final = 6

# one slot in x
X_WAIT_1: Final = 0
X_DEPOT_1: Final = 1
X_WAIT_2: Final = 2
X_DEPOT_2: Final = 3
X_CHAIN_1: Final = 4
X_CHAIN_2: Final = 5
X_MODE: Final = 6
X_EFFECT: Final = 9
X_FEED_LEFT: Final = 10
X_FEED_RATE: Final = 11
X_PER_SLOT: Final = 12
X_RECEPTORS: Final = N_SLOTS * X_PER_SLOT
X_SIZE: Final = X_RECEPTORS + N_RECEPTORS

# one slot in p
P_IS_ON: Final = 0
P_TO_CHAIN: Final = 1
P_TO_WAIT_1: Final = 2
P_TO_WAIT_2: Final = 3
P_CHAIN_RATE: Final = 4
P_WAIT_1_RATE: Final = 5
P_DEPOT_1_RATE: Final = 6
P_WAIT_2_RATE: Final = 7
P_DEPOT_2_RATE: Final = 8
P_MODE_RATE: Final = 9
P_MODE_SHARE: Final = 12
P_PER_LITRE: Final = 15
P_EFFECT_RATE: Final = 16
P_RECEPTOR: Final = 17
P_PER_RECEPTOR: Final = 6
R_AGONIST: Final = 0
R_ANTAGONIST: Final = 1
R_GAMMA: Final = 2
R_EMAX: Final = 3
R_AT_EFFECT_SITE: Final = 4
R_LEAVING: Final = 5
P_PER_SLOT: Final = P_RECEPTOR + N_RECEPTORS * P_PER_RECEPTOR
P_SIZE: Final = N_SLOTS * P_PER_SLOT

FLOW_HIGH_FRAC: Final = 1.25
"""Cardiac output above this share of the resting one does not speed the kinetics further.  Our choice: an opioid's
clearance rises with output in pigs, but epinephrine's hardly does in man (33 and 35 mL/kg/min at infusions that leave
output alone and raise it by a third: Best & Halter 1982)."""
NOTHING: Final = 1e-30
"""Below this an amount is set to zero: numbers near the smallest float slow the processor down."""


def kept_of_inflow_frac(rate: float) -> float:
    """Share of a steady inflow of one second that is still there at its end, leaving at ``rate`` (per s)."""
    return (1.0 - exp(-rate)) / rate if rate > 1e-9 else 1.0


def advance_drug_slots(
    x: list[float], p: list[float], drugs_x0: int, drugs_p0: int, cardiac_output_frac: float
) -> None:
    """Move all slots on by one second and write the receptors' share of full effect.

    Args:
        x: flat state; the slots' block begins at ``drugs_x0`` and is changed in place.
        p: flat parameters; the slots' block begins at ``drugs_p0``.
        cardiac_output_frac: cardiac output over the patient's resting one. [1]

    What leaves a stage within a second reaches the next one evenly over that second.
    """
    flow = clamp(cardiac_output_frac, 0.0, FLOW_HIGH_FRAC)
    # muscle vessels close earlier than the rest in shock (direction: common knowledge; the square: our choice)
    muscle_flow = flow * flow if flow < 1.0 else flow
    # the brain keeps its flow until output is halved (our choice, after cerebral autoregulation)
    brain_flow = smaller(1.0, 2.0 * flow)
    for i_slot in range(N_SLOTS):
        i_x = drugs_x0 + X_PER_SLOT * i_slot
        i_p = drugs_p0 + P_PER_SLOT * i_slot
        if p[i_p + P_IS_ON] > 0.5:
            fed = smaller(x[i_x + X_FEED_LEFT], x[i_x + X_FEED_RATE])
            x[i_x + X_FEED_LEFT] = x[i_x + X_FEED_LEFT] - fed
            if x[i_x + X_FEED_LEFT] <= 0.0:
                x[i_x + X_FEED_RATE] = 0.0
            arrived = 0.0
            for i_way in range(2):
                rate = p[i_p + P_WAIT_1_RATE + 2 * i_way] * muscle_flow
                inflow = fed * p[i_p + P_TO_WAIT_1 + i_way]
                had = x[i_x + X_WAIT_1 + 2 * i_way]
                left = had * exp(-rate) + inflow * kept_of_inflow_frac(rate)
                x[i_x + X_WAIT_1 + 2 * i_way] = left
                inflow = had + inflow - left
                rate = p[i_p + P_DEPOT_1_RATE + 2 * i_way] * muscle_flow
                had = x[i_x + X_DEPOT_1 + 2 * i_way]
                left = had * exp(-rate) + inflow * kept_of_inflow_frac(rate)
                x[i_x + X_DEPOT_1 + 2 * i_way] = left
                arrived = arrived + (had + inflow - left)
            rate = p[i_p + P_CHAIN_RATE] * flow
            inflow = fed * p[i_p + P_TO_CHAIN]
            for i_stage in range(2):
                had = x[i_x + X_CHAIN_1 + i_stage]
                left = had * exp(-rate) + inflow * kept_of_inflow_frac(rate)
                x[i_x + X_CHAIN_1 + i_stage] = left
                inflow = had + inflow - left
            arrived = arrived + inflow
            before = 0.0
            after = 0.0
            for i_mode in range(3):
                rate = p[i_p + P_MODE_RATE + i_mode] * flow
                had = x[i_x + X_MODE + i_mode]
                left = had * exp(-rate) + arrived * p[i_p + P_MODE_SHARE + i_mode] * kept_of_inflow_frac(rate)
                x[i_x + X_MODE + i_mode] = left
                before = before + had
                after = after + left
            level = after * p[i_p + P_PER_LITRE]
            if p[i_p + P_EFFECT_RATE] > 0.0:
                kept = exp(-(p[i_p + P_EFFECT_RATE] * brain_flow))
                mean_level = 0.5 * (before + after) * p[i_p + P_PER_LITRE]
                level = x[i_x + X_EFFECT] * kept + mean_level * (1.0 - kept)
            x[i_x + X_EFFECT] = level
            for i_state in range(X_PER_SLOT):
                if x[i_x + i_state] < NOTHING:
                    x[i_x + i_state] = 0.0
    for i_receptor in range(N_RECEPTORS):
        agonist = 0.0
        antagonist = 0.0
        gamma = 0.0
        emax = 0.0
        leaving = 0.0
        for i_slot in range(N_SLOTS):
            i_x = drugs_x0 + X_PER_SLOT * i_slot
            i_p = drugs_p0 + P_PER_SLOT * i_slot
            if p[i_p + P_IS_ON] > 0.5:
                i_r = i_p + P_RECEPTOR + P_PER_RECEPTOR * i_receptor
                level = x[i_x + X_EFFECT]
                if p[i_r + R_AT_EFFECT_SITE] < 0.5:
                    level = (x[i_x + X_MODE] + x[i_x + X_MODE + 1] + x[i_x + X_MODE + 2]) * p[i_p + P_PER_LITRE]
                strength = level * p[i_r + R_AGONIST]
                agonist = agonist + strength
                antagonist = antagonist + level * p[i_r + R_ANTAGONIST]
                gamma = gamma + strength * p[i_r + R_GAMMA]
                emax = emax + strength * p[i_r + R_EMAX]
                leaving = leaving + strength * p[i_r + R_LEAVING]
        effect = 0.0
        if agonist > 1e-9:
            # Gaddum 1937 (J Physiol 89:7P) and Schild: the antagonist divides the agonist by 1 + level / Ki; drugs that
            # share a receptor act as one, slope and ceiling weighted by their strengths
            ratio = pow_(agonist / (1.0 + antagonist), gamma / agonist)
            effect = emax / agonist * ratio / (1.0 + ratio)
            # an agonist that is driven out leaves its receptor at its own rate
            had = x[drugs_x0 + X_RECEPTORS + i_receptor]
            if had > effect:
                effect = effect + (had - effect) * exp(-(leaving / agonist))
        x[drugs_x0 + X_RECEPTORS + i_receptor] = effect
