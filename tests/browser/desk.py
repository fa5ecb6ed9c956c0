"""What an operator does on the screens, in their words."""

import re

from playwright.sync_api import Locator, Page, expect

from tests.browser.harness import Screens

C5 = "Car park, slow breathing"
C8 = "Tractor roll-over"
ROOM = "room-1"


def start_rehearsal(screens: Screens, case: str, *, width: int = 1440, height: int = 900) -> Page:
    """From Home to the control room of a live rehearsal: open the sheet, start.  At most three clicks."""
    page = screens.open("/", width=width, height=height)
    clicks = [
        page.get_by_role("article").filter(has_text=case).get_by_role("button", name="Rehearse"),
        page.get_by_role("button", name="Start", exact=True),
    ]
    assert len(clicks) <= 3
    for button in clicks:
        button.click()
    page.wait_for_url(f"**/control/{ROOM}")
    expect(entry_line(page)).to_be_visible()
    return page


def entry_line(page: Page) -> Locator:
    return page.get_by_role("combobox", name="What the crew did")


def echo(page: Page) -> Locator:
    """The sentence under the entry line: what was understood, asked or refused."""
    return page.locator("#entry-echo")


def events(page: Page) -> Locator:
    """The lines of the log, oldest first, as they stand on the screen; what waits for the disk is not among them."""
    return page.get_by_role("list", name="Events").locator("li:not(.waiting):not(.nothing)")


def write(page: Page, typed: str) -> None:
    """Type into the entry line by the keyboard alone and wait until it is read back."""
    line = entry_line(page)
    if not line.evaluate("field => field === document.activeElement"):
        page.keyboard.press("/")
        expect(line).to_be_focused()
    line.fill("")
    page.keyboard.type(typed)
    expect(echo(page)).not_to_have_text(re.compile(r"^…$|Tab completes"))


def enter(page: Page, typed: str, logged: str | re.Pattern[str]) -> None:
    """Type, read the echo, press Enter, and wait until the line stands in the log."""
    n_before = events(page).count()
    write(page, typed)
    page.keyboard.press("Enter")
    expect(events(page).nth(n_before)).to_be_visible()
    expect(events(page).filter(has_text=logged).last).to_be_visible()
    page.keyboard.press("Escape")


def phase(page: Page, key: str, name: str) -> None:
    """Enter a phase by its one key."""
    leave_line(page)
    page.keyboard.press(key)
    expect(page.get_by_role("group", name="Phases").get_by_role("button", name=name)).to_have_attribute(
        "aria-pressed", "true"
    )


def leave_line(page: Page) -> None:
    entry_line(page).evaluate("field => field.blur()")


def clock_s(page: Page) -> float:
    """The clock of the run as the control room shows it."""
    text = page.locator("button.clock .time").inner_text()
    minutes, seconds = text.split(":")[-2:]
    return 60.0 * int(minutes) + int(seconds)


def end_run(page: Page) -> None:
    """End the run by the keyboard."""
    leave_line(page)
    page.keyboard.press("e")
    page.get_by_role("dialog").get_by_role("button", name="End the run").click()
    expect(page.get_by_role("link", name="Open the debrief")).to_be_visible()


def end_open_run(screens: Screens) -> None:
    """End what may still run in the room, from a control room of its own."""
    screens.server.start_if_down()
    page = screens.open(f"/control/{ROOM}")
    expect(page.get_by_role("group", name="Phases")).to_be_visible()
    if page.get_by_role("link", name="Open the debrief").count() == 0:
        end_run(page)


def link_word(page: Page) -> Locator:
    """What a screen says about its link to the server."""
    return page.get_by_title("Link to the server")
