"""Faults of a crew script, found before it is played."""

from collections.abc import Iterator
from dataclasses import replace

from drillyard.core.entry import EntryContext, parse
from drillyard.core.entry.late import seconds_of
from drillyard.core.entry.reader import Ask
from drillyard.core.proving.crew import Crew, CrewStep
from drillyard.core.proving.knowable import KNOWABLE
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.scenario.check_conditions import PHASES, Known, condition_faults
from drillyard.core.scenario.model import Scenario


def check_crew(
    crew: Crew, scenario: Scenario | None = None, context: EntryContext | None = None, known: Known | None = None
) -> list[Fault]:
    """Everything that is wrong with a script.

    Args:
        crew: the script.
        scenario: the case it is to be played in; without it, names of phases and times are not checked.
        context: what is at hand as the case begins; without it, lines are not read.
        known: drugs that a condition may name.
    """
    faults: list[Fault] = []
    if scenario is not None and crew.scenario != scenario.name:
        said = f"this crew is written for '{crew.scenario}', not for '{scenario.name}'"
        faults.append(Fault(code="other case", said=said, place=Place(field="scenario")))
    if not crew.name.startswith(crew.scenario):
        said = f"the name does not begin with the case's name '{crew.scenario}'"
        faults.append(Fault(code="name", said=said, place=Place(field="name"), remedy="rename the file"))
    if not crew.steps:
        faults.append(Fault(code="no steps", said="the crew does nothing", place=Place(field="steps")))
    for index, step in enumerate(crew.steps):
        where = f"steps[{index}]"
        faults += _shape_faults(step, where)
        faults += _time_faults(step, where, scenario)
        if step.when:
            setting = scenario.setting if scenario is not None else "street"
            faults += _condition_faults(step.when, f"{where}.when", setting, known or Known())
        if step.phase and scenario is not None:
            faults += _phase_faults(step.phase, f"{where}.phase", scenario)
        if step.do and context is not None:
            faults += _line_faults(step, f"{where}.do", context, scenario)
    return faults


def _shape_faults(step: CrewStep, where: str) -> Iterator[Fault]:
    if bool(step.at) == bool(step.when):
        said = "a step needs either 'at' or 'when'" + (", not both" if step.at else "")
        yield Fault(code="no time", said=said, place=Place(field=where), remedy="write for instance 'at: \"1:30\"'")
    if bool(step.do) == bool(step.phase):
        said = "a step needs either 'do' or 'phase'" + (", not both" if step.do else "")
        yield Fault(code="no act", said=said, place=Place(field=where), remedy="write for instance 'do: tq l thigh'")
    if step.within_s < 0.0:
        yield Fault(code="out of range", said="'within' is below zero", place=Place(field=f"{where}.within"))


def _time_faults(step: CrewStep, where: str, scenario: Scenario | None) -> Iterator[Fault]:
    if not step.at:
        return
    place = Place(field=f"{where}.at")
    try:
        t_s = at_s(step)
    except Refusal as refusal:
        yield replace(refusal.faults[0], place=place, remedy="write for instance '1:30' or '90 s'")
        return
    cap_s = scenario.time_cap_s if scenario is not None else None
    if t_s < 0.0 or (cap_s is not None and t_s > cap_s):
        allowed = f"0:00 to {cap_s / 60:g} min, the case's time" if cap_s is not None else "0:00 or later"
        yield Fault(code="out of range", said=f"'{step.at}' lies outside the run", place=place, allowed=allowed)


def at_s(step: CrewStep) -> float:
    """The time of a step in seconds.

    Raises:
        Refusal: not a time, or one that could be seconds or minutes.
    """
    try:
        return seconds_of(step.at.replace(" ", ""))
    except Ask as ask:
        said = f"'{step.at}' could be seconds or minutes"
        raise Refusal(Fault(code="unit missing", said=said, value=step.at, remedy=ask.question)) from ask


def _condition_faults(source: str, field: str, setting: str, known: Known) -> Iterator[Fault]:
    condition, faults = condition_faults(source, field, setting, known)
    yield from faults
    for name in condition.names if condition is not None else ():
        if name in SIGNALS and name not in KNOWABLE:
            yield Fault(
                code="hidden",
                said=f"a crew cannot know '{name}'",
                place=Place(field=field),
                value=name,
                near=near_matches(name, KNOWABLE),
                remedy="use what can be seen, heard, felt, or stands on the monitor",
            )


def _phase_faults(phase: str, field: str, scenario: Scenario) -> Iterator[Fault]:
    phases = PHASES[scenario.setting]
    if phase not in phases:
        yield Fault(
            code="unknown phase",
            said=f"there is no phase '{phase}'",
            place=Place(field=field),
            near=near_matches(phase, phases),
            allowed=", ".join(phases),
        )


def _line_faults(step: CrewStep, field: str, context: EntryContext, scenario: Scenario | None) -> Iterator[Fault]:
    late_s = scenario.time_cap_s if scenario is not None else 86_400.0
    result = parse(step.do, replace(context, now_s=late_s), confirmed=step.confirm)
    place = Place(field=field)
    if result.fault is not None:
        yield replace(result.fault, place=place)
    elif result.question:
        offers = tuple(row.insert for row in result.completions[:3])
        yield Fault(code="unclear line", said=f"'{step.do}': {result.question}", place=place, near=offers)
    elif result.needs_confirmation:
        remedy = "write 'confirm: true' beside it if it is meant so"
        yield Fault(code="unusual dose", said=f"'{step.do}': {result.warning}", place=place, remedy=remedy)
    elif result.not_modelled and not step.do.lower().startswith("other"):
        said = f"'{step.do}' is kept as words and changes nothing in the body"
        yield Fault(code="not modelled", said=said, place=place, is_warning=True)
