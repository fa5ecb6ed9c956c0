"""The paperwork of real sessions: the form before the start, the counts before the close."""

import asyncio
from dataclasses import dataclass, replace

from drillyard.core.lab.exposure import met_cases
from drillyard.core.lab.readiness import Tick
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.service import sessions
from drillyard.service.case import open_case, stored_case
from drillyard.service.clock import wall_text
from drillyard.service.lab import Lab
from drillyard.service.records import Count, SessionRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What a session of this case asks for.  ``unseen_by`` are names of people who have not met the case."""

    seats: tuple[str, ...]
    counts: tuple[Count, ...]
    ticks: tuple[Tick, ...]
    cautions: tuple[str, ...]
    unseen_by: tuple[str, ...]


class Paperwork:
    """Forms and counts of one lab."""

    def __init__(self, lab: Lab) -> None:
        self._lab = lab

    def form(self, scenario: str, manikin: str) -> Form:
        """What is asked for before a session.  Reads files and the store: call it in a worker thread.

        Raises:
            Refusal: a file is not there or has errors.
        """
        case = open_case(self._lab.files, scenario, manikin)
        people = self._lab.store.people
        met = met_cases((row.person_id, row.scenario) for row in people.exposures())
        unseen = [person.name for person in people.people() if scenario not in met.get(person.person_id, set())]
        return Form(
            seats=tuple(sessions.seats_of(case)),
            counts=tuple(sessions.wanted_counts(case)),
            ticks=tuple(sessions.wanted_ticks(case)),
            cautions=case.profile.cautions,
            unseen_by=tuple(unseen),
        )

    async def close_session(self, session_id: str, order: sessions.CloseOrder) -> tuple[SessionRecord, list[Fault]]:
        """Closes a session when its counts close.  Numbers that were written stay written where they do not.

        Raises:
            Refusal: no such session, a run of it still going on, or counts and names that do not close it.
        """
        session = await asyncio.to_thread(self._lab.store.sessions.get, session_id)
        if session is None:
            raise Refusal(Fault(code="unknown session", said=f"there is no session '{session_id}'"))
        if session.closed_wall_utc is not None:
            raise Refusal(Fault(code="closed already", said="this session is closed already"))
        if any(p.record.session_id == session_id and not p.is_over for p in self._lab.playing.values()):
            raise Refusal(Fault(code="run goes on", said="a run of this session is going on", remedy="end it first"))
        session = await self._with_used(session)
        try:
            done, warnings = sessions.closed(session, order, self._lab.settings, wall_text(self._lab.clock.utc()))
        except Refusal:
            counts = tuple(
                replace(row, counted_out=order.counted_out.get(row.item, row.counted_out)) for row in session.counts
            )
            await asyncio.wrap_future(self._lab.store.sessions.save(replace(session, counts=counts)))
            raise
        await asyncio.wrap_future(self._lab.store.sessions.save(done))
        return done, warnings

    async def with_used(self, session_id: str) -> SessionRecord:
        """A session with what its runs used.

        Raises:
            Refusal: no such session.
        """
        session = await asyncio.to_thread(self._lab.store.sessions.get, session_id)
        if session is None:
            raise Refusal(Fault(code="unknown session", said=f"there is no session '{session_id}'"))
        return await self._with_used(session)

    async def _with_used(self, session: SessionRecord) -> SessionRecord:
        return await asyncio.to_thread(self._count_used, session)

    def _count_used(self, session: SessionRecord) -> SessionRecord:
        counts = session.counts
        used = dict.fromkeys((row.item for row in counts), 0)
        for record in self._lab.store.runs.newest():
            if record.session_id != session.session_id:
                continue
            case = stored_case(self._lab.files, record, self._lab.store.runs.files(record.run_id))
            events = self._lab.store.events.events(record.run_id)
            for row in sessions.used_counts(counts, case, events):
                used[row.item] += row.used
        return replace(session, counts=tuple(replace(row, used=used[row.item]) for row in counts))
