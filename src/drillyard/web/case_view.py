"""What the case wants from the operator: cues, the manikin's controls, ways of supply, problems, holds, answers."""

from typing import Final, Literal

from drillyard.core.care.fluid_problems import AllergicReaction, Burn, LineFailure, UterineBleeding
from drillyard.core.care.metabolic_problems import (
    AcidBaseDisorder,
    Exposure,
    Fever,
    InsulinExcess,
    InsulinLack,
    LastingHypercapnia,
    MetabolicProblem,
    PotassiumDisorder,
    Sepsis,
)
from drillyard.core.care.brain_problems import BrainSwelling, IntracranialBleeding, Pain, Seizure, Stroke
from drillyard.core.care.problems import (
    AirwayBlockage,
    AirwaySwelling,
    Arrest,
    Aspiration,
    Bleeding,
    Bronchospasm,
    CarbonMonoxide,
    CoronaryOcclusion,
    DrugTaken,
    FlailChest,
    Haemothorax,
    Methaemoglobin,
    Pneumonia,
    Pneumothorax,
    Problem,
    PulmonaryEmbolism,
    PulmonaryOedema,
    PumpFailure,
    Secretions,
    Shunt,
    SpinalCordInjury,
    Tamponade,
    VesselDilation,
)
from drillyard.core.entry.grammar.dose_texts import UNIT_SAID
from drillyard.core.manikin.coverage import Coverage, FindingCoverage
from drillyard.core.manikin.set_by_hand import set_by_hand
from drillyard.core.scenario.model import Scenario, TellOperator
from drillyard.core.scenario.rules import rules_of
from drillyard.core.session.course import SIZE_FIELDS
from drillyard.core.session.director import DueCue, due_cues
from drillyard.core.session.run import Run
from drillyard.core.signals.findings import FINDINGS
from drillyard.service.case import Case
from drillyard.web.messages import (
    CueView,
    PhaseView,
    ProblemView,
    SetByHandView,
    SupplyView,
)

NOTICE_S: Final = 180.0
"""How long a word to the operator stays on the screen."""

_SIZES: Final[dict[type, tuple[str, float, float]]] = {
    Bleeding: ("mL/min", 0.0, 1000.0),
    Pneumothorax: ("mL/s/cmH2O", 0.0, 20.0),
    AirwayBlockage: ("of the airway", 0.0, 1.0),
    Shunt: ("of the flow", 0.0, 0.8),
    Tamponade: ("mL", 0.0, 600.0),
    Bronchospasm: ("of the worst", 0.0, 1.0),
    AirwaySwelling: ("of the airway", 0.0, 1.0),
    Secretions: ("of the airway", 0.0, 1.0),
    PulmonaryOedema: ("of the pressure", 0.0, 5.0),
    Pneumonia: ("of the lung", 0.0, 1.0),
    Aspiration: ("of a massive one", 0.0, 1.0),
    Haemothorax: ("mL/min", 0.0, 1000.0),
    AllergicReaction: ("of the worst", 0.0, 1.0),
    Burn: ("of the skin", 0.0, 1.0),
    UterineBleeding: ("mL/min", 0.0, 1000.0),
    FlailChest: ("of the force", 0.0, 1.0),
    CarbonMonoxide: ("of the air", 0.0, 0.01),
    CoronaryOcclusion: ("of the artery", 0.0, 1.0),
    PulmonaryEmbolism: ("of lung vessels", 0.0, 0.9),
    PumpFailure: ("of its strength", 0.0, 0.9),
    VesselDilation: ("of vessel tone", 0.0, 1.0),
    InsulinExcess: ("of full action", 0.0, 0.95),
    InsulinLack: ("of the insulin", 0.0, 1.0),
    Fever: ("degC", 0.0, 5.0),
    Exposure: ("× more loss", 0.0, 15.0),
    PotassiumDisorder: ("mmol/L", -2.0, 5.0),
    AcidBaseDisorder: ("mmol/L", -20.0, 25.0),
    LastingHypercapnia: ("mmHg", 0.0, 40.0),
    Sepsis: ("of the worst", 0.0, 1.0),
    IntracranialBleeding: ("mL", 0.0, 150.0),
    BrainSwelling: ("mL", 0.0, 150.0),
    Seizure: ("of 1", 0.0, 1.0),
    Stroke: ("of 1", 0.0, 1.0),
    Pain: ("of the worst", 0.0, 1.0),
}
"""Unit and range in which the operator may change the size of a problem (our choice)."""

