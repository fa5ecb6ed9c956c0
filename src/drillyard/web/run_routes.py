"""One run after it was played: debrief, what-if, notes.  And one that could not be resumed: its end."""

import asyncio
import time
from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.service.lab import Lab
from drillyard.service.notes import add_note, remove_note
from drillyard.service.queries import StoredRun, Wish, asked_what_if, stored_run
from drillyard.service.unresumed import end_unresumed
from drillyard.web.debrief_messages import (
    AddEntry,
    DebriefView,
    MoveEvent,
    NoteAsked,
    NoteView,
    RemoveEvent,
    ReplaceEvent,
    WhatIfAnswer,
    WhatIfAsked,
)
from drillyard.web.debrief_view import debrief_view, note_view
from drillyard.web.debrief_what_if import what_if_view
from drillyard.web.refusals import RESPONSES
from drillyard.web.wire import Done

Id = Annotated[str, Field(min_length=1, max_length=120)]


def run_router(lab: Lab) -> APIRouter:
    """Everything under ``/api/runs/{run_id}``."""
    router = APIRouter(prefix="/api/runs/{run_id}", responses=RESPONSES)

    @router.get("/debrief", summary="Timeline, tracks, measures and notes of a run, as stored")
    async def debrief(run_id: Id) -> DebriefView:
        return await asyncio.to_thread(_debrief, lab, run_id)

    @router.post("/what-if", summary="The same run with one event added, moved, changed or removed")
    async def what_if(run_id: Id, asked: WhatIfAsked) -> WhatIfAnswer:
        return await asyncio.to_thread(_what_if, lab, run_id, _wish(asked))

    @router.post("/notes", status_code=201, summary="Write a note at the debrief")
    async def write_note(run_id: Id, asked: NoteAsked) -> NoteView:
        note = await add_note(lab, run_id, asked.author, asked.text, asked.t_s, asked.about_seq)
        return note_view(note, lab.settings.zone)

    @router.delete("/notes/{note_id}", summary="Take a note back")
    async def take_back_note(run_id: Id, note_id: Id) -> Done:
        await remove_note(lab, run_id, note_id)
        return Done()

    @router.post("/end", summary="End a run that could not be resumed after the server stopped")
    async def end(run_id: Id) -> Done:
        await end_unresumed(lab, run_id)
        return Done()

    return router


def _debrief(lab: Lab, run_id: str) -> DebriefView:
    stored = stored_run(lab, run_id)
    return debrief_view(stored, lab.settings, lab.body_hash(stored.case.formulary))


def _what_if(lab: Lab, run_id: str, wish: Wish) -> WhatIfAnswer:
    stored: StoredRun = stored_run(lab, run_id)
    if stored.record.state == "void":
        raise Refusal(Fault(code="void run", said="this run was a false start and counts for nothing"))
    started_s = time.perf_counter()
    done, sentence = asked_what_if(lab, stored, wish)
    return what_if_view(stored, done, sentence, (time.perf_counter() - started_s) * 1000.0, lab.settings)


def _wish(asked: WhatIfAsked) -> Wish:
    match asked.change:
        case RemoveEvent(seq=seq):
            return Wish(do="remove", seq=seq)
        case MoveEvent(seq=seq, t_s=t_s):
            return Wish(do="move", seq=seq, t_s=t_s)
        case AddEntry(typed=typed, t_s=t_s):
            return Wish(do="add", typed=typed, t_s=t_s)
        case ReplaceEvent(seq=seq, typed=typed):
            return Wish(do="replace", seq=seq, typed=typed)
