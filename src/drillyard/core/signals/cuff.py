"""The pressure cuff: one cycle from the start key to a number, or to a failed cycle that says so.

The cuff fills, then lets go slowly and listens.  Each pressure is the patient's own at the moment when the cuff passes
it, so a pressure that changes during the half minute of a cycle gives a mixed reading, as in life.

Errors (oscillometric):
- systolic reads high below 80 and low above 120 mmHg, mean agrees: 226,093 pairs of MIMIC-III (direction seen in the
  abstract, Beijing Biomed Eng); over-reading in hypotension: Lehman et al., Crit Care Med 41:34-40, 2013.  The slopes
  are ours: 10 mmHg high at 55, as we remember Lehman's figure.
- repeats scatter; the spread is ours, inside the 8 mmHg standard deviation that ISO 81060-2 allows.
- without pulsation there is no reading; the least pulse pressure is ours.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from drillyard.core.numerics.elementary import noise_unit

CuffPhase = Literal["idle", "inflating", "measuring"]
PHASES: Final[tuple[CuffPhase, ...]] = ("idle", "inflating", "measuring")

INFLATE_S: Final = 8.0
"""Common practice, no source."""
DEFLATE_S: Final = 25.0
"""Common practice, no source."""
FIRST_TARGET_MMHG: Final = 160.0
ABOVE_LAST_MMHG: Final = 30.0
TARGET_LOW_MMHG, TARGET_HIGH_MMHG = 120.0, 280.0
LOWEST_MMHG: Final = 15.0
LEAST_PULSE_PRESSURE_MMHG: Final = 10.0
LEAST_SYSTOLIC_MMHG: Final = 40.0
MOST_PULSELESS_S: Final = 5.0
HIGH_BELOW_MMHG, HIGH_SLOPE = 80.0, 0.4
LOW_ABOVE_MMHG, LOW_SLOPE = 120.0, 0.12
SCATTER_MMHG: Final = {"systolic": 3.0, "mean": 2.0, "diastolic": 2.5}
"""Standard deviation of repeats."""
STREAM: Final = {"systolic": 801.0, "mean": 802.0, "diastolic": 803.0}
"""Streams of the seeded chance that belong to the cuff."""
SHORTEST_REPEAT_S: Final = 60.0
"""A cycle takes 33 s or more, and the limb needs some blood between two.  Common practice, no source."""
LONGEST_REPEAT_S: Final = 3600.0
"""Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuffReading:
    """What one cycle gave.  A failed cycle holds no numbers and a reason; ``by_itself``: nobody pressed the key."""

    t_s: float
    site: str
    systolic_mmhg: float | None = None
    diastolic_mmhg: float | None = None
    mean_mmhg: float | None = None
    why_failed: str = ""
    by_itself: bool = False

    @property
    def is_failed(self) -> bool:
        return self.systolic_mmhg is None

    def text(self) -> str:
        """As read out: "96/58, mean 71 mmHg, left arm" or "no reading (no pulse found), left arm"."""
        if self.is_failed:
            return f"no reading ({self.why_failed}), {self.site}"
        return f"{self.systolic_mmhg:.0f}/{self.diastolic_mmhg:.0f}, mean {self.mean_mmhg:.0f} mmHg, {self.site}"


