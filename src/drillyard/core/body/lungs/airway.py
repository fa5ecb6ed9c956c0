"""Upper airway and oxygen device: how freely gas passes and how much oxygen is in it.

In:       blockage, manoeuvre, airway device, oxygen device and flow (controls); consciousness; recent inspiratory flow.
Out:      conductance of the upper airway, dead space, inspired oxygen fraction.
Assumes:  an unconscious patient's tongue closes most of the airway unless it is held open or a device is in; a device
          gives what its flow and reservoir can supply of the inspiratory flow, the rest is room air.
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
    Mid("left_lung_open_frac", "1", "0 when a tube in the right main stem shuts the left lung off"),
)  # fmt: skip


def upper_airway(
    airway_block_frac, airway_held_open, airway_device_code, throat_tone_frac, upper_airway_ml_per_s_per_cmh2o,
    tube_ml_per_s_per_cmh2o, dead_space_ml, tongue_closes_frac,
):  # fmt: skip
    """How freely gas passes to the windpipe."""
    tongue = tongue_closes_frac * clamp((0.5 - throat_tone_frac) * 3.0, 0.0, 1.0)
    if airway_held_open > 0.5:
        tongue = 0.1 * tongue
    if airway_device_code > 0.5:
        tongue = 0.15 * tongue if airway_device_code < 1.5 else 0.0
    block = clamp(airway_block_frac, 0.0, 1.0)
    in_windpipe = (airway_device_code > 2.5 and airway_device_code < 3.5) or airway_device_code > 4.5
    if in_windpipe:
        # a tube passes what blocks the throat
        block = 0.0
    if airway_device_code > 3.5 and airway_device_code < 4.5:
        tongue = larger(tongue, 0.5)
    upper_block_frac = 1.0 - (1.0 - block) * (1.0 - tongue)
    free = 1.0 - upper_block_frac
    full = tube_ml_per_s_per_cmh2o if in_windpipe else upper_airway_ml_per_s_per_cmh2o
    # conductance of a round opening goes with the square of its area (Poiseuille)
    upper_conductance_ml_per_s_per_cmh2o = full * free * free
    dead_space_now_ml = dead_space_ml * (0.6 if in_windpipe else 1.0)
    left_lung_open_frac = 0.0 if airway_device_code > 4.5 else 1.0
    return upper_conductance_ml_per_s_per_cmh2o, upper_block_frac, dead_space_now_ml, left_lung_open_frac


def oxygen_device(
    oxygen_device_code, oxygen_flow_l_per_min, ambient_o2_frac, inspiratory_flow_ml_per_s, given_breath_rate_per_min,
    airway_device_code, tidal_rest_ml,
):  # fmt: skip
    """Inspired oxygen as oxygen supplied over inspiratory flow.

    Caps and reservoirs are set so that the usual figures come out at quiet breathing: cannula 2 L/min about 0.28,
    simple mask 0.4-0.6, reservoir mask about 0.7 at 15 L/min, bag without reservoir about 0.5, with one above 0.9
    (common practice; reservoir mask: Hinkelbein 2015-type bench studies, from memory).
    """
    demand = larger(inspiratory_flow_ml_per_s, 0.126 * tidal_rest_ml)
    oxygen = oxygen_flow_l_per_min * 1000.0 / 60.0
    supply = 0.0
    cap = 0.0
    if oxygen_device_code > 0.5 and oxygen_device_code < 1.5:
        # the nose and throat hold 50 mL of oxygen at the start of a breath
        supply = oxygen * 1.1
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
    elif oxygen_device_code > 5.5:
        supply = 1.0e9 if oxygen > 0.0 else 0.0
        cap = 1.0
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
    return inspired_o2_frac


PARTS: Final = {"CALM": (upper_airway, oxygen_device)}
