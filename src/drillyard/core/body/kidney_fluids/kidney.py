"""Kidneys: filtration, urine, what holds water back and what drives it out; once a second.

In:       arterial pressure, blood volume, oncotic pressure, loop diuretic, osmoles and glucose in urine.
Out:      urine; water holding (vasopressin, renin and aldosterone in one); mannitol that is still in the body.
Assumes:  urine stops at a mean pressure of about 50 mmHg in adults (textbook).  It rises as plasma protein is diluted
          and as blood volume exceeds that of health; a lack of blood volume, or of pressure, makes the body hold water
          within minutes and for an hour or two after.  Both follow the elimination of infused crystalloid: 133 mL/min
          in normal men, 100 and 34 after 450 and 900 mL of blood lost (Drobin and Hahn 1999, Anesthesiology 90:81; in
          the reference notes, seen).  Mannitol is filtered and not taken back; each milliosmole takes 2.5 mL of water
          along (urine of 400 mosm/kg).
Left out: creatinine and urea, injury of the kidney itself, medulla, angiotensin as a hormone of its own, stones, a
          catheter that is blocked.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("urine_ml", 0.0, "mL", "urine made since the start", "slow", 0.0),
    State("urine_ml_per_s", 0.0194, "mL/s", "urine now", "slow", 0.0),
    State("glomerular_frac", 1.0, "1", "filtration of the kidneys over rest", "slow", 0.0),
    State("water_holding_frac", 0.0, "1", "how far the body holds water and salt: 0 at rest, 1 all it can", "slow",
          0.0),
    State("mannitol_mosm", 0.0, "mosm", "mannitol outside cells", "slow", 0.0),
    Param("urine_rest_ml_per_s", 0.0194, "mL/s", "urine at rest", "1 mL/kg/h (common textbook value)"),
    Param("urine_per_dilution_ml_per_s_per_mmhg", 0.008, "mL/s/mmHg", "urine more per fall of oncotic pressure",
          "tuned to volume kinetics of crystalloid (Hahn 2010, Anesthesiology 113:470)"),
    Param("urine_per_volume_per_s", 3.5e-4, "/s", "share of blood volume over rest that becomes urine",
          "tuned to the half-time of colloid, 2-3 h (Hahn 2020, Acta Anaesthesiol Scand 64:570)"),
    Param("loop_urine_ml_per_s", 0.20, "mL/s", "urine at full loop diuresis in a filled patient",
          "10-15 mL/min after 40 mg (order, from memory)"),
    Param("mannitol_clearance_per_s", 1.3e-4, "/s", "share of mannitol filtered", "half-life about 90 min (textbook)"),
)  # fmt: skip


def holding(
    water_holding_frac, blood_volume_ml, blood_volume_rest_ml, mean_arterial_pressure_mmhg, carotid_set_mmhg,
    osmoles_over_mosm, tissue_fluid_rest_ml, dt_slow_s,
):  # fmt: skip
    """How far the body holds water: up within ten minutes, down over an hour and a half."""
    lack = 1.0 - blood_volume_ml / blood_volume_rest_ml
    low = 0.9 - mean_arterial_pressure_mmhg / carotid_set_mmhg
    salty = osmoles_over_mosm / tissue_fluid_rest_ml
    called = clamp(4.4 * (lack - 0.015), 0.0, 1.0) + clamp(2.5 * low, 0.0, 1.0) + clamp(10.0 * salty, 0.0, 0.5)
    called = smaller(called, 1.0)
    lasts_s = 600.0 if called > water_holding_frac else 5400.0
    next_water_holding_frac = faded(water_holding_frac + (called - water_holding_frac) * (dt_slow_s / lasts_s))
    return next_water_holding_frac


def urine(
    urine_ml, urine_ml_per_s, mannitol_mosm, water_holding_frac, oncotic_mmhg, blood_volume_ml, blood_volume_rest_ml,
    mean_arterial_pressure_mmhg, carotid_set_mmhg, kidney_flow_frac, loop_diuretic_frac, osmoles_given_mosm_per_s,
    urine_rest_ml_per_s, urine_per_dilution_ml_per_s_per_mmhg, urine_per_volume_per_s,
    loop_urine_ml_per_s, mannitol_clearance_per_s, osmotic_urine_ml_per_s, dt_slow_s,
):  # fmt: skip
    """Urine and mannitol over one second."""
    next_urine_ml = urine_ml + urine_ml_per_s * dt_slow_s
    push = clamp((mean_arterial_pressure_mmhg / carotid_set_mmhg - 0.535) / 0.374, 0.0, 1.0)
    next_glomerular_frac = push * clamp(1.15 * kidney_flow_frac, 0.0, 1.0)
    free = 1.0 - water_holding_frac
    diluted = larger(25.0 - oncotic_mmhg, 0.0)
    over = larger(blood_volume_ml - blood_volume_rest_ml, 0.0)
    own = urine_rest_ml_per_s * (1.0 - 0.85 * water_holding_frac) + free * (
        urine_per_dilution_ml_per_s_per_mmhg * free * diluted + urine_per_volume_per_s * over
    )
    loop = loop_urine_ml_per_s * loop_diuretic_frac * (1.0 - 0.6 * water_holding_frac)
    excreted = mannitol_mosm * mannitol_clearance_per_s * next_glomerular_frac
    next_mannitol_mosm = faded(larger(mannitol_mosm + (osmoles_given_mosm_per_s - excreted) * dt_slow_s, 0.0))
    next_urine_ml_per_s = faded(next_glomerular_frac * (own + loop) + 2.5 * excreted + osmotic_urine_ml_per_s)
    return next_urine_ml, next_glomerular_frac, next_mannitol_mosm, next_urine_ml_per_s


def urine_reading(urine_ml_per_s):
    """Urine as it is charted."""
    urine_ml_per_h = 3600.0 * urine_ml_per_s
    return urine_ml_per_h


PARTS: Final = {"SLOW": (holding, urine), "SHOW": (urine_reading,)}
