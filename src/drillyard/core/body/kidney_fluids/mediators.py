"""Anaphylaxis: an agent enters, mast cells let go, mediators act until they are cleared; once a second.

In:       severity and way of entry of the agent; beta-2 and H1 receptors.
Out:      mediator level (0 none, 1 the worst) and, from it, dilation of vessels, leak of capillaries, narrowing of
          airways, swelling of the upper airway, depression of the heart, flush and wheals of the skin.
Assumes:  the agent reaches mast cells within a minute from a vein, some minutes from the skin and a quarter of an hour
          to half an hour from the gut (median time to arrest 5, 15 and 30 min: Pumphrey 2000, Clin Exp Allergy 30:1144,
          from memory).  Stores of mast cells run out within an hour; mediators are cleared with a half-time of some
          15 min.  At the worst a third of the plasma leaves in ten minutes (Fisher 1986, Anaesth Intensive Care 14:17,
          from memory) and most of the vessels' tone is lost.  Beta-2 action holds the mast cells shut and tightens
          capillaries; alpha-1 narrows vessels and shrinks swelling (``couple``).  Blocking H1 takes away most of itch,
          wheals and flush and a fifth of the vessels' dilation; a steroid acts after hours and only on the swelling
          (``lungs``).
Left out: a second reaction after hours, which tells nothing about the first (biphasic course); kinins; fibrillation by
          mediators; the patient's own memory of the agent.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp
from drillyard.core.numerics.names import Mid, State

NAMES: Final = (
    State("allergen_frac", 0.0, "1", "agent that has reached mast cells", "slow", 0.0),
    State("mast_store_frac", 1.0, "1", "mediators left in mast cells", "slow", 0.0),
    State("mediator_level_frac", 0.0, "1", "mediators of anaphylaxis: 0 none, 1 the worst", "slow", 0.0),
    State("mediator_leak_frac", 0.0, "1", "leak of capillaries that they cause", "slow", 0.0),
    State("mediator_swelling_frac", 0.0, "1", "swelling of lips, tongue and larynx that they cause", "slow", 0.0),
    Mid("vessel_dilation_frac", "1", "share of vessel tone taken by all mediators, 0 none, 1 the worst"),
    Mid("heart_depression_frac", "1", "share of the heart's strength taken by mediators or a poison"),
    Mid("airway_mediators_frac", "1", "narrowing of lower airways that mediators cause, before any bronchodilator"),
    Mid("skin_flush_frac", "1", "flush, 0 none, 1 all over"),
    Mid("skin_wheals_frac", "1", "wheals (hives), 0 none, 1 all over"),
)


def release(
    allergen_frac, mast_store_frac, mediator_level_frac, mediator_leak_frac, mediator_swelling_frac,
    allergen_severity_frac, allergen_onset_s, beta2_occupancy_frac, dt_slow_s,
):  # fmt: skip
    """Agent, stores, mediators and swelling over one second."""
    wanted = clamp(allergen_severity_frac, 0.0, 1.0)
    next_allergen_frac = faded(
        allergen_frac + (wanted - allergen_frac) * (dt_slow_s / clamp(allergen_onset_s, 10.0, 7200.0))
    )
    # half of the hold at the beta-2 occupancy of an intramuscular dose of epinephrine
    held = 0.9 * beta2_occupancy_frac / (beta2_occupancy_frac + 0.12)
    let_go = allergen_frac * mast_store_frac * (1.0 - held)
    next_mast_store_frac = clamp(mast_store_frac - let_go * (dt_slow_s / 2400.0), 0.0, 1.0)
    lasts_s = 150.0 if let_go > mediator_level_frac else 1200.0
    next_mediator_level_frac = faded(mediator_level_frac + (let_go - mediator_level_frac) * (dt_slow_s / lasts_s))
    leak = next_mediator_level_frac * (1.25 - 0.35 * next_mediator_level_frac) * (1.0 - 0.6 * held)
    next_mediator_leak_frac = faded(mediator_leak_frac + (leak - mediator_leak_frac) * (dt_slow_s / 60.0))
    swelling = 0.75 * next_mediator_level_frac
    lasts_s = 240.0 if swelling > mediator_swelling_frac else 1200.0
    next_mediator_swelling_frac = faded(
        mediator_swelling_frac + (swelling - mediator_swelling_frac) * (dt_slow_s / lasts_s)
    )
    return (
        next_allergen_frac, next_mast_store_frac, next_mediator_level_frac, next_mediator_leak_frac,
        next_mediator_swelling_frac,
    )  # fmt: skip


def mediator_effects(
    mediator_level_frac, histamine_h1_block_frac, histamine_release_frac, added_vessel_dilation_frac,
    added_heart_depression_frac, septic_frac,
):  # fmt: skip
    """What mediators do to vessels, heart, lower airways and skin, beside what nerves and drugs do there."""
    level = mediator_level_frac
    vessels = level * (1.5 - 0.5 * level) * (1.0 - 0.2 * histamine_h1_block_frac)
    vessel_dilation_frac = 1.0 - (1.0 - clamp(added_vessel_dilation_frac, 0.0, 1.0)) * (1.0 - 0.9 * vessels)
    vessel_dilation_frac = 1.0 - (1.0 - vessel_dilation_frac) * (1.0 - clamp(1.2 * septic_frac, 0.0, 0.95))
    heart_depression_frac = 1.0 - (1.0 - clamp(added_heart_depression_frac, 0.0, 1.0)) * (1.0 - 0.3 * level * level)
    heart_depression_frac = 1.0 - (1.0 - heart_depression_frac) * (1.0 - 0.4 * septic_frac)
    airway_mediators_frac = 0.8 * level * (1.0 - 0.1 * histamine_h1_block_frac)
    itching = level + (1.0 - level) * 0.5 * histamine_release_frac
    skin_flush_frac = clamp(1.6 * itching * (1.0 - 0.6 * histamine_h1_block_frac), 0.0, 1.0)
    skin_wheals_frac = clamp((1.5 * level - 0.1) * (1.0 - 0.75 * histamine_h1_block_frac), 0.0, 1.0)
    return (
        vessel_dilation_frac, heart_depression_frac, airway_mediators_frac, skin_flush_frac, skin_wheals_frac,
    )  # fmt: skip


PARTS: Final = {"CALM": (mediator_effects,), "SLOW": (release,)}
