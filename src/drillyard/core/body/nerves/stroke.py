"""What a stroke shows: scripted by its problem, not computed.

In:       side, territory and severity of the problem ``stroke`` (controls), consciousness, force left by relaxants.
Out:      weakness of face, arm and leg by side, speech, gaze.
Assumes:  front and middle of a half (middle cerebral artery): face and arm of the other side most, leg less, gaze to
          the side of the lesion, loss of words with the left half, slurring with the right.  Back of the brain and
          stem: slurring and unsteadiness on the side of the lesion, face and arm less (common teaching, no source).
Left out: everything else: no blood flow of a region, no core and rim, no swelling, no recovery by a thrombolytic.  The
          findings stay as the problem sets them.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Name

NAMES: Final[tuple[Name, ...]] = ()


def stroke_findings(
    stroke_side_code, stroke_territory_code, stroke_severity_frac, conscious_frac, limb_power_frac,
):  # fmt: skip
    """Findings by side, as an examiner would see them; nothing can be told apart in a patient who sleeps."""
    front = 1.0 if stroke_territory_code < 0.5 else 0.0
    shown = clamp(stroke_severity_frac, 0.0, 1.0) * clamp(2.0 * conscious_frac, 0.0, 1.0) * limb_power_frac
    left_half = shown if stroke_side_code < -0.5 else 0.0
    right_half = shown if stroke_side_code > 0.5 else 0.0
    face_weak_left_frac = front * right_half + (1.0 - front) * 0.4 * left_half
    face_weak_right_frac = front * left_half + (1.0 - front) * 0.4 * right_half
    arm_weak_left_frac = (0.5 + 0.5 * front) * right_half
    arm_weak_right_frac = (0.5 + 0.5 * front) * left_half
    leg_weak_left_frac = 0.6 * right_half
    leg_weak_right_frac = 0.6 * left_half
    words_lost_frac = front * left_half
    speech_slurred_frac = larger((1.0 - front) * (left_half + right_half), 0.7 * front * (left_half + right_half))
    gaze_turned_frac = front * (right_half - left_half)
    return (
        face_weak_left_frac, face_weak_right_frac, arm_weak_left_frac, arm_weak_right_frac, leg_weak_left_frac,
        leg_weak_right_frac, words_lost_frac, speech_slurred_frac, gaze_turned_frac,
    )  # fmt: skip


PARTS: Final = {"SHOW": (stroke_findings,)}
