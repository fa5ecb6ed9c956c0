"""The operator's desk: what is typed, pressed and ticked, as happenings ready for the log.

Every function looks at the run as it is now and returns what is to be logged, or refuses with one sentence.  Nothing
is changed here.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Literal

from drillyard.core.body.body import EFFECTORS
from drillyard.core.body.outcomes import OUTCOMES, check_way, held_values
from drillyard.core.care.actions import Examine
from drillyard.core.care.ways import How
from drillyard.core.entry import EntryContext, ParseResult, parse
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.session.at_hand import entry_context
from drillyard.core.session.course import SIZE_FIELDS
from drillyard.core.session.director import due_cues
from drillyard.core.session.events import (
    CareGiven,
    CueGiven,
    EntryCorrected,
    EntryUndone,
    Happening,
    HoldReleased,
    HoldSet,
    LateEntry,
    ManikinSet,
    PhaseEntered,
    ProblemEnded,
    ProblemSet,
    RunEnded,
    TimeJumped,
)
from drillyard.core.session.run import Run
from drillyard.core.session.state import HoldState, ProblemState
from drillyard.service import supply
from drillyard.service.case import Case
from drillyard.service.causes import choice_of, sized
from drillyard.service.phases import phases_of

Effect = Literal["record only", "rebase"]


class Unconfirmed(Refusal):
    """An unusual entry that wants a second yes; ``suggestions`` are ways to write it otherwise."""


class Unclear(Refusal):
    """A line that could not be read; ``suggestions`` are whole lines that can."""

    def __init__(self, fault: Fault, suggestions: Sequence[str]) -> None:
        super().__init__(fault)
        self.suggestions = tuple(suggestions)


class Desk:
    """One run at one desk."""

    def __init__(self, case: Case, run: Run, crew: tuple[str, ...] = ()) -> None:
        self.case, self.run, self.crew = case, run, crew

    # ---- the entry line ---------------------------------------------------------------------------------------

    def context(self) -> EntryContext:
        """What is at hand now."""
        return entry_context(replace(self.case.at_hand, crew=self.crew), self.run.state, self.run.t_s)

    def read(self, typed: str, confirmed: bool = False) -> ParseResult:
        """One line, understood or not."""
        return parse(typed, self.context(), confirmed)

    def enter(
        self, typed: str, *, confirmed: bool = False, late_t_s: float | None = None, late_effect: Effect = "rebase"
    ) -> list[Happening]:
        """What Enter logs.  A look at something that must be told also logs that it was asked for.

        Raises:
            Unclear: the line cannot be read, or could mean two things.
            Unconfirmed: an unusual dose, or something that this manikin forbids, that has not been confirmed.
        """
        result = self._understood(typed, confirmed)
        if result.undo:
            return self.undo(None, late_effect)
        action, late = result.action, late_t_s if late_t_s is not None else result.late_t_s
        if action is None:
            raise Unclear(Fault(code="nothing to log", said="nothing is typed", remedy="type what was done"), ())
        if late is not None:
            return [LateEntry(action=action, text=result.sentence, t_s=late, effect=late_effect, warned=result.warned)]
        care: Happening = CareGiven(action=action, text=result.sentence, typed=typed.strip(), warned=result.warned)
        if isinstance(action, Examine) and action.finding in self.case.ways:
            return [care, self._looked(action.finding)]
        return [care]

    def _understood(self, typed: str, confirmed: bool) -> ParseResult:
        result = self.read(typed, confirmed)
        suggestions = [completion.insert for completion in result.completions[:5]]
        if result.fault is not None:
            raise Unclear(result.fault, suggestions)
        if result.question:
            raise Unclear(Fault(code="question", said=result.question), suggestions)
        if result.needs_confirmation:
            raise Unconfirmed(Fault(code="unusual", said=result.warning, remedy="Enter again to log it all the same"))
        return result

    def _looked(self, finding: str) -> Happening:
        """What a look brings: the finding itself where it can be had, else the question that the operator answers."""
        way = self.case.ways[finding]
        if way in ("on the manikin", "room monitor", "crew's own device"):
            return supply.obtained(self.case, self.run, finding, way)
        return supply.asked(self.case, finding)

    # ---- taking back and putting right ------------------------------------------------------------------------

    def undo(self, seq: int | None, effect: Effect = "rebase") -> list[Happening]:
        """Takes back one entry, and what was logged with it in the same keystroke; none given: the newest.

        Raises:
            Refusal: there is nothing to take back.
        """
        log = self.run.state.log
        if seq is None:
            own = [line for line in log if line.can_undo and not line.is_derived and line.kind != "entry undone"]
            if not own:
                raise Refusal(Fault(code="nothing to undo", said="there is no entry to take back"))
            seq = max(line.seq for line in own)
        together = self._logged_with(seq)
        still = {line.seq for line in log if line.can_undo}
        wanted = [number for number in sorted(together, reverse=True) if number in still or number == seq]
        return [EntryUndone(target_seq=number, effect=effect) for number in wanted]

    def _logged_with(self, seq: int) -> set[int]:
        event = next((event for event in self.run.events if event.seq == seq), None)
        if event is None:
            return {seq}
        stem = event.client_id.partition("+")[0]
        return {other.seq for other in self.run.events if other.client_id.partition("+")[0] == stem}

    def correct(
        self, seq: int, typed: str, *, t_s: float | None = None, effect: Effect = "rebase", confirmed: bool = False
    ) -> list[Happening]:
        """Replaces an entry by what is typed now, at the same or another time."""
        result = self._understood(typed, confirmed)
        if result.action is None:
            raise Unclear(Fault(code="nothing to log", said="the correction is empty", remedy="undo takes it back"), ())
        when = t_s if t_s is not None else result.late_t_s
        return [
            EntryCorrected(
                target_seq=seq,
                action=result.action,
                text=result.sentence,
                t_s=when,
                effect=effect,
                warned=result.warned,
            )
        ]

    # ---- phases, cues, the manikin ----------------------------------------------------------------------------

    def enter_phase(self, phase: str) -> list[Happening]:
        """Marks the beginning of a phase."""
        phases = phases_of(self.case.scenario)
        if phase not in phases:
            near = near_matches(phase, phases)
            raise Refusal(
                Fault(code="unknown phase", said=f"there is no phase '{phase}'", near=near, allowed=", ".join(phases))
            )
        return [PhaseEntered(phase=phase)]

    def give_cue(self, cue_id: str) -> list[Happening]:
        """The operator said or handed over what was due.

        Raises:
            Refusal: nothing of that id is due now.
        """
        director = self.run.director
        waiting = director.waiting if director is not None else ()
        due = due_cues(waiting, self.run.state, self.run.signals(), self.case.ways)
        cue = next((cue for cue in due if cue.id == cue_id), None)
        if cue is None:
            raise Refusal(
                Fault(code="not due", said="this cue is not due any more", remedy="say it as a note if you did")
            )
        if cue.id == f"finding {cue.finding}":
            return [supply.obtained(self.case, self.run, cue.finding, cue.how)]
        given: list[Happening] = [CueGiven(cue=cue.id, text=cue.words, how=cue.how)]
        if cue.finding:
            got = supply.obtained(self.case, self.run, cue.finding, cue.how)
            given.append(replace(got, text=cue.words))
        return given

    def supply(self, finding: str, how: How) -> list[Happening]:
        """The operator supplied a finding, or saw the crew obtain it."""
        return [supply.obtained(self.case, self.run, finding, how)]

    def ask(self, finding: str) -> list[Happening]:
        """The crew asked for a finding."""
        return [supply.asked(self.case, finding)]

    def tick_set(self, finding: str, setting: str) -> list[Happening]:
        """The operator turned the manikin's own control.

        Raises:
            Refusal: this manikin has no such control or no such setting.
        """
        shown = self.case.profile.finding(supply.known_finding(finding).id)
        if shown is None or shown.set_by != "hand":
            raise Refusal(Fault(code="no control", said=f"this manikin has no control for '{finding}'"))
        settings = tuple(step.setting for step in shown.steps)
        if settings and setting not in settings:
            raise Refusal(
                Fault(
                    code="no such setting", said=f"'{finding}' has no setting '{setting}'", allowed=", ".join(settings)
                )
            )
        return [ManikinSet(finding=finding, setting=setting)]

    # ---- steering ---------------------------------------------------------------------------------------------

    def hold(self, what: str, value: float, *, display_only: bool, by: str = "", reason: str) -> list[Happening]:
        """Holds an effector of the body, an outcome of the body by a named cause, or a value on the screens.

        Raises:
            Refusal: it cannot be held, or not at that value, or not by that cause.
        """
        if not display_only and what in OUTCOMES:
            outcome, cause = held_values(what, value, by)
            if self._held(what) is None:
                check_way(outcome, cause, value, self.run.signals()[outcome.signal])
            return [HoldSet(what=what, value=value, display_only=False, by=cause.name, reason=reason)]
        if display_only:
            shown = self.run.shown()
            if what not in shown:
                near = near_matches(what, tuple(shown))
                raise Refusal(Fault(code="cannot be held", said=f"no screen shows '{what}'", near=near))
            low, high, unit = SIGNALS[what].low, SIGNALS[what].high, SIGNALS[what].unit
        else:
            if what not in EFFECTORS:
                known = (*EFFECTORS, *OUTCOMES)
                near, allowed = near_matches(what, known), ", ".join(known)
                raise Refusal(Fault(code="cannot be held", said=f"'{what}' cannot be held", near=near, allowed=allowed))
            _, unit, low, high = EFFECTORS[what]
        if not low <= value <= high:
            said = f"'{what}' cannot be held at {value:g}"
            raise Refusal(
                Fault(code="out of range", said=said, value=f"{value:g}", allowed=f"{low:g} to {high:g} {unit}")
            )
        return [HoldSet(what=what, value=value, display_only=display_only, reason=reason)]

    def release(self, what: str, over_s: float | None = None) -> list[Happening]:
        """Lets go of a held value, over its usual time if none is given."""
        if self._held(what) is None:
            raise Refusal(Fault(code="not held", said=f"'{what}' is not held"))
        usual_s = OUTCOMES[what].release_s if what in OUTCOMES else 10.0
        return [HoldReleased(what=what, over_s=usual_s if over_s is None else over_s)]

    def _held(self, what: str) -> HoldState | None:
        """The hold, None where there is none or it is let go already."""
        held = self.run.state.hold(what)
        return None if held is None or held.released_t_s is not None else held

    def set_problem(self, cause: str, size: float, reason: str = "") -> list[Happening]:
        """Starts one of the problems that may be set (``service/causes.py``), or changes one that is there.

        Raises:
            Refusal: no such problem, or a size outside its range.
        """
        choice = choice_of(cause, self.case.formulary, self.run.state)
        problem = sized(choice, size, self.run.t_s)
        return [ProblemSet(problem=problem, reason=reason or "by the operator")]

    def end_problem(self, name: str) -> list[Happening]:
        """Takes a problem away; what it has done to the patient stays."""
        return [ProblemEnded(name=self._problem(name).problem.name, reason="by the operator")]

    def change_problem(self, name: str, size: float) -> list[Happening]:
        """Gives a problem another size, in the unit of its first size field."""
        problem = self._problem(name).problem
        fields = SIZE_FIELDS[type(problem)]
        if not fields:
            raise Refusal(Fault(code="has no size", said=f"'{name}' happens at once and has no size to change"))
        if not 0.0 <= size < 1e5:
            raise Refusal(
                Fault(code="out of range", said=f"'{name}' cannot have the size {size:g}", allowed="0 or more")
            )
        changes: dict[str, Any] = {fields[0]: size, "start_s": self.run.t_s}
        changed = replace(problem, **changes)
        return [ProblemSet(problem=changed, reason="by the operator")]

    def _problem(self, name: str) -> ProblemState:
        problems = {state.problem.name: state for state in self.run.state.problems if not state.is_ended}
        if name not in problems:
            near = near_matches(name, tuple(problems))
            raise Refusal(Fault(code="unknown problem", said=f"there is no problem '{name}' now", near=near))
        return problems[name]

    def jump(self, minutes: float) -> list[Happening]:
        """Lets ``minutes`` of the patient's time pass at once, where the case declares it."""
        return [TimeJumped(minutes=minutes, text=f"{minutes:g} min passed at once")]

    def end(self, reason: str) -> list[Happening]:
        """Ends the run with the patient as it is now."""
        return [RunEnded(reason=reason or "operator ended the run", outcome=self.run.machine.outcome())]

    def back_to_good(self) -> list[Happening]:
        """While the body is frozen: the newest entry that reached it is taken back, and the body computed again.

        Raises:
            Refusal: the body is sound, or nothing was entered that could be taken back.
        """
        if self.run.frozen is None:
            raise Refusal(Fault(code="body is sound", said="the body is not frozen", remedy="undo takes back an entry"))
        kinds = {
            "care given",
            "late entry",
            "entry corrected",
            "problem set",
            "problem ended",
            "hold set",
            "hold released",
        }
        reached = [line for line in self.run.state.log if line.can_undo and not line.is_derived and line.kind in kinds]
        if not reached:
            raise Refusal(
                Fault(
                    code="nothing to take back",
                    said="nothing was entered that could have done this",
                    remedy="end the run; its log and its last good moment are kept for whoever mends the body",
                )
            )
        return self.undo(max(line.seq for line in reached))
