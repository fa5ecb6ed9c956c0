"""The director: what must be told or handed over now.

Cues of the case wait while their condition holds or after a rule put them in the queue; a finding that the crew asked
for and that this manikin cannot show waits until it is supplied; scripted findings are there by their times and rules.
Nothing here touches the body.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from drillyard.core.scenario.cues import CueQueue
from drillyard.core.scenario.facts import Facts
from drillyard.core.scenario.model import Cue, EndFinding, GiveCue, Rule, Scenario, ScriptedFinding, ShowFinding
from drillyard.core.session.events import CueGiven, EntryUndone, Event, How, RuleFired
from drillyard.core.session.state import FiredRule, RunState
from drillyard.core.signals.findings import FINDINGS


@dataclass(frozen=True, slots=True, kw_only=True)
class DueCue:
    """One thing to say, show or hand over now.  ``id`` names it in ``CueGiven`` or, for a finding, its supply."""

    id: str
    words: str
    why: str
    how: How
    finding: str = ""


class Director:
    """Follows one run, second by second."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.queue = CueQueue(scenario.cues)
        self.waiting: tuple[Cue, ...] = ()
        self._rules: dict[str, Rule] = {rule.name: rule for rule in scenario.rules}
        self._given: dict[int, str] = {}
        self._next_second = 0

    def on_second(self, second: int, signals: Mapping[str, float], facts: Facts) -> None:
        """The cues of one second.  A second that was seen before (the body is recomputed) is passed over."""
        if second >= self._next_second:
            self._next_second = second + 1
            self.waiting = tuple(self.queue.evaluate(float(second), signals, facts))

    def on_event(self, event: Event) -> None:
        """A rule that fired may put a cue into the queue; a cue that was given leaves it, and comes back if undone."""
        match event.body:
            case RuleFired():
                rule = self._rules.get(event.body.rule)
                for effect in rule.then if rule is not None else ():
                    if isinstance(effect, GiveCue):
                        self.queue.put(effect.cue)
            case CueGiven():
                self._given[event.seq] = event.body.cue
                self.queue.note_given(event.body.cue, event.t_sim_s)
                self.waiting = tuple(cue for cue in self.waiting if cue.name != event.body.cue)
            case EntryUndone():
                cue = self._given.get(event.body.target_seq)
                if cue is not None:
                    self.queue.put(cue)
            case _:
                pass

    def copy(self) -> "Director":
        twin = object.__new__(Director)
        twin.__dict__.update(self.__dict__)
        twin.queue, twin._given = self.queue.copy(), dict(self._given)
        return twin


def due_cues(
    waiting: Sequence[Cue], state: RunState, signals: Mapping[str, float], ways: Mapping[str, How]
) -> list[DueCue]:
    """What is due now: findings asked for first, oldest first, then the cues of the case.

    ``ways`` says for each finding in which way this room supplies it (from the coverage); a finding that can be had
    on the manikin or the room monitor needs no words and is left out.
    """
    due = []
    for asked in state.waiting:
        how = ways.get(asked.finding, "told")
        if how in ("on the manikin", "room monitor"):
            continue
        row = FINDINGS.get(asked.finding)
        words = row.read(signals).words if row is not None else ""
        why = f"asked {asked.text}" if asked.text else "asked by the crew"
        due.append(DueCue(id=f"finding {asked.finding}", words=words, why=why, how=how, finding=asked.finding))
    for cue in waiting:
        due.append(DueCue(id=cue.name, words=cue.words, why=cue.why, how=cue.how, finding=cue.finding))
    return due


def scripted_now(scenario: Scenario, fired: Sequence[FiredRule], t_s: float) -> list[ScriptedFinding]:
    """The scripted findings that are there at ``t_s``: by their times, and by the rules that fired last."""
    rules = {rule.name: rule for rule in scenario.rules}
    switched: dict[str, bool] = {}
    for firing in fired:
        rule = rules.get(firing.rule)
        for effect in rule.then if rule is not None and firing.t_s <= t_s else ():
            if isinstance(effect, ShowFinding):
                switched[effect.name] = True
            elif isinstance(effect, EndFinding):
                switched[effect.name] = False
    there = []
    for scripted in scenario.scripted:
        by_time = not scripted.waits and scripted.from_s <= t_s
        is_over = scripted.until_s is not None and t_s >= scripted.until_s
        if switched.get(scripted.name, by_time) and not is_over:
            there.append(scripted)
    return there
