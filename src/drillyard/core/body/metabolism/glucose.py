"""Glucose, insulin, counter-regulation, ketones; once a second.

In:       glucose given by vein or gut, insulin and glucagon of drugs, problems of insulin, sympathetic drive, pressure.
Out:      blood glucose, glucose that the brain has, counter-regulation, ketones, glucose and water lost in urine.
Assumes:  two pools of glucose, plasma with what mixes at once and slower tissue (Cobelli 1984, Am J Physiol 246:E481,
          form); insulin acts after a delay as in the minimal model (Bergman 1979, Am J Physiol 236:E667), its uptake
          half-maximal at 58 and its hold on the liver at about 29 uU/mL (Rizza 1981, Am J Physiol 240:E630); insulin
          comes in a quick first wave from a store and a slow second one.  Counter-regulation begins below 68 mg/dL
          (Mitrakou 1991, Am J Physiol 260:E67) and, like glucagon, draws on liver glycogen, which runs out.  The brain
          takes up glucose by a carrier that saturates; below 52 mg/dL supply falls short of need.  Kidneys spill what
          is over 180 mg/dL, and water goes with it.  Without insulin fat becomes ketones.
Left out: incretins of the gut, cortisol and growth hormone over hours, exercise, lactate as fuel of the brain,
          glucose lost with blood.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, larger, pow_
from drillyard.core.numerics.names import Param, State

_MEMORY = "from memory"

NAMES: Final = (
    State("glucose_mg_per_dl", 90.0, "mg/dL", "glucose of plasma and what mixes with it at once", "slow", 0.0),
    State("glucose_tissue_mg_per_dl", 90.0, "mg/dL", "glucose of slower tissue fluid", "slow", 0.0),
    State("insulin_uu_per_ml", 8.0, "uU/mL", "the patient's own insulin in plasma", "slow", 0.0),
    State("insulin_felt_uu_per_ml", 8.0, "uU/mL", "own insulin where it acts", "slow", 0.0),
    State("insulin_ready_frac", 1.0, "1", "insulin ready for the first wave", "slow", 0.0),
    State("insulin_share_frac", 0.12121, "1", "insulin action over its full size, of the body's own and drugs'", "slow",
          0.0),
    State("liver_glycogen_frac", 1.0, "1", "glycogen left in the liver", "slow", 0.0),
    State("glucagon_tired_frac", 0.0, "1", "how far the liver has got used to glucagon", "slow", 0.0),
    State("counter_regulation_frac", 0.0, "1", "answer to low glucose: epinephrine, glucagon", "slow", 0.0),
    State("brain_glucose_frac", 1.0, "1", "glucose that reaches brain cells over their need", "slow", 0.0),
    State("ketones_mmol_per_l", 0.1, "mmol/L", "ketones in blood", "slow", 0.0),
    State("glucose_in_urine_mg", 0.0, "mg", "glucose lost in urine since the start", "slow", 0.0),
    State("glucose_used_mg", 0.0, "mg", "glucose burnt or stored in tissue since the start", "slow", 0.0),
    State("glucose_made_mg", 0.0, "mg", "glucose that the liver has put out since the start", "slow", 0.0),
    State("osmotic_urine_ml_per_s", 0.0, "mL/s", "water that glucose takes into the urine", "slow", 0.0),
    Param("glucose_rest_mg_per_dl", 90.0, "mg/dL", "blood glucose at rest",
          "fasting adult 70-99 (common textbook value)"),
    Param("insulin_rest_uu_per_ml", 8.0, "uU/mL", "insulin at rest", "fasting adult 5-10 (common textbook value)"),
    Param("glucose_space_dl", 94.5, "dL", "quick glucose space", "1.35 dL/kg (Cobelli 1984, order " + _MEMORY + ")"),
    Param("glucose_tissue_space_dl", 66.5, "dL", "slow glucose space", "0.95 dL/kg: 2.3 dL/kg in all (as above)"),
    Param("glucose_exchange_dl_per_s", 0.117, "dL/s", "exchange of both spaces", "0.10 dL/kg/min (as above)"),
    Param("liver_output_rest_mg_per_s", 2.683, "mg/s", "glucose that the liver puts out at rest",
          "2.3 mg/kg/min (common textbook value)"),
    Param("brain_glucose_use_mg_per_s", 1.167, "mg/s", "glucose that the brain and red cells use",
          "1.0 mg/kg/min, about 100 g a day (common textbook value)"),
    Param("insulin_uptake_dl_per_s", 0.1231, "dL/s", "clearance of glucose at full insulin action",
          "9.5 mg/kg/min at 90 mg/dL (clamp at full insulin: Rizza 1981, " + _MEMORY + ")"),
    Param("insulin_half_uu_per_ml", 58.0, "uU/mL", "insulin of half the full uptake", "Rizza 1981, " + _MEMORY),
    Param("insulin_delay_per_s", 1.17e-3, "/s", "rate at which insulin action follows its level",
          "0.07 /min: upper end of minimal model values in lean young adults (" + _MEMORY + ")"),
    Param("insulin_clearance_per_s", 2.5e-3, "/s", "share of insulin cleared",
          "half-time 4-5 min (common textbook value)"),
    Param("glomerular_dl_per_s", 0.0208, "dL/s", "plasma filtered", "125 mL/min (common textbook value)"),
    Param("liver_glycogen_mg", 90000.0, "mg", "glycogen of a full liver", "80-100 g (common textbook value)"),
    Param("glucagon_output_mg_per_s", 9.3, "mg/s", "liver output at full glucagon action, on top of rest",
          "8 mg/kg/min: +136 mg/dL after 1 mg in low glucose (US prescribing information: glucagon)"),
    Param("counter_output_mg_per_s", 4.7, "mg/s", "liver output at full counter-regulation, on top of rest",
          "4 mg/kg/min (order " + _MEMORY + ")"),
    Param("ketone_making_mmol_per_l_per_s", 4.4e-4, "mmol/L/s", "ketones made without any insulin",
          "1.6 mmol/L/h: severe ketoacidosis within a day (common teaching, order " + _MEMORY + ")"),
    Param("ketone_use_mmol_per_l_per_s", 2.5e-4, "mmol/L/s", "greatest use of ketones",
          "0.9 mmol/L/h: fall of at least 0.5 an hour under treatment (common practice, no source)"),
)  # fmt: skip


def insulin_held_frac(insulin_share_frac):
    """Liver output over that without insulin; half at an insulin of 22 uU/mL, half of the resting output at 29."""
    # share to level: half the full uptake at 58 uU/mL
    level = 58.0 * insulin_share_frac / (1.0001 - insulin_share_frac)
    return 1.0 / (1.0 + pow_(level / 22.0, 1.5))


def insulin(
    glucose_mg_per_dl, insulin_uu_per_ml, insulin_felt_uu_per_ml, insulin_ready_frac, insulin_action_frac,
    insulin_excess_frac, tablets_excess_frac, insulin_lack_frac, sympathetic_frac, counter_regulation_frac,
    septic_frac, glucose_rest_mg_per_dl, insulin_rest_uu_per_ml, insulin_half_uu_per_ml, insulin_delay_per_s,
    insulin_clearance_per_s, dt_slow_s,
):  # fmt: skip
    """Own insulin, its action after a delay, and the action of all insulin together."""
    over = glucose_mg_per_dl - glucose_rest_mg_per_dl
    able = 1.0 - clamp(insulin_lack_frac, 0.0, 1.0)
    # tablets make the pancreas give more at any glucose; epinephrine holds it back
    called = clamp(1.0 + over / 30.0, 0.0, 10.0) + 4.0 * tablets_excess_frac * clamp(1.6 + over / 60.0, 0.3, 4.0)
    called = called * clamp(1.6 - 2.0 * larger(sympathetic_frac - 0.35, 0.0) - 0.6, 0.2, 1.0)
    wave = insulin_ready_frac * 0.0042 * clamp(over / 100.0, 0.0, 1.5)
    next_insulin_ready_frac = insulin_ready_frac + ((1.0 - insulin_ready_frac) / 3600.0 - wave) * dt_slow_s
    # the first wave of a full store would raise plasma by 125 uU/mL were none cleared
    d_insulin_uu_per_ml_per_s = (
        able * (insulin_clearance_per_s * insulin_rest_uu_per_ml * called + 125.0 * wave)
        - insulin_clearance_per_s * insulin_uu_per_ml
    )
    d_insulin_felt_uu_per_ml_per_s = insulin_delay_per_s * (insulin_uu_per_ml - insulin_felt_uu_per_ml)
    own = insulin_felt_uu_per_ml / (insulin_felt_uu_per_ml + insulin_half_uu_per_ml)
    given = 1.0 - (1.0 - insulin_action_frac) * (1.0 - clamp(insulin_excess_frac, 0.0, 0.98))
    resisted = clamp(
        0.25 * counter_regulation_frac + 0.6 * larger(sympathetic_frac - 0.35, 0.0) + 0.8 * septic_frac, 0.0, 0.7
    )
    next_insulin_share_frac = (1.0 - (1.0 - own) * (1.0 - given)) * (1.0 - resisted)
    return (
        next_insulin_ready_frac, d_insulin_uu_per_ml_per_s, d_insulin_felt_uu_per_ml_per_s, next_insulin_share_frac,
    )  # fmt: skip


def glucose(
    glucose_mg_per_dl, glucose_tissue_mg_per_dl, insulin_share_frac, liver_glycogen_frac, counter_regulation_frac,
    glucagon_tired_frac, glucose_given_mg_per_s, glucose_infusion_mg_per_min, glucose_load_mg, glucagon_action_frac,
    beta2_occupancy_frac,
    sympathetic_frac, glycogen_emptied_frac, kidney_lost_frac, glomerular_frac, gas_flow_ml_per_s,
    cardiac_output_rest_ml_per_s, glucose_in_urine_mg, glucose_used_mg, glucose_made_mg, glucose_rest_mg_per_dl,
    insulin_rest_uu_per_ml, insulin_half_uu_per_ml, glucose_space_dl, glucose_tissue_space_dl,
    glucose_exchange_dl_per_s, liver_output_rest_mg_per_s, brain_glucose_use_mg_per_s, insulin_uptake_dl_per_s,
    glomerular_dl_per_s, liver_glycogen_mg, glucagon_output_mg_per_s, counter_output_mg_per_s, dt_slow_s,
):  # fmt: skip
    """Both pools, the liver's output, what is used and what is lost."""
    at_rest = insulin_rest_uu_per_ml / (insulin_rest_uu_per_ml + insulin_half_uu_per_ml)
    held = insulin_held_frac(insulin_share_frac) / insulin_held_frac(at_rest)
    # glucose itself holds the liver back, the less so the less insulin there is; without it glucagon runs free
    lack = clamp(1.0 - insulin_share_frac / at_rest, 0.0, 1.0)
    over = glucose_mg_per_dl - glucose_rest_mg_per_dl
    own_glucose = clamp(1.0 - 0.006 * (1.0 - 0.9 * lack) * over, 0.15, 1.35)
    # what glycogen alone can give: a third of the counter-regulation's output is new glucose
    stored = clamp(5.0 * liver_glycogen_frac * (1.0 - glycogen_emptied_frac), 0.0, 1.0)
    perfused = clamp(gas_flow_ml_per_s / (0.5 * cardiac_output_rest_ml_per_s), 0.0, 1.0)
    called = clamp(counter_regulation_frac + 1.2 * larger(sympathetic_frac - 0.35, 0.0) + 1.2 * beta2_occupancy_frac,
                   0.0, 1.5)  # fmt: skip
    # insulin goes against the call, glucagon in a drug's dose overrides it
    against = clamp(1.3 * pow_(insulin_held_frac(insulin_share_frac), 0.7), 0.12, 1.0)
    # the liver's answer to glucagon wanes within the hour (Cherrington 1981, Diabetes 30:180, from memory)
    next_glucagon_tired_frac = faded(
        glucagon_tired_frac + (glucagon_action_frac - glucagon_tired_frac) * (dt_slow_s / 2400.0)
    )
    glucagon = glucagon_action_frac * (1.0 - 0.7 * glucagon_tired_frac)
    from_glycogen = stored * (0.65 * counter_output_mg_per_s * called * against + glucagon_output_mg_per_s * glucagon)
    kept_up = liver_output_rest_mg_per_s * held * own_glucose * (0.5 + 0.5 * stored + 1.1 * lack)
    made = perfused * (kept_up + 0.35 * counter_output_mg_per_s * called * against + from_glycogen)
    brain = (
        brain_glucose_use_mg_per_s
        * (glucose_mg_per_dl / (glucose_mg_per_dl + 15.0))
        * ((glucose_rest_mg_per_dl + 15.0) / glucose_rest_mg_per_dl)
    )
    # the little that neither the brain nor insulin accounts for at rest
    rest = (
        liver_output_rest_mg_per_s
        - brain_glucose_use_mg_per_s
        - insulin_uptake_dl_per_s * at_rest * (glucose_rest_mg_per_dl)
    )
    used = (
        brain
        + insulin_uptake_dl_per_s * insulin_share_frac * glucose_mg_per_dl
        + rest * glucose_mg_per_dl / glucose_rest_mg_per_dl
    )
    kidney = clamp(glomerular_frac, 0.0, 1.0)
    working = kidney * (1.0 - clamp(kidney_lost_frac, 0.0, 1.0))
    spilt = working * glomerular_dl_per_s * larger(glucose_mg_per_dl - 180.0, 0.0)
    exchanged = glucose_exchange_dl_per_s * (glucose_mg_per_dl - glucose_tissue_mg_per_dl)
    # a load is what an illness has brought in by the time the case begins: into both pools within a minute
    loaded = glucose_load_mg if glucose_load_mg < 50.0 else glucose_load_mg / 20.0 * dt_slow_s
    next_glucose_load_mg = glucose_load_mg - loaded
    spaces = glucose_space_dl + glucose_tissue_space_dl
    given = glucose_given_mg_per_s + glucose_infusion_mg_per_min / 60.0 + loaded * glucose_space_dl / spaces / dt_slow_s
    next_glucose_mg_per_dl = larger(
        glucose_mg_per_dl + (given + made - used - spilt - exchanged) / glucose_space_dl * dt_slow_s, 0.0
    )
    next_glucose_tissue_mg_per_dl = larger(
        glucose_tissue_mg_per_dl + exchanged / glucose_tissue_space_dl * dt_slow_s + loaded / spaces, 0.0
    )
    # glycogen is laid down when there is plenty of insulin and glucose
    laid = larger(0.5 * (used - brain) - 0.6 * liver_output_rest_mg_per_s, 0.0)
    laid = laid if liver_glycogen_frac < 1.0 else 0.0
    next_liver_glycogen_frac = clamp(
        liver_glycogen_frac + (laid - perfused * from_glycogen) / liver_glycogen_mg * dt_slow_s, 0.0, 1.0
    )
    next_glucose_in_urine_mg = glucose_in_urine_mg + spilt * dt_slow_s
    next_glucose_used_mg = glucose_used_mg + used * dt_slow_s
    next_glucose_made_mg = glucose_made_mg + made * dt_slow_s
    # 25 mL of water with each gram (urine of about 4 % glucose, common teaching)
    next_osmotic_urine_ml_per_s = 0.025 * spilt
    return (
        next_glucagon_tired_frac,
        next_glucose_load_mg, next_glucose_mg_per_dl, next_glucose_tissue_mg_per_dl, next_liver_glycogen_frac,
        next_glucose_in_urine_mg, next_glucose_used_mg, next_glucose_made_mg, next_osmotic_urine_ml_per_s,
    )  # fmt: skip


