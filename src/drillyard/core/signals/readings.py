"""From body outputs to what an examiner would see, hear, feel or read: a level and words.

Each function takes the body's outputs by signal name and returns a ``Reading``.  The words are bands over the level;
the edges of the bands are ours (invented for teaching, no source) and stand in the tables below, in one place.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from drillyard.core.quantities.signals import RHYTHMS

Outputs = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Reading:
    """``level`` on the finding's own scale (``None`` where there is no number), and the words said aloud."""

    level: float | None
    words: str


Read = Callable[[Outputs], Reading]
Bands = tuple[tuple[float, str], ...]
"""Upper edges, rising, each with the words below it; the last edge is infinity."""

_INF = float("inf")
PULSE: Bands = ((0.05, "absent"), (0.35, "thready"), (0.65, "weak"), (_INF, "full"))
SOUND: Bands = ((0.08, "absent"), (0.4, "much reduced"), (0.75, "reduced"), (_INF, "normal"))
RISE: Bands = ((0.05, "none"), (0.5, "small"), (1.4, "normal"), (_INF, "large"))
WORK: Bands = ((0.15, "quiet"), (0.4, "some effort"), (0.75, "laboured"), (_INF, "extreme effort"))
LINE: Bands = (
    (0.5, "dry and flat, runs"), (1.5, "runs no more, tube kinked"), (2.5, "runs no more, will not flush"),
    (3.5, "swollen, cool and tight around the cannula"), (_INF, "out of the vein, wet dressing"),
)  # fmt: skip
WHEALS: Bands = ((0.05, "none"), (0.4, "a few wheals"), (_INF, "wheals all over"))
FLUSH: Bands = ((0.1, "none"), (0.5, "face and neck red"), (_INF, "red all over"))
SWEAT: Bands = ((0.2, "dry"), (0.6, "damp"), (_INF, "wet"))
PALLOR: Bands = ((0.25, ""), (0.6, "pale"), (_INF, "very pale"))
CYANOSIS: Bands = ((0.2, ""), (0.6, "bluish"), (_INF, "blue"))
TOUCH_DEGC: Bands = ((24.0, "cold"), (29.0, "cool"), (36.5, "warm"), (_INF, "hot"))
VEINS: Bands = ((0.2, "flat"), (0.65, "normal"), (0.85, "full"), (_INF, "distended"))
SHIFT: Bands = ((0.15, "in the middle"), (0.5, "slightly to the"), (_INF, "far to the"))
SNORE: Bands = ((0.15, "clear"), (0.5, "soft snoring"), (_INF, "loud snoring"))
PLEURAL_AIR_ML: Bands = ((150.0, "resonant"), (600.0, "slightly too hollow"), (_INF, "hollow, drum-like"))
PLEURAL_BLOOD_ML: Bands = ((300.0, ""), (800.0, "dull at the base"), (_INF, "dull, flat"))
WHEEZE: Bands = ((0.1, ""), (0.5, "some wheeze"), (_INF, "loud wheeze"))
CRACKLES: Bands = ((0.12, ""), (0.5, "crackles at the base"), (_INF, "crackles throughout"))
STRIDOR: Bands = ((0.1, ""), (0.5, "stridor"), (_INF, "loud stridor"))
GURGLE: Bands = ((0.1, ""), (_INF, "gurgling"))
FLAIL: Bands = ((0.15, ""), (_INF, "part of it moves inwards with each breath"))
BLEED_ML_PER_MIN: Bands = ((2.0, "none seen"), (30.0, "oozing"), (120.0, "steady flow"), (_INF, "pouring"))
MOTTLED: Bands = ((0.15, ""), (0.5, "mottled at the knees"), (_INF, "mottled over the thighs"))
REDNESS: Bands = ((0.25, ""), (_INF, "flushed"))
SWOLLEN: Bands = ((0.1, "none"), (0.4, "lips swollen"), (0.75, "face and lips swollen"), (_INF, "eyes swollen shut"))
FITTING: Bands = ((0.05, "none"), (0.5, "some jerking"), (_INF, "jerking all over"))
TONE: Bands = ((0.15, "limp"), (0.7, "normal"), (_INF, "stiff"))
CALM: Bands = ((0.2, "calm"), (0.5, "restless"), (_INF, "fighting"))
SICK: Bands = ((0.2, "none"), (0.5, "feels sick"), (_INF, "retching"))
LIGHT: Bands = ((0.15, "fixed"), (0.6, "sluggish"), (_INF, "brisk"))
SPEECH = {1: "none", 2: "sounds only", 3: "single words, no sense", 4: "confused", 5: "clear, oriented"}


