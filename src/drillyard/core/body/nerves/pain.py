"""Pain, agitation, and what alarms the vessels beside their own reflexes.

In:       sources of pain (controls, burns, ischaemic heart), drugs, oxygen and carbon dioxide of the brain, seizure,
          pressure in the skull.
Out:      pain felt, agitation, push on the sympathetic and vagal centres.
Assumes:  opioids, other analgesics and NMDA block each take their share of what the ones before leave (our choice:
          85, 60 and 90 % at full effect); pain drives the sympathetic also in light sleep.  Pressure in the skull that
          leaves the brain stem little flow drives vessels and vagus alike (Cushing 1901, Bull Johns Hopkins Hosp
          12:290): pressure rises and the heart slows.  Sizes are our choice.
Left out: fear, lasting pain, what pain does to breathing, nerve blocks.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.body.nerves.seizure import general_frac
from drillyard.core.numerics.elementary import clamp, floor, larger
from drillyard.core.numerics.names import Mid, State

NAMES: Final = (
    State("pain_frac", 0.0, "1", "pain that reaches the brain, before consciousness: 1 the worst", "slow", 0.0),
    State("agitation_frac", 0.0, "1", "restlessness: 0 calm, 1 fighting", "slow", 0.0),
    Mid("distress_push", "1", "push on sympathetic activity (logit) by pain, seizure and pressure in the skull"),
    Mid("distress_vagal_push", "1", "push on vagal activity (logit) by the same"),
)  # fmt: skip


def pain(
    pain_frac, agitation_frac, pain_source_frac, opioid_analgesia_frac, mu_opioid_occupancy_frac,
    non_opioid_analgesia_frac, nmda_block_frac, dopamine_d2_block_frac, asleep_by_drugs_frac, conscious_frac,
    brain_oxygen_frac, brain_co2_mmhg, postictal_frac, burn_pain_frac, heart_pain_frac, dt_slow_s,
):  # fmt: skip
    """Pain and agitation over one second."""
    opioid = larger(opioid_analgesia_frac, mu_opioid_occupancy_frac)
    left = (1.0 - 0.85 * opioid) * (1.0 - 0.6 * non_opioid_analgesia_frac) * (1.0 - 0.9 * nmda_block_frac)
    source = larger(pain_source_frac, larger(burn_pain_frac, heart_pain_frac))
    next_pain_frac = faded(pain_frac + (source * left - pain_frac) * (dt_slow_s / 15.0))
    hurt = 0.7 * clamp((pain_frac - 0.4) / 0.6, 0.0, 1.0)
    starved = clamp((0.82 - brain_oxygen_frac) / 0.25, 0.0, 1.0)
    retains = clamp((brain_co2_mmhg - 55.0) / 20.0, 0.0, 1.0)
    dazed = 0.8 * clamp(4.0 * postictal_frac, 0.0, 1.0) * clamp(2.0 - 3.0 * postictal_frac, 0.0, 1.0)
    cause = larger(larger(hurt, starved), larger(retains, dazed))
    able = clamp((conscious_frac - 0.2) / 0.4, 0.0, 1.0) * clamp(1.0 - 2.5 * asleep_by_drugs_frac, 0.0, 1.0)
    wanted = cause * able * (1.0 - 0.8 * dopamine_d2_block_frac)
    next_agitation_frac = faded(agitation_frac + (wanted - agitation_frac) * (dt_slow_s / 10.0))
    return next_pain_frac, next_agitation_frac


def distress(
    pain_frac, asleep_by_drugs_frac, conscious_frac, limb_power_frac, seizure_frac, carotid_quick_mmhg,
    intracranial_pressure_mmhg, stem_pressed_frac, paralysed,
):  # fmt: skip
    """What pushes the two centres.  A patient who is awake and cannot move is in fear."""
    perfusion = carotid_quick_mmhg - intracranial_pressure_mmhg
    squeezed = clamp((62.0 - perfusion) / 35.0, 0.0, 1.0) * clamp((intracranial_pressure_mmhg - 20.0) / 15.0, 0.0, 1.0)
    # a brain stem that is lost drives nothing
    squeezed = squeezed * clamp((1.0 - stem_pressed_frac) / 0.08, 0.0, 1.0)
    general = general_frac(seizure_frac)
    trapped = 1.0 if limb_power_frac < 0.2 and paralysed < 0.5 and conscious_frac > 0.5 else 0.0
    distress_push = (
        0.9 * pain_frac * (1.0 - 0.8 * asleep_by_drugs_frac) + 1.6 * general + 6.0 * squeezed + 0.8 * trapped
    )
    distress_vagal_push = 1.0 * squeezed - 2.4 * general - 0.7 * pain_frac - 0.6 * trapped
    return distress_push, distress_vagal_push


def pain_said(pain_frac, conscious_frac, limb_power_frac):
    """Pain as the patient can say it: 0 to 10, nothing from one who cannot speak."""
    pain_score = floor(10.0 * pain_frac + 0.5) if conscious_frac > 0.65 and limb_power_frac > 0.3 else 0.0
    return pain_score


PARTS: Final = {"CALM": (distress,), "SLOW": (pain,), "SHOW": (pain_said,)}
