"""Posture and test manoeuvres: columns of blood, pressure in the belly, suction on the lower body.

In:       tilt, raised legs, muscle pump, suction, straining, air in the stomach.
Out:      what each store of veins, the carotid sinus and the lungs feel of them.
Assumes:  the body as a board that tilts about the heart (Heldt 2002, J Appl Physiol 92:1239); sitting is a tilt of 70
          degrees.  Leg veins stretch less the fuller they are, so that suction pools ever less blood per mmHg, and they
          give way slowly over minutes (stress relaxation, and fluid that leaves capillaries: together, our choice).
          Straining presses on chest and belly.
Left out: a leg and a trunk that bend, breathing as a pump of the belly, heat.
"""

from typing import Final

from drillyard.core.numerics.elementary import larger, sin
from drillyard.core.numerics.names import Mid, Param, State

MMHG_PER_CM_BLOOD: Final = 0.779
"""Column of blood, density 1.06 (reckoned)."""

NAMES: Final = (
    State("limb_creep_ml", 0.0, "mL", "volume that limb veins have given way by under a column or suction", "slow"),
    Param("limb_column_cm", 20.5, "cm", "effective height of limb veins under the heart, standing", "tuned to tilt"),
    Param("splanchnic_column_cm", 6.0, "cm", "effective height of splanchnic veins under the heart, standing",
          "tuned to tilt"),
    Param("limb_creep_ml_per_mmhg", 18.0, "mL/mmHg", "slow yield of limb veins, beside their quick 42 mL/mmHg",
          "cardiac output settles 4-6 min after tilt (Hainsworth 1988, seen); size our choice"),
    Param("limb_creep_time_s", 220.0, "s", "time constant of it", "as above"),
    Mid("upright_frac", "1", "1 standing, 0 lying, below 0 head down"),
    Mid("limb_column_mmhg", "mmHg", "pull on limb veins away from the heart: column and suction"),
    Mid("splanchnic_column_mmhg", "mmHg", "column of blood from splanchnic veins to the heart"),
    Mid("splanchnic_outside_mmhg", "mmHg", "pressure in the belly"),
    Mid("carotid_column_mmhg", "mmHg", "column of blood from heart to neck"),
    Mid("lung_column_mmhg", "mmHg", "column of blood from the heart to the upper half of the lungs"),
)  # fmt: skip


def columns(
    tilt_deg, legs_raised, muscle_pump_frac, lower_body_suction_mmhg, strain_mmhg, stomach_air_ml, limb_column_cm,
    splanchnic_column_cm, carotid_height_cm, frc_ml,
):  # fmt: skip
    """What posture and manoeuvres do to the stores of veins.

    A third of the suction acts on the limb store, half of whose blood lies outside the chamber; it pools 500 mL at
    15 mmHg and 800 mL at 30 mmHg of bleeding's effect (Cooke 2004, J Appl Physiol 96:1249, from memory).
    """
    up = sin(tilt_deg * 0.017453292519943295) if tilt_deg != 0.0 else 0.0
    upright_frac = up
    suction = 0.54 * lower_body_suction_mmhg / (1.0 + larger(lower_body_suction_mmhg, 0.0) / 90.0)
    # walking muscles lift most of the column out of leg veins
    column = limb_column_cm * up * (1.0 - 0.6 * muscle_pump_frac if up > 0.0 else 1.0)
    limb_column_mmhg = MMHG_PER_CM_BLOOD * (column - (9.0 if legs_raised > 0.5 else 0.0)) + suction
    splanchnic_column_mmhg = MMHG_PER_CM_BLOOD * splanchnic_column_cm * up + 0.15 * suction
    carotid_column_mmhg = MMHG_PER_CM_BLOOD * carotid_height_cm * up
    # upright, the upper half of the lungs lies some 8 cm over the heart
    lung_column_mmhg = MMHG_PER_CM_BLOOD * 8.0 * up
    # straining presses on the belly as well, and narrows the great vein where it passes the diaphragm: in all a little
    # less than on the chest (our choice)
    splanchnic_outside_mmhg = 7.5 * stomach_air_ml / frc_ml + 0.9 * strain_mmhg
    return (
        limb_column_mmhg, splanchnic_column_mmhg, carotid_column_mmhg, lung_column_mmhg, splanchnic_outside_mmhg,
        upright_frac,
    )  # fmt: skip


def creep(limb_creep_ml, limb_column_mmhg, limb_creep_ml_per_mmhg, limb_creep_time_s):
    """Limb veins give way over minutes, and take as long to come back."""
    target = limb_creep_ml_per_mmhg * limb_column_mmhg
    moved = limb_creep_ml + (target - limb_creep_ml) / limb_creep_time_s
    next_limb_creep_ml = moved if moved > 1e-9 or moved < -1e-9 else 0.0
    return next_limb_creep_ml


PARTS: Final = {"CALM": (columns,), "SLOW": (creep,)}