Way = Literal["obtain", "told", "card", "print", "prop", "room monitor", "own device", "cannot be supplied"]
_WAYS: Final[dict[str, Way]] = {
    "on the manikin": "obtain",
    "room monitor": "room monitor",
    "crew's own device": "own device",
    "told": "told",
    "card": "card",
    "print": "print",
    "prop": "prop",
    "embedded participant": "told",
    "cannot be supplied": "cannot be supplied",
}


def phase_views(phases: tuple[str, ...], run: Run) -> list[PhaseView]:
    """The phases in their order, each with the time of its newest entry."""
    entered = {phase.name: phase.entered_t_s for phase in run.state.phases}
    return [
        PhaseView(key=str(n), name=name, entered_t_s=entered.get(name), is_current=name == run.state.phase)
        for n, name in enumerate(phases, start=1)
    ]


def cue_views(case: Case, run: Run) -> list[CueView]:
    """What must be said, shown or handed over now, the most pressing first."""
    if run.director is None:
        return []
    due = due_cues(run.director.waiting, run.state, run.signals(), case.ways)
    return [
        CueView(
            id=cue.id,
            key=f"F{n}" if n <= 12 else "",
            words=_cue_words(cue),
            why="asked by the crew" if _is_asked(cue) else cue.why,
            how=cue.how,
            finding=cue.finding or None,
        )
        for n, cue in enumerate(due, start=1)
    ]


def _is_asked(cue: DueCue) -> bool:
    """A finding that the crew asked for, not a cue of the case."""
    return bool(cue.finding) and cue.id == f"finding {cue.finding}"


def _cue_words(cue: DueCue) -> str:
    """What to say.  An answer alone ("normal") does not say what it answers, so the finding stands before it."""
    known = FINDINGS.get(cue.finding) if _is_asked(cue) else None
    if known is None or not cue.words or cue.words.lower().startswith(known.label.lower()):
        return cue.words
    return f"{known.label}: {cue.words}"


def set_by_hand_views(case: Case, run: Run) -> list[SetByHandView]:
    """What must be turned on the manikin now, the largest change first."""
    now_set = {setting.finding: setting.setting for setting in run.state.manikin}
    return [
        SetByHandView(finding=row.finding, label=row.label, from_setting=row.from_setting, to_setting=row.to_setting)
        for row in set_by_hand(case.profile, run.signals(), now_set)
    ]


def supply_views(coverage: Coverage, sensors_on: frozenset[str] = frozenset()) -> list[SupplyView]:
    """The answer to "can they get it?" for every finding; those that the case leans on first.

    A finding that the room monitor shows says which sensor it needs, until that sensor is on.
    """
    rows = sorted(coverage.findings, key=lambda row: -row.weight)
    return [
        SupplyView(
            finding=row.finding,
            label=row.label,
            way=_WAYS[row.way],
            detail=_supply_detail(row, sensors_on),
        )
        for row in rows
    ]


def _supply_detail(row: FindingCoverage, sensors_on: frozenset[str]) -> str:
    if row.way == "embedded participant":
        return f"by the embedded participant: {row.detail}"
    needed = row.detail.removeprefix("needs: ")
    if row.way == "room monitor" and needed in sensors_on:
        return "on the monitor now"
    if row.detail in _WAYS:  # the way once more
        return ""
    if row.detail.startswith("cue '"):
        return "a cue of the case brings it"
    return row.detail.replace("obtain it", "on the manikin", 1) if row.way == "on the manikin" else row.detail


def problem_views(run: Run) -> list[ProblemView]:
    """All problems of the run, ended ones too."""
    return [_problem(state.problem, is_ended=state.is_ended) for state in run.state.problems]


def _problem(problem: Problem, *, is_ended: bool) -> ProblemView:
    fields = SIZE_FIELDS[type(problem)]
    size = float(getattr(problem, fields[0])) if fields else None
    unit, low, high = _SIZES.get(type(problem), ("", 0.0, 1.0))
    return ProblemView(
        name=problem.name,
        kind=problem.kind,
        text=problem_text(problem),
        size_text=f"{size:g} {unit}" if size is not None else "",
        is_ended=is_ended,
        size=None if is_ended else size,
        size_unit=unit,
        size_low=low,
        size_high=high,
    )


