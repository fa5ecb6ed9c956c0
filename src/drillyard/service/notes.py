"""Notes of a debrief."""

import asyncio
import secrets
from dataclasses import replace

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.service.clock import wall_text
from drillyard.service.lab import Lab
from drillyard.service.records import DebriefNote


async def add_note(
    lab: Lab, run_id: str, author: str, text: str, t_s: float | None, about_seq: int | None
) -> DebriefNote:
    """Keeps a note; done when it is on disk.

    Raises:
        Refusal: no such run.
    """
    if await asyncio.to_thread(lab.store.runs.get, run_id) is None:
        raise Refusal(Fault(code="unknown run", said=f"there is no run '{run_id}'"))
    note = DebriefNote(
        note_id=f"note-{secrets.token_hex(6)}",
        run_id=run_id,
        author=author,
        written_wall_utc=wall_text(lab.clock.utc()),
        text=text,
        t_s=t_s,
        about_seq=about_seq,
    )
    await asyncio.wrap_future(lab.store.notes.save(note))
    return note


async def remove_note(lab: Lab, run_id: str, note_id: str) -> None:
    """Takes a note back; it stays in the store, marked.

    Raises:
        Refusal: no such note in this run.
    """
    notes = await asyncio.to_thread(lab.store.notes.notes, run_id)
    note = next((note for note in notes if note.note_id == note_id), None)
    if note is None:
        raise Refusal(Fault(code="unknown note", said=f"there is no note '{note_id}' in this run"))
    await asyncio.wrap_future(lab.store.notes.save(replace(note, is_removed=True)))
