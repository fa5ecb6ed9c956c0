"""A real Chromium against a real server in a process of its own, on a fresh lab folder."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page, expect

ROOT = Path(__file__).resolve().parents[2]
AXE = ROOT / "web" / "node_modules" / "axe-core" / "axe.min.js"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# WCAG 2.0 to 2.2 at levels A and AA, and axe's own good practice.
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
START_LIMIT_S = 60.0
# Two cores share browser, server and look-ahead: what a person sees at once may take a few seconds here.
PATIENCE_MS = 20_000
expect.set_options(timeout=PATIENCE_MS)


def chromium_path() -> str:
    """The browser of the tests.  There is no test without one: a missing browser is an error, not a skip."""
    found = os.environ.get("DRILLYARD_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not found:
        pytest.fail("The browser tests need Chromium: run python3 start.py test, which installs it or says how.")
    return found


class Server:
    """``drillyard serve`` on one lab folder and one port; can be killed and started again."""

    def __init__(self, lab: Path) -> None:
        self.lab = lab
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        self.output = lab.with_name(f"{lab.name}.log")
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start and wait until the patient is loaded."""
        words = [
            sys.executable,
            "-m",
            "drillyard.cli",
            "serve",
            str(self.lab),
            "--port",
            str(self.port),
            "--no-browser",
        ]
        env = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
        with self.output.open("ab") as out:
            self.process = subprocess.Popen(words, cwd=ROOT, env=env, stdout=out, stderr=out)
        until_s = time.monotonic() + START_LIMIT_S
        while not self._is_ready():
            if self.process.poll() is not None or time.monotonic() > until_s:
                pytest.fail(f"the server did not come up:\n{self.said()}")
            time.sleep(0.05)

    def _is_ready(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.address}/api/health", timeout=10) as answer:
                return b'"body":"ready"' in answer.read()
        except OSError:
            return False

    def start_if_down(self) -> None:
        """After a test that failed between a kill and the restart."""
        if self.process is None or self.process.poll() is not None:
            self.start()

    def kill(self) -> None:
        """``kill -9``: nothing is told, nothing can be tidied up."""
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(timeout=20)
            except subprocess.TimeoutExpired:
                self.kill()

    def said(self) -> str:
        return self.output.read_text(errors="replace") if self.output.exists() else ""


class Screens:
    """Pages of one browser window each, with everything that went wrong on them."""

    def __init__(self, browser: Browser, server: Server) -> None:
        self.browser, self.server = browser, server
        self.contexts: list[BrowserContext] = []
        self.errors: list[str] = []

    def open(self, path: str, *, width: int = 1440, height: int = 900, scheme: str = "light") -> Page:
        """A new window at an address of the server."""
        look: Any = scheme
        context = self.browser.new_context(viewport={"width": width, "height": height}, color_scheme=look)
        context.set_default_timeout(PATIENCE_MS)
        self.contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: self.errors.append(f"{page.url}: {error}"))
        page.on("request", self._stays_home)
        page.goto(self.server.address + path)
        return page

    def _stays_home(self, request: Any) -> None:
        if not request.url.startswith((self.server.address, "data:", "blob:")):
            self.errors.append(f"a screen asked for {request.url}")

    def close(self) -> None:
        for context in self.contexts:
            try:
                context.close()
            except Error:  # the browser itself has gone; the test has said so already
                break


def axe_faults(page: Page) -> list[str]:
    """What axe-core finds on a page: rule, and the elements it found."""
    # Evaluated, not added as a tag: the content policy of the server forbids scripts that are written into a page.
    page.evaluate(AXE.read_text(encoding="utf-8") + ";0")
    found = page.evaluate(
        "tags => axe.run(document, {runOnly: {type: 'tag', values: tags}, resultTypes: ['violations']})", AXE_TAGS
    )
    return [
        f"{rule['id']} ({rule['impact']}): {node['target']} {node['failureSummary']}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]
