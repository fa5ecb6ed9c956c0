"""Fixtures of the browser tests."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from tests.browser.desk import C8, end_open_run, start_rehearsal
from tests.browser.harness import FLAGS, ROOT, Screens, Server, chromium_path


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server on a fresh demonstration lab, for the tests of one module."""
    if not (ROOT / "src" / "drillyard" / "static" / "index.html").is_file():
        pytest.fail("The screens are not built: run python3 start.py test, which builds them.")
    one = Server(tmp_path_factory.mktemp("browser") / "lab")
    one.start()
    yield one
    one.stop()
    assert "Traceback" not in one.said(), one.said()


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    # Not for the whole session: while it is open, its loop runs in this thread, and no later test could run its own.
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="package")
def browser(playwright: Playwright) -> Iterator[Browser]:
    # Playwright gives each start a new, empty folder for the profile.
    launched = playwright.chromium.launch(executable_path=chromium_path(), args=FLAGS)
    yield launched
    launched.close()


@pytest.fixture
def screens(browser: Browser, server: Server) -> Iterator[Screens]:
    made = Screens(browser, server)
    yield made
    made.close()
    assert not made.errors, made.errors


@pytest.fixture
def control(screens: Screens) -> Iterator[Page]:
    """The control room of a live rehearsal of C8, started from Home; ended afterwards, so that the room is free."""
    yield start_rehearsal(screens, C8)
    end_open_run(screens)