def banded(level: float, bands: Bands) -> str:
    """The words of the band in which ``level`` lies."""
    return next(words for edge, words in bands if level < edge or edge == _INF)


def banded_signal(signal: str, bands: Bands) -> Read:
    """A finding that is one signal put into words."""
    return lambda outputs: Reading(outputs[signal], banded(outputs[signal], bands))


def number(signal: str, text: str, none_below: float = -_INF, none_words: str = "") -> Read:
    """A finding that is one number; ``text`` formats it, below ``none_below`` it reads ``none_words``."""

    def read(outputs: Outputs) -> Reading:
        value = outputs[signal]
        return Reading(value, none_words if value < none_below else text.format(value))

    return read


def pulse_at(site: str) -> Read:
    def read(outputs: Outputs) -> Reading:
        strength = outputs[f"pulse_{site}_frac"]
        words = banded(strength, PULSE)
        rate = outputs["pulse_rate_per_min"]
        return Reading(strength, words if words == "absent" else f"{words}, {rate:.0f}/min")

    return read


def skin_colour(outputs: Outputs) -> Reading:
    pallor, cyanosis = outputs["skin_pallor_frac"], outputs["skin_cyanosis_frac"]
    words = [banded(pallor, PALLOR), banded(cyanosis, CYANOSIS), banded(outputs["skin_redness_frac"], REDNESS)]
    words.append(banded(outputs["skin_mottling_frac"], MOTTLED))
    return Reading(max(pallor, cyanosis), " and ".join(word for word in words if word) or "normal")


def lip_colour(outputs: Outputs) -> Reading:
    cyanosis = outputs["skin_cyanosis_central_frac"]
    return Reading(cyanosis, banded(cyanosis, CYANOSIS) or "pink")


def finger_colour(outputs: Outputs) -> Reading:
    cyanosis = outputs["skin_cyanosis_peripheral_frac"]
    return Reading(cyanosis, banded(cyanosis, CYANOSIS) or "pink")


def skin_feel(outputs: Outputs) -> Reading:
    """What a hand on the skin tells at once: pale, cold, wet."""
    parts = [banded(outputs["skin_pallor_frac"], PALLOR), banded(outputs["skin_cyanosis_frac"], CYANOSIS)]
    parts += [banded(outputs["temperature_skin_degc"], TOUCH_DEGC), banded(outputs["skin_sweat_frac"], SWEAT)]
    return Reading(None, ", ".join(part for part in parts if part))


def _joined(*words: str) -> str:
    return ", ".join(word for word in words if word)


def lung_sound(side: str) -> Read:
    """Loudness of the breath sound, with what is heard in it; a lung that moves no air makes none of it."""

    def read(outputs: Outputs) -> Reading:
        loud = outputs[f"breath_sound_{side}_frac"]
        if loud < SOUND[0][0]:
            return Reading(loud, SOUND[0][1])
        wheeze = banded(outputs["wheeze_frac"], WHEEZE)
        return Reading(loud, _joined(banded(loud, SOUND), wheeze, banded(outputs[f"crackles_{side}_frac"], CRACKLES)))

    return read


