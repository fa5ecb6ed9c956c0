"""When vital signs were observed: measured, felt, told, or standing on a screen that the crew could see."""

from typing import Final

import numpy as np

from drillyard.core.measures.record import TRACK_U_S, Record
from drillyard.core.measures.result import Moment

FULL_SET: Final = ("heart rate", "pressure", "breathing", "oxygen", "mind")
"""The five of a full set: heart rate, pressure, breathing rate, oxygen saturation, mind."""

BY_FINDING: Final[dict[str, tuple[str, ...]]] = {
    "heart rate": ("heart rate", "pulse rate", "radial pulse", "carotid pulse", "femoral pulse", "rhythm"),
    "pressure": ("pressure",),
    "breathing": ("breathing",),
    "oxygen": ("SpO2",),
    "mind": ("mind",),
    "exhaled CO2": ("exhaled CO2",),
}
"""Findings of the catalogue that give each vital sign."""

BY_SIGNAL: Final[dict[str, str]] = {
    "heart rate": "heart_rate_per_min",
    "breathing": "respiratory_rate_per_min",
    "oxygen": "spo2_pct",
    "exhaled CO2": "etco2_mmhg",
}
"""Signals that stand on the room monitor for as long as their sensor is on.  Pressure is observed when it is taken."""


class Observed:
    """The times at which each vital sign was observed."""

    def __init__(self, record: Record) -> None:
        self._record = record
        self._taken = {vital: [moment for moment, _ in record.obtained(names)] for vital, names in BY_FINDING.items()}
        self._shown = {vital: record.shown_s(signal) for vital, signal in BY_SIGNAL.items()}

    def next(self, vital: str, after_s: float) -> Moment | None:
        """The first observation later than ``after_s``."""
        taken = next((moment for moment in self._taken[vital] if moment.t_s > after_s), None)
        shown = self._shown.get(vital, np.empty(0))
        at = int(np.searchsorted(shown, after_s, side="right"))
        seen = self._record.at(float(shown[at]), TRACK_U_S) if at < len(shown) else None
        found = [moment for moment in (taken, seen) if moment is not None]
        return min(found, key=lambda moment: moment.t_s) if found else None

    def next_set(self, after_s: float) -> Moment | None:
        """The moment at which all five have been observed since ``after_s``."""
        found = [self.next(vital, after_s) for vital in FULL_SET]
        complete = [moment for moment in found if moment is not None]
        return max(complete, key=lambda moment: moment.t_s) if len(complete) == len(found) else None

    def missing(self, after_s: float) -> tuple[str, ...]:
        """Vital signs of the full set not observed after ``after_s``."""
        return tuple(vital for vital in FULL_SET if self.next(vital, after_s) is None)