def problem_text(problem: Problem) -> str:  # noqa: C901, PLR0911, PLR0912 - one case a problem
    """A problem in a few words."""
    match problem:
        case Bleeding():
            inner = f" into the {problem.into}" if problem.into != "outside" else ""
            return f"{'hidden ' if problem.hidden else ''}bleeding{inner}, {problem.site}"
        case Pneumothorax():
            return f"{'tension ' if problem.valve else ''}pneumothorax, {problem.side}"
        case AirwayBlockage():
            return "blocked upper airway"
        case DrugTaken():
            return f"{problem.drug} {problem.dose:g} {UNIT_SAID[problem.dose_unit]} {problem.route}"
        case Arrest():
            return f"arrest: {problem.rhythm}"
        case Shunt():
            return "blood passing the lungs unoxygenated"
        case Tamponade():
            return "fluid around the heart"
        case Bronchospasm():
            return "narrow lower airways"
        case AirwaySwelling():
            return "swollen upper airway"
        case Secretions():
            return "fluid in the airways"
        case PulmonaryOedema():
            return "water in the lungs"
        case Pneumonia():
            return f"solid lung, {problem.side}"
        case Aspiration():
            return "stomach contents in the lungs"
        case Haemothorax():
            return f"bleeding into the {problem.side} chest"
        case FlailChest():
            return f"loose ribs, {problem.side}"
        case CarbonMonoxide():
            return "carbon monoxide"
        case Methaemoglobin():
            return "methaemoglobin"
        case CoronaryOcclusion():
            return f"coronary artery shut, {problem.territory} wall"
        case PulmonaryEmbolism():
            return "clots in lung arteries"
        case PumpFailure():
            return "weak heart"
        case VesselDilation():
            return "wide vessels"
        case SpinalCordInjury():
            return f"spinal cord injury, {problem.level}"
        case AllergicReaction():
            return "allergic reaction"
        case Burn():
            return f"burn, {100.0 * problem.surface_frac:.0f} % of the skin"
        case UterineBleeding():
            return "womb slack and bleeding"
        case LineFailure():
            return f"line {problem.how}, {problem.site}"
        case IntracranialBleeding():
            return f"bleeding in the skull, {problem.side}"
        case BrainSwelling():
            return "swollen brain"
        case Seizure():
            return f"{'' if problem.spreads else 'focal '}seizure{' (eclampsia)' if problem.eclampsia else ''}"
        case Stroke():
            return f"stroke, {problem.side} {problem.territory}"
        case Pain():
            return f"pain, {problem.site}"
        case _:
            return _metabolic_text(problem)


def _metabolic_text(problem: MetabolicProblem) -> str:
    """A problem of metabolism in a few words."""
    match problem:
        case InsulinExcess():
            said = "too much insulin, by tablets" if problem.by_tablets else "too much insulin"
        case InsulinLack():
            said = "insulin lacking"
        case Fever():
            said = f"fever, {problem.rise_degc:g} degC"
        case Exposure():
            said = f"exposed at {problem.ambient_degc:g} degC"
        case PotassiumDisorder():
            said = "potassium too low" if problem.rise_mmol_per_l < 0.0 else "potassium too high"
        case AcidBaseDisorder():
            said = "base won" if problem.base_loss_mmol_per_l < 0.0 else "base lost"
        case LastingHypercapnia():
            said = f"carbon dioxide too high for {problem.days:g} days"
        case Sepsis():
            said = "sepsis"
    return said


def notices(scenario: Scenario, run: Run, case_advice: list[str]) -> list[str]:
    """What the case told the operator in the last minutes, newest first."""
    tells = {rule.name for rule in rules_of(scenario) if any(isinstance(effect, TellOperator) for effect in rule.then)}
    told = [fired.text for fired in run.state.rules if fired.rule in tells and run.t_s - fired.t_s <= NOTICE_S]
    return list(dict.fromkeys([*reversed(told), *reversed(case_advice)]))
