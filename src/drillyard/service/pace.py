"""From monotonic time to steps of the body: times one, pause, and jumps where the case declares them."""

import math

from drillyard.core.session.events import STEPS_PER_S, STEPS_PER_TICK

TICKS_PER_S = STEPS_PER_S // STEPS_PER_TICK


class Pace:
    """Where the patient should be by now.  Steps are whole ticks; time that stands still costs nothing."""

    def __init__(self, step: int = 0) -> None:
        self._step, self._since_s = step, 0.0
        self._stop_step: int | None = step

    @property
    def is_moving(self) -> bool:
        return self._stop_step is None

    def start(self, now_s: float, step: int) -> None:
        """Move from ``step`` on, from now."""
        self._step, self._since_s, self._stop_step = step, now_s, None

    def stop(self, step: int) -> None:
        """Go no further than ``step``."""
        self._stop_step = step

    def jump(self, from_step: int, n_steps: int, now_s: float) -> None:
        """``n_steps`` pass at once when ``from_step`` is reached; afterwards time goes on as before."""
        if self._stop_step is not None:
            self._stop_step = max(self._stop_step, from_step) + n_steps
        else:
            self._step, self._since_s = max(from_step, self.target(now_s)) + n_steps, now_s

    def target(self, now_s: float) -> int:
        """The step of the newest tick that has come by ``now_s``."""
        if self._stop_step is not None:
            return self._stop_step
        gone_ticks = math.floor((now_s - self._since_s) * TICKS_PER_S + 1e-6)
        return self._step + max(0, gone_ticks) * STEPS_PER_TICK

    def next_tick(self, now_s: float) -> int:
        """The step at which an event given now acts: the next tick, or this very one while time stands still."""
        return self.target(now_s) if self._stop_step is not None else self.target(now_s) + STEPS_PER_TICK
