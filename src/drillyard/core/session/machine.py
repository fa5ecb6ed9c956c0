"""The machine of a run: body, course of problems, sensors, rules and facts moving together, and nothing of the log.

One moment is worked through in a fixed order, so that live, replay, look-ahead and what-if agree to the bit: the body
arrives; at a whole second sensors and rules see it, what a rule does acts at once, problems grow and the second is
handed to ``on_second``; then the events of this step act, in order of their numbers.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import replace
from math import isfinite
from typing import Final, Literal, Self

from drillyard.core.care.actions import Attach, Detach, MeasurePressure, RepeatPressure
from drillyard.core.care.problems import Problem
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.scenario.facts import Facts
from drillyard.core.scenario.model import EndProblem, EndRun, Rule, SetProblem, TellOperator
from drillyard.core.session.course import Course
from drillyard.core.session.events import (
    STEPS_PER_S,
    CareGiven,
    FalseStart,
    FindingObtained,
    Happening,
    HoldReleased,
    HoldSet,
    PhaseEntered,
    ProblemEnded,
    ProblemSet,
    RuleFired,
    RunEnded,
    Source,
)
from drillyard.core.session.holds import Holds
from drillyard.core.session.remembered import BodyFroze, Derived, MachineSnapshot
from drillyard.core.session.setup import BodyPart, RunSetup
from drillyard.core.session.timeline import Entry
from drillyard.core.session.waves import Waves
from drillyard.core.signals.cuff import CuffReading

Outcome = Literal["alive", "arrested", "dead"]
OnSecond = Callable[[int], None]

CUFF_FINDING: Final = "pressure"
"""The row of the finding catalogue that a cuff cycle supplies."""
CHECK_EVERY_S: Final = 10.0
"""Every so often the whole body is looked at for numbers that are not finite; snapshots are taken as often."""
DEATH_REASON: Final = "the patient died, as this case declares for this level"
TIME_CAP_REASON: Final = "the time of the case is up"


class Machine:
    """Moves by ``run_to``; what it finds out by itself is left in ``derived``."""

    def __init__(self, setup: RunSetup) -> None:
        self.setup = setup
        self.body: BodyPart = setup.make_body(setup)
        self.sensors = setup.make_sensors(setup)
        self.rules = setup.make_rules(setup)
        self.facts = Facts()
        self.course = Course()
        self.holds = Holds()
        self.step = 0
        self.is_ended = False
        self.derived: list[Derived] = []
        self.advice: list[tuple[int, str]] = []
        self.suppressed: frozenset[str] = frozenset()
        self.signals: dict[str, float] = {}
        self.beats: tuple[int, int, int] | None = None
        self.waves = Waves(setup.kernel.layout.wave_names, setup.wave_s) if setup.wave_s else None
        self._counts: dict[str, int] = {}
        self._cuff_asked: tuple[tuple[str, float], ...] = ()
        self._seconds_done = 0
        self._may_die = setup.scenario.death_policy(setup.level) == "may die"
        self._preroll()
        self._zero_step = int(self.body.read("step_count"))
        self._beat_count = self.body.read("beat_count")

    @property
    def t_s(self) -> float:
        return self.step / STEPS_PER_S

    # ---- before time zero -------------------------------------------------------------------------------------

    def _preroll(self) -> None:
        """From health through the problems that began before time zero, to time zero.

        Raises:
            Refusal: the body cannot have such a problem.
        """
        key = self.setup.preroll_key(self.body.model_hash())
        stored = self.setup.preroll.get(key)
        problems = sorted(self.setup.scenario.problems, key=lambda problem: problem.start_s)
        before = deque(problem for problem in problems if problem.start_s < 0.0)
        for problem in problems:
            if problem.start_s >= 0.0:
                self.course = self.course.with_waiting(problem.start_s, problem)
        if stored is not None:
            self.body.restore(stored)
        first_s = int(before[0].start_s // 1.0) if before else 0
        for second in range(first_s, 0):
            while before and before[0].start_s < second + 1:
                self.course = self.course.begun(float(second), before.popleft())
            for growing in self.course.growing:
                if stored is None:
                    self.body.set_problem(growing.at(float(second)))
            self._drop_grown(float(second))
            if stored is None:
                self.body.advance(STEPS_PER_S)
        if stored is None and first_s < 0:
            self.setup.preroll.keep(key, self.body.snapshot())

    # ---- time -------------------------------------------------------------------------------------------------

    def run_to(self, step: int, queue: deque[Entry], on_second: OnSecond) -> None:
        """Moves to ``step``, or to the step at which the run ends, and lets due entries of ``queue`` act.

        Raises:
            BodyFroze: at the first whole second at which the body is found not finite.
        """
        self._arrive(on_second)
        self._act_due(queue)
        while self.step < step and not self.is_ended:
            stop = min(step, (self.step // STEPS_PER_S + 1) * STEPS_PER_S)
            if queue:
                stop = min(stop, queue[0].step)
            self._advance_body(stop - self.step)
            self.step = stop
            self._arrive(on_second)
            self._act_due(queue)

    def _advance_body(self, n_steps: int) -> None:
        if self.waves is None:
            self.body.advance(n_steps)
            return
        while n_steps:
            rows = self.waves.room(n_steps)
            self.body.advance(len(rows), rows)
            self.waves.written(len(rows))
            n_steps -= len(rows)

    def _act_due(self, queue: deque[Entry]) -> None:
        while queue and queue[0].step <= self.step and not self.is_ended:
            self.act(queue.popleft())

    def _arrive(self, on_second: OnSecond) -> None:
        if self.step % STEPS_PER_S or self.step // STEPS_PER_S < self._seconds_done:
            return
        t_s = self.t_s
        self.signals = signals = self.body.read_all()
        # What is read betrays most faults at once; the whole state is looked at before a snapshot would keep it.
        if not isfinite(sum(signals.values())) or (t_s % CHECK_EVERY_S == 0.0 and not self.body.is_finite):
            raise BodyFroze(
                Fault(
                    code="body froze",
                    said=f"the computed patient became impossible at {t_s:g} s and stands still",
                    remedy="go back to the last good moment, or end the run; other rooms go on",
                )
            )
        self._note_beats()
        for reading in self.sensors.update(t_s, signals):
            self._cuff_done(reading)
        for rule in self.rules.evaluate(t_s, signals, self.facts):
            self._fire(rule)
        self._start_waiting(t_s)
        self._grow(t_s)
        self.holds.let_go(self.body, t_s)
        self._seconds_done = self.step // STEPS_PER_S + 1
        self._end_by_itself(t_s)
        on_second(self.step // STEPS_PER_S)

    def _note_beats(self) -> None:
        count = self.body.read("beat_count")
        n_beats = int(count - self._beat_count)
        self._beat_count = count
        last_step = int(self.body.read("beat_step")) - self._zero_step
        self.beats = (self.step - STEPS_PER_S, last_step, n_beats) if n_beats > 0 else None

    # ---- what the core finds out by itself --------------------------------------------------------------------

    def _derive(self, cause: str, body: Happening, source: Source, detail: str = "") -> bool:
        """Notes a derived happening; False where the operator has taken this very one back."""
        stem = f"{cause}|{body.kind}|{detail}"
        self._counts[stem] = self._counts.get(stem, 0) + 1
        key = f"{stem}|{self._counts[stem]}"
        if key in self.suppressed:
            return False
        self.derived.append(Derived(step=self.step, body=body, source=source, key=key))
        return True

    def _fire(self, rule: Rule) -> None:
        told = [effect.text for effect in rule.then if isinstance(effect, TellOperator)]
        text = " ".join(told) or rule.why or f"rule '{rule.name}'"
        if not self._derive(rule.name, RuleFired(rule=rule.name, text=text), "rule"):
            return
        for effect in rule.then:
            match effect:
                case SetProblem():
                    start_s = self.t_s + max(0.0, effect.problem.start_s)
                    self.course = self.course.with_waiting(start_s, effect.problem, rule.name)
                case EndProblem():
                    happening = ProblemEnded(name=effect.name, reason=f"rule '{rule.name}'")
                    if self._derive(rule.name, happening, "rule", effect.name):
                        self._end_problem(effect.name)
                case EndRun():
                    self._end(rule.name, effect.reason, "rule")
                case _:
                    # Cues, scripted findings and words to the operator are the director's; they follow from the firing.
                    pass

    def _cuff_done(self, reading: CuffReading) -> None:
        """A cycle gave its reading, or failed; the crew reads either from the monitor."""
        cause, asked_s = "repeated cuff", None
        if not reading.by_itself:
            (cause, asked_s), *later = self._cuff_asked or (("cuff", self.t_s),)
            self._cuff_asked = tuple(later)
        obtained = FindingObtained(
            finding=CUFF_FINDING,
            value=reading.systolic_mmhg,
            text=reading.text(),
            how="room monitor",
            true_value=self.signals["systolic_pressure_mmhg"],
            requested_t_s=asked_s,
        )
        if self._derive(cause, obtained, "clock"):
            self.facts.note_obtained(CUFF_FINDING, self.t_s)

    def _end_by_itself(self, t_s: float) -> None:
        if self.is_ended:
            return
        if self._may_die and self.signals["is_alive"] < 0.5:
            self._end("death", DEATH_REASON, "clock")
        elif self.setup.ends_at_time_cap and t_s >= self.setup.scenario.time_cap_s:
            self._end("time cap", TIME_CAP_REASON, "clock")

    def _end(self, cause: str, reason: str, source: Source) -> None:
        if not self.is_ended and self._derive(cause, RunEnded(reason=reason, outcome=self.outcome()), source):
            self.is_ended = True

    def outcome(self) -> Outcome:
        """How the patient is now."""
        if self.body.read("is_alive") < 0.5:
            return "dead"
        return "arrested" if self.body.read("has_pulse") < 0.5 else "alive"

    # ---- problems ---------------------------------------------------------------------------------------------

    def _start_waiting(self, t_s: float) -> None:
        due = [waiting for waiting in self.course.waiting if waiting.start_s <= t_s]
        for waiting in due:
            self.course = self.course.without_waiting(waiting)
            happening = ProblemSet(problem=waiting.problem, reason=f"rule '{waiting.rule}'")
            is_from_case = not waiting.rule
            if is_from_case or self._derive(waiting.rule, happening, "rule", waiting.problem.name):
                self._begin(t_s, waiting.problem)

    def begin(self, problem: Problem) -> None:
        """A problem begins, or changes, at this step; what the body refuses is told as advice."""
        self._begin(self.t_s, problem)

    def _begin(self, t_s: float, problem: Problem) -> None:
        self.course = self.course.begun(t_s, problem)
        self._reach(problem.name, t_s)

    def _grow(self, t_s: float) -> None:
        if self.course.growing:
            for growing in self.course.growing:
                self._reach(growing.problem.name, t_s)
            self._drop_grown(t_s)

    def _drop_grown(self, t_s: float) -> None:
        if self.course.growing:
            growing = tuple(growing for growing in self.course.growing if not growing.is_grown(t_s))
            self.course = replace(self.course, growing=growing)

    def _reach(self, name: str, t_s: float) -> None:
        """Gives the body the problem at the size it has now; a problem that the body refuses is told and left out."""
        try:
            self.body.set_problem(self.course.size_at(name, t_s))
        except Refusal as refusal:
            self.advice.append((0, str(refusal)))
            self.course = self.course.ended(name)

    def _end_problem(self, name: str) -> bool:
        problem = self.course.find(name)
        self.course = self.course.ended(name)
        if problem is not None:
            self.body.end_problem(problem)
        return problem is not None

    # ---- what is shown ----------------------------------------------------------------------------------------

    def shown(self) -> dict[str, float | None]:
        """What screens can show the crew now, held values in their place; None where a sensor is not on."""
        return self.holds.over(self.sensors.shown(), self.t_s)

    # ---- events -----------------------------------------------------------------------------------------------

    def act(self, entry: Entry) -> None:
        """Lets one entry act now.  What the body refuses is told as advice and changes nothing."""
        try:
            told = self._act(entry)
        except Refusal as refusal:
            told = str(refusal)
        if told:
            self.advice.append((entry.seq, told))

    def _act(self, entry: Entry) -> str:
        match entry.body:
            case CareGiven():
                return self._care(entry, entry.body)
            case ProblemSet():
                self.begin(entry.body.problem)
            case ProblemEnded():
                if not self._end_problem(entry.body.name):
                    return f"there is no problem '{entry.body.name}' to end"
            case HoldSet():
                self.holds.set(entry.body, self.body)
            case HoldReleased():
                self.holds.release(entry.body, self.body, self.t_s)
            case FindingObtained():
                self.facts.note_obtained(entry.body.finding, entry.t_s)
            case PhaseEntered():
                self.facts.enter_phase(entry.body.phase)
            case RunEnded() | FalseStart():
                self.is_ended = True
            case _:
                pass
        return ""

    def _care(self, entry: Entry, body: CareGiven) -> str:
        told = self.body.apply(body.action)
        self.facts.note_action(body.action, entry.t_s)
        match body.action:
            case Attach():
                self.sensors.attach(body.action.sensor, body.action.site, self.t_s)
            case Detach():
                self.sensors.detach(body.action.sensor, self.t_s)
            case MeasurePressure():
                self.sensors.start_cuff(body.action.site, self.t_s)
                self._cuff_asked = (*self._cuff_asked, (f"entry {entry.seq}", entry.t_s))
            case RepeatPressure():
                self.sensors.repeat_cuff(body.action.site, body.action.every_s, self.t_s)
            case _:
                pass
        return told

    # ---- snapshots --------------------------------------------------------------------------------------------

    def snapshot(self) -> MachineSnapshot:
        """All that is remembered.  Taken in ``on_second`` it lies before the events of its step."""
        return MachineSnapshot(
            step=self.step,
            seconds_done=self._seconds_done,
            body=self.body.snapshot(),
            sensors=self.sensors.get_state(),
            rules=self.rules.get_state(),
            facts=self.facts.copy(),
            course=self.course,
            holds=self.holds.copy(),
            counts=dict(self._counts),
            cuff_asked=self._cuff_asked,
            beat_count=self._beat_count,
            is_ended=self.is_ended,
        )

    def restore(self, snapshot: MachineSnapshot) -> None:
        """Becomes the machine of ``snapshot``; what was found out and not yet taken away is dropped."""
        self.step = snapshot.step
        self.body.restore(snapshot.body)
        self.sensors.set_state(snapshot.sensors)
        self.rules.set_state(snapshot.rules)
        self.facts = snapshot.facts.copy()
        self.course = snapshot.course
        self.holds = snapshot.holds.copy()
        self._counts = dict(snapshot.counts)
        self._cuff_asked = snapshot.cuff_asked
        self._beat_count = snapshot.beat_count
        self.is_ended = snapshot.is_ended
        self._seconds_done = snapshot.seconds_done
        self.derived, self.advice = [], []
        if self.waves is not None:
            self.waves.start_at(snapshot.step)

    def copy(self) -> Self:
        """An independent machine in the same state, without waves: for look-ahead and what-if."""
        twin = object.__new__(type(self))
        twin.__dict__.update(self.__dict__)
        twin.body, twin.sensors, twin.rules = self.body.copy(), self.sensors.copy(), self.rules.copy()
        twin.facts, twin.holds = self.facts.copy(), self.holds.copy()
        twin._counts = dict(self._counts)
        twin.derived, twin.advice, twin.waves = list(self.derived), list(self.advice), None
        twin.signals = dict(self.signals)
        return twin
