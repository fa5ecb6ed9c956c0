"""The fold: a log in, the state of the run out.

``Fold`` takes events one by one.  An event at the end of the timeline is applied to the state at hand; an undo, a
correction, a late entry or an event that acted earlier makes the whole state anew from the log, which for a run of
a thousand events takes some milliseconds.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, Final, Literal

from drillyard.core.body.outcomes import OUTCOMES
from drillyard.core.care.problems import Problem
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.session.care_fold import apply_care
from drillyard.core.session.events import (
    STEPS_PER_S,
    CareGiven,
    CueGiven,
    EntryCorrected,
    EntryUndone,
    Event,
    FalseStart,
    FindingAsked,
    FindingObtained,
    Happening,
    HoldReleased,
    HoldSet,
    LateEntry,
    ManikinSet,
    NoteWritten,
    Paused,
    PhaseEntered,
    ProblemEnded,
    ProblemSet,
    RealEmergency,
    Resumed,
    RuleFired,
    RunEnded,
    RunStarted,
    ServerRecovered,
    StopWordSaid,
    TimeJumped,
)
from drillyard.core.session.state import (
    AskedFinding,
    FiredRule,
    GivenCue,
    HoldState,
    LogLineState,
    ManikinSetting,
    NoteState,
    ObtainedFinding,
    PhaseState,
    ProblemState,
    RunState,
)
from drillyard.core.session.timeline import UNDOABLE, Entry, active_seqs, is_derived, record_timeline


class Fold:
    """A growing log and its state."""

    def __init__(self, problems: Iterable[Problem] = ()) -> None:
        """``problems`` are the case's own, which are no events."""
        self._start = RunState(
            problems=tuple(ProblemState(problem=problem, set_t_s=problem.start_s) for problem in problems)
        )
        self.state = self._start
        self.events: list[Event] = []
        self._last_step = 0

    def add(self, event: Event) -> RunState:
        """Takes the next event of the log and returns the new state."""
        self.events.append(event)
        if isinstance(event.body, EntryUndone | EntryCorrected | LateEntry) or event.step < self._last_step:
            self.state = self._made_anew()
        else:
            entry = Entry(event=event, body=event.body, step=event.step, t_s=event.t_sim_s)
            self.state = replace(_apply(self.state, entry), last_seq=max(self.state.last_seq, event.seq))
        self._last_step = max(self._last_step, event.step)
        return self.state

    def copy(self) -> "Fold":
        """A fold that grows on its own from here."""
        other = Fold()
        other._start, other.state, other._last_step = self._start, self.state, self._last_step
        other.events = list(self.events)
        return other

    def _made_anew(self) -> RunState:
        state = self._start
        for entry in record_timeline(self.events):
            state = _apply(state, entry)
            # What is dated later than it was entered stands behind what comes next.
            self._last_step = max(self._last_step, entry.step)
        state = replace(state, last_seq=max(event.seq for event in self.events))
        return replace(state, log=_log_with_amendments(state, self.events))


def fold(events: Iterable[Event], problems: Iterable[Problem] = ()) -> RunState:
    """The state of a whole log."""
    growing = Fold(problems)
    for event in events:
        growing.add(event)
    return growing.state


def _apply(state: RunState, entry: Entry) -> RunState:
    state = replace(state, log=(*state.log, _log_line(entry)))
    return state if entry.is_undone else _APPLY[type(entry.body)](state, entry, entry.body)


# ---- the log as the operator reads it -----------------------------------------------------------------------------


def _log_line(entry: Entry) -> LogLineState:
    body = entry.body
    return LogLineState(
        seq=entry.seq,
        t_s=entry.t_s,
        entered_t_s=entry.event.step / STEPS_PER_S,
        kind=body.kind,
        text=_text(body),
        by=entry.event.actor,
        action=body.action if isinstance(body, CareGiven) else None,
        is_undone=entry.is_undone,
        is_late=entry.is_late,
        is_corrected=entry.corrected_by_seq is not None,
        is_derived=entry.is_derived,
        can_undo=isinstance(body, UNDOABLE) and not entry.is_undone,
        note=f"warned: {body.warned}" if isinstance(body, CareGiven) and body.warned else "",
    )


