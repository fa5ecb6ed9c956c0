"""A live room: the shell around one run.

The room turns monotonic time into steps, gives every command its number and the step at which it acts (the next
tick), hands it to the store, waits there with the patient until it is on disk, posts it to the run and then
acknowledges it.  Where the store refuses (a full disk), the command is refused and the patient goes on.

Everything here runs in one thread, the event loop's; ``tick`` does the work and may be called by hand.  Only the
store's futures are finished elsewhere.
"""

import asyncio
import contextlib
import logging
from collections import deque
from collections.abc import Callable, Iterable
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Final

from drillyard.core.quantities.faults import Refusal
from drillyard.core.session.book import Wanted
from drillyard.core.session.events import (
    STEPS_PER_S,
    EntryCorrected,
    EntryUndone,
    Event,
    FalseStart,
    Happening,
    LateEntry,
    Paused,
    RealEmergency,
    Resumed,
    RunEnded,
    ServerRecovered,
    Source,
    StopWordSaid,
    TimeJumped,
)
from drillyard.core.session.run import Run
from drillyard.core.session.timeline import DERIVED_PREFIX, is_derived
from drillyard.service.admission import check_age, check_now, refuse
from drillyard.service.clock import Clock, wall_text
from drillyard.service.keeper import Keeper
from drillyard.service.pace import Pace
from drillyard.service.ports import LabStore
from drillyard.service.records import Appended, RunRecord

_LOGGER: Final = logging.getLogger(__name__)

CATCH_UP_STEPS: Final = 3000
"""Steps done at once when the room is behind (after a jump, a recovery or a slow disk): some milliseconds."""
TICK_S: Final = 0.05
RETRY_S: Final = 1.0

_STOPS_TIME: Final = (Paused, StopWordSaid, RealEmergency, RunEnded, FalseStart)


@dataclass(frozen=True, slots=True)
class Accepted:
    """A command that is on disk and in the run."""

    seq: int
    step: int


@dataclass(slots=True)
class _Pending:
    event: Event
    stored: "Future[Appended]"
    answer: "Future[Accepted] | None"


