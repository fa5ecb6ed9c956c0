"""Given breaths: by bag, by ventilator, and pressure given to a patient who breathes.

In:       rate, volume, pressures and mode (controls), the patient's own flow.
Out:      flow from bag or ventilator, pressure held at the mouth.
Assumes:  a bag gives one second of steady flow a cycle.  A volume breath is a steady flow, a pressure breath a steady
          pressure, each over at most one second and 40 % of the cycle.  A breath begins when its time has come or
          when the patient draws in more than the trigger flow; what holds air back in the chest (own end-expiratory
          pressure) must be overcome first, so breaths are missed in obstruction as they are in patients.  A leak takes
          its share of a volume, and of a pressure where it is held by a mask.
Left out: alarms, circuit volume and rebreathing, ramps, cycling off by falling flow, humidity.
"""

from typing import Final

from drillyard.core.numerics.elementary import clamp, smaller
from drillyard.core.numerics.names import Mid, Param, State

NAMES: Final = (
    State("given_phase_frac", 0.0, "1", "place in the cycle of breaths given by bag", "mid", 0.0),
    State("ventilator_time_s", 0.0, "s", "time since the ventilator's last breath began", "mid", 0.0),
    Param("trigger_ml_per_s", 50.0, "mL/s", "flow drawn in that makes the ventilator give a breath",
          "2-3 L/min (common practice, no source)"),
    Mid("given_inflow_ml_per_s", "mL/s", "flow from the bag or ventilator into the airway"),
    Mid("mouth_cmh2o", "cmH2O", "pressure held at the mouth when no flow is forced in"),
)  # fmt: skip


def bag(
    given_phase_frac, given_breath_rate_per_min, given_breath_volume_ml, given_breath_is_circuit,
    airway_device_leak_frac, airway_device_code, ventilator_time_s, ventilator_mode_code, ventilator_rate_per_min,
    ventilator_volume_ml, ventilator_pressure_cmh2o, ventilator_peep_cmh2o, trigger_ml_per_s, airway_flow_ml_per_s,
    dt_mid_s,
):  # fmt: skip
    """Flow from the bag, or what the ventilator does in this instant."""
    rate = given_breath_rate_per_min / 60.0
    phase = given_phase_frac + rate * dt_mid_s
    next_given_phase_frac = 0.0
    given_inflow_ml_per_s = 0.0
    mouth_cmh2o = 0.0
    next_ventilator_time_s = 0.0
    if rate > 0.0:
        next_given_phase_frac = phase - 1.0 if phase >= 1.0 else phase
        inspiration_frac = smaller(rate * 1.0, 0.4)
        if given_phase_frac < inspiration_frac:
            leak = airway_device_leak_frac if given_breath_is_circuit < 0.5 else 0.0
            given_inflow_ml_per_s = given_breath_volume_ml * rate / inspiration_frac * (1.0 - leak)
    elif ventilator_mode_code > 0.5:
        cycle = 60.0 / ventilator_rate_per_min if ventilator_rate_per_min > 0.0 else 3600.0
        inspiration = smaller(1.0, 0.4 * cycle)
        held = 1.0 - clamp(airway_device_leak_frac, 0.0, 1.0)
        time = ventilator_time_s + dt_mid_s
        wants = time > inspiration + 0.3 and airway_flow_ml_per_s > trigger_ml_per_s
        if time >= cycle or wants:
            time = 0.0
        mouth_cmh2o = ventilator_peep_cmh2o * held
        breathing_in = time < inspiration and (ventilator_mode_code < 2.5 or ventilator_mode_code > 3.5)
        if breathing_in and ventilator_mode_code < 1.5:
            given_inflow_ml_per_s = ventilator_volume_ml / inspiration * held
        elif breathing_in:
            mouth_cmh2o = (ventilator_peep_cmh2o + ventilator_pressure_cmh2o) * held
        next_ventilator_time_s = smaller(time, 3600.0)
    if airway_device_code > 3.5 and airway_device_code < 4.5:
        # a tube in the gullet
        given_inflow_ml_per_s = 0.0
        mouth_cmh2o = 0.0
    return next_given_phase_frac, given_inflow_ml_per_s, next_ventilator_time_s, mouth_cmh2o


PARTS: Final = {"MID": (bag,)}
