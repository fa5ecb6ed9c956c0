"""Consistency of a scenario: everything that can be found wrong on paper, before anybody stands in the room.

``check_scenario`` returns every fault at once, each with the path of its field; the file adapter adds file and line.
A fault is an error, or a warning (``is_warning``) where the scenario can still be run.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final

from drillyard.core.care import problems as p
from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.quantities.near import near_matches
from drillyard.core.scenario.check_conditions import (
    Known,
    condition_faults,
    is_constant,
    procedure_known,
    unknown_finding,
    unknown_procedure,
)
from drillyard.core.scenario.check_kit import box_faults
from drillyard.core.scenario.check_numbers import check_faults, patient_faults, problem_faults
from drillyard.core.scenario.design import DesignRecord
from drillyard.core.scenario.kit import Kit
from drillyard.core.scenario.model import (
    BoxDrug,
    EndFinding,
    EndProblem,
    GiveCue,
    Scenario,
    SetProblem,
    ShowFinding,
)
from drillyard.core.signals.findings import FINDINGS

HISTORY: Final = ("allergies", "medication", "history", "last_meal", "last_known_well", "events")
"""What the patient record must say, or say "none known" (trade practice: the SAMPLE history; no source)."""

RISKY: Final = {"shock": "a live shock", "decompress chest": "a needle into the chest", "place line": "a needle"}
"""Procedures that need a stated hazard and precaution."""


def check_scenario(scenario: Scenario, known: Known | None = None, kit: Kit | None = None) -> list[Fault]:
    """Every fault of the scenario, in the order of the file as far as that makes sense.

    Args:
        scenario: the plan.
        known: drugs and measures that exist in this lab; what is absent is not checked.
        kit: the kit that the scenario names, if it is at hand.
    """
    names = known or Known()
    parts: tuple[Callable[[Scenario], Iterable[Fault]], ...] = (
        _release_faults, _text_faults, lambda s: patient_faults(s.patient), _history_faults,
        lambda s: problem_faults(s, names), _unique_faults, _reference_faults, _time_faults,
        lambda s: _condition_faults(s, names), _objective_faults, lambda s: check_faults(s.checks, s.time_cap_s),
        lambda s: _need_faults(s, names), lambda s: _drug_faults(s, names, kit), _safety_faults,
        lambda s: _measure_faults(s, names),
    )  # fmt: skip
    return [fault for part in parts for fault in part(scenario)]


def _error(code: str, said: str, field: str, remedy: str = "", **more: Any) -> Fault:
    return Fault(code=code, said=said, place=Place(field=field), remedy=remedy, **more)


def _warning(code: str, said: str, field: str, remedy: str = "", **more: Any) -> Fault:
    return Fault(code=code, said=said, place=Place(field=field), remedy=remedy, is_warning=True, **more)


def _release_faults(scenario: Scenario) -> Iterator[Fault]:
    missing = [name for name in DesignRecord.__dataclass_fields__ if getattr(scenario.design, name) is None]
    if scenario.status == "released":
        for name in missing:
            said = f"a released scenario needs the design criterion '{name}'"
            yield _error("not ready for release", said, "design", "fill it, or set status: draft")
        if scenario.signed_off is None:
            said = "a released scenario needs a clinical sign-off"
            yield _error("not ready for release", said, "status", "add signed_off with by, on and review_by")
    if scenario.status == "piloted" and scenario.design.pilot is None:
        yield _error("not ready for release", "a piloted scenario needs its pilot recorded", "design", "fill pilot")


def _text_faults(scenario: Scenario) -> Iterator[Fault]:
    for name in ("title", "dispatch", "story"):
        if not getattr(scenario, name).strip():
            yield _error("empty", f"'{name}' is empty", name, "say it in a sentence")
    if not scenario.prebrief.script.strip():
        yield _warning("empty", "the prebrief has no script", "prebrief", "write what everybody is told before the run")


def _history_faults(scenario: Scenario) -> Iterator[Fault]:
    for name in HISTORY:
        value = getattr(scenario.patient, name)
        if not value or value == ("",):
            said = f"the patient record does not say '{name}'"
            yield _error("history missing", said, "patient", "write it, or 'none known'")


def _unique_faults(scenario: Scenario) -> Iterator[Fault]:
    lists = ("problems", "rules", "scripted", "cues", "handouts", "objectives", "ends", "cast")
    for name in lists:
        seen: set[str] = set()
        for i, item in enumerate(getattr(scenario, name)):
            if item.name in seen:
                yield _error("name twice", f"the name '{item.name}' stands twice", f"{name}[{i}].name", "rename one")
            seen.add(item.name)
    orders = [handout.order for handout in scenario.handouts]
    for i, order in enumerate(orders):
        if order in orders[:i]:
            yield _error("name twice", f"two handouts have the order {order}", f"handouts[{i}].order", "renumber one")


def _reference_faults(scenario: Scenario) -> Iterator[Fault]:
    """Names that rules speak of, and cues and scripted findings that nothing ever brings up."""
    effects = [(f"rules[{i}].then[{j}]", e) for i, rule in enumerate(scenario.rules) for j, e in enumerate(rule.then)]
    problems = {item.name for item in scenario.problems}
    problems |= {effect.problem.name for _, effect in effects if isinstance(effect, SetProblem)}
    cues = {cue.name for cue in scenario.cues}
    scripted = {item.name for item in scenario.scripted}
    for field, effect in effects:
        if isinstance(effect, EndProblem):
            yield from _unknown("problem", effect.name, problems, field)
        elif isinstance(effect, GiveCue):
            yield from _unknown("cue", effect.cue, cues, field)
        elif isinstance(effect, ShowFinding | EndFinding):
            yield from _unknown("scripted finding", effect.name, scripted, field)
    shown = {effect.name for _, effect in effects if isinstance(effect, ShowFinding)}
    for i, item in enumerate(scenario.scripted):
        if item.waits and item.name not in shown:
            said = f"the scripted finding '{item.name}' waits for a rule, and no rule shows it"
            yield _error("never shown", said, f"scripted[{i}].waits", "add a rule with 'do: show finding'")
    given = {effect.cue for _, effect in effects if isinstance(effect, GiveCue)}
    for i, cue in enumerate(scenario.cues):
        condition, faults = condition_faults(cue.when, "", scenario.setting, Known())
        if condition and not faults and is_constant(condition, False) and cue.name not in given:
            said = f"the cue '{cue.name}' can never fire: its condition is false and no rule gives it"
            yield _error("never fires", said, f"cues[{i}].when", "give it a condition, or a rule with 'do: give cue'")


def _unknown(kind: str, name: str, known: set[str], field: str) -> Iterator[Fault]:
    if name not in known:
        near = near_matches(name, known)
        yield _error(f"unknown {kind}", f"no {kind} is called '{name}'", field, value=name, near=near)


def _time_faults(scenario: Scenario) -> Iterator[Fault]:
    cap_s = scenario.time_cap_s
    if not 60.0 <= cap_s <= 4 * 3600.0:
        yield _error("out of range", f"the time cap of {cap_s:g} s", "time_cap", allowed="1 min to 4 h")
    jumps_s = sum(scenario.time_jumps_s)
    for i, jump_s in enumerate(scenario.time_jumps_s):
        if not 60.0 <= jump_s <= 24 * 3600.0:
            yield _error("out of range", f"a time jump of {jump_s:g} s", f"time_jumps[{i}]", allowed="1 min to 24 h")
    for name in ("rules", "cues", "ends"):
        for i, item in enumerate(getattr(scenario, name)):
            if not 0.0 <= item.held_for_s <= cap_s + jumps_s:
                said = f"held for {item.held_for_s:g} s"
                allowed = f"0 s to the time cap ({cap_s:g} s)"
                yield _error("out of range", said, f"{name}[{i}].held_for", allowed=allowed)
    for i, item in enumerate(scenario.scripted):
        if item.until_s is not None and item.until_s <= item.from_s:
            yield _error(
                "times", f"'{item.name}' goes before it comes", f"scripted[{i}].until", "make it later than from"
            )


def _condition_faults(scenario: Scenario, known: Known) -> Iterator[Fault]:
    fields: list[tuple[str, str]] = []
    for name in ("rules", "cues", "ends", "answers"):
        fields += [(f"{name}[{i}].when", item.when) for i, item in enumerate(getattr(scenario, name))]
    fields += [(f"objectives[{i}].seen_when", item.seen_when) for i, item in enumerate(scenario.objectives)]
    fields.append(("success", scenario.success))
    for field, source in fields:
        condition, faults = condition_faults(source, field, scenario.setting, known)
        yield from faults
        if condition and not faults and field.startswith(("rules", "ends")) and is_constant(condition, False):
            yield _error("never true", f"the condition '{source}' can never hold", field, "write when it shall hold")


def _objective_faults(scenario: Scenario) -> Iterator[Fault]:
    if not scenario.objectives:
        said = "the scenario has no objective"
        yield _error("no objective", said, "objectives", "write one, with the event that shows it (seen_when)")
    for i, objective in enumerate(scenario.objectives):
        field = f"objectives[{i}].seen_when"
        condition, faults = condition_faults(objective.seen_when, field, scenario.setting, Known())
        if condition is None or faults:
            continue
        if condition.reads_body:
            said = f"the objective '{objective.name}' reads the hidden body, which the crew cannot know"
            yield _error("objective without event", said, field, "tie it to something done, asked or obtained")
        elif not condition.keys and "phase" not in condition.names:
            said = f"the objective '{objective.name}' is tied to no observable event"
            yield _error("objective without event", said, field, 'write for instance done["ventilate"]')


def _need_faults(scenario: Scenario, known: Known) -> Iterator[Fault]:
    yield from _finding_name_faults(scenario)
    if not scenario.needs_findings:
        said = "the scenario does not say which findings it needs, so its coverage cannot be scored"
        yield _warning("no needs", said, "needs_findings", "list them with a weight of 1 to 3")
    for i, need in enumerate(scenario.needs_procedures):
        if not procedure_known(need.procedure, known):
            yield unknown_procedure(need.procedure, f"needs_procedures[{i}].procedure", known)
    for name in ("needs_findings", "needs_procedures"):
        for i, item in enumerate(getattr(scenario, name)):
            if item.weight not in (1, 2, 3):
                yield _error("out of range", f"weight {item.weight}", f"{name}[{i}].weight", allowed="1, 2 or 3")


def _finding_name_faults(scenario: Scenario) -> Iterator[Fault]:
    for name in ("cues", "handouts", "scripted", "needs_findings"):
        for i, item in enumerate(getattr(scenario, name)):
            row = FINDINGS.get(item.finding)
            if item.finding and row is None:
                yield unknown_finding(item.finding, f"{name}[{i}].finding")
            elif name == "scripted" and row is not None and row.origin == "body":
                said = f"the body computes '{item.finding}' itself; a script could contradict it"
                yield _error(
                    "scripted over the body", said, f"scripted[{i}].finding", "make a problem, or a cue, of it"
                )


def _drugs_named(scenario: Scenario) -> dict[str, str]:
    """Drugs that the crew is expected to give, each with the field that says so."""
    named: dict[str, str] = {}
    fields = [(f"objectives[{i}].seen_when", o.seen_when) for i, o in enumerate(scenario.objectives)]
    fields += [("success", scenario.success)]
    fields += [(f"needs_procedures[{i}].procedure", f'done["{n.procedure}"]') for i, n in
               enumerate(scenario.needs_procedures)]  # fmt: skip
    for field, source in fields:
        condition, _ = condition_faults(source, field, scenario.setting, Known())
        for map_name, key in condition.keys if condition else ():
            head, _, rest = key.partition("give drug ")
            routes = (" IV", " IO", " IM", " IN", " SL", " PO", " nebulised")
            if map_name == "dose_mg":
                named.setdefault(key, field)
            elif not head and rest and f" {rest}" not in routes:
                named.setdefault(
                    next((rest.removesuffix(route) for route in routes if rest.endswith(route)), rest), field
                )
    return named


def _drug_faults(scenario: Scenario, known: Known, kit: Kit | None) -> Iterator[Fault]:
    box = {item.drug for item in scenario.drug_box}
    for drug, field in _drugs_named(scenario).items():
        if drug not in box and (known.drugs is None or drug in known.drugs):
            said = f"the case expects {drug}, and the drug box has none"
            yield _error("drug box", said, field, "add it to drug_box with its concentration")
    of_kit = kit.drug_box if kit else ()
    for i, item in enumerate(scenario.drug_box):
        field = f"drug_box[{i}]"
        yield from box_faults(item, field, known)
        same = [row for row in of_kit if row.drug == item.drug]
        if kit and of_kit and not same:
            yield _error(
                "drug box", f"the kit '{kit.name}' holds no {item.drug}", field, "add it to the kit's drug_box"
            )
        elif kit and same and not any(_same_strength(row, item) for row in same):
            said = (
                f"{item.drug} is {item.strength_text} in the case "
                f"and {' or '.join(row.strength_text for row in same)} in the kit '{kit.name}'"
            )
            yield _error("concentration", said, f"{field}.concentration", "make both say what the label says")


def _same_strength(one: BoxDrug, other: BoxDrug) -> bool:
    return (one.concentration_per_ml, one.amount_unit) == (other.concentration_per_ml, other.amount_unit)


def _safety_faults(scenario: Scenario) -> Iterator[Fault]:
    if not any(rule.level == scenario.level for rule in scenario.death):
        said = f"the case does not say whether the patient may die for '{scenario.level}' learners"
        yield _error("death not declared", said, "death", "add a line to death with that level and a policy")
    needed = {need.procedure for need in scenario.needs_procedures}
    for words, what in RISKY.items():
        if any(need == words or need.startswith(words + " ") for need in needed) and not scenario.hazards:
            yield _error("no hazard", f"the case has {what} and names no hazard", "hazards", "add it with a precaution")
            return
    arrests = any(isinstance(item, p.Arrest) for item in scenario.problems)
    if arrests and not any("shock" in hazard.what.casefold() for hazard in scenario.hazards):
        said = "the case has an arrest, and no hazard speaks of shocks"
        yield _warning("no hazard", said, "hazards", "say how shocks are given safely here, or that none are")


def _measure_faults(scenario: Scenario, known: Known) -> Iterator[Fault]:
    if known.measures is None:
        return
    asked = [(f"measures[{i}]", n) for i, n in enumerate(scenario.measures)]
    asked += [(f"objectives[{i}].measures[{j}]", n) for i, o in enumerate(scenario.objectives)
              for j, n in enumerate(o.measures)]  # fmt: skip
    for field, number in asked:
        if number not in known.measures:
            allowed = ", ".join(str(item) for item in known.measures)
            yield _error("unknown measure", f"there is no measure {number}", field, value=str(number), allowed=allowed)
