"""The cue queue and the question-and-answer card: what must be told now, and what would be answered now."""

from collections.abc import Iterable, Mapping

from drillyard.core.scenario.conditions import Conditions
from drillyard.core.scenario.facts import Facts
from drillyard.core.scenario.model import Answer, Cue

CueMemory = tuple[float | None, bool, bool, float | None]
"""Since when the condition has held; whether the cue waits; whether a rule put it there; when it was last given."""
CueState = dict[str, CueMemory]
_FRESH: CueMemory = (None, False, False, None)


class CueQueue:
    """Which cues wait to be given.  Evaluated at whole seconds; its memory is plain data."""

    def __init__(self, cues: Iterable[Cue]) -> None:
        self.cues = tuple(cues)
        self._conditions = Conditions(cue.when for cue in self.cues)
        self._state: CueState = {cue.name: _FRESH for cue in self.cues}

    @property
    def faults(self) -> dict[str, str]:
        return self._conditions.faults

    def evaluate(self, t_s: float, signals: Mapping[str, float], facts: Facts) -> list[Cue]:
        """The cues that wait at ``t_s``, in the order of the scenario."""
        holds = self._conditions.evaluate(t_s, signals, facts)
        waiting = []
        for cue, is_true in zip(self.cues, holds, strict=True):
            since_s, waits, was_put, given_s = self._state[cue.name]
            since_s = (t_s if since_s is None else since_s) if is_true else None
            if since_s is not None and t_s - since_s >= cue.held_for_s:
                waits = waits or given_s is None or 0.0 < cue.again_after_s <= t_s - given_s
            elif not cue.stays:
                waits = False
            waits = waits or was_put
            self._state[cue.name] = (since_s, waits, was_put, given_s)
            if waits:
                waiting.append(cue)
        return waiting

    def note_given(self, name: str, t_s: float) -> None:
        """The cue was told or shown: it leaves the queue."""
        if name in self._state:
            self._state[name] = (self._state[name][0], False, False, t_s)

    def put(self, name: str) -> None:
        """A rule puts the cue into the queue, where it stays until it is given, whatever its own condition says."""
        if name in self._state:
            since_s, _, _, given_s = self._state[name]
            self._state[name] = (since_s, True, True, given_s)

    def get_state(self) -> CueState:
        return dict(self._state)

    def set_state(self, state: Mapping[str, CueMemory]) -> None:
        for cue in self.cues:
            since_s, waits, was_put, given_s = state.get(cue.name, _FRESH)
            self._state[cue.name] = (since_s, bool(waits), bool(was_put), given_s)

    def copy(self) -> "CueQueue":
        twin = CueQueue.__new__(CueQueue)
        twin.cues = self.cues
        twin._conditions = self._conditions.copy()
        twin._state = dict(self._state)
        return twin


class AnswerCard:
    """The lines of the question-and-answer card that hold in the present state."""

    def __init__(self, answers: Iterable[Answer]) -> None:
        self.answers = tuple(answers)
        self._conditions = Conditions(answer.when for answer in self.answers)

    def now(self, t_s: float, signals: Mapping[str, float], facts: Facts) -> list[Answer]:
        holds = self._conditions.evaluate(t_s, signals, facts)
        return [answer for answer, is_true in zip(self.answers, holds, strict=True) if is_true]
