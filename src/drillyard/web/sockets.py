"""The socket of one screen: a snapshot, changes, waves and answers out; commands in."""

import asyncio
import contextlib
from collections.abc import Coroutine
from typing import Any, Final

from fastapi import APIRouter, WebSocket, WebSocketDisconnect
from pydantic import ValidationError

from drillyard.core.quantities.faults import Refusal
from drillyard.service.lab import Lab, Playing
from drillyard.web.command_messages import Ack, Command, CommandSent, EnterText, Refused, StartAgain
from drillyard.web.commands import answered, refused, started_again, take
from drillyard.web.feed import RoomFeed, Screen
from drillyard.web.outbox import Outbox, ScreenTooSlowError

UNKNOWN_ROOM: Final = 4404
TOO_SLOW: Final = 4408
LARGEST_COMMAND: Final = 20_000
CUFF_BUTTON: Final = "cuff"


class Feeds:
    """The feeds of all rooms, made when the first screen of a room comes."""

    def __init__(self, lab: Lab) -> None:
        self.lab = lab
        self.rooms: dict[str, RoomFeed] = {}
        lab.on_seated.append(self._seated)

    def of(self, room: str) -> RoomFeed:
        """The feed of a room."""
        if room not in self.rooms:
            self.rooms[room] = RoomFeed(self.lab, room)
        return self.rooms[room]

    def _seated(self, playing: Playing) -> None:
        room = playing.record.room
        if room in self.rooms:
            self.rooms[room].seat(playing)
        else:
            # Look-ahead is wanted whether or not a screen is open yet.
            self.rooms[room] = RoomFeed(self.lab, room)


class ScreenLink:
    """One open connection."""

    def __init__(self, socket: WebSocket, feed: RoomFeed, screen: Screen, lab: Lab) -> None:
        self._socket, self._feed, self._screen, self._lab = socket, feed, screen, lab
        self._box: Outbox = feed.join(screen)
        self._tasks: set[asyncio.Task[None]] = set()
        self._is_too_slow = asyncio.Event()

    async def serve(self) -> None:
        """Until the screen goes, or cannot keep up."""
        work = [asyncio.ensure_future(part) for part in (self._send(), self._receive(), self._is_too_slow.wait())]
        try:
            await asyncio.wait(work, return_when=asyncio.FIRST_COMPLETED)
            if self._is_too_slow.is_set():
                await self._socket.close(TOO_SLOW, "this screen does not keep up; it connects again")
        finally:
            self._feed.leave(self._screen, self._box)
            for part in work:
                part.cancel()
            for part in work:
                # A screen that goes in the middle of a message is no fault.
                with contextlib.suppress(asyncio.CancelledError, WebSocketDisconnect, RuntimeError):
                    await part

    async def _receive(self) -> None:
        while True:
            message = await self._socket.receive()
            if message["type"] == "websocket.disconnect":
                return
            self._take(message.get("text") or "")

    async def _send(self) -> None:
        while True:
            message = await self._box.take()
            if isinstance(message, bytes):
                await self._socket.send_bytes(message)
            else:
                await self._socket.send_text(message)

    def _take(self, text: str) -> None:
        try:
            sent = CommandSent.model_validate_json(text[:LARGEST_COMMAND])
        except ValidationError:
            # No id can be trusted in a message that is not one of ours, so the answer names none.
            self._answer(
                Refused(client_id="", sentence="This message is not one that the server knows; reload the page.")
            )
            return
        if self._screen != "control" and not _is_cuff_button(sent.command):
            self._answer(
                Refused(
                    client_id=sent.client_id,
                    sentence="A room monitor only shows, and starts the cuff; use the control room.",
                )
            )
            return
        playing = self._lab.playing.get(self._feed.room)
        if playing is None:
            self._answer(
                Refused(client_id=sent.client_id, sentence="No run is going on in this room; start one from home.")
            )
            return
        if isinstance(sent.command, StartAgain):
            self._later(started_again(self._lab, self._feed.room, sent, sent.command.reason))
            return
        try:
            futures = take(playing, sent)
        except Refusal as refusal:
            self._answer(refused(sent.client_id, refusal))
            return
        self._later(answered(sent, futures))

    def _later(self, work: Coroutine[Any, Any, Ack | Refused]) -> None:
        async def answer() -> None:
            self._answer(await work)

        task = asyncio.ensure_future(answer())
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    def _answer(self, message: Ack | Refused) -> None:
        try:
            self._box.put_answer(message.model_dump_json())
        except ScreenTooSlowError:
            self._is_too_slow.set()


def _is_cuff_button(command: Command) -> bool:
    """The one thing that a crew does at the room monitor itself: measure the pressure now."""
    return isinstance(command, EnterText) and command.typed == CUFF_BUTTON and not command.confirmed


def socket_router(lab: Lab, feeds: Feeds) -> APIRouter:
    """``/ws/room/{room}?screen=control|monitor``."""
    router = APIRouter()

    @router.websocket("/ws/room/{room}")
    async def room_socket(socket: WebSocket, room: str, screen: str = "control") -> None:
        await socket.accept()
        if room not in lab.settings.rooms or screen not in ("control", "monitor"):
            await socket.close(UNKNOWN_ROOM, "there is no such room or screen")
            return
        wanted: Screen = "monitor" if screen == "monitor" else "control"
        await ScreenLink(socket, feeds.of(room), wanted, lab).serve()

    return router