class LiveRoom:
    """One room with one run in it."""

    def __init__(self, record: RunRecord, run: Run, store: LabStore, clock: Clock, keeper: Keeper) -> None:
        self.record, self.run = record, run
        self.advice: dict[int, str] = {}
        self.case_advice: list[str] = []
        self.disk_text = ""
        self.crash_text = ""
        self.on_event: list[Callable[[Event], None]] = []
        self.on_end: list[Callable[[LiveRoom], None]] = []
        self._store, self._clock, self._keeper = store, clock, keeper
        self._pace = Pace(run.step)
        self._pending: deque[_Pending] = deque()
        self._answers: dict[str, Future[Accepted]] = {}
        self._unlogged: deque[Wanted] = deque()
        self._retry_at_s = 0.0
        self._next_seq = 1
        self.newest_step = run.step
        self._has_ended = run.state.is_ended
        self._nudge: Callable[[], None] = lambda: None
        self._is_closed = False
        for event in run.events:
            self._remember(event)

    # ---- reading ----------------------------------------------------------------------------------------------

    @property
    def is_moving(self) -> bool:
        """Whether time runs."""
        return self._pace.is_moving and self.run.frozen is None and not self.run.is_ended

    @property
    def good_t_s(self) -> float | None:
        """While the body is frozen: the last second at which it was sound."""
        return max(0.0, len(self.run.tracks) - 1.0) if self.run.frozen is not None else None

    @property
    def fault_text(self) -> str:
        """One sentence about what is wrong with this room now, or an empty text."""
        if self.run.frozen is not None:
            return self.run.frozen.sentence()
        return self.crash_text or self.disk_text

    @property
    def is_settled(self) -> bool:
        """Whether nothing waits for the disk."""
        return not self._pending and not self._unlogged

    # ---- commands ---------------------------------------------------------------------------------------------

    def submit(
        self, body: Happening, *, client_id: str, actor: str, source: Source, age_s: float = 0.0
    ) -> "Future[Accepted]":
        """Takes one command.

        Returns:
            a future that is done when the event is on disk and in the run.  A repeated ``client_id`` gets the same
            future again and nothing is done twice.

        Raises:
            Refusal: too old, or not possible now; nothing has happened then.
        """
        known = self._answers.get(client_id)
        if known is not None:
            return known
        if client_id.startswith(DERIVED_PREFIX):
            refuse("bad id", f"an id may not begin with '{DERIVED_PREFIX}'", "let the screen make its own ids")
        check_age(age_s)
        check_now(body, self.run, is_moving=self._pace.is_moving, has_crashed=bool(self.crash_text))
        step = max(self._pace.next_tick(self._clock.monotonic_s()), self.run.step)
        self.run.check(body, step)
        answer: Future[Accepted] = Future()
        self._append(self._event(body, step, client_id, actor, source), answer)
        self._answers[client_id] = answer
        return answer

    def answer_to(self, client_id: str) -> "Future[Accepted] | None":
        """The answer to a command that was taken before, None for a new one."""
        return self._answers.get(client_id)

    def _event(self, body: Happening, step: int, client_id: str, actor: str, source: Source) -> Event:
        event = Event(
            seq=self._next_seq,
            step=step,
            t_sim_s=step / STEPS_PER_S,
            t_wall_utc=wall_text(self._clock.utc()),
            source=source,
            actor=actor,
            client_id=client_id,
            body=body,
        )
        self._next_seq += 1
        return event

    def _append(self, event: Event, answer: "Future[Accepted] | None") -> None:
        stored = self._store.events.append(self.record.run_id, [event])
        self._pending.append(_Pending(event, stored, answer))
        stored.add_done_callback(lambda _: self._nudge())

    # ---- the loop ---------------------------------------------------------------------------------------------

    def tick(self) -> bool:
        """Does what is due now.  True while the room is behind its clock and wants to be called again at once."""
        self._take_stored()
        target = self._pace.target(self._clock.monotonic_s())
        waits_at = min((p.event.step for p in self._pending if p.answer is not None), default=target)
        goal = min(target, waits_at)
        was_frozen = self.run.frozen is not None
        for wanted in self.run.advance_to(min(goal, self.run.step + CATCH_UP_STEPS)):
            self._log(wanted)
        if self.run.frozen is not None and not was_frozen:
            self._freeze()
        elif self.run.is_ended:
            self._pace.stop(self.run.step)
        self._log_again()
        self._keeper.keep(self.run, wall_text(self._clock.utc()))
        self._take_advice()
        self._end_once()
        return self.run.step < goal and self.run.frozen is None and not self.run.is_ended

    def _end_once(self) -> None:
        if self.run.is_ended and self.run.state.is_ended and self.is_settled:
            self._finish()

    def _finish(self) -> None:
        """The run is over: its tracks are kept whole and whoever waits for its end is told, once."""
        if self._has_ended:
            return
        self._has_ended = True
        self._keeper.finish(self.run)
        for listener in self.on_end:
            listener(self)

    def _freeze(self) -> None:
        """The body is not a patient any more: this room stands still, and its log says why."""
        self._pace.stop(self.run.step)
        fault = self.run.frozen
        said = fault.said if fault is not None else ""
        client_id = f"server-froze-{self.run.step}-{self._next_seq}"
        self._append(self._event(Paused(reason=said), self.run.step, client_id, "server", "server"), None)

    def _take_stored(self) -> None:
        while self._pending and self._pending[0].stored.done():
            pending = self._pending.popleft()
            try:
                stored = pending.stored.result()
            except Refusal as refusal:
                self._refused(pending, refusal)
                continue
            self.disk_text = ""
            if pending.event.client_id in stored.repeated:
                self._answer(pending, pending.event)
                continue
            self._take(pending)

    def _refused(self, pending: _Pending, refusal: Refusal) -> None:
        self.disk_text = str(refusal)
        if pending.answer is not None:
            del self._answers[pending.event.client_id]
            pending.answer.set_exception(refusal)
            return
        event = pending.event
        again = Wanted(
            step=event.step,
            t_sim_s=event.t_sim_s,
            source=event.source,
            client_id=event.client_id,
            body=event.body,
            actor=event.actor,
            tags=event.tags,
        )
        self._unlogged.append(again)
        self._retry_at_s = self._clock.monotonic_s() + RETRY_S

    def _take(self, pending: _Pending) -> None:
        """A committed event enters the run."""
        event, body = pending.event, pending.event.body
        self.run.post(event)
        self.newest_step = event.step
        now_s = self._clock.monotonic_s()
        if isinstance(body, Resumed) or (isinstance(body, ServerRecovered) and body.resumed):
            self._pace.start(now_s, event.step)
        elif isinstance(body, _STOPS_TIME):
            self._pace.stop(max(event.step, self.run.step))
        elif isinstance(body, TimeJumped):
            self._pace.jump(event.step, round(body.minutes * 60.0) * STEPS_PER_S, now_s)
        if isinstance(body, EntryUndone | EntryCorrected | LateEntry) and body.effect == "rebase":
            self._keeper.rewrite()
        if isinstance(body, EntryCorrected) and body.effect == "rebase":
            # What the body said to the old words is not true of the new ones; it speaks again where it has to.
            self.advice.pop(body.target_seq, None)
        self._answer(pending, event)
        for listener in self.on_event:
            listener(event)

    def _answer(self, pending: _Pending, event: Event) -> None:
        if pending.answer is not None:
            pending.answer.set_result(Accepted(event.seq, event.step))

    # ---- what the core wants logged ---------------------------------------------------------------------------

    def _log(self, wanted: Wanted) -> None:
        event = Event(
            seq=self._next_seq,
            step=wanted.step,
            t_sim_s=wanted.t_sim_s,
            t_wall_utc=wall_text(self._clock.utc()),
            source=wanted.source,
            actor=wanted.actor,
            client_id=wanted.client_id,
            body=wanted.body,
            tags=wanted.tags,
        )
        self._next_seq += 1
        self._append(event, None)

    def _log_again(self) -> None:
        """What a full disk refused is offered again: the patient went on, so the log must catch up."""
        if self._unlogged and self._clock.monotonic_s() >= self._retry_at_s and not self._pending:
            self._retry_at_s = self._clock.monotonic_s() + RETRY_S
            waiting, self._unlogged = self._unlogged, deque()
            for wanted in waiting:
                self._log(wanted)

    def _take_advice(self) -> None:
        for seq, sentence in self.run.take_advice():
            if seq:
                self.advice[seq] = sentence
            else:
                self.case_advice.append(sentence)

    # ---- life -------------------------------------------------------------------------------------------------

    def start(self) -> None:
        """Time begins to run."""
        self._pace.start(self._clock.monotonic_s(), self.run.step)

    def log_missing(self, wanted: Iterable[Wanted]) -> None:
        """Logs what the core found before a crash and the log has lost."""
        for one in wanted:
            self._log(one)

    def _remember(self, event: Event) -> None:
        self._next_seq = max(self._next_seq, event.seq + 1)
        if not is_derived(event):
            done: Future[Accepted] = Future()
            done.set_result(Accepted(event.seq, event.step))
            self._answers[event.client_id] = done

    async def play(self) -> None:
        """The room's loop, until ``close``."""
        loop, woken = asyncio.get_running_loop(), asyncio.Event()

        def nudge() -> None:
            loop.call_soon_threadsafe(woken.set)

        self._nudge = nudge
        while not self._is_closed:
            if self._tick_safely():
                await asyncio.sleep(0)
                continue
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(woken.wait(), TICK_S)
            woken.clear()
        self._nudge = lambda: None

    def _tick_safely(self) -> bool:
        """A fault of our own stops this room and no other."""
        if self.crash_text:
            return False
        try:
            return self.tick()
        except Exception:
            _LOGGER.exception("room %s stopped", self.record.room)
            self.crash_text = (
                "This room stopped because of a fault in the program; what was acknowledged is on disk. "
                "Restart the server: the run goes on from its log."
            )
            self._pace.stop(self.run.step)
            return False

    def close(self) -> None:
        """Ends the loop; what is on its way to the disk still gets there."""
        self._is_closed = True
        if self.run.state.is_ended and self.run.frozen is None:
            for wanted in self.run.advance_to(self._pace.target(self._clock.monotonic_s())):
                self._log(wanted)
        if self.run.state.is_ended:
            self._finish()
        self._keeper.finish(self.run)
