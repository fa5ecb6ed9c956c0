"""The organs and the order of their parts.  Nothing else decides what the body is made of."""

from functools import lru_cache
from types import ModuleType
from typing import Final

from drillyard.core.body import drugs
from drillyard.core.body.arrest import compressions, heart_oxygen, rhythm
from drillyard.core.body.blood import pools
from drillyard.core.body.controls import CONTROLS
from drillyard.core.body.couple import demand, holds, outcomes, posture
from drillyard.core.body.couple import heart as heart_effectors
from drillyard.core.body.couple import lungs as lung_effectors
from drillyard.core.body.couple import vessels as vessel_effectors
from drillyard.core.body.heart import chambers, timing
from drillyard.core.body.kidney_fluids import burns, capillaries, clotting, infusions, kidney, mediators, volumes
from drillyard.core.body.lungs import (
    abnormal_haemoglobin,
    airway,
    exchange,
    lower_airways,
    mechanics,
    pleura,
    solid,
    ventilator,
)
from drillyard.core.body.metabolism import acid_base, electrolytes, glucose, oxygen_use, sepsis, temperature
from drillyard.core.body.nerves import brain, breathing, pain, reflexes, sedation, seizure, skull, stroke
from drillyard.core.body.surface import breath_readings, findings, readings, sensors, skin_signs
from drillyard.core.body.vessels import beds, circulation, emboli
from drillyard.core.numerics.assembler import Model
from drillyard.core.numerics.names import Name, Param, State
from drillyard.core.quantities.signals import SIGNALS

ORGANS: Final[tuple[ModuleType, ...]] = (
    volumes, infusions, capillaries, kidney, clotting, mediators, burns,
    drugs, brain, sedation, seizure, skull, pain, airway, heart_effectors, vessel_effectors, lung_effectors,
    posture, demand, holds, outcomes, beds, emboli, chambers,
    circulation, timing, breathing, lower_airways, solid, ventilator, mechanics, pleura, abnormal_haemoglobin, exchange,
    breath_readings, oxygen_use, sepsis, glucose, electrolytes, acid_base, pools, reflexes, heart_oxygen, rhythm,
    compressions, sensors, temperature, readings,
    findings, skin_signs, stroke,
)  # fmt: skip
"""In the order in which their parts run within each block."""

WAVES: Final[tuple[str, ...]] = (
    "arterial_pressure_mmhg", "pleth_wave_frac", "airway_co2_mmhg", "airway_flow_ml_per_s", "heart_phase_frac",
    "beat_count", "beat_step",
)  # fmt: skip
"""Written every 10 ms."""

OWN: Final[tuple[Name, ...]] = (
    State("step_count", 0.0, "1", "steps of 10 ms since the body was made"),
    Param("seed", 1.0, "1", "seed of all chance in this patient", "chosen per run"),
    *(State(name, start, unit, meaning) for name, start, unit, meaning in CONTROLS),
)

ALL_NAMES: Final[tuple[Name, ...]] = (*OWN, *(name for organ in ORGANS for name in organ.NAMES))
"""Every state, parameter and intermediate of the body."""


@lru_cache(maxsize=1)
def body_model() -> Model:
    """The checked model of the whole body."""
    return Model(ORGANS, tuple(SIGNALS), WAVES, OWN)
