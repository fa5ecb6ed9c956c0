"""What waits to be sent to one screen.

State (snapshot, changes, waves) may be dropped: a screen that cannot keep up gets a fresh snapshot instead of a
backlog.  Answers to its own commands may not: when too many of them wait, the connection is closed, and the screen
asks again under the same ids.
"""

import asyncio
from collections import deque
from collections.abc import Callable
from typing import Final

STATE_LIMIT: Final = 16
"""Messages of state that may wait; at 4 changes and 10 waves a second a little more than a second."""
ANSWER_LIMIT: Final = 64


class ScreenTooSlowError(Exception):
    """The screen takes no answers any more; its connection is to be closed."""


class Outbox:
    """One screen's own bounded queue.  ``snapshot`` makes the fresh state when the screen has fallen behind."""

    def __init__(self, snapshot: Callable[[], str]) -> None:
        self._snapshot = snapshot
        self._state: deque[str | bytes] = deque()
        self._answers: deque[str] = deque()
        self._is_behind = True
        self._waiting = asyncio.Event()
        self._waiting.set()
        self.n_resyncs = 0

    def put_state(self, message: str | bytes) -> None:
        """A change or a wave frame.  Dropped when a snapshot is due anyway."""
        if self._is_behind:
            return
        if len(self._state) >= STATE_LIMIT:
            self.n_resyncs += 1
            self.resync()
            return
        self._state.append(message)
        self._waiting.set()

    def put_answer(self, message: str) -> None:
        """An acknowledgement or a refusal.

        Raises:
            ScreenTooSlowError: the screen has not taken the answers before.
        """
        if len(self._answers) >= ANSWER_LIMIT:
            raise ScreenTooSlowError
        self._answers.append(message)
        self._waiting.set()

    def resync(self) -> None:
        """Forget what waits; the next thing sent is a fresh snapshot."""
        self._state.clear()
        self._is_behind = True
        self._waiting.set()

    async def take(self) -> str | bytes:
        """The next message, as soon as there is one."""
        while True:
            if self._answers:
                return self._answers.popleft()
            if self._is_behind:
                self._is_behind = False
                return self._snapshot()
            if self._state:
                return self._state.popleft()
            self._waiting.clear()
            await self._waiting.wait()
