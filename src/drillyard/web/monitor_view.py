"""The room monitor: what its sensors show, and nothing else.

Alarms are judged on what the monitor shows, by limits that are common teaching defaults (common practice, no source);
their three priorities are those of IEC 60601-1-8.
"""

from collections.abc import Mapping
from typing import Final, Literal

from drillyard.core.quantities.signals import RHYTHMS
from drillyard.core.session.run import Run
from drillyard.core.signals.sensors import SENSORS
from drillyard.service.records import LabSettings
from drillyard.web.messages import MonitorSensor, MonitorView
from drillyard.web.units import scale_of

HIGH, MEDIUM, LOW = "!!! ", "!! ", "! "
_LIMITS: Final[tuple[tuple[str, str, Literal["below", "above"], float, str], ...]] = (
    ("spo2_pct", HIGH, "below", 85.0, "SpO2 low"),
    ("spo2_pct", MEDIUM, "below", 90.0, "SpO2 low"),
    ("heart_rate_per_min", HIGH, "below", 40.0, "heart rate low"),
    ("heart_rate_per_min", HIGH, "above", 150.0, "heart rate high"),
    ("heart_rate_per_min", MEDIUM, "below", 50.0, "heart rate low"),
    ("heart_rate_per_min", MEDIUM, "above", 120.0, "heart rate high"),
    ("respiratory_rate_per_min", HIGH, "below", 1.0, "no breath"),
    ("respiratory_rate_per_min", MEDIUM, "below", 8.0, "breathing slow"),
    ("respiratory_rate_per_min", MEDIUM, "above", 30.0, "breathing fast"),
    ("systolic_pressure_mmhg", HIGH, "below", 70.0, "pressure low"),
    ("systolic_pressure_mmhg", MEDIUM, "below", 90.0, "pressure low"),
    ("systolic_pressure_mmhg", MEDIUM, "above", 180.0, "pressure high"),
    ("etco2_mmhg", MEDIUM, "above", 60.0, "exhaled CO2 high"),
)
"""Signal, priority, way, limit, words; the first of a signal that is crossed counts."""


def monitor_view(run: Run, settings: LabSettings) -> MonitorView:
    """Everything that the room monitor may show now."""
    shown, cuff = run.shown(), run.machine.sensors.cuff_view()
    on: dict[str, str] = {sensor.sensor: sensor.site for sensor in run.state.sensors}

    def text(signal: str) -> str | None:
        value = shown.get(signal)
        return None if value is None else scale_of(signal, settings).text(value)

    systolic, diastolic = text("systolic_pressure_mmhg"), text("diastolic_pressure_mmhg")
    is_busy = cuff.phase != "idle"
    failed = cuff.is_failed and not is_busy
    return MonitorView(
        sensors=[MonitorSensor(sensor=name, is_on=name in on, site=on.get(name, "")) for name in SENSORS],
        heart_rate=text("heart_rate_per_min") or text("pulse_rate_per_min"),
        spo2=text("spo2_pct"),
        etco2=text("etco2_mmhg"),
        respiratory_rate=text("respiratory_rate_per_min"),
        temperature=text("temperature_core_degc"),
        cuff_text=f"{systolic}/{diastolic}" if systolic and diastolic and not failed else None,
        cuff_mean=text("mean_arterial_pressure_mmhg") if not failed else None,
        cuff_t_s=cuff.t_s,
        cuff_state="failed" if failed else cuff.phase,
        cuff_cycle_s=cuff.repeat_s,
        cuff_next_s=cuff.due_s,
        cuff_pressure_mmhg=cuff.pressure_mmhg,
        pressure_unit=scale_of("systolic_pressure_mmhg", settings).unit,
        gas_tension_unit=scale_of("etco2_mmhg", settings).unit,
        temperature_unit=scale_of("temperature_core_degc", settings).unit,
        alarms=alarms(shown, on, round(run.signals()["rhythm_code"]), failed=failed),
    )


def alarms(shown: Mapping[str, float | None], on: Mapping[str, str], rhythm_code: int, *, failed: bool) -> list[str]:
    """Alarms of what is shown, the highest priority first."""
    found: list[str] = []
    if "ECG electrodes" in on and rhythm_code != 0:
        found.append(HIGH + RHYTHMS.get(rhythm_code, "rhythm unknown"))
    crossed: set[str] = set()
    for signal, priority, way, limit, words in _LIMITS:
        value = shown.get(signal)
        if value is None or signal in crossed:
            continue
        if value < limit if way == "below" else value > limit:
            crossed.add(signal)
            found.append(priority + words)
    if "finger probe" in on and shown.get("spo2_pct") is None:
        found.append(LOW + "probe finds no pulse")
    if failed:
        found.append(LOW + "cuff: no reading")
    return sorted(found, key=lambda text: -text.count("!"))
