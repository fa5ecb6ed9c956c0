"""Every signal of the patient by name: the one vocabulary of body, files, logs, screens and docs.

A signal is a number that can be read from the body.  Its unit is the last part of its name.
Rules, measures, holds, tracks and the nomenclature page all read this table and nothing else.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Signal:
    """One readable signal.

    ``low`` and ``high`` bound what the body may ever produce (not what is normal).
    ``system`` is the body system that gives the signal its place and hue on screen:
    heart, pressure, oxygen, breath, mind, skin, fluid, blood, drug.
    """

    name: str
    unit: str
    low: float
    high: float
    system: str
    meaning: str


def _s(name: str, unit: str, low: float, high: float, system: str, meaning: str) -> Signal:
    return Signal(name=name, unit=unit, low=low, high=high, system=system, meaning=meaning)


_ALL: Final = (
    # heart and pressure
    _s("rhythm_code", "1", 0, 9, "heart", "0 sinus, 1 ventricular fibrillation, 2 asystole"),
    _s("heart_rate_per_min", "/min", 0, 300, "heart", "electrical ventricular rate"),
    _s("pulse_rate_per_min", "/min", 0, 300, "heart", "rate of beats that move blood; 0 when no pulse can be felt"),
    _s("systolic_pressure_mmhg", "mmHg", 0, 400, "pressure", "arterial systolic pressure, last beat"),
    _s("diastolic_pressure_mmhg", "mmHg", 0, 300, "pressure", "arterial diastolic pressure, last beat"),
    _s("mean_arterial_pressure_mmhg", "mmHg", 0, 350, "pressure", "mean arterial pressure, last beat"),
    _s("central_venous_pressure_mmhg", "mmHg", -20, 60, "pressure", "right atrial pressure, mean over about a breath"),
    _s("mean_pulmonary_artery_pressure_mmhg", "mmHg", 0, 120, "pressure", "mean pulmonary artery pressure"),
    _s(
        "coronary_perfusion_pressure_mmhg",
        "mmHg",
        -60,
        250,
        "pressure",
        "aortic minus right atrial pressure in relaxation",
    ),
    _s("cardiac_output_l_per_min", "L/min", 0, 40, "heart", "left ventricular output, smoothed over a few beats"),
    _s("stroke_volume_ml", "mL", 0, 300, "heart", "stroke volume, last beat"),
    _s("ejection_fraction_frac", "1", 0, 1, "heart", "left ventricular ejection fraction, last beat"),
    _s("lv_end_diastolic_volume_ml", "mL", 0, 600, "heart", "left ventricular end-diastolic volume, last beat"),
    _s(
        "lv_end_diastolic_pressure_mmhg", "mmHg", -20, 80, "heart", "left ventricular end-diastolic pressure, last beat"
    ),
    _s("lv_end_systolic_volume_ml", "mL", 0, 600, "heart", "left ventricular end-systolic volume, last beat"),
    _s("systemic_resistance_mmhg_s_per_ml", "mmHg s/mL", 0, 20, "pressure", "systemic vascular resistance"),
    _s("st_left_mv", "mV", -2, 2, "heart", "ST vector of the heart's dipole, part to the left"),
    _s("st_foot_mv", "mV", -2, 2, "heart", "ST vector of the heart's dipole, part to the feet"),
    _s("st_back_mv", "mV", -2, 2, "heart", "ST vector of the heart's dipole, part to the back"),
    _s("heart_pain_frac", "1", 0, 1, "heart", "pain of a heart that lacks oxygen: 0 none, 1 the worst"),
    _s("arrhythmia_risk_frac", "1", 0, 1, "heart", "proneness of the ventricles to ectopic beats, from ischaemia"),
    _s("kidney_flow_frac", "1", 0, 3, "fluid", "kidney blood flow over rest"),
    # breathing and gas
    _s("respiratory_rate_per_min", "/min", 0, 150, "breath", "breaths that move air, spontaneous or given"),
    _s("spontaneous_rate_per_min", "/min", 0, 150, "breath", "the patient's own breathing rate"),
    _s("tidal_volume_ml", "mL", 0, 4000, "breath", "volume of the last breath"),
    _s("minute_ventilation_l_per_min", "L/min", 0, 200, "breath", "minute ventilation"),
    _s("inspired_o2_frac", "1", 0, 1, "oxygen", "inspired oxygen fraction at the airway"),
    _s("end_tidal_o2_frac", "1", 0, 1, "oxygen", "alveolar (end-tidal) oxygen fraction"),
    _s("spo2_pct", "%", 0, 100, "oxygen", "what a finger oximeter shows, with its lag; 0 when it finds no pulse"),
    _s("sao2_pct", "%", 0, 100, "oxygen", "true arterial oxygen saturation"),
    _s("svo2_pct", "%", 0, 100, "oxygen", "mixed venous oxygen saturation"),
    _s("pao2_mmhg", "mmHg", 0, 800, "oxygen", "arterial oxygen tension"),
    _s("paco2_mmhg", "mmHg", 0, 250, "breath", "arterial carbon dioxide tension"),
    _s("alveolar_pco2_mmhg", "mmHg", 0, 250, "breath", "alveolar carbon dioxide tension, mean of both lungs"),
    _s("pvco2_mmhg", "mmHg", 0, 300, "breath", "mixed venous carbon dioxide tension"),
    _s("etco2_mmhg", "mmHg", 0, 250, "breath", "end-tidal carbon dioxide tension, last breath; falls to 0 in apnoea"),
    _s("oxygen_delivery_ml_per_min", "mL/min", 0, 5000, "oxygen", "arterial oxygen content times cardiac output"),
    _s("carbon_dioxide_output_ml_per_min", "mL/min", 0, 4000, "breath", "carbon dioxide made by the tissues"),
    _s("oxygen_uptake_ml_per_min", "mL/min", 0, 4000, "oxygen", "oxygen used by the tissues"),
    # blood and fluid
    _s("ph", "1", 6, 8, "blood", "arterial pH"),
    _s("bicarbonate_mmol_per_l", "mmol/L", 0, 80, "blood", "arterial bicarbonate"),
    _s("base_excess_mmol_per_l", "mmol/L", -50, 50, "blood", "standard base excess"),
    _s("lactate_mmol_per_l", "mmol/L", 0, 60, "blood", "blood lactate"),
    _s("haemoglobin_g_per_dl", "g/dL", 0, 25, "blood", "haemoglobin concentration"),
    _s("glucose_mg_per_dl", "mg/dL", 0, 1500, "blood", "blood glucose"),
    _s("potassium_mmol_per_l", "mmol/L", 0, 25, "blood", "plasma potassium"),
    _s("membrane_potassium_mmol_per_l", "mmol/L", 0, 25, "heart", "potassium as the heart feels it, calcium in"),
    _s("sodium_mmol_per_l", "mmol/L", 60, 220, "blood", "plasma sodium"),
    _s("ionised_calcium_mmol_per_l", "mmol/L", 0, 10, "blood", "ionised calcium"),
    _s("magnesium_mmol_per_l", "mmol/L", 0, 20, "blood", "plasma magnesium"),
    _s("anion_gap_mmol_per_l", "mmol/L", 0, 100, "blood", "anion gap, without potassium"),
    _s("ketones_mmol_per_l", "mmol/L", 0, 60, "blood", "blood ketones"),
    _s("blood_volume_ml", "mL", 0, 12000, "fluid", "circulating blood volume"),
    _s("blood_lost_ml", "mL", 0, 30000, "fluid", "blood lost since the start, seen and hidden"),
    _s("bleeding_ml_per_min", "mL/min", 0, 5000, "fluid", "present bleeding, all wounds"),
    _s("urine_ml_per_h", "mL/h", 0, 3000, "fluid", "urine made now, as an hour of it would be"),
    _s("urine_ml", "mL", 0, 30000, "fluid", "urine made since the start"),
    _s("haematocrit_frac", "1", 0, 0.8, "blood", "red cells over blood"),
    _s("clotting_strength_frac", "1", 0, 1.5, "blood", "strength of the clots that this blood makes, over health"),
    _s("oedema_frac", "1", 0, 1, "skin", "swelling by water in tissues: 0 none, 1 gross"),
    _s("skin_flush_frac", "1", 0, 1, "skin", "flush: 0 none, 1 all over"),
    _s("skin_wheals_frac", "1", 0, 1, "skin", "wheals (hives): 0 none, 1 all over"),
    _s("line_trouble_code", "1", 0, 4, "fluid", "worst line: 0 none, 1 kinked, 2 blocked, 3 infiltrated, 4 dislodged"),
    _s("inner_blood_ml", "mL", 0, 20000, "fluid", "blood shed into belly and pelvis"),
    _s("womb_tone_frac", "1", 0, 1, "fluid", "contraction of the womb: 0 slack, 1 firm"),
    _s("temperature_core_degc", "degC", 5, 46, "skin", "core temperature"),
    _s("temperature_skin_degc", "degC", -40, 60, "skin", "skin temperature at hand and foot"),
    _s("shivering_frac", "1", 0, 1, "skin", "0 none, 1 the strongest"),
    _s("hypothermia_stage", "1", 0, 4, "skin", "stage of cold by core temperature: 35, 32, 28, 24 degC"),
    # mind
    _s("conscious_frac", "1", 0, 1, "mind", "0 unconscious, 1 awake, whether or not the patient can move"),
    _s("gcs_eye", "1", 1, 4, "mind", "coma scale, eye part"),
    _s("gcs_verbal", "1", 1, 5, "mind", "coma scale, verbal part"),
    _s("gcs_motor", "1", 1, 6, "mind", "coma scale, motor part"),
    _s("gcs_total", "1", 3, 15, "mind", "coma scale, sum"),
    _s("brain_oxygen_frac", "1", 0, 2, "mind", "brain oxygen delivery over its normal need"),
    _s("brain_glucose_frac", "1", 0, 1, "mind", "glucose that reaches brain cells over their need"),
    _s("tremor_frac", "1", 0, 1, "mind", "0 still, 1 shaking: low glucose, epinephrine, shivering"),
    _s("brain_blood_flow_ml_per_min", "mL/min", 0, 4000, "mind", "blood flow of the brain"),
    _s("brain_oxygen_use_ml_per_min", "mL/min", 0, 200, "mind", "oxygen used by the brain"),
    _s("intracranial_pressure_mmhg", "mmHg", 0, 200, "mind", "pressure in the skull"),
    _s(
        "cerebral_perfusion_pressure_mmhg",
        "mmHg",
        -160,
        350,
        "mind",
        "mean arterial minus intracranial pressure, at the ear",
    ),
    _s("stem_pressed_frac", "1", 0, 1, "mind", "brain stem pressed: 0 free, 1 lost"),
    _s("seizure_frac", "1", 0, 1, "mind", "share of the brain that discharges: over 0.6 a general seizure"),
    _s("convulsion_frac", "1", 0, 1, "mind", "jerking that can be seen: 0 none, 1 full"),
    _s("postictal_frac", "1", 0, 1, "mind", "sleep after a seizure"),
    _s("tongue_bitten", "1", 0, 1, "mind", "1 once the tongue has been bitten"),
    _s("pain_score", "1", 0, 10, "mind", "pain as the patient says it, 0 to 10"),
    _s("agitation_frac", "1", 0, 1, "mind", "0 calm, 1 fighting"),
    _s("face_weak_left_frac", "1", 0, 1, "mind", "left face droops (stroke, scripted)"),
    _s("face_weak_right_frac", "1", 0, 1, "mind", "right face droops (stroke, scripted)"),
    _s("arm_weak_left_frac", "1", 0, 1, "mind", "left arm weak (stroke, scripted)"),
    _s("arm_weak_right_frac", "1", 0, 1, "mind", "right arm weak (stroke, scripted)"),
    _s("leg_weak_left_frac", "1", 0, 1, "mind", "left leg weak (stroke, scripted)"),
    _s("leg_weak_right_frac", "1", 0, 1, "mind", "right leg weak (stroke, scripted)"),
    _s("words_lost_frac", "1", 0, 1, "mind", "words not found or not understood (stroke, scripted)"),
    _s("speech_slurred_frac", "1", 0, 1, "mind", "slurred speech (stroke, scripted)"),
    _s("gaze_turned_frac", "1", -1, 1, "mind", "eyes turned: -1 to the left, 1 to the right (stroke, scripted)"),
    _s("muscle_tone_frac", "1", 0, 1, "mind", "tone of limbs: 0 limp, 0.5 normal, 1 stiff"),
    _s("pupil_left_mm", "mm", 1, 9, "mind", "left pupil"),
    _s("pupil_right_mm", "mm", 1, 9, "mind", "right pupil"),
    _s("pupil_left_reaction_frac", "1", 0, 1, "mind", "answer of the left pupil to light: 0 none, 1 brisk"),
    _s("pupil_right_reaction_frac", "1", 0, 1, "mind", "answer of the right pupil to light: 0 none, 1 brisk"),
    # surface: what can be seen and felt
    _s("skin_pallor_frac", "1", 0, 1, "skin", "0 normal, 1 white"),
    _s("skin_cyanosis_frac", "1", 0, 1, "skin", "0 none, 1 deep blue"),
    _s("skin_cyanosis_central_frac", "1", 0, 1, "skin", "blue tongue and lips: 0 none, 1 deep blue"),
    _s("skin_cyanosis_peripheral_frac", "1", 0, 1, "skin", "blue fingers and toes: 0 none, 1 deep blue"),
    _s("skin_mottling_frac", "1", 0, 1, "skin", "mottled skin at the knees: 0 none, 1 over the thighs"),
    _s("skin_redness_frac", "1", 0, 1, "skin", "red, flushed skin"),
    _s("face_swelling_frac", "1", 0, 1, "skin", "swelling of lips and face"),
    _s("nausea_frac", "1", 0, 1, "fluid", "nausea: 0 none, 1 retching"),
    _s("vomited", "1", 0, 1000, "fluid", "times that the patient has vomited"),
    _s("aspiration_risk_frac", "1", 0, 1, "breath", "danger that stomach contents get into the lungs"),
    _s("skin_sweat_frac", "1", 0, 1, "skin", "0 dry, 1 drenched"),
    _s("capillary_refill_s", "s", 0, 15, "skin", "capillary refill time"),
    _s("neck_veins_frac", "1", 0, 1, "pressure", "0 flat, 0.5 normal, 1 distended"),
    _s("pulse_radial_frac", "1", 0, 1, "pressure", "pulse strength at the wrist, 0 gone, 1 full"),
    _s("pulse_femoral_frac", "1", 0, 1, "pressure", "pulse strength at the groin"),
    _s("pulse_carotid_frac", "1", 0, 1, "pressure", "pulse strength at the neck"),
    _s("chest_rise_left_frac", "1", 0, 2, "breath", "left chest rise over a normal breath"),
    _s("chest_rise_right_frac", "1", 0, 2, "breath", "right chest rise over a normal breath"),
    _s("breath_sound_left_frac", "1", 0, 1, "breath", "left breath sound, 0 silent, 1 normal"),
    _s("breath_sound_right_frac", "1", 0, 1, "breath", "right breath sound, 0 silent, 1 normal"),
    _s("trachea_shift_frac", "1", -1, 1, "breath", "windpipe from the middle: -1 far left, 1 far right"),
    _s("work_of_breathing_frac", "1", 0, 1, "breath", "0 quiet, 1 extreme effort"),
    _s("snoring_frac", "1", 0, 1, "breath", "noise of a partly blocked upper airway"),
    _s("pleural_air_left_ml", "mL", 0, 8000, "breath", "air in the left pleural space"),
    _s("pleural_air_right_ml", "mL", 0, 8000, "breath", "air in the right pleural space"),
    _s("pleural_blood_left_ml", "mL", 0, 8000, "breath", "blood in the left pleural space"),
    _s("pleural_blood_right_ml", "mL", 0, 8000, "breath", "blood in the right pleural space"),
    _s("wheeze_frac", "1", 0, 1, "breath", "wheeze: 0 none, 1 loud; it goes where hardly any air moves"),
    _s("stridor_frac", "1", 0, 1, "breath", "noise of a swollen upper airway"),
    _s("gurgling_frac", "1", 0, 1, "breath", "noise of fluid in the upper airway"),
    _s("crackles_left_frac", "1", 0, 1, "breath", "crackles over the left lung"),
    _s("crackles_right_frac", "1", 0, 1, "breath", "crackles over the right lung"),
    _s("flail_moves_left_frac", "1", 0, 1, "breath", "left ribs that move in while the patient breathes in"),
    _s("flail_moves_right_frac", "1", 0, 1, "breath", "right ribs that move in while the patient breathes in"),
    _s("end_expiratory_ml", "mL", 0, 12000, "breath", "gas in the lungs at the end of the last breath"),
    _s("own_peep_cmh2o", "cmH2O", 0, 100, "breath", "pressure held back in the lungs at the end of a breath"),
    _s("peak_airway_pressure_cmh2o", "cmH2O", 0, 100, "breath", "highest pressure at the mouth, last breath"),
    _s("muscle_fatigue_frac", "1", 0, 1, "breath", "tiredness of the breathing muscles"),
    _s("lung_water_ml", "mL", 0, 8000, "breath", "water of the lungs above that of health"),
    _s("cohb_pct", "%", 0, 100, "oxygen", "carboxyhaemoglobin; a finger oximeter takes it for oxygen"),
    _s("methb_pct", "%", 0, 100, "oxygen", "methaemoglobin"),
    _s("is_breathing", "1", 0, 1, "breath", "1 while the patient's own breaths move air"),
    _s("has_pulse", "1", 0, 1, "heart", "1 while a carotid pulse can be felt without compressions"),
    _s("is_alive", "1", 0, 1, "mind", "0 once the brain has been without oxygen beyond recovery"),
)

SIGNALS: Final[dict[str, Signal]] = {signal.name: signal for signal in _ALL}

RHYTHMS: Final[dict[int, str]] = {0: "sinus", 1: "ventricular fibrillation", 2: "asystole"}
"""Electrical rhythms of this version.  Pulseless activity is sinus rhythm with ``has_pulse`` 0."""

TRACKED: Final[tuple[str, ...]] = (
    "heart_rate_per_min",
    "systolic_pressure_mmhg",
    "diastolic_pressure_mmhg",
    "mean_arterial_pressure_mmhg",
    "spo2_pct",
    "sao2_pct",
    "etco2_mmhg",
    "respiratory_rate_per_min",
    "gcs_eye",
    "gcs_verbal",
    "gcs_motor",
    "gcs_total",
    "pulse_rate_per_min",
    "rhythm_code",
    "cardiac_output_l_per_min",
    "paco2_mmhg",
    "pao2_mmhg",
    "ph",
    "lactate_mmol_per_l",
    "haemoglobin_g_per_dl",
    "blood_volume_ml",
    "blood_lost_ml",
    "bleeding_ml_per_min",
    "tidal_volume_ml",
    "temperature_core_degc",
    "has_pulse",
    "is_alive",
    "brain_oxygen_frac",
)
"""Signals stored once a second with each run."""
