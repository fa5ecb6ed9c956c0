"""Four chambers in one pericardium.

In:       chamber volumes, phase of the beat, strength of the ventricles, chest pressure, fluid in the pericardium,
          squeeze of chest compressions.
Out:      pressures of the chambers and of the pericardium.
Assumes:  ventricles as time-varying elastances (Suga and Sagawa 1974, Circ Res 35:117) on a passive curve of one
          shape for all hearts (Klotz 2006, Am J Physiol Heart Circ Physiol 291:H403); atria as linear chambers with a
          kick; the four chambers share one stiffening pericardium, which is how one side feels the other.
Left out: septum as a wall of its own in systole, atrial arrhythmia, aortic and mitral lesions (out of scope).
"""

from typing import Final

from drillyard.core.numerics.elementary import larger
from drillyard.core.numerics.names import Mid, Param, State

_TUNED = "tuned so that the reference adult rests at published volumes and pressures (docs/body/heart.md)"
_MRI = "volumes at rest: Maceira 2006, J Cardiovasc Magn Reson 8:417 (seen in abstract)"

NAMES: Final = (
    State("left_atrium_ml", 57.7, "mL", "volume of the left atrium", "fast", 0.0),
    State("left_ventricle_ml", 127.8, "mL", "volume of the left ventricle", "fast", 0.0),
    State("right_atrium_ml", 78.79, "mL", "volume of the right atrium", "fast", 0.0),
    State("right_ventricle_ml", 137.1, "mL", "volume of the right ventricle", "fast", 0.0),
    Param("lv_unstressed_ml", 12.0, "mL", "left ventricular volume at which no pressure can be made", _TUNED),
    Param("lv_slack_ml", 60.0, "mL", "left ventricular volume at zero passive pressure", _TUNED + "; " + _MRI),
    Param("lv_stretch_per_ml", 0.0082, "/mL", "inverse of the further left ventricular volume that takes 30 mmHg",
          "Klotz 2006, scaled"),
    Param("rv_unstressed_ml", 28.0, "mL", "right ventricular volume at which no pressure can be made", _TUNED),
    Param("rv_slack_ml", 25.0, "mL", "right ventricular volume at zero passive pressure", _TUNED + "; " + _MRI),
    Param("rv_stretch_per_ml", 0.0046, "/mL", "inverse of the further right ventricular volume that takes 30 mmHg",
          _TUNED),
    Param("la_unstressed_ml", 20.0, "mL", "left atrial volume at zero pressure", _TUNED),
    Param("la_elastance_mmhg_per_ml", 0.15, "mmHg/mL", "stiffness of the resting left atrium", _TUNED),
    Param("la_kick_mmhg_per_ml", 0.16, "mmHg/mL", "stiffness added by left atrial contraction", _TUNED),
    Param("ra_unstressed_ml", 20.0, "mL", "right atrial volume at zero pressure", _TUNED),
    Param("ra_elastance_mmhg_per_ml", 0.08, "mmHg/mL", "stiffness of the resting right atrium", _TUNED),
    Param("ra_kick_mmhg_per_ml", 0.10, "mmHg/mL", "stiffness added by right atrial contraction", _TUNED),
    Param("pericardium_free_ml", 404.0, "mL", "content that the pericardium holds without pressure", _TUNED),
    Param("pericardium_scale_per_ml", 0.036, "/mL", "inverse of the content over the free one that takes 8 mmHg",
          "shape after Freeman and LeWinter 1984, Circ Res 54:294 (steep beyond a reserve; numbers tuned)"),
    Param("septum_shift_frac", 0.25, "1", "room that each mL more in the right ventricle takes from the left one",
          "order of the diastolic interaction of Maughan 1987, Circ Res 61:554 (from memory)"),
    Param("septum_rest_ml", 150.0, "mL", "right ventricular volume at which the septum lies where the curve was tuned",
          _TUNED),
    Mid("left_atrium_mmhg", "mmHg", "pressure in the left atrium"),
    Mid("left_ventricle_mmhg", "mmHg", "pressure in the left ventricle"),
    Mid("left_ventricle_active_mmhg", "mmHg", "part of it made by contraction"),
    Mid("right_atrium_mmhg", "mmHg", "pressure in the right atrium"),
    Mid("right_ventricle_mmhg", "mmHg", "pressure in the right ventricle"),
    Mid("pericardium_mmhg", "mmHg", "pressure of the pericardium over that of the chest"),
)  # fmt: skip