@dataclass(slots=True)
class Cuff:
    """One cuff.  Numbers only, beside the site, so that a snapshot is a list of floats; -1 stands for 'not yet'."""

    seed: float
    site: str = ""
    phase: float = 0.0
    since_s: float = 0.0
    target_mmhg: float = FIRST_TARGET_MMHG
    systolic_mmhg: float = -1.0
    mean_mmhg: float = -1.0
    diastolic_mmhg: float = -1.0
    pulseless_s: float = 0.0
    n_cycles: float = 0.0
    n_waiting: float = 0.0
    last_systolic_mmhg: float = -1.0
    last_diastolic_mmhg: float = -1.0
    last_mean_mmhg: float = -1.0
    last_t_s: float = -1.0
    last_failed: float = 0.0
    repeat_s: float = 0.0
    due_s: float = -1.0
    by_itself: float = 0.0

    @property
    def phase_name(self) -> CuffPhase:
        return PHASES[int(self.phase)]

    def start(self, site: str, t_s: float) -> None:
        """A cycle, now or after the one that is running."""
        if self.phase > 0.0:
            self.n_waiting += 1.0
            return
        self.site = site or self.site
        self._begin(t_s)

    def repeat(self, every_s: float, t_s: float) -> None:
        """Cycles by itself from now on, start to start; 0 ends that, and a cycle that is running still ends well."""
        self.repeat_s, self.due_s = every_s, t_s if every_s > 0.0 else -1.0
        if self.phase == 0.0:
            self._begin_if_due(t_s)

    def _begin_if_due(self, t_s: float) -> None:
        """A cycle that falls due while another runs waits for its end; one that was missed is not made up for."""
        if self.repeat_s <= 0.0 or t_s < self.due_s:
            return
        while self.due_s <= t_s:
            self.due_s += self.repeat_s
        self._begin(t_s)
        self.by_itself = 1.0

    def _begin(self, t_s: float) -> None:
        self.phase, self.since_s, self.by_itself = 1.0, t_s, 0.0
        self.systolic_mmhg = self.mean_mmhg = self.diastolic_mmhg = -1.0
        self.pulseless_s = 0.0
        wanted = self.last_systolic_mmhg + ABOVE_LAST_MMHG if self.last_systolic_mmhg > 0.0 else FIRST_TARGET_MMHG
        self.target_mmhg = min(max(wanted, TARGET_LOW_MMHG), TARGET_HIGH_MMHG)

    def pressure_mmhg(self, t_s: float) -> float:
        """Pressure in the cuff."""
        gone_s = t_s - self.since_s
        if self.phase_name == "inflating":
            return self.target_mmhg * min(1.0, gone_s / INFLATE_S)
        if self.phase_name == "measuring":
            return max(LOWEST_MMHG, self.target_mmhg - (self.target_mmhg - LOWEST_MMHG) * gone_s / DEFLATE_S)
        return 0.0

    def stops_flow(self, t_s: float, systolic_mmhg: float) -> bool:
        """Whether the artery below the cuff is closed: a probe on that hand finds no pulse."""
        return self.phase > 0.0 and self.pressure_mmhg(t_s) > systolic_mmhg

    def update(self, t_s: float, signals: Mapping[str, float]) -> list[CuffReading]:
        """Once a second; a finished cycle gives its reading."""
        gone_s = t_s - self.since_s
        if self.phase_name == "inflating":
            if gone_s >= INFLATE_S:
                if signals["systolic_pressure_mmhg"] > self.target_mmhg < TARGET_HIGH_MMHG:
                    # the pulse still passes under the full cuff: it goes on filling
                    self.target_mmhg = min(self.target_mmhg + 40.0, TARGET_HIGH_MMHG)
                    self.since_s = t_s - INFLATE_S + 2.0
                else:
                    self.phase, self.since_s = 2.0, t_s
            return []
        if self.phase_name != "measuring":
            self._begin_if_due(t_s)
            return []
        self._listen(t_s, signals)
        if gone_s < DEFLATE_S:
            return []
        reading = self._reading(t_s)
        self._keep(reading)
        self.phase = 0.0
        if self.n_waiting > 0.0:
            self.n_waiting -= 1.0
            self._begin(t_s)
        else:
            self._begin_if_due(t_s)
        return [reading]

    def take_off(self, t_s: float) -> list[CuffReading]:
        """The cuff comes off; cycles asked for end without a reading, and it repeats no more."""
        running = [self.by_itself > 0.5] if self.phase > 0.0 else []
        ended = running + [False] * int(self.n_waiting)
        self.phase = self.n_waiting = self.by_itself = self.repeat_s = 0.0
        self.due_s = -1.0
        self.last_systolic_mmhg = self.last_diastolic_mmhg = self.last_mean_mmhg = self.last_t_s = -1.0
        self.last_failed = 0.0
        return [
            CuffReading(t_s=t_s, site=self.site, why_failed="cuff taken off", by_itself=by_itself)
            for by_itself in ended
        ]

    def _listen(self, t_s: float, signals: Mapping[str, float]) -> None:
        high, low = signals["systolic_pressure_mmhg"], signals["diastolic_pressure_mmhg"]
        if signals["pulse_rate_per_min"] <= 0.0 or high - low < LEAST_PULSE_PRESSURE_MMHG or high < LEAST_SYSTOLIC_MMHG:
            self.pulseless_s += 1.0
            return
        cuff = self.pressure_mmhg(t_s)
        if self.systolic_mmhg < 0.0 and cuff <= high:
            self.systolic_mmhg = high
        if self.mean_mmhg < 0.0 and cuff <= signals["mean_arterial_pressure_mmhg"]:
            self.mean_mmhg = signals["mean_arterial_pressure_mmhg"]
        if self.diastolic_mmhg < 0.0 and cuff <= low:
            self.diastolic_mmhg = low

    def _reading(self, t_s: float) -> CuffReading:
        self.n_cycles += 1.0
        if self.pulseless_s > MOST_PULSELESS_S or min(self.systolic_mmhg, self.mean_mmhg, self.diastolic_mmhg) < 0.0:
            return CuffReading(t_s=t_s, site=self.site, why_failed="no pulse found", by_itself=self.by_itself > 0.5)
        high = self.systolic_mmhg
        bias = HIGH_SLOPE * max(0.0, HIGH_BELOW_MMHG - high) - LOW_SLOPE * max(0.0, high - LOW_ABOVE_MMHG)
        low = round(self.diastolic_mmhg + self._scatter("diastolic"))
        middle = max(round(self.mean_mmhg + self._scatter("mean")), low + 1)
        top = max(round(high + bias + self._scatter("systolic")), middle + 1)
        return CuffReading(
            t_s=t_s,
            site=self.site,
            systolic_mmhg=top,
            diastolic_mmhg=low,
            mean_mmhg=middle,
            by_itself=self.by_itself > 0.5,
        )

    def _scatter(self, which: str) -> float:
        """Seeded chance, nearly normal: the sum of twelve even ones less six has a standard deviation of 1."""
        total = sum(noise_unit(self.seed, STREAM[which] + 10.0 * i, self.n_cycles) for i in range(12))
        return SCATTER_MMHG[which] * (total - 6.0)

    def _keep(self, reading: CuffReading) -> None:
        self.last_t_s = reading.t_s
        self.last_failed = 1.0 if reading.is_failed else 0.0
        self.last_systolic_mmhg = -1.0 if reading.systolic_mmhg is None else reading.systolic_mmhg
        self.last_diastolic_mmhg = -1.0 if reading.diastolic_mmhg is None else reading.diastolic_mmhg
        self.last_mean_mmhg = -1.0 if reading.mean_mmhg is None else reading.mean_mmhg
