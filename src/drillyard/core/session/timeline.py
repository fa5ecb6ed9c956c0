"""The log put in order of what happened: undo, correction and late entry resolved.

Two questions are asked of the same log.  ``record_timeline``: what was done and when, as far as the record knows;
every undo, correction and late entry counts.  ``body_timeline``: what reached the patient; only changes with the
effect "rebase" count, since "record only" leaves the body as it ran.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, NoReturn

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import (
    STEPS_PER_S,
    STEPS_PER_TICK,
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
    PhaseEntered,
    ProblemEnded,
    ProblemSet,
    RuleFired,
    RunEnded,
)

DERIVED_PREFIX: Final = "core-"
"""Client ids of events that the core itself asked for begin with this; replay compares them."""

UNDOABLE: Final = (
    CareGiven, LateEntry, EntryCorrected, EntryUndone, FindingObtained, FindingAsked, CueGiven, ManikinSet,
    ProblemSet, ProblemEnded, HoldSet, HoldReleased, PhaseEntered, NoteWritten, RuleFired,
)  # fmt: skip
"""Happenings that an undo may take back.  Clock, start, end, stop word and recovery stay."""

REACHES_CORE: Final = (
    CareGiven, ProblemSet, ProblemEnded, HoldSet, HoldReleased, FindingObtained, PhaseEntered, RunEnded, FalseStart,
)  # fmt: skip
"""Happenings that change what the body, its displayed values or the rules do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One happening as it now stands.

    ``event`` is the envelope of the first log line about it; ``body`` what happened by the newest correction; ``step``
    and ``t_s`` when it happened, which for a late or corrected entry is not when it was entered.
    """

    event: Event
    body: Happening
    step: int
    t_s: float
    is_undone: bool = False
    is_late: bool = False
    corrected_by_seq: int | None = None

    @property
    def seq(self) -> int:
        return self.event.seq

    @property
    def is_derived(self) -> bool:
        return is_derived(self.event)


def is_derived(event: Event) -> bool:
    """True for what the core found out by itself: a rule that fired and what it did, a finished cuff cycle, the end."""
    return event.client_id.startswith(DERIVED_PREFIX)


def tick_of(t_s: float) -> int:
    """The step of the tick nearest to a time in seconds."""
    return round(t_s * STEPS_PER_S / STEPS_PER_TICK) * STEPS_PER_TICK


def record_timeline(events: Sequence[Event]) -> list[Entry]:
    """Every entry of the record in order of time, those taken back marked ``is_undone``.

    Undo and correction are marks on their targets and are no entries themselves.
    """
    return _resolve(events, {"rebase", "record only"}, keep_undone=True)


def body_timeline(events: Sequence[Event]) -> list[Entry]:
    """What acts on the body, in order of time; derived events are left out, since the core makes them again."""
    entries = _resolve((e for e in events if not is_derived(e)), {"rebase"}, keep_undone=False)
    return [entry for entry in entries if isinstance(entry.body, REACHES_CORE)]


def undone_derived(events: Sequence[Event]) -> frozenset[str]:
    """Client ids of derived events that an undo with effect "rebase" took back: the core must not act on them."""
    active = active_seqs(events, {"rebase"})
    return frozenset(event.client_id for event in events if is_derived(event) and event.seq not in active)


def check_amendment(events: Sequence[Event], body: Happening, step: int, is_ended: bool) -> None:
    """Refuses an undo, correction or late entry that cannot be done at ``step``; says nothing to other happenings.

    Raises:
        Refusal: no such entry, one that stays, one already taken back, a time before the start or in the future, or
            a recomputed body after the end.
    """
    if not isinstance(body, EntryUndone | EntryCorrected | LateEntry):
        return
    if is_ended and body.effect == "rebase":
        _refuse(
            "run has ended",
            "the run has ended and its body is not recomputed any more",
            "record only",
            "enter it as record only, or try it as a what-if",
        )
    if isinstance(body, EntryUndone | EntryCorrected):
        target = next((event for event in events if event.seq == body.target_seq), None)
        if target is None:
            _refuse("unknown entry", f"there is no entry number {body.target_seq}", remedy="choose one from the log")
        is_right_kind = (
            isinstance(target.body, UNDOABLE)
            if isinstance(body, EntryUndone)
            else isinstance(target.body, CareGiven | LateEntry | EntryCorrected)
        )
        if not is_right_kind:
            _refuse("entry stays", f"entry {body.target_seq} ({target.body.kind}) cannot be changed")
        if target.seq not in active_seqs(events, {"rebase", "record only"}):
            _refuse("already undone", f"entry {body.target_seq} has been taken back already")
    t_s = None if isinstance(body, EntryUndone) else body.t_s
    if t_s is not None and not 0.0 <= t_s <= step / STEPS_PER_S:
        _refuse(
            "time out of range",
            f"an entry cannot be placed at {t_s:g} s",
            f"0 to {step / STEPS_PER_S:g} s, from the start of the run to now",
            "give a time between the start of the run and now",
        )


def _refuse(code: str, said: str, allowed: str = "", remedy: str = "") -> NoReturn:
    raise Refusal(Fault(code=code, said=said, allowed=allowed, remedy=remedy))


def active_seqs(events: Sequence[Event], effects: set[str]) -> set[int]:
    """``seq`` of the events that no undo has taken back.  An undo is later than its target, so one walk from the
    newest to the oldest settles undone undos too."""
    gone: set[int] = set()
    for event in sorted(events, key=lambda e: e.seq, reverse=True):
        body = event.body
        if isinstance(body, EntryUndone) and body.effect in effects and event.seq not in gone:
            gone.add(body.target_seq)
    return {event.seq for event in events if event.seq not in gone}


def _resolve(events: Iterable[Event], effects: set[str], keep_undone: bool) -> list[Entry]:
    log = sorted(events, key=lambda event: event.seq)
    active = active_seqs(log, effects)
    root: dict[int, int] = {}
    corrections: dict[int, list[Event]] = {}
    for event in log:
        if isinstance(event.body, EntryCorrected):
            root[event.seq] = root.get(event.body.target_seq, event.body.target_seq)
            if event.body.effect in effects and event.seq in active:
                corrections.setdefault(root[event.seq], []).append(event)
    entries: list[Entry] = []
    for event in log:
        body = event.body
        if isinstance(body, EntryUndone | EntryCorrected):
            continue
        if isinstance(body, LateEntry) and body.effect not in effects:
            continue
        is_undone = event.seq not in active
        if is_undone and not keep_undone:
            continue
        entries.append(_entry(event, corrections.get(event.seq, []), is_undone))
    entries.sort(key=lambda entry: (entry.step, entry.seq))
    return entries


def _entry(event: Event, corrections: Sequence[Event], is_undone: bool) -> Entry:
    body: Happening = event.body
    step, t_s, is_late = event.step, event.t_sim_s, isinstance(body, LateEntry)
    if isinstance(body, LateEntry):
        step, t_s = tick_of(body.t_s), body.t_s
        body = CareGiven(action=body.action, text=body.text, warned=body.warned)
    for correction in corrections:
        change = correction.body
        if isinstance(change, EntryCorrected):
            body = CareGiven(action=change.action, text=change.text, warned=change.warned)
            # A correction without a time leaves the time as it stood.
            if change.t_s is not None:
                step, t_s = tick_of(change.t_s), change.t_s
    return Entry(
        event=event,
        body=body,
        step=step,
        t_s=t_s,
        is_undone=is_undone,
        is_late=is_late,
        corrected_by_seq=corrections[-1].seq if corrections else None,
    )
