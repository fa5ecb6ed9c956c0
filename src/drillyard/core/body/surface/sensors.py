"""Finger oximeter and smoothed pressures.

In:       saturation, arterial pulse, flows.
Out:      what the finger oximeter shows, pleth wave, central venous and pulmonary pressure, cardiac output.
Assumes:  blood takes 10 s from lung to finger at rest, longer when output or skin flow is low; the display averages
          over
          8 s (half response about 25 s in all: Severinghaus and Naifeh 1987, Anesthesiology 67:551, from memory);
          without a
          pulse of about 6 mmHg at the finger nothing is shown.
Left out: motion, light, nail varnish.
"""

from typing import Final

from drillyard.core.body.fading import faded
from drillyard.core.numerics.elementary import clamp, exp, larger
from drillyard.core.numerics.names import State

NAMES: Final = (
    State("finger_lag_1_frac", 0.9748, "1", "saturation on its way to the finger", "mid", 0.0),
    State("finger_lag_2_frac", 0.9748, "1", "saturation in the finger", "mid", 0.0),
    State("oximeter_frac", 0.9748, "1", "saturation on the display", "mid", 0.0),
    State("oximeter_pulse_frac", 1.0, "1", "how well the oximeter finds a pulse", "mid", 0.0),
    State("central_venous_pressure_mmhg", 2.813, "mmHg", "pressure in the great veins, smoothed over a breath"),
    State("mean_pulmonary_artery_pressure_mmhg", 11.07, "mmHg", "lung artery pressure, smoothed over a breath"),
    State("cardiac_output_ml_per_s", 94.01, "mL/s", "left ventricular output, smoothed over a few beats", "mid", 0.0),
    State("output_lag_ml_per_s", 90.03, "mL/s", "left ventricular output, smoothed once", "mid", 0.0),
    State("pressure_smooth_mmhg", 91.82, "mmHg", "arterial pressure, smoothed over a few beats"),
    State("pleth_wave_frac", 0.0, "1", "light absorbed at the finger, 0..1 over a full pulse", "mid"),
    State("pleth_mean_mmhg", 91.9, "mmHg", "pressure about which the pleth wave swings"),
)


def finger_oximeter(
    finger_lag_1_frac, finger_lag_2_frac, oximeter_frac, oximeter_pulse_frac, sao2_frac, systolic_pressure_mmhg,
    diastolic_pressure_mmhg, cardiac_output_ml_per_s, cardiac_output_rest_ml_per_s, skin_flow_frac, pressure_size_frac,
    cohb_frac, methb_frac, dt_slow_s,
):  # fmt: skip
    """What the finger probe shows, once a second."""
    flow = clamp(cardiac_output_ml_per_s / cardiac_output_rest_ml_per_s, 0.1, 1.5)
    share = flow * clamp(0.4 + 0.6 * skin_flow_frac, 0.3, 1.2) * (dt_slow_s / 5.0)
    seen = sao2_frac
    if cohb_frac + methb_frac > 0.0:
        # two wavelengths take carboxyhaemoglobin for oxyhaemoglobin, all but a tenth of it (Barker and Tremper 1987,
        # Anesthesiology 66:677), and are drawn to 85 % by methaemoglobin, all the way from some 35 % of it on
        # (Barker, Tremper and Hyatt 1989, Anesthesiology 70:112); shape of the way there is ours
        spared = larger(1.0 - cohb_frac - methb_frac, 0.05)
        seen = (sao2_frac * spared + 0.9 * cohb_frac) / (spared + cohb_frac)
        seen = seen + (1.0 - exp(-methb_frac / 0.14)) * (0.85 - seen)
    next_finger_lag_1_frac = finger_lag_1_frac + (seen - finger_lag_1_frac) * share
    next_finger_lag_2_frac = finger_lag_2_frac + (finger_lag_1_frac - finger_lag_2_frac) * share
    next_oximeter_frac = oximeter_frac + (finger_lag_2_frac - oximeter_frac) * (dt_slow_s / 6.0)
    width = (systolic_pressure_mmhg - diastolic_pressure_mmhg) / pressure_size_frac
    pulse = clamp((width - 4.0) / 8.0, 0.0, 1.0)
    pulse = pulse * clamp((systolic_pressure_mmhg / pressure_size_frac - 40.0) / 15.0, 0.0, 1.0)
    next_oximeter_pulse_frac = oximeter_pulse_frac + (pulse - oximeter_pulse_frac) * (dt_slow_s / 4.0)
    return next_finger_lag_1_frac, next_finger_lag_2_frac, next_oximeter_frac, next_oximeter_pulse_frac


def sensors(
    central_venous_pressure_mmhg, mean_pulmonary_artery_pressure_mmhg, cardiac_output_ml_per_s, output_lag_ml_per_s,
    pressure_smooth_mmhg, pleth_mean_mmhg, systolic_pressure_mmhg, mean_chest_veins_mmhg, mean_lung_arteries_mmhg,
    mean_aortic_valve_flow_ml_per_s, arterial_pressure_mmhg, skin_flow_frac, pressure_size_frac, dt_mid_s,
):  # fmt: skip
    """Smoothed pressures and output, pleth wave."""
    next_central_venous_pressure_mmhg = central_venous_pressure_mmhg + (
        clamp(mean_chest_veins_mmhg, -20.0, 60.0) - central_venous_pressure_mmhg
    ) * (dt_mid_s / 3.0)
    next_mean_pulmonary_artery_pressure_mmhg = mean_pulmonary_artery_pressure_mmhg + (
        larger(mean_lung_arteries_mmhg, 0.0) - mean_pulmonary_artery_pressure_mmhg
    ) * (dt_mid_s / 3.0)
    next_output_lag_ml_per_s = faded(
        output_lag_ml_per_s + (mean_aortic_valve_flow_ml_per_s - output_lag_ml_per_s) * (dt_mid_s / 3.0)
    )
    next_cardiac_output_ml_per_s = faded(
        cardiac_output_ml_per_s + (output_lag_ml_per_s - cardiac_output_ml_per_s) * (dt_mid_s / 3.0)
    )
    next_pressure_smooth_mmhg = pressure_smooth_mmhg + (arterial_pressure_mmhg - pressure_smooth_mmhg) * (
        dt_mid_s / 2.0
    )
    next_pleth_mean_mmhg = pleth_mean_mmhg + (arterial_pressure_mmhg - pleth_mean_mmhg) * (dt_mid_s / 1.5)
    # 40 mmHg of pulse fill the wave; narrow skin vessels make it small
    swing = (arterial_pressure_mmhg - pleth_mean_mmhg) / (60.0 * pressure_size_frac) * clamp(skin_flow_frac, 0.2, 1.2)
    next_pleth_wave_frac = clamp(0.4 + swing, 0.0, 1.0) if systolic_pressure_mmhg > 40.0 * pressure_size_frac else 0.4
    return (
        next_central_venous_pressure_mmhg, next_mean_pulmonary_artery_pressure_mmhg, next_cardiac_output_ml_per_s,
        next_output_lag_ml_per_s,
        next_pressure_smooth_mmhg, next_pleth_mean_mmhg, next_pleth_wave_frac,
    )  # fmt: skip


PARTS: Final = {"MID": (sensors,), "SLOW": (finger_oximeter,)}
