"""What the room monitor can show: each sensor with its own way of being late, wrong or silent.

Nothing shows before its sensor is on the patient.  All sensors are plain numbers that move once a second, so the same
signals give the same picture, and a snapshot is a list of floats with the sites.

Left out: respiratory rate from the ECG electrodes, compressions counted as beats, carbon monoxide and other pigments
read as oxygen, motion and ambient light.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Final, Self

from drillyard.core.care.actions import Sensor
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.signals.cuff import Cuff, CuffPhase, CuffReading

SENSORS: Final[tuple[Sensor, ...]] = (
    "ECG electrodes", "finger probe", "pressure cuff", "CO2 sampling line", "temperature probe",
)  # fmt: skip

# All times here: common practice, no source, unless said otherwise.
ECG_FIRST_S: Final = 4.0
"""Beats needed before a rate stands there."""
ECG_AVERAGE_S: Final = 3.0
"""Time constant of the averaged rate: a new rate stands after some ten seconds."""
PROBE_FIRST_S: Final = 6.0
"""Search for the pulse after it is put on, and after the pulse has come back."""
PROBE_HOLDS_S: Final = 8.0
"""How long the last number stays when the pulse is gone."""
LINE_DELAY_S: Final = 2.0
"""Travel through the sampling line: two to four seconds in sidestream devices (from memory)."""
APNOEA_S: Final = 20.0
"""Seconds without a breath after which the rate reads 0."""
RATE_AVERAGE_S: Final = 6.0
BREATH_SEEN_MMHG: Final = 4.0
"""Least exhaled CO2 that counts as a breath."""
PROBE_TAU_S: Final = 30.0
"""Time constant in which a temperature probe takes the warmth of the body."""
ROOM_DEGC: Final = 21.0
USUAL_CUFF_SITE: Final = "left arm"

SINUS, FIBRILLATION = 0, 1
NONE: Final = -1.0
"""Stands for 'no number' inside the lists of floats."""


@dataclass(slots=True)
class RateCounter:
    """Heart rate from the electrodes: an average, so it follows a jump over seconds.  No number in fibrillation."""

    on_s: float = 0.0
    rate_per_min: float = NONE

    def update(self, signals: Mapping[str, float]) -> None:
        self.on_s += 1.0
        if round(signals["rhythm_code"]) == FIBRILLATION:
            self.rate_per_min = NONE
            return
        now = signals["heart_rate_per_min"] if round(signals["rhythm_code"]) == SINUS else 0.0
        if self.rate_per_min == NONE:
            self.rate_per_min = now if self.on_s >= ECG_FIRST_S else NONE
        else:
            self.rate_per_min += (now - self.rate_per_min) / ECG_AVERAGE_S


@dataclass(slots=True)
class FingerProbe:
    """Saturation and pulse rate at the finger.  The finger's own lag is in the body's ``spo2_pct`` already."""

    found_s: float = 0.0
    lost_s: float = 0.0
    spo2_pct: float = NONE
    pulse_rate_per_min: float = NONE
    cut_off: float = 0.0

    def update(self, signals: Mapping[str, float], is_cut_off: bool) -> None:
        self.cut_off = 1.0 if is_cut_off else 0.0
        if is_cut_off or signals["spo2_pct"] <= 0.0 or signals["pulse_rate_per_min"] <= 0.0:
            self.found_s = 0.0
            self.lost_s += 1.0
            if self.lost_s > PROBE_HOLDS_S:
                self.spo2_pct = self.pulse_rate_per_min = NONE
            return
        self.found_s += 1.0
        if self.found_s >= PROBE_FIRST_S or (self.spo2_pct != NONE and self.lost_s <= PROBE_HOLDS_S):
            self.spo2_pct, self.pulse_rate_per_min = signals["spo2_pct"], signals["pulse_rate_per_min"]
            self.lost_s = 0.0


@dataclass(slots=True)
class SamplingLine:
    """End-tidal CO2 and breaths, some seconds late.  In a gullet, or without blood flow, it finds no breath."""

    on_s: float = 0.0
    etco2_1: float = 0.0
    etco2_2: float = 0.0
    rate_1: float = 0.0
    rate_2: float = 0.0
    etco2_mmhg: float = NONE
    rate_per_min: float = NONE
    still_s: float = 0.0

    def update(self, signals: Mapping[str, float]) -> None:
        self.on_s += 1.0
        etco2, rate = self.etco2_2, self.rate_2
        self.etco2_2, self.rate_2 = self.etco2_1, self.rate_1
        self.etco2_1, self.rate_1 = signals["etco2_mmhg"], signals["respiratory_rate_per_min"]
        if self.on_s <= LINE_DELAY_S:
            return
        self.etco2_mmhg = etco2
        is_breath = rate > 0.0 and etco2 >= BREATH_SEEN_MMHG
        self.still_s = 0.0 if is_breath else self.still_s + 1.0
        if is_breath:
            before = self.rate_per_min
            self.rate_per_min = rate if before <= 0.0 else before + (rate - before) / RATE_AVERAGE_S
        elif self.still_s >= APNOEA_S or self.rate_per_min == NONE:
            self.rate_per_min = 0.0


@dataclass(slots=True)
class TemperatureProbe:
    """Takes the warmth of the core with a time constant; it is put on at room temperature."""

    temperature_degc: float = ROOM_DEGC

    def update(self, signals: Mapping[str, float]) -> None:
        self.temperature_degc += (signals["temperature_core_degc"] - self.temperature_degc) / PROBE_TAU_S


@dataclass(frozen=True, slots=True, kw_only=True)
class CuffView:
    """What the monitor draws of the cuff.  ``phase`` with the pressure in the cuff; the last result with its time;
    ``repeat_s`` and when the next cycle is due, where it repeats by itself."""

    phase: CuffPhase = "idle"
    pressure_mmhg: float | None = None
    systolic_mmhg: float | None = None
    diastolic_mmhg: float | None = None
    mean_mmhg: float | None = None
    t_s: float | None = None
    is_failed: bool = False
    repeat_s: float | None = None
    due_s: float | None = None


@dataclass(slots=True)
class Sensors:
    """All sensors of one patient.

    ``seed`` feeds the scatter of the cuff.  ``update`` is called once a second with all signals by name.
    """

    seed: float = 1.0
    sites: dict[str, str] = field(default_factory=dict)
    t_s: float = 0.0
    heart: RateCounter = field(default_factory=RateCounter)
    finger: FingerProbe = field(default_factory=FingerProbe)
    line: SamplingLine = field(default_factory=SamplingLine)
    warmth: TemperatureProbe = field(default_factory=TemperatureProbe)
    cuff: Cuff = field(init=False)
    given_up: list[CuffReading] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.cuff = Cuff(seed=self.seed)

    # ---- what the crew does -----------------------------------------------------------------------------------

    def is_on(self, sensor: str) -> bool:
        return sensor in self.sites

    def attach(self, sensor: str, site: str, t_s: float) -> None:
        """Put a sensor on; put on anew, it begins anew, but a cuff that is moved goes on repeating.

        Raises:
            Refusal: no such sensor.
        """
        if sensor not in SENSORS:
            raise Refusal(
                Fault(code="unknown sensor", said=f"there is no sensor '{sensor}'", allowed=", ".join(SENSORS))
            )
        repeat_s, due_s = self.cuff.repeat_s, self.cuff.due_s
        self.detach(sensor, t_s)
        self.sites[sensor] = site
        if sensor == "pressure cuff":
            self.cuff.site, self.cuff.repeat_s, self.cuff.due_s = site, repeat_s, due_s

    def detach(self, sensor: str, t_s: float) -> None:
        """Take a sensor off; what it showed goes with it."""
        if self.sites.pop(sensor, None) is None:
            return
        match sensor:
            case "ECG electrodes":
                self.heart = RateCounter()
            case "finger probe":
                self.finger = FingerProbe()
            case "CO2 sampling line":
                self.line = SamplingLine()
            case "temperature probe":
                self.warmth = TemperatureProbe()
            case _:
                self.given_up += self.cuff.take_off(t_s)

    def start_cuff(self, site: str, t_s: float) -> None:
        """One cycle.  Whoever measures has put the cuff on."""
        if "pressure cuff" not in self.sites:
            self.attach("pressure cuff", site, t_s)
        self.cuff.start(site, t_s)

    def repeat_cuff(self, site: str, every_s: float, t_s: float) -> None:
        """Cycles by themselves every ``every_s``, the first now; 0 ends them.  No ``site``: where the cuff is."""
        if every_s > 0.0 and "pressure cuff" not in self.sites:
            self.attach("pressure cuff", site or USUAL_CUFF_SITE, t_s)
        if site and every_s > 0.0 and self.cuff.phase == 0.0:
            self.cuff.site = site
        self.cuff.repeat(every_s, t_s)

    # ---- time -------------------------------------------------------------------------------------------------

    def update(self, t_s: float, signals: Mapping[str, float]) -> list[CuffReading]:
        """Once a second.

        Args:
            signals: at least the signals read here, by the names of ``core/quantities/signals.py``.

        Returns:
            readings of the cuff cycles that ended now, one for each cycle asked for.
        """
        self.t_s = t_s
        if self.is_on("ECG electrodes"):
            self.heart.update(signals)
        if self.is_on("finger probe"):
            self.finger.update(signals, self._is_finger_cut_off(t_s, signals))
        if self.is_on("CO2 sampling line"):
            self.line.update(signals)
        if self.is_on("temperature probe"):
            self.warmth.update(signals)
        readings, self.given_up = self.given_up, []
        if self.is_on("pressure cuff"):
            readings = readings + self.cuff.update(t_s, signals)
        return readings

    def _is_finger_cut_off(self, t_s: float, signals: Mapping[str, float]) -> bool:
        """A full cuff on the same arm takes the pulse away from the probe."""
        if not self.is_on("pressure cuff"):
            return False
        side = _side(self.sites["pressure cuff"])
        same_side = side != "" and side == _side(self.sites["finger probe"])
        return same_side and self.cuff.stops_flow(t_s, signals["systolic_pressure_mmhg"])

    @property
    def finger_is_cut_off(self) -> bool:
        """A full cuff lies above the finger probe: its wave is flat."""
        return self.finger.cut_off > 0.5

    # ---- what is shown ----------------------------------------------------------------------------------------

    def shown(self) -> dict[str, float | None]:
        """Numbers as a screen shows them, by signal; ``None`` where there is none to show."""
        cuff = self.cuff
        return {
            "heart_rate_per_min": _whole(self.heart.rate_per_min),
            "spo2_pct": _whole(self.finger.spo2_pct),
            "pulse_rate_per_min": _whole(self.finger.pulse_rate_per_min),
            "etco2_mmhg": _whole(self.line.etco2_mmhg),
            "respiratory_rate_per_min": _whole(self.line.rate_per_min),
            "temperature_core_degc": (
                round(self.warmth.temperature_degc, 1) if self.is_on("temperature probe") else None
            ),
            "systolic_pressure_mmhg": _whole(cuff.last_systolic_mmhg),
            "diastolic_pressure_mmhg": _whole(cuff.last_diastolic_mmhg),
            "mean_arterial_pressure_mmhg": _whole(cuff.last_mean_mmhg),
        }

    def cuff_view(self) -> CuffView:
        """The cuff as the monitor draws it."""
        cuff = self.cuff
        return CuffView(
            phase=cuff.phase_name,
            pressure_mmhg=round(cuff.pressure_mmhg(self.t_s)) if cuff.phase > 0.0 else None,
            systolic_mmhg=_whole(cuff.last_systolic_mmhg),
            diastolic_mmhg=_whole(cuff.last_diastolic_mmhg),
            mean_mmhg=_whole(cuff.last_mean_mmhg),
            t_s=cuff.last_t_s if cuff.last_t_s >= 0.0 else None,
            is_failed=cuff.last_failed > 0.5,
            repeat_s=cuff.repeat_s if cuff.repeat_s > 0.0 else None,
            due_s=cuff.due_s if cuff.repeat_s > 0.0 else None,
        )

    # ---- snapshots --------------------------------------------------------------------------------------------

    def _parts(self) -> tuple[Any, ...]:
        return (self.heart, self.finger, self.line, self.warmth, self.cuff)

    def get_state(self) -> tuple[list[float], dict[str, str], list[CuffReading]]:
        """Everything that is remembered: numbers, sites, and cycles given up but not yet told."""
        numbers = [self.seed, self.t_s]
        for part in self._parts():
            numbers += [getattr(part, name) for name in _number_names(part)]
        return numbers, {**self.sites, "cuff": self.cuff.site}, list(self.given_up)

    def set_state(self, state: tuple[list[float], dict[str, str], list[CuffReading]]) -> None:
        """Become the sensors of ``state``."""
        numbers, sites, given_up = state
        waiting = iter(numbers)
        self.seed, self.t_s = next(waiting), next(waiting)
        for part in self._parts():
            for name in _number_names(part):
                setattr(part, name, next(waiting))
        self.sites = {sensor: site for sensor, site in sites.items() if sensor != "cuff"}
        self.cuff.site, self.given_up = sites["cuff"], list(given_up)

    def copy(self) -> Self:
        """Independent sensors in the same state."""
        twin = type(self)(seed=self.seed)
        twin.set_state(self.get_state())
        return twin


def _number_names(part: Any) -> list[str]:
    return [item.name for item in fields(part) if item.name != "site"]


def _side(site: str) -> str:
    return next((side for side in ("left", "right") if side in site.lower()), "")


def _whole(value: float) -> float | None:
    return None if value < 0.0 else float(round(value))
