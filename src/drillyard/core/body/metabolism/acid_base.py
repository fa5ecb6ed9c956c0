"""Standard base excess from all its sources: lactate, ketones, mineral acid and base, bicarbonate, kidneys.

In:       lactate, ketones, bicarbonate given, problems of acid and base, pH.
Out:      standard base excess of the fluid outside cells, which ``blood/pools.py`` turns into blood pH.
Assumes:  acids are counted as what they take from the base excess (Van Slyke form: Siggaard-Andersen 1977, Scand J
          Clin Lab Invest 37 Suppl 146:15).  Bicarbonate given spreads in (0.4 + 2.6/HCO3) L/kg (Fernandez 1989, Kidney
          Int 36:747) and brings its own carbon dioxide.  Kidneys move base towards a share of the lasting pH error with
          a time constant of about 30 h, in size that of the chronic rules (Narins and Emmett 1980, Medicine 59:161: 3.5
          mmol/L bicarbonate per 10 mmHg).  Breathing answers by itself (``nerves/breathing.py``).
Left out: albumin and phosphate, dilution by saline (chloride), volume and chloride that hold an alkalosis up.
"""

from typing import Final

from drillyard.core.body.blood.curves import CO2_SOLUBILITY, LN_10, PK
from drillyard.core.numerics.elementary import clamp, exp, larger
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("base_excess_mmol_per_l", 0.0, "mmol/L", "standard base excess", "slow"),
    State("mineral_base_mmol_per_l", 0.0, "mmol/L", "base from bicarbonate given, less mineral acid", "slow"),
    State("renal_base_mmol_per_l", 0.0, "mmol/L", "base that the kidneys have won, or let go", "slow"),
    Param("mass_kg", 70.0, "kg", "body mass", "the patient's own"),
    Param("base_rest_mmol_per_l", 0.0, "mmol/L", "base excess at rest", "0 (common textbook value); less in pregnancy"),
    Param("ph_rest", 7.402, "1", "arterial pH at rest", "7.35-7.45 (common textbook value)"),
    Param("renal_base_mmol_per_l_per_ph", 125.0, "mmol/L", "base that kidneys win in the end, per pH below rest",
          "3.5 mmol/L per 10 mmHg of lasting carbon dioxide (Narins and Emmett 1980)"),
    Param("renal_base_s", 300000.0, "s", "time constant of the kidneys alone, without what pH feeds back",
          "closed loop about 30 h (reference notes, from memory)"),
)  # fmt: skip


def bicarbonate_space_l_per_kg(bicarbonate_mmol_per_l):
    """Apparent space in which bicarbonate spreads (Fernandez 1989, Kidney Int 36:747)."""
    return 0.4 + 2.6 / larger(bicarbonate_mmol_per_l, 2.0)


def standard_base(
    lactate_mmol_per_l, ketones_mmol_per_l, mineral_base_mmol_per_l, renal_base_mmol_per_l,
    bicarbonate_given_mmol_per_s,
    base_load_mmol_per_l, renal_base_before_mmol_per_l, kidney_lost_frac, glomerular_frac, ph, paco2_mmhg,
    mass_kg, base_rest_mmol_per_l, ph_rest, renal_base_mmol_per_l_per_ph, renal_base_s, dt_slow_s,
):  # fmt: skip
    """Base excess over one second."""
    bicarbonate = CO2_SOLUBILITY * paco2_mmhg * exp(LN_10 * (ph - PK))
    given = bicarbonate_given_mmol_per_s / (bicarbonate_space_l_per_kg(bicarbonate) * mass_kg)
    size = base_load_mmol_per_l if base_load_mmol_per_l > 0.0 else -base_load_mmol_per_l
    loaded = base_load_mmol_per_l if size < 0.05 else base_load_mmol_per_l / 120.0 * dt_slow_s
    kidney = clamp(glomerular_frac, 0.0, 1.0) * (1.0 - clamp(kidney_lost_frac, 0.0, 1.0))
    next_base_load_mmol_per_l = base_load_mmol_per_l - loaded
    kept = 1.0 - kidney * dt_slow_s / 432000.0
    next_mineral_base_mmol_per_l = clamp(mineral_base_mmol_per_l * kept + given * dt_slow_s + loaded, -35.0, 40.0)
    wanted = renal_base_mmol_per_l_per_ph * (ph_rest - ph) - renal_base_before_mmol_per_l
    next_renal_base_mmol_per_l = clamp(
        renal_base_mmol_per_l + kidney * (wanted - renal_base_mmol_per_l) * (dt_slow_s / renal_base_s), -20.0, 25.0
    )
    next_base_excess_mmol_per_l = (
        1.0
        + base_rest_mmol_per_l
        - lactate_mmol_per_l
        - (ketones_mmol_per_l - 0.1)
        + next_mineral_base_mmol_per_l
        + next_renal_base_mmol_per_l
        + renal_base_before_mmol_per_l
    )
    return (
        next_base_load_mmol_per_l, next_mineral_base_mmol_per_l, next_renal_base_mmol_per_l,
        next_base_excess_mmol_per_l,
    )  # fmt: skip


def gap_reading(lactate_mmol_per_l, ketones_mmol_per_l):
    """Anion gap: 11 at rest, more by each mmol of lactate and ketones (textbook: 8-12 without potassium)."""
    anion_gap_mmol_per_l = 10.0 + lactate_mmol_per_l + ketones_mmol_per_l
    return anion_gap_mmol_per_l


PARTS: Final = {"SLOW": (standard_base,), "SHOW": (gap_reading,)}
