"""``kill -9`` of the server in the middle of a run: the run is there again, and screens come back by themselves."""

import time

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import ROOM, clock_s, enter, entry_line, events, link_word
from tests.browser.harness import Screens, Server

pytestmark = pytest.mark.browser


def test_a_killed_server_comes_back_with_the_run_and_the_screens_by_themselves(
    server: Server, screens: Screens, control: Page
) -> None:
    monitor = screens.open(f"/monitor/{ROOM}", width=1280, height=800)
    enter(control, "probe on", "Finger probe on")
    enter(control, "tq l thigh", "Tourniquet, left thigh")
    expect(monitor.get_by_text("Pulse wave at the finger")).to_be_attached()
    for page in (control, monitor):
        page.evaluate("window.sameDocument = true")
    logged = events(control).all_inner_texts()
    before_s, killed_wall_s = clock_s(control), time.monotonic()

    server.kill()
    expect(link_word(control)).to_contain_text("link lost")
    expect(monitor.get_by_text("Link lost: what stands here is old")).to_be_visible()
    # A half-typed line is the page's own and must outlive the outage.
    control.keyboard.press("/")
    control.keyboard.type("o2 15 reserv")
    server.start()

    expect(link_word(control)).to_contain_text("connected")
    expect(monitor.get_by_text("Link lost: what stands here is old")).to_be_hidden()
    expect(entry_line(control)).to_have_value("o2 15 reserv")
    assert control.evaluate("window.sameDocument === true")
    assert monitor.evaluate("window.sameDocument === true")
    # The very log, nothing lost and nothing twice, and after it a word on the outage.
    assert events(control).all_inner_texts()[: len(logged)] == logged
    # The crew did not stop: the run is at the moment that the wall clock says.
    gone_wall_s = time.monotonic() - killed_wall_s
    assert clock_s(control) == pytest.approx(before_s + gone_wall_s, abs=4.0)
    # And it lives: an entry is taken, the wave moves on.
    entry_line(control).fill("")
    enter(control, "o2 15 reservoir", "reservoir")


def test_what_was_acknowledged_is_on_disk_whenever_the_server_dies(server: Server, control: Page) -> None:
    for round_number in range(2):
        enter(control, f"other round {round_number}", f"round {round_number}")
        server.kill()
        server.start()
        expect(link_word(control)).to_contain_text("connected")
        for earlier in range(round_number + 1):
            expect(events(control).filter(has_text=f"round {earlier}")).to_have_count(1)