def passive_mmhg(volume_ml, slack_ml, stretch_per_ml):
    """Passive pressure of a ventricle.

    Klotz 2006: 27.78 v**2.76 over the slack volume; here 27.78 (0.24 v**2 + 0.76 v**3), within 0.3 mmHg of it for v
    up to 1, so that no power has to be computed.  Below the slack volume a weak recoil (0.02 mmHg/mL, from memory).
    """
    v = (volume_ml - slack_ml) * stretch_per_ml
    return 27.78 * v * v * (0.24 + 0.76 * v) if v > 0.0 else 0.02 * (volume_ml - slack_ml)


def twitch_frac(position):
    """Contraction over one systole, 0 to 1 and back; ``position`` 0 at its start, 1 at its end.

    16 s**2 (1 - s)**2 has the ends, peak and half-width (within 6 %) of the sine-squared of Ursino 1998 (Am J Physiol
    275:H1733) at a fraction of its cost.
    """
    half = position * (1.0 - position)
    return 16.0 * half * half if position > 0.0 and position < 1.0 else 0.0


def chamber_pressures(
    left_atrium_ml, left_ventricle_ml, right_atrium_ml, right_ventricle_ml, heart_phase_frac,
    systole_per_frac, atrial_start_frac, atrial_per_frac, lv_elastance_mmhg_per_ml, rv_elastance_mmhg_per_ml,
    left_gives_way_frac, right_gives_way_frac, atrial_strength_frac, chest_pressure_mmhg, chest_squeeze_mmhg,
    heart_squeeze_mmhg, pericardial_fluid_ml,
    lv_unstressed_ml, lv_slack_ml, lv_stretch_per_ml, rv_unstressed_ml, rv_slack_ml, rv_stretch_per_ml,
    la_unstressed_ml,
    la_elastance_mmhg_per_ml, la_kick_mmhg_per_ml, ra_unstressed_ml, ra_elastance_mmhg_per_ml, ra_kick_mmhg_per_ml,
    pericardium_free_ml, pericardium_scale_per_ml, septum_shift_frac, septum_rest_ml,
):  # fmt: skip
    """Pressures of the four chambers against the room."""
    twitch = twitch_frac(heart_phase_frac * systole_per_frac)
    kick = atrial_strength_frac * twitch_frac((heart_phase_frac - atrial_start_frac) * atrial_per_frac)
    content = left_atrium_ml + left_ventricle_ml + right_atrium_ml + right_ventricle_ml + pericardial_fluid_ml
    over = larger(content - pericardium_free_ml, 0.0) * pericardium_scale_per_ml
    pericardium_mmhg = 4.0 * over * over * (1.0 + over) if over < 2.0 else 48.0 + 64.0 * (over - 2.0)
    outside = pericardium_mmhg + chest_pressure_mmhg + chest_squeeze_mmhg
    left_ventricle_active_mmhg = twitch * lv_elastance_mmhg_per_ml * larger(left_ventricle_ml - lv_unstressed_ml, 0.0)
    # a full right ventricle bends the septum and takes room from the left one
    left_with_septum_ml = left_ventricle_ml + septum_shift_frac * (right_ventricle_ml - septum_rest_ml)
    left_ventricle_mmhg = (
        left_ventricle_active_mmhg
        + (1.0 - twitch * left_gives_way_frac) * passive_mmhg(left_with_septum_ml, lv_slack_ml, lv_stretch_per_ml)
        + outside
        + heart_squeeze_mmhg
    )
    right_ventricle_mmhg = (
        twitch * rv_elastance_mmhg_per_ml * larger(right_ventricle_ml - rv_unstressed_ml, 0.0)
        + (1.0 - twitch * right_gives_way_frac) * passive_mmhg(right_ventricle_ml, rv_slack_ml, rv_stretch_per_ml)
        + outside
        + heart_squeeze_mmhg
    )
    left_atrium_mmhg = (la_elastance_mmhg_per_ml + kick * la_kick_mmhg_per_ml) * (
        left_atrium_ml - la_unstressed_ml
    ) + outside
    right_atrium_mmhg = (ra_elastance_mmhg_per_ml + kick * ra_kick_mmhg_per_ml) * (
        right_atrium_ml - ra_unstressed_ml
    ) + outside
    return (
        left_atrium_mmhg, left_ventricle_mmhg, left_ventricle_active_mmhg, right_atrium_mmhg, right_ventricle_mmhg,
        pericardium_mmhg,
    )  # fmt: skip


PARTS: Final = {"FAST": (chamber_pressures,)}
