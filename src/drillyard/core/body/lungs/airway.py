"""Upper airway and oxygen device: how freely gas passes and how much oxygen is in it.

In:       blockage, swelling, secretions, manoeuvre, airway device, oxygen device, flow, cylinder and tubing, ventilator
          (controls); consciousness; recent inspiratory flow; drugs on the swollen lining.
Out:      conductance of the upper airway, dead space, inspired oxygen fraction, oxygen left in the cylinder.
Assumes:  an unconscious patient's tongue closes most of the airway unless it is held open or a device is in; a device
          gives what its flow and reservoir can supply of the inspiratory flow, the rest is room air.  A swollen lining
          shrinks by a third under nebulised epinephrine for an hour or two (croup: Bjornson 2013 review, order from
          memory).
Left out: humidity, nasal passages, laryngospasm, stomach filling and its return.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Mid, Param

NAMES: Final = (
    Param("upper_airway_ml_per_s_per_cmh2o", 900.0, "mL/s/cmH2O", "conductance of the open upper airway",
          "about 1 cmH2O s/L (Albanese 2016, Am J Physiol 310:H844, order from memory)"),
    Param("tube_ml_per_s_per_cmh2o", 170.0, "mL/s/cmH2O", "conductance of an 8 mm tube at about 1 L/s",
          "about 6 cmH2O s/L at 1 L/s (order of Wright 1989, from memory)"),
    Param("dead_space_ml", 140.0, "mL", "anatomical dead space",
          "2.0 mL/kg; 2.2 with the mouth and throat (Radford 1955, from memory)"),
    Param("tongue_closes_frac", 0.80, "1", "share of the airway closed by the tongue of an unconscious patient",
          "our choice; common practice, no source"),
    Mid("upper_conductance_ml_per_s_per_cmh2o", "mL/s/cmH2O", "conductance of the upper airway now"),
    Mid("upper_block_frac", "1", "share of the upper airway that is closed"),
    Mid("dead_space_now_ml", "mL", "dead space now"),
    Mid("inspired_o2_frac", "1", "oxygen fraction that is breathed in"),
    Mid("stridor_could_frac", "1", "noise of a swollen upper airway, were enough air moving"),
    Mid("gurgle_could_frac", "1", "noise of fluid in the upper airway, were enough air moving"),
    Mid("left_lung_open_frac", "1", "0 when a tube in the right main stem shuts the left lung off"),
)  # fmt: skip


def upper_airway(
    airway_block_frac, upper_swelling_frac, mediator_swelling_frac, secretions_frac, airway_alpha1_frac,
    alpha1_occupancy_frac,
    steroid_action_frac, oxygen_device_code, oxygen_flow_l_per_min, airway_held_open, airway_device_code,
    throat_tone_frac, upper_airway_ml_per_s_per_cmh2o,
    tube_ml_per_s_per_cmh2o, dead_space_ml, tongue_closes_frac,
):  # fmt: skip
    """How freely gas passes to the windpipe."""
    tongue = tongue_closes_frac * clamp((0.5 - throat_tone_frac) * 3.0, 0.0, 1.0)
    if airway_held_open > 0.5:
        tongue = 0.1 * tongue
    if airway_device_code > 0.5:
        tongue = 0.15 * tongue if airway_device_code < 1.5 else 0.0
    block = clamp(airway_block_frac, 0.0, 1.0)
    stridor_could_frac = 0.0
    gurgle_could_frac = 0.0
    # vessels of the swollen lining narrow under epinephrine, most where it lies in the airway; steroids take hours
    swelling = 1.0 - (1.0 - clamp(upper_swelling_frac, 0.0, 1.0)) * (1.0 - mediator_swelling_frac)
    if swelling > 0.0:
        swelling = swelling * (1.0 - 0.35 * larger(airway_alpha1_frac, 0.8 * alpha1_occupancy_frac))
        swelling = swelling * (1.0 - 0.5 * steroid_action_frac)
        block = 1.0 - (1.0 - block) * (1.0 - swelling)
        stridor_could_frac = clamp((swelling - 0.2) / 0.4, 0.0, 1.0)
    if secretions_frac > 0.0:
        block = 1.0 - (1.0 - block) * (1.0 - 0.6 * clamp(secretions_frac, 0.0, 1.0))
        gurgle_could_frac = clamp(secretions_frac * 1.5, 0.0, 1.0)
    in_windpipe = (airway_device_code > 2.5 and airway_device_code < 3.5) or airway_device_code > 4.5
    if in_windpipe:
        # a tube passes what blocks the throat
        block = 0.0
        stridor_could_frac = 0.0
    if airway_device_code > 3.5 and airway_device_code < 4.5:
        tongue = larger(tongue, 0.5)
    upper_block_frac = 1.0 - (1.0 - block) * (1.0 - tongue)
    free = 1.0 - upper_block_frac
    full = tube_ml_per_s_per_cmh2o if in_windpipe else upper_airway_ml_per_s_per_cmh2o
    # conductance of a round opening goes with the square of its area (Poiseuille)
    upper_conductance_ml_per_s_per_cmh2o = full * free * free
    dead_space_now_ml = dead_space_ml * (0.6 if in_windpipe else 1.0)
    if oxygen_device_code > 6.5 and oxygen_flow_l_per_min > 10.0 and airway_device_code < 1.5:
        # high flow rinses nose and throat, about a third of the dead space (Moller 2017, J Appl Physiol 122:191, from
        # memory)
        dead_space_now_ml = 0.7 * dead_space_now_ml
    left_lung_open_frac = 0.0 if airway_device_code > 4.5 else 1.0
    return (
        upper_conductance_ml_per_s_per_cmh2o, upper_block_frac, dead_space_now_ml, left_lung_open_frac,
        stridor_could_frac,
        gurgle_could_frac,
    )  # fmt: skip


def oxygen_device(
    oxygen_device_code, oxygen_flow_l_per_min, ambient_o2_frac, inspiratory_flow_ml_per_s, given_breath_rate_per_min,
    airway_device_code, tidal_rest_ml, oxygen_left_l, oxygen_tubing_off, ventilator_mode_code, ventilator_o2_frac,
    dt_calm_s,
):  # fmt: skip
    """Inspired oxygen as oxygen supplied over inspiratory flow.

    Caps and reservoirs are set so that the usual figures come out at quiet breathing: cannula 2 L/min about 0.28
    and 4 % more a further L/min (taught table),
    simple mask 0.4-0.6, reservoir mask about 0.7 at 15 L/min, bag without reservoir about 0.5, with one above 0.9
    (common practice; reservoir mask: Hinkelbein 2015-type bench studies, from memory).
    """
    demand = larger(inspiratory_flow_ml_per_s, 0.126 * tidal_rest_ml)
    flow = oxygen_flow_l_per_min
    next_oxygen_left_l = oxygen_left_l
    if oxygen_left_l >= 0.0:
        # a cylinder: what has run out of it, also past a tubing that has come off
        next_oxygen_left_l = larger(oxygen_left_l - flow / 60.0 * dt_calm_s, 0.0)
        if oxygen_left_l <= 0.0:
            flow = 0.0
    if oxygen_tubing_off > 0.5:
        flow = 0.0
    oxygen = flow * 1000.0 / 60.0
    supply = 0.0
    cap = 0.0
    if oxygen_device_code > 0.5 and oxygen_device_code < 1.5:
        # the nose and throat hold 50 mL of oxygen at the start of a breath
        supply = oxygen * 0.9
        cap = 0.45
    elif oxygen_device_code < 2.5 and oxygen_device_code > 1.5:
        # the mask holds a further 100 mL, spread over a breath of 1.5 s
        supply = 1.2 * oxygen + (40.0 if oxygen > 60.0 else 0.0)
        cap = 0.50
    elif oxygen_device_code < 3.5 and oxygen_device_code > 2.5:
        # the bag collects while the patient breathes out; a third of a breath leaks past the mask
        supply = 2.6 * oxygen
        cap = 0.65
    elif oxygen_device_code < 4.5 and oxygen_device_code > 3.5:
        supply = 2.6 * oxygen
        cap = 0.95
    elif oxygen_device_code < 5.5 and oxygen_device_code > 4.5:
        supply = 0.9 * oxygen
        cap = 0.38
    elif oxygen_device_code < 6.5 and oxygen_device_code > 5.5:
        supply = 1.0e9 if oxygen > 0.0 else 0.0
        cap = 1.0
    elif oxygen_device_code > 6.5:
        # heated high flow through the nose: as much as it brings of what is breathed in, little room air beside it
        supply = oxygen
        cap = 0.92
    share = clamp(supply / demand, 0.0, cap)
    if (
        oxygen_device_code > 3.5
        and oxygen_device_code < 5.5
        and given_breath_rate_per_min <= 0.0
        and airway_device_code < 1.5
    ):
        # a bag that is not pressed and not sealed to the face gives little
        share = smaller(share, 0.4)
    inspired_o2_frac = ambient_o2_frac + (1.0 - ambient_o2_frac) * share
    if ventilator_mode_code > 0.5:
        inspired_o2_frac = clamp(ventilator_o2_frac, 0.0, 1.0)
    return inspired_o2_frac, next_oxygen_left_l


PARTS: Final = {"CALM": (upper_airway, oxygen_device)}
