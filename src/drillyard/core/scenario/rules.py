"""Rules: which fire now.  Evaluated at whole seconds; what they remember is plain data, part of a snapshot."""

from collections.abc import Iterable, Mapping

from drillyard.core.scenario.conditions import Conditions
from drillyard.core.scenario.facts import Facts
from drillyard.core.scenario.model import EndRun, Level, Rule, Scenario, TellOperator

RuleState = dict[str, tuple[float | None, bool]]
"""For each rule by name: the time since which its condition has held (or None), and whether it has fired."""


class RuleSet:
    """All rules of a run.  The same calls in the same order always fire the same rules."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        self.rules = tuple(rules)
        self._conditions = Conditions(rule.when for rule in self.rules)
        self._state: RuleState = {rule.name: (None, False) for rule in self.rules}

    @property
    def faults(self) -> dict[str, str]:
        """Conditions that could not be evaluated at some moment, with the reason."""
        return self._conditions.faults

    def evaluate(self, t_s: float, signals: Mapping[str, float], facts: Facts) -> list[Rule]:
        """The rules that fire at ``t_s`` (a whole second), in the order of the scenario.

        A condition must hold at every evaluation for ``held_for_s``; one miss starts it anew.  A rule fires once;
        with ``repeat`` it may fire again after its condition has been false in between.
        """
        fired = []
        # a rule that has fired and may not repeat is done with
        is_asked = [rule.repeat or not self._state[rule.name][1] for rule in self.rules]
        holds = self._conditions.evaluate(t_s, signals, facts, is_asked)
        for rule, is_true in zip(self.rules, holds, strict=True):
            since_s, has_fired = self._state[rule.name]
            if not is_true:
                self._state[rule.name] = (None, has_fired and not rule.repeat)
                continue
            since_s = t_s if since_s is None else since_s
            if not has_fired and t_s - since_s >= rule.held_for_s:
                has_fired = True
                fired.append(rule)
            self._state[rule.name] = (since_s, has_fired)
        return fired

    def get_state(self) -> RuleState:
        """What the rules remember, to be stored with a snapshot."""
        return dict(self._state)

    def set_state(self, state: Mapping[str, tuple[float | None, bool]]) -> None:
        """Puts back what ``get_state`` gave; rules that the state does not know start fresh."""
        for rule in self.rules:
            since_s, has_fired = state.get(rule.name, (None, False))
            self._state[rule.name] = (since_s, bool(has_fired))

    def copy(self) -> "RuleSet":
        """An independent copy for a branch of the run (its own evaluation context, same memory)."""
        twin = RuleSet.__new__(RuleSet)
        twin.rules = self.rules
        twin._conditions = self._conditions.copy()
        twin._state = dict(self._state)
        return twin


def rules_of(scenario: Scenario, level: Level | None = None) -> tuple[Rule, ...]:
    """The scenario's own rules and those that follow from its end rules, success, time cap and death policy.

    ``level``: the learners' level, if it is not the one the scenario was written for.
    """
    rules = list(scenario.rules)
    for end in scenario.ends:
        effect = EndRun(reason=end.reason) if end.ends_run else TellOperator(text=f"End of the run: {end.reason}")
        rules.append(Rule(name=f"end: {end.name}", when=end.when, held_for_s=end.held_for_s, then=(effect,)))
    if scenario.success.strip() != "false":
        text = "The case's aim is reached: the run can be ended."
        rules.append(Rule(name="end: success", when=scenario.success, held_for_s=5.0, then=(TellOperator(text=text),)))
    minutes = scenario.time_cap_s / 60.0
    cap = TellOperator(text=f"Time is up: {minutes:.0f} minutes.")
    rules.append(Rule(name="end: time cap", when=f"t_s >= {float(scenario.time_cap_s)!r}", then=(cap,)))
    policy = scenario.death_policy(level)
    if policy != "may die":
        reason = "The pulse is gone; for this level the case ends here, as declared."
        warning = "The pulse is gone. Death was not declared for this level: help, or end the run."
        effect = EndRun(reason=reason) if policy == "ends at arrest" else TellOperator(text=warning)
        rules.append(Rule(name="end: arrest", when="t_s > 0.0 && has_pulse < 0.5", held_for_s=10.0, then=(effect,)))
    return tuple(rules)
