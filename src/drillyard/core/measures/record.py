"""The record that measures read: the log as it stands (undo, corrections and late entries resolved) and the tracks.

What the crew could know is ``obtained`` and ``shown``; what the body was is ``true`` and may be read by the burdens
alone.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, Final, Protocol

import numpy as np
from numpy.typing import NDArray

from drillyard.core.care.actions import Action, Examine, GiveDrug, Say, Survey
from drillyard.core.care.problems import Problem
from drillyard.core.formulary import Formulary
from drillyard.core.measures.result import MINUTE_S, Moment
from drillyard.core.scenario.model import Scenario
from drillyard.core.session.events import (
    CareGiven,
    Event,
    FalseStart,
    FindingObtained,
    PhaseEntered,
    RunEnded,
    TimeJumped,
)
from drillyard.core.session.events import ProblemSet as ProblemSetEvent
from drillyard.core.session.timeline import Entry, record_timeline

TRACK_U_S: Final = 0.5
"""Uncertainty of a time read from a track with one value a second."""
LATE_U_S: Final = 5.0
"""A time entered afterwards from memory is at least this uncertain (our choice)."""

ZERO_PHASES: Final = ("at patient", "at bedside")
"""Phases that are PT, the zero of most measures, on the street and on the ward."""


class TracksRead(Protocol):
    """Tracks of a run: one value a second from time zero (``core/session/tracks.py`` has this form)."""

    def __len__(self) -> int: ...
    def column(self, name: str) -> NDArray[np.float64]: ...
    def shown_column(self, name: str) -> NDArray[np.float64]: ...


class Record:
    """One run as measures see it."""

    def __init__(
        self, events: Sequence[Event], tracks: TracksRead, scenario: Scenario, formulary: Formulary | None = None
    ) -> None:
        self.scenario = scenario
        self.formulary = formulary
        self.tracks = tracks
        self.entries = [entry for entry in record_timeline(events) if not entry.is_undone]
        self.is_void = any(isinstance(event.body, FalseStart) for event in events)
        self._jumps = [
            (entry.t_s, entry.body.minutes * MINUTE_S) for entry in self.entries if isinstance(entry.body, TimeJumped)
        ]
        ended = next((entry for entry in self.entries if isinstance(entry.body, RunEnded)), None)
        last_s = max([float(len(tracks) - 1), *(entry.t_s for entry in self.entries)], default=0.0)
        self.end = self._moment_of(ended) if ended else self.at(max(last_s, 0.0), TRACK_U_S)

    def at(self, t_s: float, u_s: float, seq: int = 0) -> Moment:
        """A moment of this run, with what was jumped before it."""
        jumped_s = sum(max(0.0, min(t_s - from_s, length_s)) for from_s, length_s in self._jumps)
        return Moment(t_s, u_s, seq, jumped_s)

    def _moment_of(self, entry: Entry) -> Moment:
        """When an entry happened; one entered late is less certain than one entered at once."""
        return self.at(entry.t_s, max(entry.event.u_s, LATE_U_S) if entry.is_late else entry.event.u_s, entry.seq)

    # ---- log ------------------------------------------------------------------------------------------------------

    @property
    def zero(self) -> Moment | None:
        """PT: at the patient."""
        return next((m for m in (self.phase(name) for name in ZERO_PHASES) if m is not None), None)

    def phase(self, name: str) -> Moment | None:
        """When a phase was first entered."""
        found = (e for e in self.entries if isinstance(e.body, PhaseEntered) and e.body.phase == name)
        return next((self._moment_of(entry) for entry in found), None)

    def care(self, *kinds: type) -> Iterator[tuple[Moment, Any]]:
        """Actions of the crew of these kinds (all if none is named), in order of time."""
        for entry in self.entries:
            if isinstance(entry.body, CareGiven) and (not kinds or isinstance(entry.body.action, kinds)):
                yield self._moment_of(entry), entry.body.action

    def first(self, kind: type, fits: Callable[[Any], bool] = lambda action: True) -> Moment | None:
        """The first action of a kind that fits."""
        return next((moment for moment, action in self.care(kind) if fits(action)), None)

    def said(self, what: str) -> list[tuple[Moment, str]]:
        """Words of one kind that were said, with their times."""
        return [(moment, action.text) for moment, action in self.care(Say) if action.what == what]

    def drugs(self, name: str = "") -> list[tuple[Moment, GiveDrug]]:
        return [(moment, action) for moment, action in self.care(GiveDrug) if not name or action.drug == name]

    def problems(self, kind: type) -> list[Any]:
        """The case's problems of a kind, and those set during the run."""
        of_case: list[Problem] = list(self.scenario.problems)
        of_case += [entry.body.problem for entry in self.entries if isinstance(entry.body, ProblemSetEvent)]
        return [problem for problem in of_case if isinstance(problem, kind)]

    # ---- what the crew obtained -----------------------------------------------------------------------------------

    def obtained(self, findings: Iterable[str] = ()) -> list[tuple[Moment, FindingObtained]]:
        """Findings that the crew got, by any way; all if none is named."""
        wanted = frozenset(findings)
        return [
            (self._moment_of(entry), entry.body)
            for entry in self.entries
            if isinstance(entry.body, FindingObtained) and (not wanted or entry.body.finding in wanted)
        ]

    def looks(self) -> list[tuple[Moment, Action]]:
        """Examinations and parts of the survey, as logged."""
        return list(self.care(Examine, Survey))

    def shown_s(self, signal: str) -> NDArray[np.float64]:
        """Seconds at which a signal stood on a screen for the crew to see."""
        seconds: NDArray[np.float64] = np.flatnonzero(~np.isnan(self.tracks.shown_column(signal))).astype(np.float64)
        return seconds

    # ---- the body, for burdens only -------------------------------------------------------------------------------

    def true_from_zero(self, signal: str) -> NDArray[np.float64]:
        """Values of the body, one a second, from PT to the end of the run."""
        zero = self.zero
        start = round(zero.t_s) if zero else 0
        stop = int(self.end.t_s) + 1
        return self.tracks.column(signal)[start:stop]
