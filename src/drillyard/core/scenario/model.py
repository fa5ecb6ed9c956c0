"""A scenario: the written plan of a case, as frozen records.

A scenario says what is wrong with the patient (problems), what the room shall tell or hand over (cues, handouts,
answers), what shall be learned (objectives, measures) and how it may end.  The course follows from the body.

In a file every number is written with its unit and its key stands without it: ``held_for: 20 s`` becomes
``held_for_s``.  Conditions (``when``, ``seen_when``, ``success``) are expressions in the Common Expression Language
over the names of ``core/quantities/signals.py`` and over what has been done (``core/scenario/facts.py``).
``core/scenario/check.py`` looks for faults, ``core/scenario/rules.py`` evaluates.
"""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import Field

from drillyard.core.care.problems import Problem
from drillyard.core.care.ways import How
from drillyard.core.formulary.model import AmountUnit
from drillyard.core.scenario.design import DesignRecord, SignOff

FORMAT = 1
"""The newest format number of scenario files that this version reads."""

Status = Literal["draft", "piloted", "released", "retired"]
Level = Literal["novice", "intermediate", "experienced"]
Setting = Literal["street", "ward"]
Sex = Literal["female", "male"]
DeathPolicy = Literal["may die", "ends at arrest", "operator is warned"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PatientRecord:
    """The invented patient.  Size sets the body; the rest is the story.

    ``is_delivered``: the child of that pregnancy is born.

    A history item left empty is a fault: write "none known" where there is none, so that nobody has to make it up
    during the run.
    """

    name: str
    age_years: float
    sex: Sex
    mass_kg: float
    height_cm: float
    pregnant_weeks: float = 0.0
    is_delivered: bool = False
    allergies: tuple[str, ...] = ()
    medication: tuple[str, ...] = ()
    history: tuple[str, ...] = ()
    last_meal: str = ""
    last_known_well: str = ""
    events: str = ""


# ---- rules: when something holds, do something --------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class SetProblem:
    """A problem begins or changes (same name).  Its ``start_s`` counts from the moment the rule fires."""

    do: Literal["set problem"] = "set problem"
    problem: Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class EndProblem:
    do: Literal["end problem"] = "end problem"
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveCue:
    """Puts a cue into the operator's queue, whatever the cue's own condition says."""

    do: Literal["give cue"] = "give cue"
    cue: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowFinding:
    """A scripted finding appears."""

    do: Literal["show finding"] = "show finding"
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EndFinding:
    """A scripted finding goes."""

    do: Literal["end finding"] = "end finding"
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EndRun:
    do: Literal["end run"] = "end run"
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TellOperator:
    do: Literal["tell operator"] = "tell operator"
    text: str


Effect = Annotated[
    SetProblem | EndProblem | GiveCue | ShowFinding | EndFinding | EndRun | TellOperator, Field(discriminator="do")
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Fires when ``when`` has held without a break for ``held_for_s``; once, or each time anew with ``repeat``."""

    name: str
    when: str
    held_for_s: float = 0.0
    repeat: bool = False
    why: str = ""
    then: tuple[Effect, ...]


# ---- what the room shows, tells and hands over --------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedFinding:
    """What physiology does not cover: rash, droop, smell, a thing in a pocket.

    ``finding`` is a row of the finding catalogue that is scripted or not modelled.  It is there from ``from_s`` to
    ``until_s`` (none: to the end), or, with ``waits``, only once a rule shows it.
    """

    name: str
    finding: str
    words: str
    how: How = "told"
    from_s: float = 0.0
    until_s: float | None = None
    waits: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """Words that the operator must say or show now.

    It waits in the queue while ``when`` has held for ``held_for_s`` and drops out when it no longer holds, unless it
    ``stays``.  Given once, or again after ``again_after_s`` (0: never).
    """

    name: str
    words: str
    when: str = "true"
    held_for_s: float = 0.0
    finding: str = ""
    how: How = "told"
    why: str = ""
    stays: bool = False
    again_after_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Handout:
    """A paper or picture, laid out in ``order`` and handed over when the crew asks for ``finding``."""

    name: str
    order: int
    title: str
    finding: str
    how: How = "card"
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One line of the question-and-answer card: ``who`` says ``said`` to ``asked`` while ``when`` holds."""

    asked: str
    who: str
    said: str
    when: str = "true"


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """Somebody in the story beside the crew, and who plays them."""

    name: str
    about: str
    played_by: Literal["operator's voice", "embedded participant", "simulated participant"] = "operator's voice"


# ---- what shall be learned, and how it may end --------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Objective:
    """What a learner will be able to do.  ``seen_when`` is the observable event: it may read only what was done,
    asked and obtained, never the hidden body.  ``measures`` are ids of the measures that quantify it."""

    name: str
    text: str
    seen_when: str
    measures: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DeathRule:
    """What happens on the way to death for learners of a level: a declared choice, never an accident."""

    level: Level
    policy: DeathPolicy
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndRule:
    """A reason to end.  The operator is told; with ``ends_run`` the run ends by itself."""

    name: str
    when: str
    held_for_s: float = 0.0
    reason: str
    ends_run: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededFinding:
    """A finding that the case leans on.  ``weight``: 3 the case fails without it, 2 it matters, 1 it adds."""

    finding: str
    weight: int = 2
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededProcedure:
    """A procedure the crew is expected to do on the manikin, in the words of the log, with its site."""

    procedure: str
    site: str = ""
    weight: int = 2
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueCheck:
    """An outline number: ``signal`` lies between ``low`` and ``high`` (in the signal's unit) at ``at_s``.

    ``course`` is "untreated" or the name of a crew script; ``explained`` says why the computed course departs from
    the outline where it does.
    """

    kind: Literal["value at"] = "value at"
    signal: str
    at_s: float
    low: float
    high: float
    course: str = "untreated"
    source: str = ""
    explained: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeCheck:
    """An outline time: ``signal`` first falls to (or rises to) ``value`` at ``at_s``, give or take
    ``within_frac`` of it.  ``course`` and ``explained`` as in ``ValueCheck``."""

    kind: Literal["reaches"] = "reaches"
    signal: str
    way: Literal["falls to", "rises to"]
    value: float
    at_s: float
    within_frac: float = 0.4
    course: str = "untreated"
    source: str = ""
    explained: str = ""


Check = Annotated[ValueCheck | TimeCheck, Field(discriminator="kind")]


# ---- before and after ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class PrebriefPlan:
    """What is said and shown before the run; ``script`` is read out alike to everybody where marks count."""

    time_s: float = 600.0
    script: str = ""
    orientation: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DebriefPlan:
    """``method`` and its ``source``; questions to open with; points that the objectives suggest."""

    time_s: float = 1500.0
    method: str = ""
    source: str = ""
    opening: tuple[str, ...] = ()
    points: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxDrug:
    """One kind of ampoule, syringe, vial or bag of a drug as labelled in this lab: training ampoules only.

    ``concentration_per_ml`` is in ``amount_unit``, the unit in which the drug is counted; it is left out for a drug
    counted in millilitres.  A bag that runs in as it is, is a row with its own concentration and volume.
    """

    drug: str
    concentration_per_ml: float = 1.0
    amount_unit: AmountUnit = "mL"
    volume_ml: float
    count: int
    label: str = ""

    @property
    def amount(self) -> float:
        """Drug in one of them."""
        return self.concentration_per_ml * self.volume_ml

    @property
    def strength_text(self) -> str:
        """ "0.4 mg/mL"; empty for a drug counted in millilitres."""
        return "" if self.amount_unit == "mL" else f"{self.concentration_per_ml:g} {self.amount_unit}/mL"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """Something that can hurt people or the manikin, and what is done about it before the start."""

    what: str
    precaution: str
    before_start: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """The whole plan.  ``name`` is the file's name without ending; ``version`` grows with each release."""

    format: int
    name: str
    title: str
    version: int = 1
    status: Status = "draft"
    setting: Setting = "street"
    level: Level = "intermediate"
    crew_size: int = 2
    time_cap_s: float

    dispatch: str
    story: str
    patient: PatientRecord
    cast: tuple[Role, ...] = ()

    problems: tuple[Problem, ...]
    rules: tuple[Rule, ...] = ()
    scripted: tuple[ScriptedFinding, ...] = ()
    cues: tuple[Cue, ...] = ()
    handouts: tuple[Handout, ...] = ()
    answers: tuple[Answer, ...] = ()
    do_not_say: tuple[str, ...] = ()

    objectives: tuple[Objective, ...] = ()
    measures: tuple[int, ...] = ()
    success: str = "false"
    death: tuple[DeathRule, ...] = ()
    ends: tuple[EndRule, ...] = ()
    time_jumps_s: tuple[float, ...] = ()
    needs_findings: tuple[NeededFinding, ...] = ()
    needs_procedures: tuple[NeededProcedure, ...] = ()
    checks: tuple[Check, ...] = ()

    prebrief: PrebriefPlan = field(default_factory=PrebriefPlan)
    debrief: DebriefPlan = field(default_factory=DebriefPlan)
    moulage: tuple[str, ...] = ()
    props: tuple[str, ...] = ()
    kit: str = ""
    drug_box: tuple[BoxDrug, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    design: DesignRecord = field(default_factory=DesignRecord)
    signed_off: SignOff | None = None
    sources: tuple[str, ...] = ()

    def death_policy(self, level: Level | None = None) -> DeathPolicy:
        """The declared way for learners of ``level`` (the scenario's own if none); undeclared means a warning."""
        wanted = level or self.level
        return next((rule.policy for rule in self.death if rule.level == wanted), "operator is warned")
