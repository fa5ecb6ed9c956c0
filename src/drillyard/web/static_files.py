"""The built screens: one page, its scripts and fonts.  Where they are not built, one clear page says so."""

from pathlib import Path
from typing import Final

from fastapi import APIRouter, FastAPI
from fastapi.responses import FileResponse, HTMLResponse, Response
from fastapi.staticfiles import StaticFiles

from drillyard.web.wire import TRAINING_MARK

STATIC: Final = Path(__file__).parents[1] / "static"
SCREENS: Final = ("/", "/control/{room}", "/monitor/{room}", "/debrief/{run_id}", "/sheet/{room}", "/settings")

NOT_BUILT: Final = f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Drillyard: screens not built</title></head>
<body><main><h1>The screens are not built yet</h1>
<p>The server runs, but the folder with the built screens is empty.</p>
<p>Stop it, run <code>python3 start.py</code> (or <code>npm ci</code> and <code>npm run build</code> in
<code>web/</code>), and start it again.</p>
<p><strong>{TRAINING_MARK}</strong></p></main></body></html>
"""


def add_screens(app: FastAPI, static: Path = STATIC) -> None:
    """Every screen's address gives the one page; its script looks at the address."""
    router = APIRouter(include_in_schema=False)
    page = static / "index.html"

    def screen() -> Response:
        if not page.is_file():
            return HTMLResponse(NOT_BUILT, status_code=503)
        return FileResponse(page, headers={"cache-control": "no-cache"})

    for address in SCREENS:
        router.add_api_route(address, screen, methods=["GET", "HEAD"])
    app.include_router(router)
    if static.is_dir():
        app.mount("/", StaticFiles(directory=static), name="static")
