"""A run: its log and its machine.  Committed events in, wanted events out; it knows no clock.

The shell (``service/live_room.py``) turns time into steps, gives each event its ``seq`` and ``step``, and posts it
here once it is on disk.  ``advance_to`` moves the patient and returns what the core wants logged; that has acted
already, and comes back through ``post`` like any event, where it is compared with what was found.  So a replay of the
log is the live run again, and a log that does not fit the body shows itself (``mismatches``).
"""

from bisect import bisect_right
from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.book import Book, Mismatch, Wanted
from drillyard.core.session.director import Director
from drillyard.core.session.events import (
    STEPS_PER_S,
    STEPS_PER_TICK,
    EntryCorrected,
    EntryUndone,
    Event,
    FindingObtained,
    Happening,
    LateEntry,
)
from drillyard.core.session.fold import Fold
from drillyard.core.session.machine import CHECK_EVERY_S, Machine
from drillyard.core.session.remembered import BodyFroze, Derived, MachineSnapshot
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.state import RunState
from drillyard.core.session.timeline import (
    REACHES_CORE,
    Entry,
    body_timeline,
    check_amendment,
    is_derived,
    undone_derived,
)
from drillyard.core.session.tracks import Tracks
from drillyard.core.session.waves import Waves

AMENDMENTS: Final = (EntryUndone, EntryCorrected, LateEntry)
"""Happenings that change what acted before."""
SNAPSHOT_EVERY_S: Final = 3 * int(CHECK_EVERY_S)
"""Seconds between the snapshots that a late entry is recomputed from; half a minute more of patient costs some 5 ms."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSnapshot:
    """A run at one moment, to be gone back to within this process."""

    machine: MachineSnapshot
    fold: Fold
    tracks: Tracks
    book: Book
    snapshots: tuple[MachineSnapshot, ...]
    mismatches: tuple[Mismatch, ...]
    director: Director | None


class Run:
    """One playing of a case."""

    def __init__(self, setup: RunSetup) -> None:
        """A run at time zero, the patient pre-rolled through what began before.

        Raises:
            Refusal: the case holds a problem that the body cannot have.
        """
        self.setup = setup
        self.machine = Machine(setup)
        self.tracks = Tracks()
        self.director = Director(setup.scenario) if setup.has_director else None
        self.mismatches: list[Mismatch] = []
        self.frozen: Fault | None = None
        self._fold = Fold(setup.scenario.problems)
        self._book = Book()
        self._snapshots: list[MachineSnapshot] = []

    # ---- reading ----------------------------------------------------------------------------------------------

    @property
    def step(self) -> int:
        """The step at which the patient stands."""
        return self.machine.step

    @property
    def t_s(self) -> float:
        return self.machine.step / STEPS_PER_S

    @property
    def state(self) -> RunState:
        """The fold of the log so far."""
        return self._fold.state

    @property
    def events(self) -> tuple[Event, ...]:
        """The log so far, in the order it was posted."""
        return tuple(self._fold.events)

    @property
    def is_ended(self) -> bool:
        """True once the patient stands still for good: the run has ended, by hand or by itself."""
        return self.machine.is_ended

    @property
    def waves(self) -> Waves | None:
        """The last seconds of the waves, None where none are kept."""
        return self.machine.waves

    def signals(self) -> dict[str, float]:
        """All signals of the body at this very step."""
        return self.machine.body.read_all()

    def shown(self) -> dict[str, float | None]:
        """What screens can show the crew now, by signal; None where no sensor is on."""
        return self.machine.shown()

    def pending_wanted(self) -> list[Wanted]:
        """What the core wanted logged and has not seen come back: after a crash, the tail that was lost."""
        return list(self._book.unlogged.values())

    def take_advice(self) -> list[tuple[int, str]]:
        """Sentences for the operator about entries that acted since the last call: ``(seq, sentence)``; 0 the case."""
        told, self.machine.advice = self.machine.advice, []
        return told

    # ---- events in --------------------------------------------------------------------------------------------

    def check(self, body: Happening, step: int) -> None:
        """Looks at a happening before it is given a number; an event that passes can be posted.

        Raises:
            Refusal: a step before now or between ticks, an entry that cannot be amended, or care after the end.
        """
        check_amendment(self._fold.events, body, step, self.is_ended)
        if self.is_ended and isinstance(body, REACHES_CORE) and not isinstance(body, FindingObtained):
            raise Refusal(
                Fault(
                    code="run has ended",
                    said="the run has ended and nothing more can act on the patient",
                    remedy="write a note, or try it as a what-if",
                )
            )
        if not self.is_ended:
            self._check_step(step)

    def _check_step(self, step: int) -> None:
        if step < self.step or step % STEPS_PER_TICK:
            raise Refusal(
                Fault(
                    code="event out of time",
                    said=f"an event cannot act at step {step}",
                    allowed=f"a multiple of {STEPS_PER_TICK} from {self.step} on",
                    remedy="enter what happened earlier as a late entry",
                )
            )

    def post(self, event: Event) -> None:
        """Takes a committed event.  It acts at its step, which may be now or later.

        Raises:
            Refusal: it would have to act before now, or between ticks; nothing has changed then.
        """
        own = is_derived(event)
        acts = isinstance(event.body, REACHES_CORE) and not own and not self.is_ended
        if acts:
            self._check_step(event.step)
        self._fold.add(event)
        if self.director is not None:
            self.director.on_event(event)
        if own:
            mismatch = self._book.compare(event, self.step)
            if mismatch is not None:
                self.mismatches.append(mismatch)
        elif isinstance(event.body, AMENDMENTS):
            self._take_amendment(event)
        elif acts:
            self._take_entry(Entry(event=event, body=event.body, step=event.step, t_s=event.t_sim_s))

    def _take_entry(self, entry: Entry) -> None:
        if entry.step == self.step and self._is_at_work:
            self.machine.act(entry)
            return
        book = self._book
        at = bisect_right([(waiting.step, waiting.seq) for waiting in book.queue], (entry.step, entry.seq))
        book.queue.insert(at, entry)

    def _take_amendment(self, event: Event) -> None:
        if self.is_ended:
            return
        if event.step > self.step and self.frozen is None:
            self._book.amendments.append(event)
        else:
            self._amend(event)

    @property
    def _is_at_work(self) -> bool:
        """Time zero itself has been worked through, so that an event may act at the step at hand."""
        return len(self.tracks) > 0

    # ---- time -------------------------------------------------------------------------------------------------

    def advance_to(self, step: int) -> list[Wanted]:
        """Moves the patient to ``step``, or to the step at which the run ends or the body freezes.

        Returns:
            what the core newly wants logged, in order.  It has acted already; the order of commits does not matter.
        """
        book = self._book
        while self.frozen is None and not self.is_ended:
            stop = min(step, book.amendments[0].step) if book.amendments else step
            self._run_machine(stop, book.queue)
            for derived in self._take_derived():
                book.want(derived)
            # A body that stands still reaches no later step; what would mend it must not wait for one.
            while book.amendments and not self.is_ended:
                if book.amendments[0].step > self.step and self.frozen is None:
                    break
                self._amend(book.amendments.popleft())
            if self.step >= step:
                break
        new, book.new = book.new, []
        return new

    def _run_machine(self, step: int, queue: "deque[Entry]") -> None:
        try:
            self.machine.run_to(step, queue, self._on_second)
        except BodyFroze as froze:
            self.frozen = froze.faults[0]

    def _take_derived(self) -> list[Derived]:
        derived, self.machine.derived = self.machine.derived, []
        return derived

    def _on_second(self, second: int) -> None:
        machine = self.machine
        self.tracks.write_second(second, machine.signals, machine.shown())
        if machine.beats is not None:
            self.tracks.write_beats(*machine.beats)
        if self.director is not None:
            self.director.on_second(second, machine.signals, machine.facts)
        if second % SNAPSHOT_EVERY_S == 0:
            self._snapshots.append(machine.snapshot())

    # ---- late entries, undo, corrections ----------------------------------------------------------------------

    def _amend(self, event: Event) -> None:
        """An undo, correction or late entry takes effect now: the patient is recomputed if it changes what acted."""
        book = self._book
        before, held_back = self._acted(), self.machine.suppressed
        book.applied.add(event.seq)
        after = self._acted()
        suppressed = self._suppressed()
        touched = {(e.seq, e.step, e.body) for e in before} ^ {(e.seq, e.step, e.body) for e in after}
        steps = [step for _, step, _ in touched]
        steps += [book.found[key].step for key in held_back ^ suppressed if key in book.found]
        if steps:
            self._recompute(min(steps), after, suppressed)

    def _acted(self) -> list[Entry]:
        """What has acted on the patient so far, as the amendments taken in by now have it."""
        log = (
            event
            for event in self._fold.events
            if event.seq in self._book.applied or (event.step <= self.step and not isinstance(event.body, AMENDMENTS))
        )
        return body_timeline(list(log))

    def _suppressed(self) -> frozenset[str]:
        log = [
            event
            for event in self._fold.events
            if not isinstance(event.body, EntryUndone) or event.seq in self._book.applied
        ]
        return frozenset(
            self._book.keys[client_id] for client_id in undone_derived(log) if client_id in self._book.keys
        )

    def _recompute(self, from_step: int, entries: list[Entry], suppressed: frozenset[str]) -> None:
        """The patient as it would stand now; it takes over at this step.  What was shown stays as it was shown."""
        book, now = self._book, self.step
        at = bisect_right([snapshot.step for snapshot in self._snapshots], from_step) - 1
        snapshot = self._snapshots[at]
        del self._snapshots[at + 1 :]
        self.tracks.forget_true_after(snapshot.step)
        self.frozen = None
        self.machine.restore(snapshot)
        self.machine.suppressed = suppressed
        queue = deque(entry for entry in entries if entry.step >= snapshot.step)
        self._run_machine(now, queue)
        book.queue.extendleft(reversed(queue))
        book.n_recomputed += 1
        new = {derived.key: derived for derived in self._take_derived()}
        old = {key: derived for key, derived in book.found.items() if derived.step > snapshot.step}
        for key, derived in old.items():
            again = new.get(key)
            if again is not None and _stays(derived, again):
                del new[key]
                continue
            del book.found[key]
            if key not in suppressed:
                book.withdraw(key, now)
            elif again is None:
                # Kept by its key, so that undoing the undo finds the moment to recompute from.
                book.found[key] = derived
        for derived in new.values():
            book.want(derived, tags=("recomputed",))

    # ---- copies -----------------------------------------------------------------------------------------------

    def branch(self) -> "Run":
        """An independent run in the same state, without waves and director: for look-ahead and what-if."""
        twin = object.__new__(Run)
        twin.__dict__.update(self.__dict__)
        twin.machine, twin._fold, twin.tracks = self.machine.copy(), self._fold.copy(), self.tracks.copy()
        twin._book, twin._snapshots = self._book.copy(), list(self._snapshots)
        twin.mismatches, twin.director = list(self.mismatches), None
        return twin

    def snapshot(self) -> RunSnapshot:
        """This very moment."""
        return RunSnapshot(
            machine=self.machine.snapshot(),
            fold=self._fold.copy(),
            tracks=self.tracks.copy(),
            book=self._book.copy(),
            snapshots=tuple(self._snapshots),
            mismatches=tuple(self.mismatches),
            director=self.director.copy() if self.director is not None else None,
        )

    def restore(self, snapshot: RunSnapshot) -> None:
        """Goes back to the moment of ``snapshot``, which may be used again."""
        self.machine.restore(snapshot.machine)
        self._fold, self.tracks, self._book = snapshot.fold.copy(), snapshot.tracks.copy(), snapshot.book.copy()
        self.machine.suppressed = self._suppressed()
        self._snapshots, self.mismatches = list(snapshot.snapshots), list(snapshot.mismatches)
        self.director = snapshot.director.copy() if snapshot.director is not None else None
        self.frozen = None


def replay(setup: RunSetup, events: Iterable[Event], to_step: int | None = None) -> Run:
    """The run that a log tells.

    Goes through the log in order of ``seq``, then on to ``to_step`` and never past it (an event of a later step waits).
    ``mismatches`` of the run says where the log and today's body differ; ``pending_wanted`` what the core found that
    the log has not (the tail lost in a crash, or a departure).
    """
    run = Run(setup)
    run.advance_to(0)
    for event in sorted(events, key=lambda event: event.seq):
        run.advance_to(event.step if to_step is None else min(event.step, to_step))
        run.post(event)
    if to_step is not None:
        run.advance_to(to_step)
    return run


def _stays(old: Derived, new: Derived) -> bool:
    """A cuff reading that was taken stays what it was; anything else must be the same at the same moment."""
    return isinstance(old.body, FindingObtained) or (old.step == new.step and old.body == new.body)