def _log_with_amendments(state: RunState, events: list[Event]) -> tuple[LogLineState, ...]:
    """Adds the lines of the undos and corrections themselves, at the time they were entered."""
    active = active_seqs(events, {"rebase", "record only"})
    lines = list(state.log)
    for event in events:
        if isinstance(event.body, EntryUndone | EntryCorrected):
            about = "; ".join(note.text for note in state.notes if note.about_seq == event.seq)
            is_undone = event.seq not in active
            lines.append(
                LogLineState(
                    seq=event.seq,
                    t_s=event.t_sim_s,
                    entered_t_s=event.t_sim_s,
                    kind=event.body.kind,
                    text=_text(event.body),
                    by=event.actor,
                    is_undone=is_undone,
                    is_derived=is_derived(event),
                    can_undo=not is_undone,
                    note=about,
                )
            )
    return tuple(sorted(lines, key=lambda line: (line.t_s, line.seq)))


def _text(body: Happening) -> str:  # noqa: C901, PLR0911, PLR0912 - one case a happening
    match body:
        case RunStarted():
            return "run started"
        case PhaseEntered():
            return body.phase
        case CareGiven() | EntryCorrected() | LateEntry() | CueGiven() | NoteWritten() | RuleFired() | TimeJumped():
            return body.text
        case FindingObtained() | FindingAsked():
            return body.text
        case ManikinSet():
            return f"manikin set: {body.finding} {body.setting}"
        case ProblemSet():
            return _with_reason(f"{body.problem.kind} '{body.problem.name}' set", body.reason)
        case ProblemEnded():
            return _with_reason(f"'{body.name}' ended", body.reason)
        case HoldSet():
            where = "on the room monitor only" if body.display_only else f"by {body.by}" if body.by else "in the body"
            return _with_reason(f"{body.what} held at {_value(body.what, body.value)} {where}", body.reason)
        case HoldReleased():
            return f"{body.what} released over {body.over_s:g} s"
        case Paused():
            return _with_reason("paused", body.reason)
        case Resumed():
            return "run goes on"
        case EntryUndone():
            how = "body computed again" if body.effect == "rebase" else "in the record only"
            return _with_reason(f"entry {body.target_seq} taken back, {how}", body.reason)
        case StopWordSaid():
            return "stop word said"
        case RealEmergency():
            return "real emergency"
        case ServerRecovered():
            how = "went on" if body.resumed else "paused"
            return f"server back after {body.outage_s:.0f} s, {how}"
        case RunEnded():
            return f"run ended: {body.reason} ({body.outcome})"
        case FalseStart():
            return _with_reason("false start, run is void", body.reason)


def _value(what: str, value: float) -> str:
    """A held value; a signal and an outcome have a unit, an effector of the body is said without."""
    unit = SIGNALS[what].unit if what in SIGNALS else OUTCOMES[what].unit if what in OUTCOMES else "1"
    return f"{value:g}" if unit == "1" else f"{value:g} {unit}"


def _with_reason(text: str, reason: str) -> str:
    return f"{text}: {reason}" if reason else text


# ---- one function a happening -------------------------------------------------------------------------------------


def _run_started(state: RunState, entry: Entry, body: RunStarted) -> RunState:
    return replace(state, started=body, is_running=True)


def _phase_entered(state: RunState, entry: Entry, body: PhaseEntered) -> RunState:
    entered = PhaseState(name=body.phase, entered_t_s=entry.t_s, seq=entry.seq)
    return replace(state, phase=body.phase, phases=(*state.phases, entered))


def _care_given(state: RunState, entry: Entry, body: CareGiven) -> RunState:
    return apply_care(state, entry.t_s, entry.seq, body.action)


def _finding_obtained(state: RunState, entry: Entry, body: FindingObtained) -> RunState:
    obtained = ObtainedFinding(
        seq=entry.seq,
        t_s=entry.t_s,
        finding=body.finding,
        value=body.value,
        text=body.text,
        how=body.how,
        true_value=body.true_value,
        requested_t_s=body.requested_t_s,
    )
    asked = tuple(
        replace(a, answered_t_s=entry.t_s) if a.finding == body.finding and a.answered_t_s is None else a
        for a in state.asked
    )
    return replace(state, obtained=(*state.obtained, obtained), asked=asked)


def _finding_asked(state: RunState, entry: Entry, body: FindingAsked) -> RunState:
    asked = AskedFinding(seq=entry.seq, t_s=entry.t_s, finding=body.finding, text=body.text)
    return replace(state, asked=(*state.asked, asked))


def _cue_given(state: RunState, entry: Entry, body: CueGiven) -> RunState:
    given = GivenCue(seq=entry.seq, t_s=entry.t_s, cue=body.cue, text=body.text, how=body.how)
    return replace(state, cues=(*state.cues, given))


def _manikin_set(state: RunState, entry: Entry, body: ManikinSet) -> RunState:
    setting = ManikinSetting(finding=body.finding, setting=body.setting, since_t_s=entry.t_s)
    return replace(state, manikin=(*(m for m in state.manikin if m.finding != body.finding), setting))