def chest_rise(side: str) -> Read:
    def read(outputs: Outputs) -> Reading:
        rise = outputs[f"chest_rise_{side}_frac"]
        return Reading(rise, _joined(banded(rise, RISE), banded(outputs[f"flail_moves_{side}_frac"], FLAIL)))

    return read


def percussion(side: str) -> Read:
    """Air rings, blood is dull; the level is the air."""

    def read(outputs: Outputs) -> Reading:
        air, blood = outputs[f"pleural_air_{side}_ml"], banded(outputs[f"pleural_blood_{side}_ml"], PLEURAL_BLOOD_ML)
        rings = banded(air, PLEURAL_AIR_ML)
        if blood and rings == PLEURAL_AIR_ML[0][1]:
            return Reading(air, blood)
        return Reading(air, _joined(rings, blood))

    return read


def windpipe(outputs: Outputs) -> Reading:
    shift = outputs["trachea_shift_frac"]
    words = banded(abs(shift), SHIFT)
    side = "right" if shift > 0.0 else "left"
    return Reading(shift, words if words == SHIFT[0][1] else f"{words} {side}")


def breathing(outputs: Outputs) -> Reading:
    rate, tidal = outputs["spontaneous_rate_per_min"], outputs["tidal_volume_ml"]
    if outputs["is_breathing"] < 0.5 or rate < 0.5:
        return Reading(0.0, "no breathing")
    depth = "shallow" if tidal < 250.0 else "deep" if tidal > 900.0 else "normal depth"
    return Reading(rate, f"{rate:.0f}/min, {depth}")


def airway_noise(outputs: Outputs) -> Reading:
    if outputs["is_breathing"] < 0.5:
        return Reading(0.0, "silent, no air moves by itself")
    noise = outputs["snoring_frac"]
    stridor, gurgle = outputs["stridor_frac"], outputs["gurgling_frac"]
    words = _joined(banded(stridor, STRIDOR), banded(gurgle, GURGLE))
    if words and noise < SNORE[0][0]:
        return Reading(max(stridor, gurgle), words)
    return Reading(max(noise, stridor, gurgle), _joined(banded(noise, SNORE), words))


def mind(outputs: Outputs) -> Reading:
    """Coma scale with its parts, and the four-step word that goes with them."""
    eye, verbal, motor = (round(outputs[f"gcs_{part}"]) for part in ("eye", "verbal", "motor"))
    if eye == 4:
        word = "alert" if verbal == 5 else "awake, confused" if verbal == 4 else "awake, not making sense"
    elif eye == 3:
        word = "responds to voice"
    elif eye == 2 or motor > 1 or verbal > 1:
        word = "responds to pain only"
    else:
        word = "unresponsive"
    return Reading(float(eye + verbal + motor), f"{word}, E{eye} V{verbal} M{motor}")


def speech(outputs: Outputs) -> Reading:
    verbal = round(outputs["gcs_verbal"])
    words = SPEECH.get(verbal, "none")
    if verbal >= 3 and outputs["words_lost_frac"] > 0.3:
        words = "words lost or wrong"
    elif verbal >= 3 and outputs["speech_slurred_frac"] > 0.3:
        words += ", slurred"
    if verbal >= 4 and outputs["work_of_breathing_frac"] >= 0.75:
        words += ", a word at a time for want of breath"
    return Reading(float(verbal), words)


def pupils(outputs: Outputs) -> Reading:
    left, right = outputs["pupil_left_mm"], outputs["pupil_right_mm"]
    light = [banded(outputs[f"pupil_{side}_reaction_frac"], LIGHT) for side in ("left", "right")]
    if abs(left - right) >= 1.0:
        words = f"unequal, left {left:.0f} mm {light[0]}, right {right:.0f} mm {light[1]}"
        return Reading((left + right) / 2.0, words)
    mean = (left + right) / 2.0
    word = "pinpoint" if mean < 2.0 else "small" if mean < 3.0 else "wide" if mean >= 6.0 else "normal"
    answer = light[0] if light[0] == light[1] else f"left {light[0]}, right {light[1]}"
    return Reading(mean, f"{word}, equal, {mean:.0f} mm, {answer}")


