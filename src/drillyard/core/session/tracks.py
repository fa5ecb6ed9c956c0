"""Tracks: what a debrief reads.  True and shown values once a second, beats, and changes of rhythm.

True values follow the body as it now stands: after a recomputation they are written anew from the second it began.
Shown values are what a screen could show the crew at that second, and are never written twice.
"""

from collections.abc import Mapping
from operator import itemgetter
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drillyard.core.quantities.signals import TRACKED

Floats = NDArray[np.float64]

_FIRST_ROWS: Final = 1800
_SILENCE_STEPS: Final = 300
_COLUMNS: Final = {name: column for column, name in enumerate(TRACKED)}
_RHYTHM: Final = _COLUMNS["rhythm_code"]
_IN_ORDER: Final = itemgetter(*TRACKED)


class Tracks:
    """Row k belongs to second k.  Columns are ``names`` (``core/quantities/signals.TRACKED``)."""

    names: tuple[str, ...] = TRACKED

    def __init__(self) -> None:
        self._true: Floats = np.full((_FIRST_ROWS, len(TRACKED)), np.nan)
        self._shown: Floats = np.full((_FIRST_ROWS, len(TRACKED)), np.nan)
        self._n_true = 0
        self._n_shown = 0
        self._beat_steps: list[int] = []
        # Seconds are put into the arrays many at a time: a replay writes a thousand of them and reads them once.
        self._new: list[tuple[int, tuple[float, ...], Mapping[str, float | None]]] = []

    def __len__(self) -> int:
        """Seconds stored."""
        return self._new[-1][0] + 1 if self._new else self._n_true

    @property
    def true(self) -> Floats:
        """Values of the body, (seconds, names).  A view: copy it to keep it."""
        self._put_away()
        return self._true[: self._n_true]

    @property
    def shown(self) -> Floats:
        """Values a screen could show the crew, NaN where none, (seconds, names).  A view."""
        self._put_away()
        return self._shown[: self._n_shown]

    @property
    def beats_s(self) -> Floats:
        """Times of the beats, rising.  The last beat before each full second is exact to a step; earlier ones of the
        same second are spread evenly up to it. [s]"""
        return np.array(self._beat_steps, dtype=np.float64) / 100.0

    @property
    def rhythm(self) -> list[tuple[float, int]]:
        """``(t_s, rhythm code)`` at the start and at each second at which the rhythm is found changed."""
        codes = self.true[:, _RHYTHM]
        changes = np.flatnonzero(np.diff(codes, prepend=np.nan) != 0.0)
        return [(float(k), int(codes[k])) for k in changes]

    def column(self, name: str) -> Floats:
        """True values of one signal. A view."""
        return self.true[:, self.names.index(name)]

    def shown_column(self, name: str) -> Floats:
        """Shown values of one signal. A view."""
        return self.shown[:, self.names.index(name)]

    def write_second(self, second: int, signals: Mapping[str, float], shown: Mapping[str, float | None]) -> None:
        """The next second, or one that ``forget_true_after`` made free again.  A second that has been shown before
        keeps what was shown.  ``shown`` is kept and must not be changed afterwards."""
        self._new.append((second, _IN_ORDER(signals), shown))

    def _put_away(self) -> None:
        if not self._new:
            return
        first, end = self._new[0][0], self._new[-1][0] + 1
        while end > len(self._true):
            more = np.full_like(self._true, np.nan)
            self._true, self._shown = np.vstack((self._true, more)), np.vstack((self._shown, more))
        self._true[first:end] = [values for _, values, _ in self._new]
        for second, _, shown in self._new:
            if second >= self._n_shown:
                for name, value in shown.items():
                    if value is not None and name in _COLUMNS:
                        self._shown[second, _COLUMNS[name]] = value
        self._n_true, self._n_shown = end, max(end, self._n_shown)
        self._new = []

    def write_beats(self, before_step: int, last_beat_step: int, n_beats: int) -> None:
        """``n_beats`` since ``before_step``, the last of them at ``last_beat_step``."""
        newest = self._beat_steps[-1] if self._beat_steps else before_step
        # After a long silence the first beat came some time in this second, not halfway through the silence.
        start = newest if before_step - newest <= _SILENCE_STEPS else before_step
        gap = (last_beat_step - start) / n_beats
        self._beat_steps.extend(round(start + gap * (k + 1)) for k in range(n_beats))

    def forget_true_after(self, step: int) -> None:
        """The body is recomputed from ``step``: true values and beats after it are about to be written anew."""
        self._put_away()
        self._n_true = min(self._n_true, step // 100 + 1)
        while self._beat_steps and self._beat_steps[-1] > step:
            self._beat_steps.pop()

    def copy(self) -> "Tracks":
        """Tracks that grow on their own from here."""
        self._put_away()
        other = Tracks()
        other._true, other._shown = self._true.copy(), self._shown.copy()
        other._n_true, other._n_shown = self._n_true, self._n_shown
        other._beat_steps = list(self._beat_steps)
        return other
