"""The skull: pressure of brain, blood and fluid in a closed box, and what too much of it does.

In:       blood in bleeding and swelling (controls), width of brain vessels, pressure in the veins of the head, osmoles
          outside cells, posture.
Out:      intracranial pressure; pressed brain stem and third nerve by side; breathing of a pressed brain stem.
Assumes:  Monro and Kellie: what one part gains another must lose.  Pressure rises with volume as an exponential
          (Marmarou 1978, J Neurosurg 48:332: 25 mL more make ten times the pressure), smaller skulls in proportion
          (Shapiro 1980, Neurosurgery 7:37, from memory).  Fluid is made at 0.35 mL/min and drains at 8.6 mmHg/(mL/min)
          (Ekstedt 1978, from memory), so a slow mass is made room for and a quick one is not.  Blood in the brain goes
          with the width of its vessels to the power 0.38 (Grubb 1974, Stroke 5:630, from memory).  Osmoles in plasma
          draw water out of the brain within some ten minutes, sized so that 1 g/kg of mannitol takes a third of a
          raised pressure.  Levels at which brain tissue is pressed through are our choice, from common teaching.
Left out: drains, the open fontanelle, pressure waves, midline shift as a picture, rebound after mannitol, clots that
          grow with pressure.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import TWO_PI, clamp, exp, floor, larger, noise_unit, pow_, sin
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("intracranial_pressure_mmhg", 10.0, "mmHg", "pressure in the skull", "slow"),
    State("brain_blood_ml", 0.0, "mL", "blood in brain vessels over that at rest", "slow"),
    State("skull_fluid_ml", 0.0, "mL", "cerebrospinal fluid in the skull over that at rest", "slow"),
    State("brain_water_ml", 0.0, "mL", "brain water over that at rest, below 0 when drawn out", "slow"),
    State("pressed_left_frac", 0.0, "1", "third nerve pressed on the left: 1 the pupil is wide and fixed", "slow", 0.0),
    State("pressed_right_frac", 0.0, "1", "third nerve pressed on the right", "slow", 0.0),
    State("stem_pressed_frac", 0.0, "1", "brain stem pressed: 0.4 flexion, 0.7 extension, 1 lost", "slow", 0.0),
    State("stem_drive_frac", 1.0, "1", "breathing drive that a pressed brain stem gives, over a healthy one", "slow"),
    Param("skull_size_frac", 1.0, "1", "volumes in the skull over an adult's", "by age, core/body/growth.py"),
    Param("pressure_volume_index_ml", 25.0, "mL", "volume that makes the pressure tenfold", "Marmarou 1978: 25 +- 5"),
    Param("intracranial_rest_mmhg", 10.0, "mmHg", "pressure in the skull at rest, lying", "7-15 (textbook)"),
    Param("csf_made_ml_per_s", 0.00583, "mL/s", "cerebrospinal fluid made", "0.35 mL/min (textbook)"),
    Param("brain_blood_rest_ml", 56.0, "mL", "blood in brain vessels at rest", "4 mL/100 g (from memory)"),
    Param("extracellular_l", 14.0, "L", "fluid outside cells", "0.2 L/kg (textbook)"),
)  # fmt: skip


def skull(
    intracranial_pressure_mmhg, brain_blood_ml, skull_fluid_ml, brain_water_ml, osmoles_over_mosm, brain_width_frac,
    head_veins_mmhg, carotid_column_mmhg, carotid_quick_mmhg, skull_mass_left_ml, skull_mass_right_ml,
    brain_swelling_ml,
    mannitol_mosm, skull_size_frac, pressure_volume_index_ml,
    intracranial_rest_mmhg, csf_made_ml_per_s, brain_blood_rest_ml, extracellular_l, dt_slow_s,
):  # fmt: skip
    """Volumes and pressure over one second."""
    veins = head_veins_mmhg - carotid_column_mmhg
    # 1.19: width of the vessels of a healthy adult at rest; they empty where the skull presses as much as the arteries
    filled = clamp((carotid_quick_mmhg - intracranial_pressure_mmhg + 5.0) / 30.0, 0.0, 1.0)
    blood = brain_blood_rest_ml * skull_size_frac * (filled * pow_(brain_width_frac / 1.19, 0.38) - 1.0)
    # veins fill with the pressure behind them, and are the first to give way to a rise in the skull
    blood = blood + 0.4 * skull_size_frac * larger(veins - 3.0, 0.0)
    blood = blood - 15.0 * skull_size_frac * clamp(
        (intracranial_pressure_mmhg - 1.5 * intracranial_rest_mmhg) / 25.0, 0.0, 1.0
    )
    # blood that leaves takes pressure with it, which lets blood back: the answer of a second counts that in
    steep = 2.3 * intracranial_pressure_mmhg / pressure_volume_index_ml
    back = steep * (0.6 + (2.2 if filled > 0.0 and filled < 1.0 else 0.0))
    next_brain_blood_ml = brain_blood_ml + (blood - brain_blood_ml) * dt_slow_s / (4.0 * (1.0 + 0.25 * back))
    sinus = larger(veins, 0.0) + intracranial_rest_mmhg - 6.0
    drained = csf_made_ml_per_s * skull_size_frac * (intracranial_pressure_mmhg - sinus) / 3.0
    made = csf_made_ml_per_s * skull_size_frac
    # of the fluid in an adult's skull some 45 mL can give way, the last of it slowly (our choice)
    spare = clamp((skull_fluid_ml + 45.0 * skull_size_frac) / (25.0 * skull_size_frac), 0.0, 1.0)
    next_skull_fluid_ml = skull_fluid_ml + dt_slow_s * (made - (drained * spare if drained > 0.0 else 0.0))
    # kidney_fluids carries the osmoles that drugs bring and water takes away
    drawn = 0.5 * skull_size_frac * clamp((osmoles_over_mosm + mannitol_mosm) / extracellular_l, -60.0, 60.0)
    next_brain_water_ml = faded(brain_water_ml - (drawn + brain_water_ml) * (dt_slow_s / 420.0))
    mass = skull_mass_left_ml + skull_mass_right_ml + brain_swelling_ml
    added = mass + next_brain_blood_ml + next_skull_fluid_ml + next_brain_water_ml
    # head up, fluid sinks into the spine
    added = added - 0.35 * skull_size_frac * carotid_column_mmhg
    tenfold = clamp(added / (pressure_volume_index_ml * skull_size_frac), -2.0, 1.2)
    next_intracranial_pressure_mmhg = intracranial_rest_mmhg * exp(2.302585092994046 * tenfold)
    return (
        next_intracranial_pressure_mmhg, next_brain_blood_ml, next_skull_fluid_ml, next_brain_water_ml,
    )  # fmt: skip


def toward_pressed(value_frac, wanted_frac, dt_s):
    """Pressed within a minute or two, freed within several; what is lost stays lost."""
    freed_s = 300.0 if value_frac < 0.95 else 1.0e9
    tau_s = 60.0 if wanted_frac > value_frac else freed_s
    return faded(value_frac + (wanted_frac - value_frac) * dt_s / tau_s)


def pressed(
    pressed_left_frac, pressed_right_frac, stem_pressed_frac, stem_drive_frac, intracranial_pressure_mmhg,
    carotid_quick_mmhg, skull_mass_left_ml, skull_mass_right_ml, skull_size_frac, step_count, seed, dt_slow_s,
):  # fmt: skip
    """Third nerves and brain stem, and the breathing that goes with them, over one second."""
    next_pressed_left_frac = pressed_left_frac
    next_pressed_right_frac = pressed_right_frac
    next_stem_pressed_frac = stem_pressed_frac
    next_stem_drive_frac = 1.0
    if intracranial_pressure_mmhg > 18.0 or stem_pressed_frac + pressed_left_frac + pressed_right_frac > 0.0:
        over = clamp((intracranial_pressure_mmhg - 20.0) / 20.0, 0.0, 1.0)
        shift = (skull_mass_left_ml - skull_mass_right_ml) / (30.0 * skull_size_frac)
        starved = over * clamp((40.0 - carotid_quick_mmhg + intracranial_pressure_mmhg) / 25.0, 0.0, 1.0)
        stem = larger(clamp((intracranial_pressure_mmhg - 32.0) / 28.0, 0.0, 1.0), starved)
        next_stem_pressed_frac = toward_pressed(stem_pressed_frac, stem, dt_slow_s)
        both = clamp(2.0 * stem_pressed_frac - 0.9, 0.0, 1.0)
        next_pressed_left_frac = toward_pressed(
            pressed_left_frac, larger(over * clamp(shift, 0.0, 1.0), both), dt_slow_s
        )
        next_pressed_right_frac = toward_pressed(
            pressed_right_frac, larger(over * clamp(-shift, 0.0, 1.0), both), dt_slow_s
        )
        # waxing and waning, then fast and deep, then without order, then none (common teaching, no source)
        waxing = clamp(stem_pressed_frac / 0.2, 0.0, 1.0) * clamp((0.55 - stem_pressed_frac) / 0.15, 0.0, 1.0)
        fast = clamp((stem_pressed_frac - 0.4) / 0.15, 0.0, 1.0) * clamp((0.8 - stem_pressed_frac) / 0.1, 0.0, 1.0)
        wild = clamp((stem_pressed_frac - 0.7) / 0.1, 0.0, 1.0)
        turn = step_count / 5000.0
        wave = sin(TWO_PI * (turn - floor(turn)))
        chance = noise_unit(seed, 31.0, floor(step_count / 700.0))
        next_stem_drive_frac = (
            larger(1.0 + 1.1 * waxing * wave, 0.0)
            * (1.0 + 1.5 * fast)
            * (1.0 + wild * (1.6 * chance - 0.9))
            * clamp((1.0 - stem_pressed_frac) / 0.1, 0.0, 1.0)
        )
    return next_pressed_left_frac, next_pressed_right_frac, next_stem_pressed_frac, next_stem_drive_frac


def skull_readings(mean_arterial_pressure_mmhg, carotid_column_mmhg, intracranial_pressure_mmhg):
    """Pressure that drives blood through the brain, both ends taken at the ear."""
    cerebral_perfusion_pressure_mmhg = mean_arterial_pressure_mmhg - carotid_column_mmhg - intracranial_pressure_mmhg
    return cerebral_perfusion_pressure_mmhg


PARTS: Final = {"SLOW": (skull, pressed), "SHOW": (skull_readings,)}
