"""Temperature of the core and of hand and foot, once a second.

In:       oxygen use, skin blood flow, infusions.
Out:      core and skin temperature.
Assumes:  one core store (3.47 kJ/kg/K); heat made from oxygen (20.2 J/mL); loss that the patient's vessels hold equal
          to it at rest in a room of 24 degC, so that core temperature moves only when heat production falls, the
          patient is unconscious, or cold fluid is given.
Left out: shivering, clothing, wind, burns, warming devices.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("temperature_core_degc", 36.72, "degC", "core temperature", "slow"),
    State("temperature_skin_degc", 33.09, "degC", "skin temperature of hand and foot", "slow"),
    Param(
        "heat_store_j_per_k", 243000.0, "J/K", "heat needed to warm the body", "3.47 kJ/kg/K (Burton 1935, from memory)"
    ),
)


def temperatures(
    temperature_core_degc, temperature_skin_degc, oxygen_uptake_ml_per_s, oxygen_use_rest_ml_per_s, conscious_frac,
    skin_flow_frac, fluid_chill_w, burn_chill_w, heat_store_j_per_k,
):  # fmt: skip
    """Heat balance over one second."""
    made = 20.2 * oxygen_uptake_ml_per_s
    wanted = 20.2 * oxygen_use_rest_ml_per_s
    # an unconscious patient lets go of about a third of the heat saving (anaesthesia: about 1 degC in the first hour)
    lost = wanted * (1.0 + 0.6 * (1.0 - conscious_frac)) * clamp((temperature_core_degc - 24.0) / 13.0, 0.0, 2.0)
    d_temperature_core_degc_per_s = (made - lost - fluid_chill_w - burn_chill_w) / heat_store_j_per_k
    target = 24.0 + (temperature_core_degc - 24.0) * clamp(0.25 + 0.45 * skin_flow_frac, 0.1, 0.85)
    d_temperature_skin_degc_per_s = (target - temperature_skin_degc) / 240.0
    return d_temperature_core_degc_per_s, d_temperature_skin_degc_per_s


PARTS: Final = {"SLOW": (temperatures,)}