def _problem_set(state: RunState, entry: Entry, body: ProblemSet) -> RunState:
    by: Literal["rule", "operator"] = "rule" if entry.event.source == "rule" else "operator"
    problem = ProblemState(problem=body.problem, set_t_s=entry.t_s, reason=body.reason, by=by)
    return replace(state, problems=(*(p for p in state.problems if p.problem.name != body.problem.name), problem))


def _problem_ended(state: RunState, entry: Entry, body: ProblemEnded) -> RunState:
    problems = tuple(
        replace(p, ended_t_s=entry.t_s, reason=body.reason or p.reason)
        if p.problem.name == body.name and not p.is_ended
        else p
        for p in state.problems
    )
    return replace(state, problems=problems)


def _hold_set(state: RunState, entry: Entry, body: HoldSet) -> RunState:
    hold = HoldState(
        what=body.what,
        value=body.value,
        display_only=body.display_only,
        since_t_s=entry.t_s,
        by=body.by,
        reason=body.reason,
    )
    return replace(state, holds=(*(h for h in state.holds if h.what != body.what), hold))


def _hold_released(state: RunState, entry: Entry, body: HoldReleased) -> RunState:
    holds = tuple(
        replace(h, released_t_s=entry.t_s, over_s=body.over_s) if h.what == body.what else h for h in state.holds
    )
    return replace(state, holds=holds)


def _rule_fired(state: RunState, entry: Entry, body: RuleFired) -> RunState:
    fired = FiredRule(seq=entry.seq, t_s=entry.t_s, rule=body.rule, text=body.text)
    return replace(state, rules=(*state.rules, fired))


def _paused(state: RunState, entry: Entry, body: Paused) -> RunState:
    return replace(state, is_running=False)


def _resumed(state: RunState, entry: Entry, body: Resumed) -> RunState:
    return replace(state, is_running=not state.is_ended, recovered_text="", is_stopped_for_safety=False)


def _time_jumped(state: RunState, entry: Entry, body: TimeJumped) -> RunState:
    return replace(state, jumps_min=(*state.jumps_min, body.minutes))


def _note_written(state: RunState, entry: Entry, body: NoteWritten) -> RunState:
    note = NoteState(seq=entry.seq, t_s=entry.t_s, text=body.text, about_seq=body.about_seq)
    log = tuple(
        replace(line, note=f"{line.note}; {body.text}" if line.note else body.text)
        if line.seq == body.about_seq
        else line
        for line in state.log
    )
    return replace(state, notes=(*state.notes, note), log=log)


def _stop_word_said(state: RunState, entry: Entry, body: StopWordSaid) -> RunState:
    return replace(state, is_running=False, is_stopped_for_safety=True)


def _real_emergency(state: RunState, entry: Entry, body: RealEmergency) -> RunState:
    return replace(state, is_running=False, is_stopped_for_safety=True, is_real_emergency=True)


def _server_recovered(state: RunState, entry: Entry, body: ServerRecovered) -> RunState:
    return replace(state, is_running=body.resumed and not state.is_ended, recovered_text=_text(body))


def _run_ended(state: RunState, entry: Entry, body: RunEnded) -> RunState:
    return replace(
        state,
        is_running=False,
        is_ended=True,
        ended_t_s=entry.t_s,
        outcome=body.outcome,
        end_reason=body.reason,
    )


def _false_start(state: RunState, entry: Entry, body: FalseStart) -> RunState:
    return replace(state, is_running=False, is_ended=True, is_void=True, ended_t_s=entry.t_s, end_reason=_text(body))


_APPLY: Final[dict[type, Callable[[RunState, Entry, Any], RunState]]] = {
    RunStarted: _run_started,
    PhaseEntered: _phase_entered,
    CareGiven: _care_given,
    FindingObtained: _finding_obtained,
    FindingAsked: _finding_asked,
    CueGiven: _cue_given,
    ManikinSet: _manikin_set,
    ProblemSet: _problem_set,
    ProblemEnded: _problem_ended,
    HoldSet: _hold_set,
    HoldReleased: _hold_released,
    RuleFired: _rule_fired,
    Paused: _paused,
    Resumed: _resumed,
    TimeJumped: _time_jumped,
    NoteWritten: _note_written,
    StopWordSaid: _stop_word_said,
    RealEmergency: _real_emergency,
    ServerRecovered: _server_recovered,
    RunEnded: _run_ended,
    FalseStart: _false_start,
    # A record-only late entry is read as care by the record's timeline; an entry of the log itself never gets here.
}
