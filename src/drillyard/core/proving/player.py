"""A simulated crew plays a case: headless, at full speed, over the same desk that an operator uses.

The simulated operator answers a question and gives a due cue ``ANSWER_S`` after it came up.  Nothing here knows a
clock: wall times are the start's plus simulated time.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final, Protocol

from drillyard.core.care.ways import How
from drillyard.core.proving.check import at_s
from drillyard.core.proving.crew import Crew, CrewStep
from drillyard.core.proving.knowable import known_values
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.scenario.conditions import Conditions
from drillyard.core.session.book import Wanted
from drillyard.core.session.director import due_cues
from drillyard.core.session.events import (
    STEPS_PER_S,
    STEPS_PER_TICK,
    Event,
    Happening,
    RunEnded,
    RunStarted,
    Source,
)
from drillyard.core.session.run import Run
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.timeline import is_derived

ANSWER_S: Final = 4.0
"""Seconds until the simulated operator says or hands over what is due (our choice)."""
TIME_IS_UP: Final = "the time of the case is up"


class DeskPart(Protocol):
    """What a crew needs of the operator's desk: lines, phases and cues turned into happenings for the log."""

    def enter(self, typed: str, *, confirmed: bool = False) -> Sequence[Happening]: ...
    def enter_phase(self, phase: str) -> Sequence[Happening]: ...
    def give_cue(self, cue_id: str) -> Sequence[Happening]: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class NotDone:
    """A step that could not be entered, with the sentence that says why; the crew goes on."""

    t_s: float
    what: str
    fault: Fault


@dataclass(slots=True)
class Rehearsal:
    """One playing.  ``run`` holds the log, the tracks and the patient at the end."""

    run: Run
    crew: Crew
    not_done: list[NotDone] = field(default_factory=list)
    told: list[tuple[float, str]] = field(default_factory=list)
    """Sentences of the core for the operator, with their times."""
    beside: dict[str, list[float]] = field(default_factory=dict)
    """Signals that the case's checks name and that have no track, one value a second."""

    def column(self, name: str) -> list[float]:
        """A signal of the patient, one value a second; empty where it was not kept."""
        tracks = self.run.tracks
        return tracks.column(name).tolist() if name in tracks.names else self.beside.get(name, [])


def rehearse(
    setup: RunSetup,
    crew: Crew,
    make_desk: Callable[[Run], DeskPart],
    ways: Mapping[str, How],
    *,
    started: RunStarted,
    started_wall: datetime,
) -> Rehearsal:
    """Plays a crew through a case, to its end or its time cap.

    Args:
        setup: of the run; with ``has_director`` the simulated operator gives cues as well.
        crew: a script without faults.
        make_desk: the desk over the run.
        ways: how each finding reaches the crew in this room.
        started: the first event of the log.
        started_wall: wall time of time zero, with its zone.

    Raises:
        Refusal: the case holds a problem that the body cannot have.
    """
    player = _Player(Run(setup), crew, make_desk, ways, started_wall)
    player.play(started)
    return player.rehearsal


