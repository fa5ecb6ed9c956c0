"""Waves for the room monitor: from the body's rows of 10 ms to binary frames, only for sensors that are on.

A frame, little endian: u8 format (1), u8 count of waves, u16 rate of the index a second, u32 index of the first
sample; then for each wave u8 code, u16 count of samples, float32 samples.  The index counts steps of 10 ms from time
zero of the run; every wave of a frame begins at that step and runs at its own rate.

Waves leave a quarter of a second late: a P wave comes before its QRS, and the body tells of a beat when it happens.
"""

import struct
from collections.abc import Collection, Sequence
from typing import Final

import numpy as np

from drillyard.core.ecg import RATE_PER_S as ECG_RATE_PER_S
from drillyard.core.ecg import CompressionSpan, EcgInput, ecg_lead_ii_mv
from drillyard.core.ecg.dipole import Values
from drillyard.core.signals.sensors import LINE_DELAY_S

FRAME_FORMAT: Final = 1
STEPS_PER_S: Final = 100
WAVE_CODES: Final = {"ecg_ii": 1, "pleth": 2, "co2": 3, "arterial": 4}
WAVE_RATE_PER_S: Final = {"ecg_ii": ECG_RATE_PER_S, "pleth": STEPS_PER_S, "co2": STEPS_PER_S, "arterial": STEPS_PER_S}
WAVE_SENSOR: Final = {
    "ecg_ii": "ECG electrodes", "pleth": "finger probe", "co2": "CO2 sampling line", "arterial": "arterial line",
}  # fmt: skip
"""The sensor that each wave needs.  An arterial line cannot be placed in this version, so that wave stays dark."""
WAVE_COLUMN: Final = {
    "pleth": "pleth_wave_frac", "co2": "airway_co2_mmhg", "arterial": "arterial_pressure_mmhg",
}  # fmt: skip
"""Where each wave lies in the body's rows."""

LATE_STEPS: Final = 25
KEPT_STEPS: Final = 400
"""Rows kept back: the delay above and the travel of gas through the sampling line, with room to spare."""
LINE_STEPS: Final = round(LINE_DELAY_S * STEPS_PER_S)
GRID_STEPS: Final = 2
"""Frames begin at every second step: 20 ms are five ECG samples, so both rates begin together."""
DEFAULT_RR_S: Final = 0.8


class WaveFeed:
    """Turns rows into frames.  ``names`` are the columns of the rows (``body/assembly.py``).

    Give it every row once, in order; where steps are missing or come again (a jump, a recomputed run) it begins anew.
    """

    def __init__(self, names: Sequence[str], seed: int) -> None:
        self._column = {name: names.index(name) for name in names}
        self._seed = seed
        self.restart(0)

    def restart(self, step: int) -> None:
        """Forget everything; the next row is that of ``step``."""
        self._rows: Values = np.zeros((0, len(self._column)))
        self._next_row = self._next_out = step
        self._beats: list[tuple[float, float]] = []
        self._last_beat: tuple[float, float, float] | None = None
        self._rhythm: list[tuple[float, int]] = []

    def frame(
        self,
        first_step: int,
        rows: Values,
        *,
        rhythm_code: int,
        sensors_on: Collection[str],
        compressions: Sequence[CompressionSpan] = (),
        finger_is_cut_off: bool = False,
    ) -> bytes | None:
        """Take rows in; give the frame of what can be drawn by now.

        Args:
            first_step: step of the first row, counted from time zero.
            rows: (steps, columns) of the body.
            rhythm_code: rhythm during these rows.
            sensors_on: sensors on the patient.
            compressions: those of the last seconds, with times from time zero.
            finger_is_cut_off: a full cuff sits above the probe.

        Returns:
            a frame, or ``None`` while there is nothing to send.
        """
        if first_step != self._next_row:
            self.restart(first_step)
        if finger_is_cut_off:
            rows = rows.copy()
            rows[:, self._column[WAVE_COLUMN["pleth"]]] = 0.0
        self._take(rows, rhythm_code)
        start = self._next_out + self._next_out % GRID_STEPS
        n_steps = (self._next_row - LATE_STEPS - start) // GRID_STEPS * GRID_STEPS
        if n_steps <= 0:
            return None
        self._next_out = start + n_steps
        waves = [name for name in WAVE_CODES if WAVE_SENSOR[name] in sensors_on]
        samples = {name: self._samples(name, start, n_steps, compressions) for name in waves}
        return pack_frame(start, samples)

    def _take(self, rows: Values, rhythm_code: int) -> None:
        if len(rows) and (not self._rhythm or self._rhythm[-1][1] != rhythm_code):
            self._rhythm = [*self._rhythm, (self._next_row / STEPS_PER_S, rhythm_code)][-4:]
        counts = rows[:, self._column["beat_count"]]
        for index in np.flatnonzero(np.diff(counts, prepend=self._count_before(counts)) > 0.0):
            self._note_beat(self._next_row + int(index), float(rows[index, self._column["beat_step"]]))
        self._rows = np.concatenate((self._rows, rows))[-(KEPT_STEPS + len(rows)) :]
        self._next_row += len(rows)

    def _count_before(self, counts: Values) -> float:
        if len(self._rows):
            return float(self._rows[-1, self._column["beat_count"]])
        return float(counts[0]) if len(counts) else 0.0

    def _note_beat(self, row: int, beat_step: float) -> None:
        """A beat turned up in ``row``.  ``beat_step`` is on the body's own clock, which began before time zero; the
        first beat ties the two clocks together, later ones go by the body's."""
        if self._last_beat is None or beat_step <= self._last_beat[1]:
            at_s, rr_s = (row + beat_step % 1.0) / STEPS_PER_S, DEFAULT_RR_S
        else:
            rr_s = (beat_step - self._last_beat[1]) / STEPS_PER_S
            at_s = self._last_beat[0] + rr_s
        self._last_beat = (at_s, beat_step, rr_s)
        self._beats = [*self._beats, (at_s, rr_s)][-24:]

    def _samples(self, name: str, start: int, n_steps: int, compressions: Sequence[CompressionSpan]) -> Values:
        if name == "ecg_ii":
            per_step = ECG_RATE_PER_S / STEPS_PER_S
            given = EcgInput(
                beats=np.array(self._beats).reshape(-1, 2),
                rhythm=self._rhythm,
                compressions=compressions,
                seed=self._seed,
            )
            return ecg_lead_ii_mv(given, round(start * per_step), round(n_steps * per_step))
        first_kept = self._next_row - len(self._rows)
        wanted = start - first_kept + np.arange(n_steps) - (LINE_STEPS if name == "co2" else 0)
        column = self._rows[:, self._column[WAVE_COLUMN[name]]]
        return np.where(wanted >= 0, column[np.clip(wanted, 0, None)], 0.0)


def pack_frame(first_step: int, waves: dict[str, Values]) -> bytes:
    """The bytes of one frame."""
    parts = [struct.pack("<BBHI", FRAME_FORMAT, len(waves), STEPS_PER_S, first_step)]
    for name, samples in waves.items():
        parts.append(struct.pack("<BH", WAVE_CODES[name], len(samples)))
        parts.append(samples.astype("<f4").tobytes())
    return b"".join(parts)
