"""What sedatives and relaxants leave of waking, breathing drive and muscle.

In:       shares of full effect by drugs (benzodiazepine site, anaesthetic, opioid, NMDA block, relaxants, magnesium).
Out:      sleep by drugs, depression of the breathing centre, force left to breathing and to limb muscles.
Assumes:  sedatives meet as in ``drugs/together.py`` (Short 1992, Br J Anaesth 69:162); antagonists act by competition
          at their receptor.  NMDA block takes waking and leaves breathing; benzodiazepines alone depress breathing less
          than sleep (order, from memory).  A quiet breath needs a twentieth of the greatest force of the breathing
          muscles (Black and Hyatt 1969, Am Rev Respir Dis 99:696, from memory), so a patient breathes under a block
          that takes nine tenths of it.  Magnesium weakens muscle beyond the loss of tendon reflexes.
Left out: tolerance, awareness under light anaesthesia, more sensitive old age, single muscles, reversal of relaxants.
"""

from typing import Final

from drillyard.core.body.drugs.together import hypnosis_frac
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("asleep_by_drugs_frac", 0.0, "1", "share of full unconsciousness by all drugs together", "slow", 0.0),
    State("breathing_depression_frac", 0.0, "1", "depression of the breathing centre by sedatives", "slow", 0.0),
    Param("strongest_breath_cmh2o", 100.0, "cmH2O", "greatest force of the breathing muscles",
          "Black and Hyatt 1969: 124 +- 44 in men, 87 +- 32 in women (from memory)"),
    Mid("breath_power_frac", "1", "force left to the breathing muscles over their greatest"),
    Mid("limb_power_frac", "1", "force left to limbs, face and eyelids"),
    Mid("throat_tone_frac", "1", "tone that holds the tongue off the throat, 1 awake"),
)  # fmt: skip


def sedatives(
    benzodiazepine_site_frac, anaesthetic_frac, central_nervous_depression_frac, nmda_block_frac,
):  # fmt: skip
    """Sleep and depression of breathing by drugs; once a second, as the receptors move."""
    next_asleep_by_drugs_frac = 0.0
    next_breathing_depression_frac = 0.0
    if benzodiazepine_site_frac + anaesthetic_frac + central_nervous_depression_frac + nmda_block_frac > 1e-6:
        next_asleep_by_drugs_frac = hypnosis_frac(
            benzodiazepine_site_frac, anaesthetic_frac, central_nervous_depression_frac, nmda_block_frac
        )
        next_breathing_depression_frac = hypnosis_frac(
            0.6 * benzodiazepine_site_frac, anaesthetic_frac, central_nervous_depression_frac, 0.0
        )
    return next_asleep_by_drugs_frac, next_breathing_depression_frac


def muscle_power(diaphragm_block_frac, hand_block_frac, magnesium_action_frac, paralysed):
    """Force that relaxants and magnesium leave.  Loss of reflexes is a magnesium action of 0.5, of breathing 0.75."""
    awake_nerves = (1.0 if paralysed < 0.5 else 0.0) * clamp((0.85 - magnesium_action_frac) / 0.3, 0.0, 1.0)
    breath_power_frac = awake_nerves * larger(1.0 - diaphragm_block_frac, 0.0)
    limb_power_frac = awake_nerves * larger(1.0 - hand_block_frac, 0.0)
    return breath_power_frac, limb_power_frac


def throat_tone(
    conscious_frac, nmda_block_frac, breathing_depression_frac, brain_oxygen_frac, convulsion_frac,
):  # fmt: skip
    """Tone of the throat: lost with waking, but kept under NMDA block alone and partly in a convulsion."""
    kept = 0.9 * nmda_block_frac * (1.0 - breathing_depression_frac) * clamp((brain_oxygen_frac - 0.38) / 0.2, 0.0, 1.0)
    throat_tone_frac = larger(larger(conscious_frac, kept), 0.38 * clamp(3.0 * convulsion_frac, 0.0, 1.0))
    return throat_tone_frac


PARTS: Final = {"CALM": (muscle_power, throat_tone), "SLOW": (sedatives,)}