class _Player:
    """The loop of one playing."""

    def __init__(
        self,
        run: Run,
        crew: Crew,
        make_desk: Callable[[Run], DeskPart],
        ways: Mapping[str, How],
        started_wall: datetime,
    ) -> None:
        self.run, self.desk, self.ways, self.started_wall = run, make_desk(run), ways, started_wall
        self.rehearsal = Rehearsal(run=run, crew=crew)
        self._timed = sorted(
            ((_tick_s(at_s(step) + step.within_s), k, step) for k, step in enumerate(crew.steps) if step.at),
            key=lambda row: row[:2],
        )
        self._waiting = [(k, step) for k, step in enumerate(crew.steps) if step.when]
        self._conditions = Conditions(step.when for _, step in self._waiting)
        self._met: dict[int, float] = {}
        self._due_since: dict[str, float] = {}
        self._n_sent = 0
        checked = {check.signal for check in run.setup.scenario.checks} - set(run.tracks.names)
        self.rehearsal.beside = {name: [] for name in sorted(checked) if name in SIGNALS}

    def play(self, started: RunStarted) -> None:
        """From time zero to the end."""
        run, cap_s = self.run, self.run.setup.scenario.time_cap_s
        self._log(run.advance_to(0))
        self._post(started, "server", "server", "started")
        second = 0
        while True:
            self._act(float(second))
            if run.is_ended or run.frozen is not None:
                break
            if second >= cap_s:
                ended = RunEnded(reason=TIME_IS_UP, outcome=run.machine.outcome())
                self._post(ended, "clock", "server", "time-cap")
                break
            second += 1
            self._advance(float(second))
        self._take_told()

    # ---- time -------------------------------------------------------------------------------------------------

    def _advance(self, second: float) -> None:
        """To the next whole second, by way of the steps that fall before it."""
        while self._timed and self._timed[0][0] < second and not self.run.is_ended:
            self._log(self.run.advance_to(round(self._timed[0][0] * STEPS_PER_S)))
            self._do(self._timed.pop(0)[2])
        self._log(self.run.advance_to(round(second * STEPS_PER_S)))
        self._take_told()

    def _act(self, t_s: float) -> None:
        """What crew and operator do at a whole second."""
        for name, values in self.rehearsal.beside.items():
            values.append(self.run.machine.signals[name])
        while self._timed and self._timed[0][0] <= t_s:
            self._do(self._timed.pop(0)[2])
        for step in self._ready(t_s):
            self._do(step)
        if not self.run.is_ended:
            self._answer(t_s)

    def _ready(self, t_s: float) -> list[CrewStep]:
        """Steps whose condition has held once and whose time after it has come."""
        known = known_values(self.run.signals(), self.run.shown())
        holds = self._conditions.evaluate(t_s, known, self.run.machine.facts)
        ready = []
        for (index, step), is_true in zip(self._waiting, holds, strict=True):
            if is_true:
                self._met.setdefault(index, t_s)
            if self._met.get(index, t_s + 1.0) + step.within_s <= t_s:
                ready.append((index, step))
        if ready:
            done = {index for index, _ in ready}
            self._waiting = [row for row in self._waiting if row[0] not in done]
            self._conditions = Conditions(step.when for _, step in self._waiting)
        return [step for _, step in ready]

    # ---- acts -------------------------------------------------------------------------------------------------

    def _do(self, step: CrewStep) -> None:
        if self.run.is_ended:
            return
        try:
            if step.phase:
                happenings = self.desk.enter_phase(step.phase)
            else:
                happenings = self.desk.enter(step.do, confirmed=step.confirm)
            self._send(happenings, step.by)
        except Refusal as refusal:
            what = step.phase or step.do
            self.rehearsal.not_done.append(NotDone(t_s=self.run.t_s, what=what, fault=refusal.faults[0]))

    def _answer(self, t_s: float) -> None:
        """The operator says, shows or hands over what has been due for a while."""
        director = self.run.director
        waiting = director.waiting if director is not None else ()
        due = due_cues(waiting, self.run.state, self.run.signals(), self.ways)
        self._due_since = {cue.id: self._due_since.get(cue.id, t_s) for cue in due}
        for cue_id, since_s in list(self._due_since.items()):
            if t_s - since_s >= ANSWER_S:
                try:
                    self._send(self.desk.give_cue(cue_id), "operator")
                except Refusal as refusal:
                    if t_s - since_s < ANSWER_S + 1.0:
                        fault = refusal.faults[0]
                        self.rehearsal.not_done.append(NotDone(t_s=t_s, what=f"answer: {cue_id}", fault=fault))

    def _send(self, happenings: Sequence[Happening], actor: str) -> None:
        self._n_sent += 1
        for k, body in enumerate(happenings):
            self._post(body, "script", actor, f"crew-{self._n_sent}" + (f"+{k}" if k else ""))

    # ---- log --------------------------------------------------------------------------------------------------

    def _post(self, body: Happening, source: Source, actor: str, client_id: str) -> None:
        self._append(body, source, actor, client_id, self.run.step, ())
        self._log(self.run.advance_to(self.run.step))

    def _log(self, wanted: Sequence[Wanted]) -> None:
        for row in wanted:
            self._append(row.body, row.source, row.actor, row.client_id, row.step, row.tags)

    def _append(
        self, body: Happening, source: Source, actor: str, client_id: str, step: int, tags: tuple[str, ...]
    ) -> None:
        event = Event(
            seq=len(self.run.events) + 1,
            step=step,
            t_sim_s=step / STEPS_PER_S,
            t_wall_utc=(self.started_wall + timedelta(seconds=step / STEPS_PER_S)).isoformat(),
            source=source,
            actor=actor,
            client_id=client_id,
            body=body,
            tags=tags,
        )
        if not is_derived(event):
            self.run.check(body, step)
        self.run.post(event)

    def _take_told(self) -> None:
        self.rehearsal.told += [(self.run.t_s, sentence) for _, sentence in self.run.take_advice()]


def _tick_s(t_s: float) -> float:
    """The tick at or after a time: an event acts at a tick."""
    ticks = -(-round(t_s * STEPS_PER_S) // STEPS_PER_TICK)
    return ticks * STEPS_PER_TICK / STEPS_PER_S
