"""The front door: guards, hands out the built screens at once, and opens the lab behind it meanwhile.

Opening a lab means a second or two of loading.  The page itself needs none of it, so it is handed out from the first
moment; what asks for the lab (``/api``, ``/ws``) waits until it is open.  So this module imports nothing heavy.
"""

import asyncio
import contextlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from starlette.applications import Starlette
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Receive, Scope, Send

from drillyard.web.guard import Doors, Guard
from drillyard.web.mark import TRAINING_MARK

STATIC: Final = Path(__file__).parents[1] / "static"
SCREENS: Final = ("/", "/control/{room}", "/monitor/{room}", "/debrief/{run_id}", "/sheet/{room}", "/settings")
SMALLEST_ZIPPED: Final = 1000

NOT_BUILT: Final = f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Drillyard: screens not built</title></head>
<body><main><h1>The screens are not built yet</h1>
<p>The server runs, but the folder with the built screens is empty.</p>
<p>Stop it, run <code>python3 start.py</code> (or <code>npm ci</code> and <code>npm run build</code> in
<code>web/</code>), and start it again.</p>
<p><strong>{TRAINING_MARK}</strong></p></main></body></html>
"""


class FrontDoor:
    """An ASGI application.

    ``open_inside`` makes the application behind the door; it runs in a thread.  What it raises goes to ``on_failure``,
    and whoever waits is told that the lab could not be opened.
    """

    def __init__(self, open_inside: Callable[[], Any], static: Path, on_failure: Callable[[Exception], None]) -> None:
        self._open_inside, self._on_failure = open_inside, on_failure
        self._screens = screens(static)
        self._inside: Any = None
        self._is_settled = asyncio.Event()
        self._closing = asyncio.Event()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._live(receive, send)
            return
        path = scope["path"]
        if not path.startswith(("/api/", "/ws/")):
            if scope["type"] == "http":
                await self._screens(scope, receive, send)
            else:
                await send({"type": "websocket.close", "code": 1008})
            return
        await self._is_settled.wait()
        if self._inside is not None:
            await self._inside(scope, receive, send)
        elif scope["type"] == "http":
            await _say_closed(send)
        else:
            await send({"type": "websocket.close", "code": 1011})

    async def _live(self, receive: Receive, send: Send) -> None:
        await receive()
        inside = asyncio.ensure_future(self._be_inside())
        await send({"type": "lifespan.startup.complete"})
        await receive()
        self._closing.set()
        await asyncio.gather(inside, return_exceptions=True)
        await send({"type": "lifespan.shutdown.complete"})

    async def _be_inside(self) -> None:
        try:
            app = await asyncio.to_thread(self._open_inside)
            async with app.router.lifespan_context(app):
                self._inside = app
                self._is_settled.set()
                await self._closing.wait()
        except Exception as wrong:  # noqa: BLE001 - handed on, whatever it is
            self._on_failure(wrong)
        finally:
            self._inside = None
            self._is_settled.set()


async def _say_closed(send: Send) -> None:
    sentence = "The lab could not be opened; the window in which the server was started says why."
    body = json.dumps({"sentence": sentence, "faults": []}).encode()
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 503, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def screens(static: Path) -> ASGIApp:
    """The built screens: every screen's address gives the one page, whose script looks at the address."""
    page = static / "index.html"

    def screen(_: Request) -> Response:
        if not page.is_file():
            return HTMLResponse(NOT_BUILT, status_code=503)
        return FileResponse(page, headers={"cache-control": "no-cache"})

    routes: list[BaseRoute] = [Route(address, screen) for address in SCREENS]
    with contextlib.suppress(RuntimeError):
        routes.append(Mount("/", StaticFiles(directory=static)))
    return Starlette(routes=routes)


def front_door(
    open_inside: Callable[[], Any],
    doors: Doors,
    static: Path = STATIC,
    on_failure: Callable[[Exception], None] = lambda wrong: None,
) -> ASGIApp:
    """The whole application: guard, compression, screens, and the lab behind them."""
    inside = FrontDoor(open_inside, static, on_failure)
    return Guard(GZipMiddleware(inside, minimum_size=SMALLEST_ZIPPED), doors)
