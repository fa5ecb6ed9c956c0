"""Conditions: expressions of the Common Expression Language, compiled once and evaluated in microseconds.

An expression reads

- every signal of ``core/quantities/signals.py`` by its name (a number);
- ``t_s`` (seconds since time zero) and ``phase`` (its name);
- ``done["action words"]`` (true or false), ``count["action words"]`` (a number), ``since_s["action words"]`` (seconds
  since it was last done) and ``first_s["action words"]`` (when it was first done); a very large number if never;
- ``dose_mg["drug"]`` (total given), ``obtained["finding"]`` (the crew has it), ``since_obtained_s["finding"]``.

The words in brackets must be literal text, so that a misspelt one is found before the run.  All numbers are decimal:
``t_s + 60.0``, not ``t_s + 60`` (comparing with a whole number is fine).
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import ge, gt, le, lt
from typing import Any, Final

from cel import Context, compile

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.scenario.facts import NEVER_S, Facts

MAPS: Final = ("done", "count", "since_s", "first_s", "dose_mg", "obtained", "since_obtained_s")
PLAIN: Final = ("t_s", "phase")
_EVALUATION_ERRORS: Final = (ArithmeticError, LookupError, RuntimeError, TypeError, ValueError)
"""What the binding raises when an expression cannot be evaluated."""

_KEY: Final = re.compile(
    r"""\b(done|count|since_s|first_s|dose_mg|obtained|since_obtained_s)\s*\[\s*(?:"([^"]*)"|'([^']*)')\s*\]"""
)
_USE: Final = re.compile(r"\b(done|count|since_s|first_s|dose_mg|obtained|since_obtained_s)\b")
_NEEDS_DONE: Final = re.compile(r"""^\s*done\s*\[\s*(?:"([^"]*)"|'([^']*)')\s*\]\s*(?:&&|$)""")
_COMPARISON: Final = re.compile(r"^\s*([a-z]\w*)\s*(<=|>=|<|>)\s*(-?\d+(?:\.\d+)?)\s*$")
_IN_PHASE: Final = re.compile(r"""^\s*phase\s*==\s*["']([^"']*)["']\s*$""")
_HOLDS: Final[Mapping[str, Callable[[float, float], bool]]] = {"<": lt, "<=": le, ">": gt, ">=": ge}
_STRING: Final = re.compile(r""""[^"]*"|'[^']*'""")


@dataclass(frozen=True, slots=True)
class Condition:
    """One compiled expression, the names it reads and the words it looks up in each map."""

    source: str
    program: Any
    names: tuple[str, ...]
    keys: tuple[tuple[str, str], ...]
    needs_done: str = ""
    """An action without which it cannot hold: the expression begins with ``done["..."] &&`` and has no "or"."""
    limits: tuple[tuple[str, Callable[[float, float], bool], float], ...] = ()
    """Comparisons of a signal or of ``t_s`` with a number, all of which it needs (``and`` alone joins its parts)."""
    needs_phase: str = ""
    """The phase without which it cannot hold."""

    def can_hold(self, t_s: float, signals: Mapping[str, float], facts: Facts) -> bool:
        """False where it is plain without working it out that it does not hold: most rules wait most of the time."""
        if self.needs_done and self.needs_done not in facts.last_s:
            return False
        if self.needs_phase and self.needs_phase != facts.phase:
            return False
        return all(holds(t_s if name == "t_s" else signals[name], limit) for name, holds, limit in self.limits)

    @property
    def reads_body(self) -> bool:
        """Whether it reads the hidden body, which the crew cannot know."""
        return any(name in SIGNALS for name in self.names)


def compiled(source: str) -> Condition:
    """Compile one expression.

    Raises:
        Refusal: it cannot be parsed, or a map is used without literal words in brackets.
    """
    try:
        program = compile(source)
    except ValueError as error:
        detail = re.sub(r"\s+", " ", str(error)).split("ERROR:")[-1].split(" | ")[0].strip()
        said = f"the condition '{source}' cannot be read ({detail})"
        remedy = "write for instance 'spo2_pct < 90 && !done[\"ventilate\"]'"
        raise Refusal(Fault(code="condition", said=said, value=source, remedy=remedy)) from error
    keys = tuple((m[1], m[2] if m[2] is not None else m[3]) for m in _KEY.finditer(source))
    if len(_USE.findall(_STRING.sub('""', source))) != len(keys):
        said = f"the condition '{source}' uses one of {', '.join(MAPS)} without words in brackets and quotes"
        raise Refusal(Fault(code="condition", said=said, value=source, remedy='write for instance done["ventilate"]'))
    # what can be seen from the text alone: parts joined by "and", each of which must be true
    bare = _STRING.sub('""', source)
    only_and = not any(sign in bare for sign in ("||", "?", "(")) and source.count("&&") == bare.count("&&")
    parts = source.split("&&") if only_and else []
    first = _NEEDS_DONE.match(source) if only_and else None
    phases = [part[1] for part in map(_IN_PHASE.match, parts) if part]
    limits = [part for part in map(_COMPARISON.match, parts) if part and (part[1] in SIGNALS or part[1] == "t_s")]
    return Condition(
        source=source,
        program=program,
        names=tuple(program.variables()),
        keys=keys,
        needs_done=(first[1] or first[2] or "") if first else "",
        limits=tuple((part[1], _HOLDS[part[2]], float(part[3])) for part in limits),
        needs_phase=phases[0] if phases else "",
    )


