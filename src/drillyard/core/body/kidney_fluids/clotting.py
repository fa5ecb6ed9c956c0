"""Clotting: how strong a clot this blood makes, and the clot in wounds; once a second.

In:       clotting factors of plasma, temperature, pH, calcium, drugs, acid of shock, pressure and bleeding.
Out:      clotting strength, clot in wounds, calcium that citrate binds.
Assumes:  one store of clotting factors and platelets together, diluted by what runs in and lost with blood; a clot is
          about as strong as in health until they have fallen to half, and fails below a quarter (order of the
          fibrinogen and platelet counts at which surgeons see oozing, from memory).  Enzymes lose 10 % a degree below
          36 degC (order of Watts 1998, J Trauma 44:846, from memory) and half of their pace at pH 7.1 (order of Meng
          2003, J Trauma 55:886, from memory).  Below 0.8 mmol/L calcium is too low for clotting (guidelines call for
          more from 0.9 on, from memory).  Shock makes the blood dissolve its clots, which tranexamic acid stops.
          Citrate goes with a half-time of about 30 min in a perfused, warm liver.  Wounds clot slowly, better where
          pressure is low and little runs (times are our choice).
Left out: platelets as a store of their own, von Willebrand factor, single factors, clots that travel, thrombosis.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("clot_frac", 0.0, "1", "share of a wound that has clotted", "slow", 0.0),
    State("clotting_strength_frac", 1.0, "1", "strength of clots that this blood makes, over health", "slow", 0.0),
    State("lysis_frac", 0.0, "1", "breakdown of clots beyond that of health", "slow", 0.0),
    State("womb_tone_frac", 1.0, "1", "contraction of the womb", "slow", 0.0),
    State("citrate_mmol", 0.0, "mmol", "citrate of blood packs in the body", "slow", 0.0),
    State("calcium_bound_mmol_per_l", 0.0, "mmol/L", "ionised calcium that citrate binds", "slow", 0.0),
    Mid("womb_flow_ml_per_min", "mL/min", "bleeding of the womb at a mean pressure of 93 mmHg"),
    Param("citrate_space_l", 10.0, "L", "space of citrate", "most of the fluid outside cells (our choice)"),
)  # fmt: skip


def citrate(
    citrate_mmol, citrate_in_mmol_per_s, gas_flow_ml_per_s, cardiac_output_rest_ml_per_s, temperature_core_degc,
    citrate_space_l, dt_slow_s,
):  # fmt: skip
    """Citrate and the calcium that it binds: a quarter of it at 1 mmol/L (order, from memory)."""
    liver = clamp(gas_flow_ml_per_s / (0.8 * cardiac_output_rest_ml_per_s), 0.0, 1.0) * clamp(
        (temperature_core_degc - 25.0) / 12.0, 0.1, 1.0
    )
    next_citrate_mmol = faded(citrate_mmol + (citrate_in_mmol_per_s - 3.85e-4 * liver * citrate_mmol) * dt_slow_s)
    level = next_citrate_mmol / citrate_space_l
    next_calcium_bound_mmol_per_l = 1.2 * level / (level + 3.0)
    return next_citrate_mmol, next_calcium_bound_mmol_per_l


def strength(
    clotting_strength_frac, lysis_frac, clotting_factors_ml, plasma_ml, temperature_core_degc, ph, lactate_mmol_per_l,
    ionised_calcium_mmol_per_l, antithrombotic_frac, antiplatelet_frac, fibrinolysis_frac, antifibrinolysis_frac,
    dt_slow_s,
):  # fmt: skip
    """Strength of clots and their breakdown."""
    level = clamp(clotting_factors_ml / larger(plasma_ml, 50.0), 0.0, 1.5)
    cube = level * level * level
    made_of = clamp(cube * 1.064 / (cube + 0.064), 0.0, 1.0)
    cold = clamp(1.0 - 0.10 * larger(36.0 - temperature_core_degc, 0.0), 0.05, 1.0)
    acid = clamp(1.0 - 1.8 * larger(7.35 - ph, 0.0), 0.1, 1.0)
    calcium = clamp((ionised_calcium_mmol_per_l - 0.2) / 0.6, 0.05, 1.0)
    drugs = (1.0 - 0.9 * antithrombotic_frac) * (1.0 - 0.35 * antiplatelet_frac)
    now = made_of * cold * acid * calcium * drugs
    next_clotting_strength_frac = clotting_strength_frac + (now - clotting_strength_frac) * (dt_slow_s / 60.0)
    # shock sets free what dissolves clots; a thrombolytic does it outright
    shock = clamp((lactate_mmol_per_l - 3.5) / 8.0, 0.0, 1.0)
    called = larger(shock, clamp(4.0 * fibrinolysis_frac, 0.0, 4.0)) * (1.0 - 0.9 * antifibrinolysis_frac)
    next_lysis_frac = faded(lysis_frac + (called - lysis_frac) * (dt_slow_s / 300.0))
    return next_clotting_strength_frac, next_lysis_frac


def clot(
    clot_frac, clotting_strength_frac, lysis_frac, antifibrinolysis_frac, mean_arterial_pressure_mmhg,
    bleeding_now_ml_per_s, dt_slow_s,
):  # fmt: skip
    """Clot in wounds."""
    calm = clamp((100.0 - mean_arterial_pressure_mmhg) / 50.0, 0.0, 1.0) / (1.0 + bleeding_now_ml_per_s)
    # what holds a clot against the breakdown of health makes it grow better too
    grows = calm * clotting_strength_frac * (0.4 + 0.6 * antifibrinolysis_frac) * (1.0 - clot_frac)
    goes = (0.2 + lysis_frac) * clot_frac
    next_clot_frac = clamp(clot_frac + (grows - goes) * (dt_slow_s / 2400.0), 0.0, 0.9)
    return next_clot_frac


def womb(womb_tone_frac, womb_slack_frac, womb_massage_frac, uterotonic_frac, womb_ml_per_min, dt_slow_s):
    """Tone of the womb: oxytocic drugs and massage make up for most of what it lacks by itself (sizes ours)."""
    slack = clamp(womb_slack_frac, 0.0, 1.0) if womb_ml_per_min > 0.0 else 0.0
    wanted = 1.0 - slack * (1.0 - 0.8 * clamp(uterotonic_frac, 0.0, 1.0)) * (1.0 - 0.45 * womb_massage_frac)
    lasts_s = 45.0 if wanted > womb_tone_frac else 90.0
    next_womb_tone_frac = womb_tone_frac + (wanted - womb_tone_frac) * (dt_slow_s / lasts_s)
    return next_womb_tone_frac


def womb_flow(womb_ml_per_min, womb_tone_frac, womb_packed_frac):
    """Bleeding of the womb at a mean pressure of 93 mmHg: its muscle is what closes the vessels."""
    slack = 1.0 - womb_tone_frac
    womb_flow_ml_per_min = womb_ml_per_min * (0.03 + 0.97 * slack) * (1.0 - 0.8 * clamp(womb_packed_frac, 0.0, 1.0))
    return womb_flow_ml_per_min


PARTS: Final = {"CALM": (womb_flow,), "SLOW": (citrate, strength, clot, womb)}
