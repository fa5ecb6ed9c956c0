"""Heat of core and shell, shivering, skin vessels, fever; once a second.

In:       oxygen use, skin blood flow, consciousness, infusions, room, cover, warming and cooling, fever.
Out:      core, shell and skin temperature, shivering, width of skin vessels, need of the brain, what heat and cold do
to
          the mind.
Assumes:  two stores (3.47 kJ/kg/K in all, 70 % core); heat made from oxygen (20.2 J/mL).  The brain compares the core,
          and a little the shell, with a set point: skin vessels widen up to sixfold above it and narrow below it,
          shivering begins half a degree below it and reaches four times the resting oxygen use; both wait 2.5 degC
          longer in the unconscious (order of Sessler 1997, N Engl J Med 336:1730, from memory); shivering dies out
          between 32 and 30 degC.  Fever raises the set point.  At rest, covered in a room of 24 degC, the patient
          holds 36.7 degC.  Brain need falls by a Q10 of 2.3 (McCullough 1999, Ann Thorac Surg 67:1895, seen).
Left out: humidity, sun, single limbs, frostbite, heat of digestion.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp, larger, smaller
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("temperature_core_degc", 36.72, "degC", "core temperature", "slow"),
    State("temperature_shell_degc", 33.3, "degC", "mean temperature of skin and what lies under it", "slow"),
    State("temperature_skin_degc", 33.09, "degC", "skin temperature of hand and foot", "slow"),
    State("shivering_frac", 0.0, "1", "shivering over its greatest", "slow", 0.0),
    State("thermal_skin_flow_frac", 1.0, "1", "skin flow that temperature asks for, over rest", "slow", 0.0),
    State("thermal_sweat_frac", 0.0, "1", "sweat for cooling", "slow", 0.0),
    State("fever_degc", 0.0, "degC", "rise of the set point, less what drugs take away", "slow", 0.0),
    State("brain_need_frac", 1.0, "1", "oxygen need of the brain over that at rest", "slow", 0.0),
    State("thermal_pace_frac", 0.972, "1", "speed of the sinus node over that at 37 degC", "slow", 0.0),
    State("thermal_mind_frac", 1.0, "1", "consciousness that heat and cold leave", "slow", 0.0),
    Param("heat_store_j_per_k", 243000.0, "J/K", "heat needed to warm the body",
          "3.47 kJ/kg/K (Burton 1935, from memory)"),
    Param("core_share_frac", 0.70, "1", "share of the heat store in the core", "two thirds to four fifths (textbook)"),
    Param("set_point_degc", 36.72, "degC", "core temperature that the brain holds", "36.5-37 (common textbook value)"),
    Param("shell_rest_degc", 33.3, "degC", "shell temperature at rest", "mean skin 33-34 (common textbook value)"),
    Param("core_to_shell_w_per_k", 21.0, "W/K", "heat from core to shell at resting skin flow",
          "follows from heat at rest and the two temperatures"),
    Param("shell_to_room_w_per_k", 7.7, "W/K", "heat from the covered shell to the room",
          "follows from heat at rest; about half of a naked body's (textbook)"),
    Param("sweat_w", 400.0, "W", "heat taken by the most sweat that dries", "about 0.6 L/h (textbook)"),
    Param("shiver_most", 3.2, "1", "oxygen use of the strongest shivering, on top of rest, over rest",
          "two to five times rest in all (textbook)"),
)  # fmt: skip


def temperatures(
    temperature_core_degc, temperature_shell_degc, temperature_skin_degc, thermal_sweat_frac, oxygen_uptake_ml_per_s,
    skin_flow_frac, fluid_chill_w, burn_chill_w, ambient_degc, heat_loss_frac, heat_given_w,
    core_load_degc, heat_store_j_per_k, core_share_frac, core_to_shell_w_per_k, shell_to_room_w_per_k, sweat_w,
    dt_slow_s,
):  # fmt: skip
    """Heat balance of core and shell over one second."""
    made = 20.2 * oxygen_uptake_ml_per_s
    # warm, wet breath and what seeps through the skin: an eighth of the heat at rest (textbook: a quarter with skin)
    breath = 0.12 * made
    inward = core_to_shell_w_per_k * (0.35 + 0.65 * clamp(skin_flow_frac, 0.0, 7.0))
    flow = inward * (temperature_core_degc - temperature_shell_degc)
    outward = shell_to_room_w_per_k * clamp(heat_loss_frac, 0.05, 40.0) * (temperature_shell_degc - ambient_degc)
    outward = outward + sweat_w * thermal_sweat_frac
    core_store = core_share_frac * heat_store_j_per_k
    shell_store = heat_store_j_per_k - core_store
    # a load is what the hours before the case have done: into the body within a minute
    size = core_load_degc if core_load_degc > 0.0 else -core_load_degc
    loaded = core_load_degc if size < 0.02 else core_load_degc / 20.0 * dt_slow_s
    next_core_load_degc = core_load_degc - loaded
    next_temperature_core_degc = clamp(
        temperature_core_degc + loaded + (made - breath - flow - fluid_chill_w) / core_store * dt_slow_s, 8.0, 46.0
    )
    next_temperature_shell_degc = clamp(
        temperature_shell_degc + loaded + (flow - outward - burn_chill_w + heat_given_w) / shell_store * dt_slow_s,
        0.0,
        46.0,
    )
    target = ambient_degc + (temperature_core_degc - ambient_degc) * clamp(0.25 + 0.45 * skin_flow_frac, 0.1, 0.85)
    next_temperature_skin_degc = temperature_skin_degc + (target - temperature_skin_degc) * (dt_slow_s / 240.0)
    return (
        next_core_load_degc, next_temperature_core_degc, next_temperature_shell_degc, next_temperature_skin_degc,
    )  # fmt: skip


def regulation(
    temperature_core_degc, temperature_shell_degc, shivering_frac, thermal_skin_flow_frac, thermal_sweat_frac,
    fever_degc, fever_set_degc, antipyretic_frac, septic_frac, conscious_frac, hand_block_frac, paralysed,
    mu_opioid_occupancy_frac, brain_oxygen_frac, muscle_o2_ml_per_ml, set_point_degc, shell_rest_degc, dt_slow_s,
):  # fmt: skip
    """Skin vessels, shivering and sweat that bring the core to its set point."""
    raised = (fever_set_degc + 2.4 * septic_frac) * (1.0 - 0.8 * clamp(antipyretic_frac, 0.0, 1.0))
    next_fever_degc = faded(fever_degc + (clamp(raised, 0.0, 5.0) - fever_degc) * (dt_slow_s / 600.0))
    over = temperature_core_degc - set_point_degc - next_fever_degc + 0.15 * (temperature_shell_degc - shell_rest_degc)
    alive = clamp(4.0 * brain_oxygen_frac, 0.0, 1.0)
    # the unconscious let the core drift further before they answer
    let = 2.5 * (1.0 - conscious_frac)
    cold = larger(-over - let, 0.0)
    hot = larger(over - 0.4 * let, 0.0)
    wanted = 1.0 + 5.0 * clamp(hot, 0.0, 1.0) - 0.75 * clamp(cold / 0.4, 0.0, 1.0)
    # vessels that nobody holds lie a little open
    wanted = wanted + (0.35 * (1.0 - conscious_frac) if cold <= 0.0 else 0.0)
    next_thermal_skin_flow_frac = thermal_skin_flow_frac + (wanted - thermal_skin_flow_frac) * (dt_slow_s / 120.0)
    shiver = clamp((cold - 0.5) / 1.5, 0.0, 1.0) * clamp((temperature_core_degc - 30.0) / 2.0, 0.0, 1.0)
    shiver = shiver * alive * (1.0 - hand_block_frac) * (1.0 - 0.6 * mu_opioid_occupancy_frac)
    # muscle shivers no harder than its blood flow lets it
    shiver = shiver * clamp((muscle_o2_ml_per_ml - 0.03) / 0.05, 0.0, 1.0) * (1.0 if paralysed < 0.5 else 0.0)
    next_shivering_frac = faded(shivering_frac + (shiver - shivering_frac) * (dt_slow_s / 60.0))
    sweat = clamp(hot / 1.0, 0.0, 1.0) * alive
    next_thermal_sweat_frac = faded(thermal_sweat_frac + (sweat - thermal_sweat_frac) * (dt_slow_s / 120.0))
    return next_fever_degc, next_thermal_skin_flow_frac, next_shivering_frac, next_thermal_sweat_frac


def effects_of_temperature(temperature_core_degc, set_point_degc):
    """What the core's temperature does elsewhere.

    Brain need: Q10 2.3 (McCullough 1999).  Mind: drowsy below 32, unconscious below 28 degC (Durrer 2003, High Alt Med
    Biol 4:99, from memory); confused above 40.5 (textbook).
    Sinus node: an eighth a degree of fever (7 /min: Kirschen 2020, Am J Emerg Med 38:929, seen), Q10 2 in the cold.
    """
    next_brain_need_frac = exp(0.0834 * (temperature_core_degc - set_point_degc))
    next_thermal_mind_frac = clamp((temperature_core_degc - 24.0) / 8.0, 0.0, 1.0) * clamp(
        (42.8 - temperature_core_degc) / 2.2, 0.0, 1.0
    )
    warm = temperature_core_degc - set_point_degc
    next_thermal_pace_frac = 0.972 * (1.0 + 0.135 * smaller(warm, 4.5) if warm > 0.0 else exp(0.07 * warm))
    return next_brain_need_frac, next_thermal_pace_frac, next_thermal_mind_frac


def stage_of_cold(temperature_core_degc):
    """Stage of hypothermia by core temperature: 0 none, 1 to 4 (Durrer 2003: 35-32, 32-28, 28-24, below 24 degC)."""
    hypothermia_stage = 0.0
    if temperature_core_degc < 35.0:
        hypothermia_stage = 1.0
    if temperature_core_degc < 32.0:
        hypothermia_stage = 2.0
    if temperature_core_degc < 28.0:
        hypothermia_stage = 3.0
    if temperature_core_degc < 24.0:
        hypothermia_stage = 4.0
    return hypothermia_stage


PARTS: Final = {"SLOW": (temperatures, regulation, effects_of_temperature), "SHOW": (stage_of_cold,)}