class Conditions:
    """Many conditions evaluated together over one context that is kept and only brought up to date.

    Not to be shared between threads: a branch of a run makes its own by ``copy``.
    """

    def __init__(self, sources: Iterable[str] | tuple[Condition, ...]) -> None:
        self._all = tuple(item if isinstance(item, Condition) else compiled(item) for item in sources)
        self._names: dict[tuple[bool, ...], tuple[frozenset[str], tuple[str, ...]]] = {}
        self._keys = {
            map_name: tuple(sorted({key for c in self._all for m, key in c.keys if m == map_name})) for map_name in MAPS
        }
        self._context = Context()
        self._programs = tuple(condition.program for condition in self._all)
        self._facts_seen: tuple[Facts, int] | None = None
        self.faults: dict[str, str] = {}
        """Expressions that could not be evaluated at some moment, with the reason; such a condition does not hold."""

    def copy(self) -> "Conditions":
        return Conditions(self._all)

    def evaluate(
        self, t_s: float, signals: Mapping[str, float], facts: Facts, is_asked: Sequence[bool] | None = None
    ) -> list[bool]:
        """Whether each condition holds now, in the order given; one that is not asked for counts as not held."""
        asked = is_asked or (True,) * len(self._all)
        works = tuple(asks and c.can_hold(t_s, signals, facts) for c, asks in zip(self._all, asked, strict=True))
        if True not in works:
            return [False] * len(works)
        self._bring_up_to_date(t_s, signals, facts, works)
        held = []
        for condition, program, is_worked_out in zip(self._all, self._programs, works, strict=True):
            if not is_worked_out:
                held.append(False)
                continue
            try:
                held.append(program.execute(self._context) is True)
            except _EVALUATION_ERRORS as error:  # the run goes on; the director shows the fault
                self.faults[condition.source] = str(error)
                held.append(False)
        return held

    def value_of_first(self, t_s: float, signals: Mapping[str, float], facts: Facts) -> tuple[Any, str]:
        """For trials: what the first expression gives, true or not, and why it cannot be evaluated ("" if it can)."""
        self._bring_up_to_date(t_s, signals, facts, (True,) * len(self._all))
        try:
            return self._programs[0].execute(self._context), ""
        except _EVALUATION_ERRORS as error:
            return None, str(error)

    def _names_of(self, works: tuple[bool, ...]) -> tuple[frozenset[str], tuple[str, ...]]:
        """All names that the conditions worked out now read, and the signals among them; few sets come again."""
        if works not in self._names:
            pairs = zip(self._all, works, strict=True)
            names = frozenset(name for condition, is_worked_out in pairs if is_worked_out for name in condition.names)
            self._names[works] = (names, tuple(sorted(name for name in names if name in SIGNALS)))
        return self._names[works]

    def _bring_up_to_date(
        self, t_s: float, signals: Mapping[str, float], facts: Facts, works: tuple[bool, ...]
    ) -> None:
        add, keys = self._context.add_variable, self._keys
        names, signal_names = self._names_of(works)
        if "t_s" in names:
            add("t_s", float(t_s))
        for name in signal_names:
            add(name, float(signals[name]))
        for map_name, times_s in (("since_s", facts.last_s), ("since_obtained_s", facts.obtained_s)):
            if keys[map_name] and map_name in names:
                add(map_name, {key: t_s - times_s[key] if key in times_s else NEVER_S for key in keys[map_name]})
        if self._facts_seen and self._facts_seen[0] is facts and self._facts_seen[1] == facts.changes:
            return
        self._facts_seen = (facts, facts.changes)
        add("phase", facts.phase)
        if keys["done"]:
            add("done", {key: key in facts.last_s for key in keys["done"]})
        if keys["first_s"]:
            add("first_s", {key: facts.first_s.get(key, NEVER_S) for key in keys["first_s"]})
        if keys["count"]:
            add("count", {key: float(facts.count.get(key, 0)) for key in keys["count"]})
        if keys["dose_mg"]:
            add("dose_mg", {key: facts.dose_mg.get(key, 0.0) for key in keys["dose_mg"]})
        if keys["obtained"]:
            add("obtained", {key: key in facts.obtained_s for key in keys["obtained"]})
