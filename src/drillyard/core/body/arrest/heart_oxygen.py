"""The heart's own oxygen: supply, demand, energy left.

In:       aortic and right atrial pressure, oxygen content, work of the heart, rhythm, acidity.
Out:      energy (1 full, 0 none), from it strength and automaticity of the heart.
Assumes:  vessels of the heart can widen about fourfold (flow reserve, common textbook value) and feed it from aortic
          minus right atrial pressure; a heart with less oxygen than it needs runs down within a minute or two, and
          comes back within one or two once it has more.
Left out: regions of the heart, narrowed vessels, infarction.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, larger
from drillyard.core.numerics.names import Param, State

NAMES: Final = (
    State("coronary_perfusion_pressure_mmhg", 92.24, "mmHg", "aortic minus right atrial pressure in relaxation"),
    State("heart_energy_frac", 1.0, "1", "energy left in heart muscle", "mid", 0.0),
    State("node_energy_frac", 1.0, "1", "energy left in the sinus node", "mid", 0.0),
    State("stunning_frac", 0.0, "1", "weakness after the heart was without energy", "mid", 0.0),
    Param(
        "coronary_reserve", 3.6, "1", "greatest over resting coronary flow", "Gould 1974-type reserve 4-5 (from memory)"
    ),
    Param(
        "heart_run_down_s", 75.0, "s", "time constant of running down without any oxygen", "tuned to asphyxial arrest"
    ),
    Param("heart_recovery_s", 25.0, "s", "time constant of recovery", "our choice"),
)


def perfusion_pressure(
    coronary_perfusion_pressure_mmhg, mean_aorta_mmhg, mean_right_atrium_mmhg, compression_phase_frac, dt_mid_s
):
    """Pressure that feeds the heart, smoothed; while the chest is compressed it holds its last value."""
    drop = clamp(mean_aorta_mmhg - mean_right_atrium_mmhg, -60.0, 250.0)
    relaxed = compression_phase_frac == 0.0 or compression_phase_frac > 0.55
    share = dt_mid_s / 2.0 if relaxed else 0.0
    next_coronary_perfusion_pressure_mmhg = (
        coronary_perfusion_pressure_mmhg + (drop - coronary_perfusion_pressure_mmhg) * share
    )
    return next_coronary_perfusion_pressure_mmhg


def heart_oxygen(
    coronary_perfusion_pressure_mmhg, heart_energy_frac, node_energy_frac, stunning_frac, mean_arterial_pressure_mmhg,
    arterial_o2_ml_per_ml, arterial_o2_rest_ml_per_ml, heart_rate_now_per_min, heart_rate_rest_per_min,
    carotid_set_mmhg, rhythm_code, strength_now_frac, temperature_core_degc, coronary_reserve, heart_run_down_s,
    heart_recovery_s,
):  # fmt: skip
    """Energy over one second."""
    push = larger(coronary_perfusion_pressure_mmhg - 8.0, 0.0) / (carotid_set_mmhg - 12.0)
    supply = coronary_reserve * push * arterial_o2_ml_per_ml / arterial_o2_rest_ml_per_ml
    work = clamp(heart_rate_now_per_min / heart_rate_rest_per_min, 0.6, 3.0)
    load = clamp(0.25 + 0.75 * mean_arterial_pressure_mmhg / carotid_set_mmhg, 0.4, 2.0) * clamp(
        strength_now_frac, 0.2, 2.5
    )
    beating = work * load
    # a fibrillating heart uses about half, a still one a fifth of rest (order of McKeever 1958, from memory)
    demand = beating if rhythm_code < 0.5 else (0.55 if rhythm_code < 1.5 else 0.2)
    demand = larger(demand, 0.2) * clamp(1.0 + 0.08 * (temperature_core_degc - 37.0), 0.3, 1.4)
    met = clamp(supply / demand, 0.0, 1.3)
    lack = clamp(1.0 - met, 0.0, 1.0)
    plenty = clamp((met - 0.9) * 4.0, 0.0, 1.0)
    d_heart_energy_frac_per_s = (
        plenty * (1.0 - heart_energy_frac) / heart_recovery_s - lack * demand * heart_energy_frac / heart_run_down_s
    )
    d_node_energy_frac_per_s = plenty * (1.0 - node_energy_frac) / 8.0 - lack * node_energy_frac / (
        1.3 * heart_run_down_s
    )
    hurt = clamp(0.5 - heart_energy_frac, 0.0, 0.5)
    d_stunning_frac_per_s = hurt * (1.0 - stunning_frac) / 120.0 - stunning_frac / 600.0
    return (
        d_heart_energy_frac_per_s, d_node_energy_frac_per_s, d_stunning_frac_per_s,
    )  # fmt: skip


PARTS: Final = {"MID": (perfusion_pressure,), "SLOW": (heart_oxygen,)}