def pain(outputs: Outputs) -> Reading:
    """What the patient says of pain, 0 to 10."""
    if outputs["gcs_verbal"] < 4.0:
        return Reading(None, "cannot say")
    score = outputs["pain_score"]
    return Reading(score, "none" if score < 0.5 else f"{score:.0f} of 10")


def fit(outputs: Outputs) -> Reading:
    jerks = outputs["convulsion_frac"]
    words = banded(jerks, FITTING)
    if jerks < 0.05 and 0.05 < outputs["seizure_frac"] < 0.4:
        words = "jerking of one side, awake"
    if outputs["tongue_bitten"] > 0.5:
        words += ", tongue bitten"
    return Reading(jerks, words)


def face(outputs: Outputs) -> Reading:
    left, right = outputs["face_weak_left_frac"], outputs["face_weak_right_frac"]
    words = [f"{side} side droops" for side, level in (("left", left), ("right", right)) if level > 0.2]
    turned = outputs["gaze_turned_frac"]
    if abs(turned) > 0.3:
        words.append(f"eyes turned to the {'right' if turned > 0.0 else 'left'}")
    return Reading(max(left, right), ", ".join(words) or "even")


def limbs(outputs: Outputs) -> Reading:
    words, most = [], 0.0
    for side in ("left", "right"):
        for limb in ("arm", "leg"):
            weak = outputs[f"{limb}_weak_{side}_frac"]
            most = max(most, weak)
            if weak > 0.2:
                words.append(f"{side} {limb} {'still' if weak > 0.85 else 'drifts' if weak < 0.6 else 'weak'}")
    return Reading(most, ", ".join(words) or "equal on both sides")


def vomit(outputs: Outputs) -> Reading:
    times = outputs["vomited"]
    words = banded(outputs["nausea_frac"], SICK)
    return Reading(
        times, f"vomited {times:.0f} times, nausea: {words}" if times > 0.5 else f"no vomiting, nausea: {words}"
    )


def pressure(outputs: Outputs) -> Reading:
    systolic, diastolic = outputs["systolic_pressure_mmhg"], outputs["diastolic_pressure_mmhg"]
    if outputs["has_pulse"] < 0.5 or systolic < 30.0:
        return Reading(0.0, "no reading")
    return Reading(systolic, f"{systolic:.0f}/{diastolic:.0f} mmHg")


def rhythm(outputs: Outputs) -> Reading:
    code = round(outputs["rhythm_code"])
    words = RHYTHMS.get(code, "unknown rhythm")
    if code == 0:
        rate = outputs["heart_rate_per_min"]
        words = "sinus tachycardia" if rate > 100.0 else "sinus bradycardia" if rate < 60.0 else "sinus rhythm"
        words += f", {rate:.0f}/min"
    return Reading(float(code), words)


def saturation(outputs: Outputs) -> Reading:
    value = outputs["spo2_pct"]
    return Reading(value, "no signal" if value < 1.0 else f"{value:.0f} %")


def blood_lost(outputs: Outputs) -> Reading:
    lost = outputs["blood_lost_ml"]
    return Reading(lost, "none" if lost < 25.0 else f"about {round(lost / 50.0) * 50:.0f} mL")


def blood_gas(outputs: Outputs) -> Reading:
    values = (outputs["ph"], outputs["paco2_mmhg"], outputs["pao2_mmhg"], outputs["base_excess_mmol_per_l"])
    text = "pH {:.2f}, PaCO2 {:.0f} mmHg, PaO2 {:.0f} mmHg, base excess {:+.0f} mmol/L".format(*values)
    return Reading(outputs["ph"], text)


def nothing(outputs: Outputs) -> Reading:
    """The body says nothing about this finding."""
    del outputs
    return Reading(None, "")
