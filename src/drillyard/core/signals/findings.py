"""The finding catalogue: what can be seen, heard, felt, read or asked, in plain words.

One row a finding.  ``origin`` says where its value comes from: "body" is computed; "scripted" is whatever the
scenario says and nothing else; "not modelled" means that this version computes nothing, and the operator is told so.
The list follows the usual gaps of manikins (common practice, no source).
"""

from dataclasses import dataclass
from typing import Final, Literal

from drillyard.core.signals import readings as r

Origin = Literal["body", "scripted", "not modelled"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One row.  ``level_low`` to ``level_high`` (in ``level_unit``) is the scale of the reading's level;
    ``typed`` are words people type for it; ``measured_with`` the sensor or device that is needed to get it."""

    id: str
    label: str
    system: str
    typed: tuple[str, ...]
    origin: Origin
    note: str
    signals: tuple[str, ...] = ()
    read: r.Read = r.nothing
    level_low: float = 0.0
    level_high: float = 1.0
    level_unit: str = "1"
    measured_with: str = ""


def _body(
    id: str,
    system: str,
    typed: str,
    read: r.Read,
    signals: str,
    *,
    scale: tuple[float, float, str] = (0.0, 1.0, "1"),
    note: str = "",
    measured_with: str = "",
) -> Finding:
    return Finding(
        id=id, label=id[0].upper() + id[1:], system=system, typed=_words(typed), origin="body",
        note=note or "computed by the body", signals=tuple(signals.split()), read=read,
        level_low=scale[0], level_high=scale[1], level_unit=scale[2], measured_with=measured_with,
    )  # fmt: skip


def _other(id: str, system: str, typed: str, origin: Origin, note: str, *, measured_with: str = "") -> Finding:
    return Finding(
        id=id, label=id[0].upper() + id[1:], system=system, typed=_words(typed), origin=origin, note=note,
        measured_with=measured_with,
    )  # fmt: skip


def _words(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(",") if part.strip())


_SCRIPT = "only what the scenario says; the body does not compute it"
_STROKE = "as the problem 'stroke' says: scripted, no blood flow of a region is computed"
_NONE = "not modelled in this version: the operator answers, or the scenario scripts it"

_ALL: Final = (
    # airway and breathing
    _body("airway noise", "breath", "airway, snoring, noisy breathing, stridor", r.airway_noise,
          "is_breathing snoring_frac stridor_frac gurgling_frac",
          note="snoring of a partly blocked, stridor of a swollen, gurgling of a wet upper airway"),
    _body("breathing", "breath", "breathing rate, respirations, rr, resps, breaths", r.breathing,
          "is_breathing spontaneous_rate_per_min tidal_volume_ml", scale=(0.0, 60.0, "/min")),
    _body("work of breathing", "breath", "effort, accessory muscles, wob", r.banded_signal(
        "work_of_breathing_frac", r.WORK), "work_of_breathing_frac"),
    _body("chest rise left", "breath", "left chest, left chest rise, left chest movement", r.chest_rise("left"),
          "chest_rise_left_frac flail_moves_left_frac", scale=(0.0, 2.0, "1")),
    _body("chest rise right", "breath", "right chest, right chest rise, right chest movement", r.chest_rise("right"),
          "chest_rise_right_frac flail_moves_right_frac", scale=(0.0, 2.0, "1")),
    _body("left breath sound", "breath", "left lung, listen left, breath sounds left, left air entry",
          r.lung_sound("left"), "breath_sound_left_frac wheeze_frac crackles_left_frac",
          note="the level is the loudness of breath alone"),
    _body("right breath sound", "breath", "right lung, listen right, breath sounds right, right air entry",
          r.lung_sound("right"), "breath_sound_right_frac wheeze_frac crackles_right_frac",
          note="the level is the loudness of breath alone"),
    _body("percussion left", "breath", "percuss left, left percussion", r.percussion("left"),
          "pleural_air_left_ml pleural_blood_left_ml", scale=(0.0, 3000.0, "mL"),
          note="air and blood in the pleural space; the level is the air"),
    _body("percussion right", "breath", "percuss right, right percussion", r.percussion("right"),
          "pleural_air_right_ml pleural_blood_right_ml", scale=(0.0, 3000.0, "mL"),
          note="air and blood in the pleural space; the level is the air"),
    _body("windpipe", "breath", "trachea, tracheal shift, tracheal deviation", r.windpipe, "trachea_shift_frac",
          scale=(-1.0, 1.0, "1")),
    _body("exhaled CO2", "breath", "etco2, capnography, co2, end-tidal", r.number(
        "etco2_mmhg", "{:.0f} mmHg", 1.0, "no CO2"), "etco2_mmhg", scale=(0.0, 120.0, "mmHg"),
        measured_with="CO2 sampling line"),
    _body("SpO2", "oxygen", "sats, saturation, oximeter", r.saturation, "spo2_pct", scale=(0.0, 100.0, "%"),
          measured_with="finger probe"),
    _body("carboxyhaemoglobin", "oxygen", "cohb, carbon monoxide level, co-oximeter, co level", r.number(
        "cohb_pct", "{:.0f} %"), "cohb_pct", scale=(0.0, 60.0, "%"), measured_with="blood gas analyser"),
    _body("methaemoglobin", "oxygen", "methb, methb level, met level", r.number("methb_pct", "{:.0f} %"), "methb_pct",
          scale=(0.0, 60.0, "%"), measured_with="blood gas analyser"),
    # circulation
    _body("radial pulse", "pressure", "wrist pulse, radial", r.pulse_at("radial"),
          "pulse_radial_frac pulse_rate_per_min"),
    _body("femoral pulse", "pressure", "groin pulse, femoral", r.pulse_at("femoral"),
          "pulse_femoral_frac pulse_rate_per_min"),
    _body("carotid pulse", "pressure", "neck pulse, carotid, central pulse", r.pulse_at("carotid"),
          "pulse_carotid_frac pulse_rate_per_min"),
    _body("pulse rate", "heart", "pulse", r.number("pulse_rate_per_min", "{:.0f}/min", 1.0, "no pulse"),
          "pulse_rate_per_min", scale=(0.0, 250.0, "/min")),
    _body("heart rate", "heart", "hr", r.number("heart_rate_per_min", "{:.0f}/min", 1.0, "none"),
          "heart_rate_per_min", scale=(0.0, 250.0, "/min"), measured_with="ECG electrodes"),
    _body("rhythm", "heart", "ecg, monitor rhythm, 3-lead", r.rhythm, "rhythm_code heart_rate_per_min",
          scale=(0.0, 9.0, "1"), note="sinus, ventricular fibrillation or asystole; no other rhythms in this version",
          measured_with="ECG electrodes"),
    _body("pressure", "pressure", "bp, blood pressure, cuff", r.pressure,
          "systolic_pressure_mmhg diastolic_pressure_mmhg has_pulse", scale=(0.0, 250.0, "mmHg"),
          measured_with="pressure cuff"),
    _body("neck veins", "pressure", "jugular veins, jvp, jvd", r.banded_signal("neck_veins_frac", r.VEINS),
          "neck_veins_frac"),
    _body("capillary refill", "skin", "cap refill, crt, refill", r.number("capillary_refill_s", "{:.0f} s"),
          "capillary_refill_s", scale=(0.0, 10.0, "s")),
    _body("bleeding seen", "fluid", "bleeding, wound bleeding, blood", r.banded_signal(
        "bleeding_ml_per_min", r.BLEED_ML_PER_MIN), "bleeding_ml_per_min", scale=(0.0, 500.0, "mL/min"),
        note="all wounds together, hidden ones too: the operator leaves out what cannot be seen"),
    _body("blood lost", "fluid", "blood loss, estimated loss", r.blood_lost, "blood_lost_ml", scale=(0.0, 4000.0, "mL"),
          note="all blood lost since the start, seen and hidden"),
    _body("urine", "fluid", "urine output, bladder, catheter bag", r.number("urine_ml_per_h", "{:.0f} mL/h"),
          "urine_ml_per_h", scale=(0.0, 400.0, "mL/h"), note="as it runs now; a bag shows it after minutes",
          measured_with="urinary catheter"),
    _body("drip site", "fluid", "drip, cannula site, infusion site", r.banded_signal(
        "line_trouble_code", r.LINE), "line_trouble_code", scale=(0.0, 4.0, "1"), note="the worst of the lines"),
    _body("hives", "skin", "wheals, urticaria, itching", r.banded_signal(
        "skin_wheals_frac", r.WHEALS), "skin_wheals_frac", note="wheals of an allergic reaction; other spots: rash"),
    _body("flush", "skin", "flushed, red skin", r.banded_signal("skin_flush_frac", r.FLUSH), "skin_flush_frac"),
    # skin
    _body("skin colour", "skin", "skin color, colour, color, pallor, cyanosis", r.skin_colour,
          "skin_pallor_frac skin_cyanosis_frac skin_redness_frac skin_mottling_frac",
          note="pallor, blueness, flush and mottling; jaundice is not modelled"),
    _body("lip colour", "skin", "lips, lip color, blue lips", r.lip_colour, "skin_cyanosis_central_frac"),
    _body("finger colour", "skin", "nail beds, fingers, blue fingers", r.finger_colour,
          "skin_cyanosis_peripheral_frac"),
    _body("sweat", "skin", "sweaty, clammy, sweating", r.banded_signal(
        "skin_sweat_frac", r.SWEAT), "skin_sweat_frac"),
    _body("skin temperature", "skin", "skin temp, touch, hands warm, cold hands", r.banded_signal(
        "temperature_skin_degc", r.TOUCH_DEGC), "temperature_skin_degc", scale=(10.0, 40.0, "degC")),
    _body("skin", "skin", "skin signs, skin condition", r.skin_feel,
          "skin_pallor_frac skin_cyanosis_frac temperature_skin_degc skin_sweat_frac",
          note="colour, warmth and sweat in one sentence; no level of its own"),
    _body("temperature", "skin", "temp, core temperature, fever", r.number("temperature_core_degc", "{:.1f} degC"),
          "temperature_core_degc", scale=(30.0, 42.0, "degC"), measured_with="temperature probe"),
    # mind
    _body("mind", "mind", "gcs, avpu, consciousness, responsiveness, loc", r.mind, "gcs_eye gcs_verbal gcs_motor",
          scale=(3.0, 15.0, "1")),
    _body("speech", "mind", "voice, talking, talks", r.speech,
          "gcs_verbal work_of_breathing_frac words_lost_frac speech_slurred_frac",
          scale=(1.0, 5.0, "1"),
          note="from the verbal part of the coma scale; slurring and lost words only as the problem 'stroke' says"),
    _body("pupils", "mind", "eyes, pupil size, pinpoint", r.pupils,
          "pupil_left_mm pupil_right_mm pupil_left_reaction_frac pupil_right_reaction_frac", scale=(1.0, 9.0, "mm")),
    # blood tests
    _body("glucose", "blood", "sugar, bgl, bm, blood sugar, blood glucose", r.number(
        "glucose_mg_per_dl", "{:.0f} mg/dL"), "glucose_mg_per_dl", scale=(0.0, 600.0, "mg/dL"),
        note="stays at its start value in this version", measured_with="glucose meter"),
    _body("lactate", "blood", "lac", r.number("lactate_mmol_per_l", "{:.1f} mmol/L"), "lactate_mmol_per_l",
          scale=(0.0, 25.0, "mmol/L"), measured_with="lactate meter"),
    _body("blood gas", "blood", "abg, gas, gases, vbg", r.blood_gas,
          "ph paco2_mmhg pao2_mmhg base_excess_mmol_per_l", scale=(6.5, 8.0, "1"), measured_with="blood gas analyser"),
    _body("haemoglobin", "blood", "hb, hemoglobin", r.number("haemoglobin_g_per_dl", "{:.1f} g/dL"),
          "haemoglobin_g_per_dl", scale=(0.0, 25.0, "g/dL"), measured_with="haemoglobin meter"),
    # scripted: as the scenario says
    _body("swollen face", "skin", "lip swelling, swollen lips, face swelling", r.banded_signal(
        "face_swelling_frac", r.SWOLLEN), "face_swelling_frac",
        note="of allergy, by its mediators; any other is scripted as 'swelling'"),
    _other("rash", "skin", "spots", "scripted", _SCRIPT),
    _other("swelling", "skin", "oedema, tongue swelling", "scripted", _SCRIPT),
    _other("wound", "skin", "injuries, laceration, deformity", "scripted", _SCRIPT + " (its bleeding is computed)"),
    _other("needle mark", "skin", "track marks, injection marks", "scripted", _SCRIPT),
    _other("skin patch", "skin", "patch, medication patch", "scripted", _SCRIPT),
    _other("pockets and surroundings", "skin", "pockets, scene, belongings, paraphernalia", "scripted", _SCRIPT),
    _other("smell", "breath", "odour, breath smell", "scripted", _SCRIPT),
    _other("air under the skin", "breath", "subcutaneous air, surgical emphysema, crepitus", "scripted", _SCRIPT),
    _other("hiss of air", "breath", "hiss, air rush", "scripted", _SCRIPT),
    _other("stated weight", "mind", "weight, how heavy", "scripted", "the patient's mass as the scenario gives it"),
    # not modelled
    _other("12-lead", "heart", "12 lead, twelve lead, 12-lead ecg", "not modelled",
           "no 12-lead ECG is computed in this version", measured_with="12-lead electrodes"),
    _other("heart sounds", "heart", "listen heart, murmur, muffled heart", "not modelled", _NONE),
    _other("ultrasound", "blood", "us, echo, fast scan", "not modelled", _NONE, measured_with="ultrasound"),
    _body("face droop", "mind", "face, facial droop, gaze", r.face,
          "face_weak_left_frac face_weak_right_frac gaze_turned_frac", note=_STROKE),
    _body("arm and leg strength", "mind", "arm drift, power, limb strength, moving limbs", r.limbs,
          "arm_weak_left_frac arm_weak_right_frac leg_weak_left_frac leg_weak_right_frac", note=_STROKE),
    _body("seizure", "mind", "fitting, convulsion, jerking, tongue bite", r.fit,
          "convulsion_frac seizure_frac tongue_bitten",
          note="the jerking; the share of the brain that discharges is a signal of its own"),
    _body("pain", "mind", "pain score, tenderness, guarding", r.pain, "pain_score gcs_verbal", scale=(0.0, 10.0, "1"),
          note="from the problem 'pain' and the drugs against it; where it hurts is in the case"),
    _body("agitation", "mind", "restless, fighting, combative", r.banded_signal("agitation_frac", r.CALM),
          "agitation_frac"),
    _body("muscle tone", "mind", "tone, limp, stiff", r.banded_signal("muscle_tone_frac", r.TONE), "muscle_tone_frac"),
    _other("abdomen", "fluid", "belly, abdominal exam", "not modelled", _NONE),
    _other("pelvis", "fluid", "pelvic exam, pelvic ring", "not modelled", _NONE),
    _other("vomit", "fluid", "sick, what came up", "scripted", _SCRIPT + " (whether and when: nausea)"),
    _body("nausea", "fluid", "vomiting, feels sick", r.vomit, "vomited nausea_frac", scale=(0.0, 20.0, "1"),
          note="what the patient breathes in of it is a problem of its own: the body computes only the danger"),
)  # fmt: skip

FINDINGS: Final[dict[str, Finding]] = {row.id: row for row in _ALL}

_BY_WORDS: Final = {words.casefold(): row for row in _ALL for words in (row.id, *row.typed)}


def finding_for(words: str) -> Finding | None:
    """The finding that people mean by ``words`` (its id or one of its typed words), or ``None``."""
    return _BY_WORDS.get(" ".join(words.split()).casefold())
