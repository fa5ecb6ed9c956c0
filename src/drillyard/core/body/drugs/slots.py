"""The drug slots: one array part, called once a second.

A slot holds one drug given by one route.  Two routes of one drug use two slots: the kinetics are linear, so levels
add, and the receptors below add them.  Amounts are in the drug's own unit (mg for most), levels that a litre, rates
per second.

Each slot, from the needle to the receptor:

    feed, infusion -> chain of six stages ---------\
              \\-> wait 1 -> depot 1 ----------------> central <-> peripheral -> out
               \\-> wait 2 -> depot 2 --------------/       \\-> effect sites
                    \\-> (what lies in wait 1 and depot 1) -> effect site, where a drug acts before it is absorbed

Central and peripheral compartments are carried as the decaying exponentials of which they are made
(``kinetics.py``), so a second is advanced exactly whatever the blood flow, with three exponentials and no matrix.
All movement that blood carries runs on a clock driven by cardiac output: in low output a drug arrives later, spreads
and leaves more slowly (in pigs whose output was halved or doubled, clearances and volumes of an opioid followed:
Birkholz 2018, Anesthesiology 128:912-920; shock doubled fentanyl levels: Egan 1999, Anesthesiology 91:156-166); with
no output it does not move at all.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, exp, pow_, smaller

N_SLOTS: Final = 16
N_RECEPTORS: Final = 48
N_SUBSTANCES: Final = 10
N_SITES: Final = 4
"""Where effects are felt: plasma, the main effect site, two more."""
SITE_PLASMA: Final = 0
SITE_MAIN: Final = 1
SITE_MORE: Final = 2

N_CHAIN: Final = 6
"""Stages from a vein of the arm to the heart: a push arrives as a wave about 0.4 of its mean time wide (1 / sqrt 6), as
dye from an arm vein does (from memory)."""

# one slot in x
X_WAIT_1: Final = 0
X_DEPOT_1: Final = 1
X_WAIT_2: Final = 2
X_DEPOT_2: Final = 3
X_CHAIN: Final = 4
X_MODE: Final = X_CHAIN + N_CHAIN
X_SITE: Final = X_MODE + 3
X_FEED_LEFT: Final = X_SITE + N_SITES
X_FEED_RATE: Final = X_FEED_LEFT + 1
X_INFUSION_RATE: Final = X_FEED_RATE + 1
X_PER_SLOT: Final = X_INFUSION_RATE + 1
X_RECEPTORS: Final = N_SLOTS * X_PER_SLOT
X_SUBSTANCES: Final = X_RECEPTORS + N_RECEPTORS
X_SIZE: Final = X_SUBSTANCES + N_SUBSTANCES

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
P_SITE_RATE: Final = 16
P_SITE_OF_DEPOT: Final = 20
P_SUBSTANCE: Final = 24
P_RECEPTOR: Final = P_SUBSTANCE + N_SUBSTANCES
P_PER_RECEPTOR: Final = 7
R_AGONIST: Final = 0
R_ANTAGONIST: Final = 1
R_GAMMA: Final = 2
R_EMAX: Final = 3
R_SITE: Final = 4
R_LEAVING: Final = 5
R_TURNOVER: Final = 6
P_PER_SLOT: Final = P_RECEPTOR + N_RECEPTORS * P_PER_RECEPTOR
P_RECEPTOR_USED: Final = N_SLOTS * P_PER_SLOT
"""1 where any slot acts at a receptor: the others are not looked at."""
P_SIZE: Final = P_RECEPTOR_USED + N_RECEPTORS

FLOW_HIGH_FRAC: Final = 1.25
"""Cardiac output above this share of the resting one does not speed the kinetics further.  Our choice: an opioid's
clearance rises with output in pigs, but epinephrine's hardly does in man (33 and 35 mL/kg/min at infusions that leave
output alone and raise it by a third: Best & Halter 1982)."""
NOTHING: Final = 1e-30
"""Below this an amount is set to zero: numbers near the smallest float slow the processor down."""


def kept_of_inflow_frac(rate: float) -> float:
    """Share of a steady inflow of one second that is still there at its end, leaving at ``rate`` (per s)."""
    return (1.0 - exp(-rate)) / rate if rate > 1e-9 else 1.0


def advance_slot(
    x: list[float], p: list[float], i_x: int, i_p: int, i_brought: int, flow: float, muscle_flow: float,
    brain_flow: float,
) -> None:  # fmt: skip
    """Move one slot on by a second: from the needle to its sites, and what it brings into the pools of the body.

    ``i_x``, ``i_p``: where the slot begins; ``i_brought``: where the sums of the substances stand in ``x``.
    """
    fed = smaller(x[i_x + X_FEED_LEFT], x[i_x + X_FEED_RATE])
    x[i_x + X_FEED_LEFT] = x[i_x + X_FEED_LEFT] - fed
    if x[i_x + X_FEED_LEFT] <= 0.0:
        x[i_x + X_FEED_RATE] = 0.0
    fed = fed + x[i_x + X_INFUSION_RATE]
    arrived = 0.0
    lay = x[i_x + X_WAIT_1] + x[i_x + X_DEPOT_1]
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
    kept = exp(-rate)
    kept_new = kept_of_inflow_frac(rate)
    for i_stage in range(N_CHAIN):
        had = x[i_x + X_CHAIN + i_stage]
        left = had * kept + inflow * kept_new
        x[i_x + X_CHAIN + i_stage] = left
        inflow = had + inflow - left
    arrived = arrived + inflow
    for i_substance in range(N_SUBSTANCES):
        brought = arrived * p[i_p + P_SUBSTANCE + i_substance]
        x[i_brought + i_substance] = x[i_brought + i_substance] + brought
    before = 0.0
    after = 0.0
    for i_mode in range(3):
        rate = p[i_p + P_MODE_RATE + i_mode] * flow
        had = x[i_x + X_MODE + i_mode]
        left = had * exp(-rate) + arrived * p[i_p + P_MODE_SHARE + i_mode] * kept_of_inflow_frac(rate)
        x[i_x + X_MODE + i_mode] = left
        before = before + had
        after = after + left
    for i_site in range(N_SITES):
        level = after * p[i_p + P_PER_LITRE]
        mean_level = 0.5 * (before + after) * p[i_p + P_PER_LITRE]
        if p[i_p + P_SITE_OF_DEPOT + i_site] > 0.5:
            level = x[i_x + X_WAIT_1] + x[i_x + X_DEPOT_1]
            mean_level = 0.5 * (lay + level)
        if p[i_p + P_SITE_RATE + i_site] > 0.0:
            kept = exp(-(p[i_p + P_SITE_RATE + i_site] * brain_flow))
            level = x[i_x + X_SITE + i_site] * kept + mean_level * (1.0 - kept)
        x[i_x + X_SITE + i_site] = level
    for i_state in range(X_PER_SLOT):
        if x[i_x + i_state] < NOTHING:
            x[i_x + i_state] = 0.0


def move_receptor(x: list[float], p: list[float], drugs_x0: int, drugs_p0: int, i_receptor: int) -> None:
    """The share of full effect at one receptor, from the levels of all drugs that act there."""
    i_effect = drugs_x0 + X_RECEPTORS + i_receptor
    agonist = 0.0
    antagonist = 0.0
    gamma = 0.0
    emax = 0.0
    leaving = 0.0
    slowest = 0.0
    turnover = 0.0
    for i_slot in range(N_SLOTS):
        i_x = drugs_x0 + X_PER_SLOT * i_slot
        i_p = drugs_p0 + P_PER_SLOT * i_slot
        if p[i_p + P_IS_ON] > 0.5:
            i_r = i_p + P_RECEPTOR + P_PER_RECEPTOR * i_receptor
            level = x[i_x + X_SITE + int(p[i_r + R_SITE])]
            strength = level * p[i_r + R_AGONIST]
            agonist = agonist + strength
            antagonist = antagonist + level * p[i_r + R_ANTAGONIST]
            gamma = gamma + strength * p[i_r + R_GAMMA]
            emax = emax + strength * p[i_r + R_EMAX]
            leaving = leaving + strength * p[i_r + R_LEAVING]
            if p[i_r + R_AGONIST] > 0.0:
                slowest = p[i_r + R_LEAVING] if slowest == 0.0 else smaller(slowest, p[i_r + R_LEAVING])
            if p[i_r + R_TURNOVER] > 0.0:
                # the slowest answer rules
                turnover = p[i_r + R_TURNOVER] if turnover == 0.0 else smaller(turnover, p[i_r + R_TURNOVER])
    had = x[i_effect]
    effect = 0.0
    if agonist > 1e-9:
        # Gaddum 1937 (J Physiol 89:7P) and Schild: the antagonist divides the agonist by 1 + level / Ki; drugs
        # that share a receptor act as one, slope and ceiling weighted by their strengths
        ratio = pow_(agonist / (1.0 + antagonist), gamma / agonist)
        effect = emax / agonist * ratio / (1.0 + ratio)
        # an agonist that is driven out leaves its receptor at its own rate
        if had > effect and turnover == 0.0:
            effect = effect + (had - effect) * exp(-(leaving / agonist))
    elif turnover == 0.0:
        # the drug has gone, and what sits on its receptor leaves at its own rate
        effect = had * exp(-slowest) if slowest > 0.0 else 0.0
    if turnover > 0.0:
        effect = effect + (had - effect) * exp(-turnover)
    if effect < NOTHING:
        effect = 0.0
    x[i_effect] = effect


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
    for i_substance in range(N_SUBSTANCES):
        x[drugs_x0 + X_SUBSTANCES + i_substance] = 0.0
    for i_slot in range(N_SLOTS):
        if p[drugs_p0 + P_PER_SLOT * i_slot + P_IS_ON] > 0.5:
            advance_slot(
                x, p, drugs_x0 + X_PER_SLOT * i_slot, drugs_p0 + P_PER_SLOT * i_slot, drugs_x0 + X_SUBSTANCES, flow,
                muscle_flow, brain_flow,
            )  # fmt: skip
    for i_receptor in range(N_RECEPTORS):
        if p[drugs_p0 + P_RECEPTOR_USED + i_receptor] > 0.5:
            move_receptor(x, p, drugs_x0, drugs_p0, i_receptor)
