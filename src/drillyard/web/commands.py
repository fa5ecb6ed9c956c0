"""Commands of a screen: from the wire to happenings, into the room, and the answer back."""

import asyncio
from concurrent.futures import Future
from typing import assert_never

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import (
    Happening,
    NoteWritten,
    Paused,
    RealEmergency,
    Resumed,
    Source,
    StopWordSaid,
)
from drillyard.service.admission import check_age
from drillyard.service.desk import Desk, Unclear, Unconfirmed
from drillyard.service.lab import Lab, Playing
from drillyard.service.live_room import Accepted
from drillyard.web import command_messages as m

HAND_HELD = "bedside"
"""Actors whose name begins with this sit at a hand-held in the room."""


def happenings(desk: Desk, command: m.Command) -> list[Happening]:  # noqa: C901, PLR0911, PLR0912 - one case a kind
    """What a command asks to log.  ``StartAgain`` is no happening of one run and is not taken here.

    Raises:
        Refusal: it cannot be done now.
    """
    match command:
        case m.EnterText():
            return desk.enter(
                command.typed,
                confirmed=command.confirmed,
                late_t_s=command.late_t_s,
                late_effect=command.late_effect,
            )
        case m.EnterPhase():
            return desk.enter_phase(command.phase)
        case m.GiveCue():
            return desk.give_cue(command.id)
        case m.TickSet():
            return desk.tick_set(command.finding, command.setting)
        case m.SupplyFinding():
            return desk.supply(command.finding, command.how)
        case m.AskFinding():
            return desk.ask(command.finding)
        case m.Undo():
            return desk.undo(command.seq, command.effect)
        case m.Correct():
            return desk.correct(
                command.seq, command.typed, t_s=command.t_s, effect=command.effect, confirmed=command.confirmed
            )
        case m.SetHold():
            return desk.hold(
                command.what,
                command.value,
                display_only=command.display_only,
                by=command.by,
                reason=command.reason,
            )
        case m.ReleaseHold():
            return desk.release(command.what, command.over_s)
        case m.EndProblem():
            return desk.end_problem(command.name)
        case m.ChangeProblem():
            return desk.change_problem(command.name, command.size)
        case m.SetProblem():
            return desk.set_problem(command.cause, command.size, command.reason)
        case m.Pause():
            return [Paused()]
        case m.Resume():
            return [Resumed()]
        case m.JumpTime():
            return desk.jump(command.minutes)
        case m.WriteNote():
            if not command.text.strip():
                raise Refusal(Fault(code="empty note", said="the note is empty", remedy="write what it should say"))
            return [NoteWritten(text=command.text, about_seq=command.seq)]
        case m.SayStopWord():
            return [StopWordSaid()]
        case m.SayEmergency():
            return [RealEmergency()]
        case m.EndRun():
            return desk.end(command.reason)
        case m.GoBackToGood():
            return desk.back_to_good()
        case m.StartAgain():
            raise Refusal(Fault(code="not here", said="a false start is not an entry of the run"))
        case _:
            assert_never(command)


def take(playing: Playing, sent: m.CommandSent) -> "list[Future[Accepted]]":
    """Hands a command to its room at once; the futures are done when it is on disk.

    A command that was taken before is not read again: what it meant then holds.

    Raises:
        Refusal: it cannot be done; nothing has happened then.
    """
    room = playing.room
    before = room.answer_to(sent.client_id)
    if before is not None:
        return [before]
    check_age(sent.age_ms / 1000.0)
    bodies = happenings(playing.desk, sent.command)
    ids = [sent.client_id, *(f"{sent.client_id}+{n}" for n in range(2, len(bodies) + 1))]
    return [_submit(playing, sent, body, client_id) for client_id, body in zip(ids, bodies, strict=True)]


def _submit(playing: Playing, sent: m.CommandSent, body: Happening, client_id: str) -> "Future[Accepted]":
    source: Source = "entry line" if isinstance(sent.command, m.EnterText | m.Correct) else "key"
    if sent.actor.startswith(HAND_HELD):
        source = "hand-held"
    age_s = sent.age_ms / 1000.0
    return playing.room.submit(body, client_id=client_id, actor=sent.actor, source=source, age_s=age_s)


async def answered(sent: m.CommandSent, futures: "list[Future[Accepted]]") -> m.Ack | m.Refused:
    """The answer to a command that was taken, once it is on disk."""
    try:
        accepted = [await asyncio.wrap_future(future) for future in futures]
    except Refusal as refusal:
        return refused(sent.client_id, refusal)
    return m.Ack(client_id=sent.client_id, seq=accepted[0].seq)


async def started_again(lab: Lab, room: str, sent: m.CommandSent, reason: str) -> m.Ack | m.Refused:
    """The answer to a false start: the new run is going."""
    try:
        check_age(sent.age_ms / 1000.0)
        await lab.start_again(room, sent.client_id, sent.actor, reason)
    except Refusal as refusal:
        return refused(sent.client_id, refusal)
    return m.Ack(client_id=sent.client_id, seq=1)


def refused(client_id: str, refusal: Refusal) -> m.Refused:
    """A refusal as the screen gets it."""
    return m.Refused(
        client_id=client_id,
        sentence=str(refusal),
        needs_confirmation=isinstance(refusal, Unconfirmed),
        suggestions=list(refusal.suggestions) if isinstance(refusal, Unclear) else [],
    )
