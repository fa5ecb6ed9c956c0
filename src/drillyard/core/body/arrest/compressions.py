"""Chest compressions as pressure on heart and chest.

In:       rate, depth and recoil (controls).
Out:      pressure pulses on the ventricles and on everything in the chest.
Assumes:  heart pump and chest pump act together (Babbs 1999, Resuscitation 41:?-type model, from memory); force grows
          with depth above a fifth of the full one; half of each cycle is compression; what does not recoil stays as
          chest pressure.
Left out: rib fractures, fatigue, mechanical devices with another wave.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger, smaller
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("compression_phase_frac", 0.0, "1", "place in the compression cycle", "mid", 0.0),
    State("compression_count", 0.0, "1", "compressions since the start", "mid", 0.0),
    State("chest_squeeze_mmhg", 0.0, "mmHg", "pressure of compressions on all that lies in the chest"),
    State("heart_squeeze_mmhg", 0.0, "mmHg", "further pressure of compressions on the ventricles"),
    Param("compression_full_depth_cm", 5.0, "cm", "depth of full compressions, a third of the chest",
          "at least 5 cm in adults (guidelines since 2010)"),
    Param("heart_pump_mmhg", 18.0, "mmHg", "pressure on the ventricles at full depth",
          "tuned to systolic 50-90 mmHg and a quarter of output"),
    Param("chest_pump_mmhg", 30.0, "mmHg", "pressure on the chest at full depth", "as above"),
)  # fmt: skip


def compressions(
    compression_phase_frac, compression_count, compression_rate_per_min, compression_depth_cm, compression_recoil_frac,
    compression_full_depth_cm, strain_mmhg, heart_pump_mmhg, chest_pump_mmhg, dt_mid_s,
):  # fmt: skip
    """Pulses of the next step."""
    rate = compression_rate_per_min / 60.0
    phase = compression_phase_frac + rate * dt_mid_s
    next_compression_phase_frac = 0.0
    next_compression_count = compression_count
    # straining against a shut glottis squeezes the chest without moving air
    next_chest_squeeze_mmhg = strain_mmhg
    next_heart_squeeze_mmhg = 0.0
    if rate > 0.0:
        next_compression_phase_frac = phase
        if phase >= 1.0:
            next_compression_phase_frac = phase - 1.0
            next_compression_count = compression_count + 1.0
        force = clamp((compression_depth_cm / compression_full_depth_cm - 0.2) / 0.8, 0.0, 1.8)
        position = 2.0 * next_compression_phase_frac
        bump = 16.0 * position * position * (1.0 - position) * (1.0 - position) if position < 1.0 else 0.0
        # what does not recoil keeps chest and ventricles from filling and takes from the stroke
        leaning = larger(1.0 - compression_recoil_frac, 0.0)
        chest = force * chest_pump_mmhg
        heart = force * heart_pump_mmhg
        next_chest_squeeze_mmhg = strain_mmhg + chest * bump + leaning * smaller(10.0, chest) * (1.0 - bump)
        next_heart_squeeze_mmhg = heart * bump + leaning * smaller(8.0, heart) * (1.0 - bump)
    return next_compression_phase_frac, next_compression_count, next_chest_squeeze_mmhg, next_heart_squeeze_mmhg


PARTS: Final = {"MID": (compressions,)}
