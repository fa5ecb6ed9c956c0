"""Burns: leak by area and time, fluid that weeps and dries off the wound, heat that goes with it; once a second.

In:       burnt share of the body surface and depth of the problem, time since.
Out:      leak of capillaries, fluid lost from the wound, heat lost, red cells destroyed, pain.
Assumes:  capillaries of the whole body leak from about a quarter of the surface on (textbook); the leak is greatest in
          the first hours and closes over one to two days.  Wounds weep and dry off at (25 + share burnt in %) x m2
          mL/h (evaporation rule of surgical textbooks, from memory), half of it in the first hours as exudate from
          tissue; each millilitre that dries takes 2.4 kJ along.  Full-thickness burns hurt less than they are wide.
Left out: inhalation injury (see carbon monoxide and swelling of the airway), compartments and escharotomy, infection,
          the metabolic rise of the days after.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("burn_age_s", 0.0, "s", "time since the burn", "slow", 0.0),
    State("burn_leak_frac", 0.0, "1", "leak of capillaries by a burn", "slow", 0.0),
    State("burn_weeping_ml_per_s", 0.0, "mL/s", "fluid that a burn loses", "slow", 0.0),
    State("burn_lost_ml", 0.0, "mL", "fluid lost through burns since the start", "slow", 0.0),
    Param("body_surface_m2", 1.848, "m2", "body surface", "Du Bois 1916, Arch Intern Med 17:863"),
    Mid("burn_chill_w", "W", "heat that a burn loses over that of whole skin"),
    Mid("burn_pain_frac", "1", "pain of a burn, 0 none, 1 the worst"),
)


def burn(
    burn_age_s, burn_leak_frac, burn_weeping_ml_per_s, burn_lost_ml, burnt_surface_frac,
    body_surface_m2, dt_slow_s,
):  # fmt: skip
    """Leak and weeping over one second."""
    area = clamp(burnt_surface_frac, 0.0, 1.0)
    burnt = 1.0 if area > 0.0 else 0.0
    next_burn_lost_ml = burn_lost_ml + burn_weeping_ml_per_s * dt_slow_s
    next_burn_age_s = burnt * (burn_age_s + dt_slow_s)
    # rises within an hour, closes with a time constant of twelve
    course = (1.0 - exp(-next_burn_age_s / 1800.0)) * exp(-next_burn_age_s / 43200.0) if burnt > 0.5 else 0.0
    # oedema of the wound itself from the smallest area on, of the whole body from a quarter of the surface on
    wanted = course * (0.45 * area + 0.35 * clamp((area - 0.2) / 0.3, 0.0, 1.0))
    next_burn_leak_frac = faded(burn_leak_frac + (wanted - burn_leak_frac) * (dt_slow_s / 60.0))
    next_burn_weeping_ml_per_s = burnt * (25.0 + 100.0 * area) * body_surface_m2 / 3600.0 * clamp(10.0 * area, 0.0, 1.0)
    return next_burn_age_s, next_burn_leak_frac, next_burn_weeping_ml_per_s, next_burn_lost_ml


def burn_felt(burn_weeping_ml_per_s, burnt_surface_frac, burn_depth_frac):
    """Heat that dries away, and pain."""
    burn_chill_w = 0.5 * 2400.0 * burn_weeping_ml_per_s
    wide = clamp(4.0 * burnt_surface_frac, 0.0, 1.0)
    burn_pain_frac = wide * (1.0 - 0.6 * clamp(burn_depth_frac, 0.0, 1.0))
    return burn_chill_w, burn_pain_frac


PARTS: Final = {"CALM": (burn_felt,), "SLOW": (burn,)}
