"""The application: routers over one open lab."""

import asyncio
import contextlib
import logging
from collections.abc import AsyncIterator, Callable
from typing import Final

from fastapi import FastAPI

from drillyard.service.lab import Lab
from drillyard.web.feed import BEAT_S, WAVE_S, RoomFeed
from drillyard.web.home_routes import home_router
from drillyard.web.refusals import handle_refusals
from drillyard.web.room_routes import room_router
from drillyard.web.run_routes import run_router
from drillyard.web.sockets import Feeds, socket_router

_LOGGER: Final = logging.getLogger(__name__)


def create_app(lab: Lab, *, is_paced: bool = True) -> FastAPI:
    """Everything under ``/api`` and ``/ws`` over ``lab``.  It stands behind the front door, which has the guard.

    Args:
        is_paced: False in tests that call the feeds' beats themselves.
    """
    feeds = Feeds(lab)

    @contextlib.asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        lab.open()
        pacing = [asyncio.ensure_future(_beats(feeds)), asyncio.ensure_future(_waves(feeds))] if is_paced else []
        try:
            yield
        finally:
            for task in pacing:
                task.cancel()
            await asyncio.gather(*pacing, return_exceptions=True)
            await lab.close()

    # The pages that explain an interface fetch their scripts from elsewhere, so only its description is served.
    app = FastAPI(
        title="Drillyard",
        version=lab.version,
        description="Training only. One lab: home, live rooms, debriefs.",
        lifespan=life,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
    )
    app.state.lab, app.state.feeds = lab, feeds
    handle_refusals(app)
    app.include_router(home_router(lab, feeds))
    app.include_router(room_router(lab))
    app.include_router(run_router(lab))
    app.include_router(socket_router(lab, feeds))
    return app


async def _beats(feeds: Feeds) -> None:
    await _again_and_again(feeds, BEAT_S, lambda feed: feed.beat())


async def _waves(feeds: Feeds) -> None:
    await _again_and_again(feeds, WAVE_S, lambda feed: feed.wave_beat())


async def _again_and_again(feeds: Feeds, every_s: float, do: Callable[[RoomFeed], None]) -> None:
    while True:
        for room, feed in list(feeds.rooms.items()):
            try:
                do(feed)
            except Exception:
                # A fault in what one room shows must not darken the others.
                _LOGGER.exception("the feed of %s failed", room)
        await asyncio.sleep(every_s)
