"""The last seconds of the waves, a row every 10 ms."""

import numpy as np
from numpy.typing import NDArray


class Waves:
    """A ring of rows.  ``names`` are the columns, in the units that end their names."""

    def __init__(self, names: tuple[str, ...], seconds: int) -> None:
        self.names = names
        self._ring: NDArray[np.float64] = np.zeros((seconds * 100, len(names)))
        self._next_step = 0

    def room(self, n_steps: int) -> NDArray[np.float64]:
        """The rows for at most ``n_steps`` next steps; fewer where the ring begins anew."""
        at = self._next_step % len(self._ring)
        return self._ring[at : min(at + n_steps, len(self._ring))]

    def written(self, n_steps: int) -> None:
        """``n_steps`` rows of the room have been filled."""
        self._next_step += n_steps

    @property
    def next_step(self) -> int:
        """The step of the first row that is not written yet."""
        return self._next_step

    def since(self, step: int) -> tuple[int, NDArray[np.float64]]:
        """A copy of the rows from ``step`` on, and the step of the first one, which is later where rows are gone."""
        first = max(step, self._next_step - len(self._ring), 0)
        rows = np.arange(first, self._next_step) % len(self._ring)
        return first, self._ring[rows]

    def start_at(self, step: int) -> None:
        """Waves go on from ``step`` with an empty ring."""
        self._ring[:] = 0.0
        self._next_step = step