def low_glucose(
    glucose_mg_per_dl, counter_regulation_frac, brain_glucose_frac, hypoglycaemia_shift_mg_per_dl, brain_oxygen_frac,
    dt_slow_s,
):  # fmt: skip
    """Counter-regulation below 68 mg/dL, full at about 42; the brain's supply below 52, half at 31."""
    felt = glucose_mg_per_dl - hypoglycaemia_shift_mg_per_dl
    alive = clamp(4.0 * brain_oxygen_frac, 0.0, 1.0)
    called = clamp((69.0 - felt) / 26.0, 0.0, 1.2) * alive
    next_counter_regulation_frac = faded(
        counter_regulation_frac + (called - counter_regulation_frac) * (dt_slow_s / 150.0)
    )
    supplied = clamp((felt - 10.0) / 42.0, 0.0, 1.0)
    # brain fluid follows plasma down over minutes, up a little faster
    tau = 90.0 if supplied > brain_glucose_frac else 150.0
    next_brain_glucose_frac = faded(brain_glucose_frac + (supplied - brain_glucose_frac) * (dt_slow_s / tau))
    return next_counter_regulation_frac, next_brain_glucose_frac


def ketones(
    ketones_mmol_per_l, insulin_share_frac, ketone_load_mmol_per_l, glomerular_frac,
    ketone_making_mmol_per_l_per_s, ketone_use_mmol_per_l_per_s, dt_slow_s,
):  # fmt: skip
    """Ketones made for want of insulin; used up to a limit, and lost in urine."""
    lack = clamp(1.0 - insulin_share_frac / 0.1212, 0.0, 1.0)
    over = larger(ketones_mmol_per_l - 0.1, 0.0)
    kidney = clamp(glomerular_frac, 0.0, 1.0)
    loaded = ketone_load_mmol_per_l if ketone_load_mmol_per_l < 0.01 else ketone_load_mmol_per_l / 20.0 * dt_slow_s
    next_ketone_load_mmol_per_l = ketone_load_mmol_per_l - loaded
    next_ketones_mmol_per_l = larger(
        ketones_mmol_per_l
        + loaded
        + (
            ketone_making_mmol_per_l_per_s * lack * lack
            - ketone_use_mmol_per_l_per_s * over / (over + 2.0)
            - 1.1e-5 * kidney * over
        )
        * dt_slow_s,
        0.0,
    )
    return next_ketone_load_mmol_per_l, next_ketones_mmol_per_l


def shaking(counter_regulation_frac, beta2_occupancy_frac, shivering_frac, hand_block_frac, paralysed):
    """Tremor of low glucose, epinephrine and beta-2 drugs, and shivering.

    Autonomic symptoms are felt below 58 mg/dL (Mitrakou 1991): the counter-regulation of that level and no less.
    """
    low = (counter_regulation_frac - 0.40) / 0.45
    tremor = clamp(larger(larger(low, 0.6 * beta2_occupancy_frac), shivering_frac), 0.0, 1.0)
    tremor_frac = tremor * (1.0 - hand_block_frac) * (1.0 if paralysed < 0.5 else 0.0)
    return tremor_frac


PARTS: Final = {"SLOW": (insulin, glucose, low_glucose, ketones), "SHOW": (shaking,)}
