"""Seizure: discharge that spreads or not, ends by itself or not, and what it leaves.

In:       the cause (controls), sedatives, antiseizure drugs, magnesium.
Out:      share of the brain that discharges, convulsion of muscle, sleep after it, breath held, need of the brain.
Assumes:  a small focus grows as a logistic within seconds to tens of seconds unless drugs hold it down; drugs act
          together as shares of full suppression, and must pass a share that belongs to the seizure and rises with the
          time it has lasted (receptors move into the cell: Kapur and Macdonald 1997, J Neurosci 17:7532, from memory).
          The stiff phase of some 15 s holds the breath, the jerking phase makes it shallow (common teaching).  Brain
          use about doubles (Meldrum 1973-type measurements, from memory).  Oxygen use and lactate of the muscles:
          ``metabolism/oxygen_use.py``.  Magnesium stops the seizure of eclampsia and hardly any other.
Left out: kinds of focus, eye turning, aura, absence, seizures without convulsion but through relaxants, injury of
          muscle and bone, water in the lungs after a seizure.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, noise_unit
from drillyard.core.numerics.names import Mid, State

NAMES: Final = (
    State("seizure_frac", 0.0, "1", "share of the brain that discharges", "slow", 0.0),
    State("seizure_s", 0.0, "s", "time for which this seizure has been general", "slow", 0.0),
    State("seizure_before_s", 0.0, "s", "time for which seizures have lasted in all", "slow", 0.0),
    State("seizure_spent", 0.0, "1", "1 once this seizure has ended by itself", "slow", 0.0),
    State("convulsion_frac", 0.0, "1", "muscle work of a convulsion, 1 a full one", "slow", 0.0),
    State("postictal_frac", 0.0, "1", "sleep that a seizure leaves", "slow", 0.0),
    State("seizure_breath_frac", 1.0, "1", "breathing drive that a seizure leaves", "slow", 0.0),
    State("tongue_bitten", 0.0, "1", "1 once the tongue has been bitten", "slow", 0.0),
    Mid("brain_activity_frac", "1", "work of the brain over that awake at rest"),
)  # fmt: skip


def general_frac(seizure_frac):
    """How general a discharge is: a third of the brain or less is focal."""
    return clamp((seizure_frac - 0.4) / 0.4, 0.0, 1.0)


def brain_activity(seizure_frac, asleep_by_drugs_frac, nmda_block_frac):
    """Work of the brain: more in a seizure, down to six tenths under anaesthesia (textbook), not under NMDA block."""
    deep = clamp(asleep_by_drugs_frac - nmda_block_frac, 0.0, 1.0)
    brain_activity_frac = (1.0 + 1.1 * seizure_frac) * (1.0 - 0.4 * deep)
    return brain_activity_frac


def seizure(
    seizure_frac, seizure_s, seizure_before_s, seizure_spent, convulsion_frac, postictal_frac, seizure_breath_frac,
    tongue_bitten, seizure_cause_frac, seizure_spreads, seizure_lasts_s, seizure_resistance_frac, seizure_is_eclampsia,
    antiseizure_frac, anaesthetic_frac, nmda_block_frac, magnesium_action_frac, brain_oxygen_frac, limb_power_frac,
    step_count, seed, dt_slow_s,
):  # fmt: skip
    """Discharge, convulsion and what follows, over one second."""
    next_seizure_frac = 0.0
    next_seizure_s = 0.0
    next_seizure_before_s = seizure_before_s
    next_seizure_spent = 0.0
    next_convulsion_frac = 0.0
    next_postictal_frac = 0.0
    next_seizure_breath_frac = 1.0
    next_tongue_bitten = tongue_bitten
    if seizure_cause_frac > 0.0 or seizure_frac > 0.0 or postictal_frac > 0.0:
        magnesium = 9.0 * magnesium_action_frac if seizure_is_eclampsia > 0.5 else 0.3 * magnesium_action_frac
        left = (1.0 - antiseizure_frac) * (1.0 - anaesthetic_frac) * (1.0 - 0.7 * nmda_block_frac)
        held = 1.0 - left * (1.0 - clamp(magnesium, 0.0, 1.0))
        needed = clamp(seizure_resistance_frac, 0.05, 0.95) * (1.0 + seizure_before_s / 2400.0)
        growth = seizure_cause_frac * (1.0 - held / larger(needed, 0.05))
        # a brain without oxygen cannot go on
        growth = growth if brain_oxygen_frac > 0.25 else -1.0
        most = 1.0 if seizure_spreads > 0.5 else 0.3
        if seizure_lasts_s > 0.0 and (seizure_s > seizure_lasts_s or seizure_spent > 0.5):
            next_seizure_spent = 1.0 if seizure_cause_frac > 0.0 else 0.0
            growth = -1.0
        if seizure_cause_frac <= 0.0:
            growth = -1.0
        if growth > 0.0:
            room = larger(1.0 - seizure_frac / most, 0.0)
            next_seizure_frac = seizure_frac + dt_slow_s * (larger(seizure_frac, 0.04) * room * growth / 4.0)
        else:
            next_seizure_frac = seizure_frac + dt_slow_s * seizure_frac * clamp(growth, -1.0, 0.0) / 5.0
            next_seizure_frac = next_seizure_frac - dt_slow_s * 0.01 * seizure_frac
            next_seizure_frac = next_seizure_frac if next_seizure_frac > 0.005 else 0.0
        general = general_frac(next_seizure_frac)
        # in a focal seizure time counts too
        next_seizure_s = seizure_s + dt_slow_s if next_seizure_frac > 0.2 else 0.0
        next_seizure_before_s = seizure_before_s + dt_slow_s * general
        # muscles tire within some ten minutes
        next_convulsion_frac = faded(general * limb_power_frac / (1.0 + next_seizure_s / 600.0))
        next_postictal_frac = faded(
            postictal_frac
            + dt_slow_s * (general * (1.0 - postictal_frac) / 25.0 - (1.0 - general) * postictal_frac / 420.0)
        )
        next_postictal_frac = next_postictal_frac if next_postictal_frac > 1e-6 else 0.0
        stiff = clamp((28.0 - next_seizure_s) / 5.0, 0.0, 1.0)
        # in a long one the jerks become smaller and breathing better
        jerks = 0.65 / (1.0 + next_seizure_s / 400.0)
        next_seizure_breath_frac = 1.0 - general * (jerks + (1.0 - jerks) * stiff)
        # about a fifth of convulsions bite the tongue (Benbadis 1995, Arch Intern Med 155:2346, from memory)
        if next_convulsion_frac > 0.7 and convulsion_frac <= 0.7:
            next_tongue_bitten = larger(tongue_bitten, 1.0 if noise_unit(seed, 33.0, step_count) < 0.22 else 0.0)
    return (
        next_seizure_frac, next_seizure_s, next_seizure_before_s, next_seizure_spent, next_convulsion_frac,
        next_postictal_frac, next_seizure_breath_frac, next_tongue_bitten,
    )  # fmt: skip


PARTS: Final = {"CALM": (brain_activity,), "SLOW": (seizure,)}
