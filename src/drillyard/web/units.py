"""Numbers as a screen of this lab shows them: the lab's units, and how each signal is called and drawn."""

import math
from dataclasses import dataclass
from typing import Final

from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.quantities.units import unit_of_name
from drillyard.service.records import LabSettings

KPA_PER_MMHG: Final = 0.133322387415
"""1 mmHg = 133.322387415 Pa (BIPM, The International System of Units, 8th edition 2006, table 8)."""
GLUCOSE_MG_PER_MMOL: Final = 180.156
"""Molar mass of D-glucose in mg/mmol (C6H12O6, CIAAW 2021 standard atomic weights)."""
KG_PER_LB: Final = 0.45359237
"""Exact by definition (international yard and pound, 1959)."""
GAS_TENSIONS: Final = frozenset({"pao2_mmhg", "paco2_mmhg", "pvco2_mmhg", "etco2_mmhg"})

LABELS: Final[dict[str, str]] = {
    "heart_rate_per_min": "Heart rate",
    "pulse_rate_per_min": "Pulse rate",
    "systolic_pressure_mmhg": "Pressure",
    "diastolic_pressure_mmhg": "Diastolic pressure",
    "mean_arterial_pressure_mmhg": "Mean pressure",
    "spo2_pct": "SpO2",
    "sao2_pct": "Arterial saturation",
    "etco2_mmhg": "Exhaled CO2",
    "respiratory_rate_per_min": "Breathing",
    "gcs_total": "Mind",
    "blood_lost_ml": "Blood lost",
    "bleeding_ml_per_min": "Bleeding",
    "pleural_air_left_ml": "Air in the left chest",
    "pleural_air_right_ml": "Air in the right chest",
    "temperature_core_degc": "Temperature",
    "cardiac_output_l_per_min": "Cardiac output",
    "tidal_volume_ml": "Breath size",
    "lactate_mmol_per_l": "Lactate",
    "ph": "pH",
}
"""Names on screens; a signal that is not here is called by its meaning."""

SPAN: Final[dict[str, tuple[float, float]]] = {
    "heart_rate_per_min": (0.0, 200.0),
    "pulse_rate_per_min": (0.0, 200.0),
    "systolic_pressure_mmhg": (0.0, 200.0),
    "diastolic_pressure_mmhg": (0.0, 200.0),
    "mean_arterial_pressure_mmhg": (0.0, 200.0),
    "spo2_pct": (50.0, 100.0),
    "sao2_pct": (50.0, 100.0),
    "etco2_mmhg": (0.0, 80.0),
    "respiratory_rate_per_min": (0.0, 50.0),
    "gcs_total": (3.0, 15.0),
    "blood_lost_ml": (0.0, 3000.0),
    "bleeding_ml_per_min": (0.0, 500.0),
    "pleural_air_left_ml": (0.0, 3000.0),
    "pleural_air_right_ml": (0.0, 3000.0),
    "temperature_core_degc": (30.0, 42.0),
}
"""From which to which value a row is drawn, in the core's unit: what an operator needs to tell apart, not all that can
be (our choice)."""

DECIMALS: Final[dict[str, int]] = {
    "/min": 0, "%": 0, "mmHg": 0, "kPa": 1, "°C": 1, "°F": 1, "mL": 0, "L/min": 1, "mmol/L": 1, "mg/dL": 0,
    "g/dL": 1, "mL/min": 0, "mm": 0, "s": 1, "kg": 0, "lb": 0,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Scale:
    """A shown number is ``core value * factor + offset`` in ``unit``, printed with ``decimals``."""

    unit: str
    factor: float = 1.0
    offset: float = 0.0
    decimals: int = 0

    def core(self, shown: float) -> float:
        """The core's value of a number as it is shown."""
        return (shown - self.offset) / self.factor

    def text(self, value: float | None) -> str:
        """The number without its unit; a dash where there is none."""
        if value is None or not math.isfinite(value):
            return "–"
        return f"{value * self.factor + self.offset:.{self.decimals}f}"


def scale_of(signal: str, settings: LabSettings) -> Scale:
    """How this lab shows a signal."""
    unit = SIGNALS[signal].unit
    if unit == "mmHg":
        wanted = settings.gas_tension_unit if signal in GAS_TENSIONS else settings.pressure_unit
        return Scale("kPa", KPA_PER_MMHG, 0.0, 1) if wanted == "kPa" else Scale("mmHg")
    if unit == "degC":
        return Scale("°F", 1.8, 32.0, 1) if settings.temperature_unit == "degF" else Scale("°C", decimals=1)
    if unit == "mg/dL" and settings.glucose_unit == "mmol/L":
        return Scale("mmol/L", 10.0 / GLUCOSE_MG_PER_MMOL, 0.0, 1)
    if unit == "1":
        return Scale("", decimals=2 if SIGNALS[signal].high <= 2.0 or signal == "ph" else 0)
    return Scale(unit, decimals=DECIMALS.get(unit, 1))


def weight_text(mass_kg: float, settings: LabSettings) -> str:
    """A body mass in the lab's unit, the kilograms always beside it, since doses go by them."""
    if settings.weight_unit == "lb":
        return f"{mass_kg / KG_PER_LB:.0f} lb ({mass_kg:g} kg)"
    return f"{mass_kg:g} kg"


def label_of(signal: str) -> str:
    """What a screen calls a signal."""
    return LABELS.get(signal) or SIGNALS[signal].meaning[:1].upper() + SIGNALS[signal].meaning[1:]


def span_of(signal: str) -> tuple[float, float]:
    """From which to which value a row is drawn, in the core's unit."""
    return SPAN.get(signal, (SIGNALS[signal].low, SIGNALS[signal].high))


def mind_text(eye: float, verbal: float, motor: float) -> str:
    """The coma scale by its parts."""
    return f"E{eye:.0f} V{verbal:.0f} M{motor:.0f}"


def unit_printed(part: str) -> str:
    """A unit as people write it, from the last part of a name: "per_min" is "/min", "frac" is "1"."""
    found = unit_of_name(f"value_{part}")
    return part if found is None else found[1]
