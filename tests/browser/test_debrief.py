"""The debrief of one short live run of C8, and the paper run sheet it could have gone on from."""

import re
import time

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.desk import C8, ROOM, end_run, enter, events, phase, start_rehearsal
from tests.browser.harness import Screens, Server, axe_faults

pytestmark = pytest.mark.browser
# Printed pages less the margins of the sheet, in CSS pixels of 1/96 inch: ISO 216 A4 is 210 mm wide, Letter 8.5 in.
PRINTED_WIDTHS = {"A4": round((210 - 26) / 25.4 * 96), "Letter": round(8.5 * 96 - 26 / 25.4 * 96)}


@pytest.fixture(scope="module")
def played(browser: Browser, server: Server) -> str:
    """The address of the debrief of a run with a tourniquet and a needle."""
    screens = Screens(browser, server)
    page = start_rehearsal(screens, C8)
    phase(page, "4", "At patient")
    enter(page, "probe on", "Finger probe on")
    enter(page, "tq l thigh", "Tourniquet, left thigh")
    enter(page, "needle l 5", "Decompress the left chest")
    time.sleep(15.0)
    end_run(page)
    page.get_by_role("link", name="Open the debrief").click()
    page.wait_for_url("**/debrief/**")
    address = page.url.removeprefix(server.address)
    screens.close()
    assert not screens.errors, screens.errors
    return address


def opened(screens: Screens, played: str, *, width: int = 1440, height: int = 900, scheme: str = "light") -> Page:
    page = screens.open(played, width=width, height=height, scheme=scheme)
    expect(page.get_by_role("heading", name="First, the crew tells the case")).to_be_visible()
    page.keyboard.press("o")
    expect(page.get_by_role("region", name="Timeline")).to_be_visible()
    return page


def pick(page: Page, text: str) -> None:
    events(page).filter(has_text=text).get_by_role("button").click()
    expect(page.get_by_role("tab", name="What if")).to_have_attribute("aria-selected", "true")


def strip(page: Page) -> Locator:
    """The line above the river that tells the two courses apart."""
    return page.get_by_role("region", name="Timeline").get_by_text("what if: ")


def test_both_courses_are_told_apart_in_words_and_taken_away_by_keyboard(screens: Screens, played: str) -> None:
    page = opened(screens, played)
    pick(page, "Decompress the left chest")
    page.keyboard.press("x")
    expect(page.get_by_text("Changed at")).to_be_visible(timeout=60_000)
    expect(strip(page).first).to_contain_text("without: Decompress the left chest")
    reading = page.get_by_role("group", name="Reading")
    expect(reading).to_contain_text("in the run")
    expect(reading).to_contain_text("what if")
    expect(page.locator(".plot canvas")).to_be_visible()
    expect(page.locator(".cut.gone")).to_contain_text("needle left")
    assert axe_faults(page) == []
    page.keyboard.press("Escape")
    expect(strip(page)).to_have_count(0)
    page.keyboard.press("u")
    expect(strip(page).first).to_contain_text("without: Decompress the left chest")


def test_an_event_moved_is_shown_at_both_places(screens: Screens, played: str) -> None:
    page = opened(screens, played)
    pick(page, "Tourniquet, left thigh")
    page.get_by_label("or at").fill("0:01")
    page.get_by_role("button", name="Move it").click()
    expect(page.get_by_text("Changed at")).to_be_visible(timeout=60_000)
    expect(page.locator(".cut.gone")).to_contain_text("tourniquet")
    expect(page.locator(".cut.new")).to_contain_text("what if: tourniquet")
    page.get_by_label("or at").fill("99:00")
    expect(page.get_by_text("Write a time of this run")).to_be_visible()
    expect(page.get_by_role("button", name="Move it")).to_be_disabled()


def test_a_what_if_that_cannot_be_is_one_sentence_and_leaves_the_run(screens: Screens, played: str) -> None:
    page = opened(screens, played)
    page.keyboard.press("w")
    page.get_by_label("add", exact=True).fill("sang a song")
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("alert")).to_contain_text("nothing that the body models")
    expect(page.get_by_label("add", exact=True)).to_have_value("sang a song")
    expect(strip(page)).to_have_count(0)


def test_a_slow_what_if_says_so_and_can_be_stopped(screens: Screens, played: str) -> None:
    page = opened(screens, played)
    page.route("**/what-if", lambda route: None)  # never answered, as from a server that has stopped
    pick(page, "Tourniquet, left thigh")
    page.keyboard.press("x")
    expect(page.get_by_role("progressbar", name="Replaying the run")).to_be_visible()
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(page.get_by_role("progressbar")).to_have_count(0)
    assert page.get_by_role("alert").count() == 0


def test_one_row_is_read_at_the_cursor_of_the_page(screens: Screens, played: str) -> None:
    page = opened(screens, played)
    page.get_by_role("tab", name="Measures").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.get_by_role("tab", name="One row")).to_be_focused()
    page.get_by_role("tabpanel").get_by_role("combobox").select_option(label="Pressure, mmHg")
    reading = page.get_by_role("group", name="Reading")
    expect(reading).to_contain_text("the patient")
    page.get_by_role("slider", name="Time cursor").focus()
    page.keyboard.press("Home")
    expect(reading).to_contain_text("0:00")
    page.keyboard.press("ArrowRight")
    expect(reading).to_contain_text("0:05")
    assert re.search(r"the patient \d{2,3}", reading.inner_text())
    assert axe_faults(page) == []


@pytest.mark.parametrize(
    ("width", "height", "scheme"), [(1440, 900, "dark"), (1280, 800, "light"), (1024, 768, "dark")]
)
def test_nothing_is_cut_off_with_a_what_if_on_show(
    screens: Screens, played: str, width: int, height: int, scheme: str
) -> None:
    page = opened(screens, played, width=width, height=height, scheme=scheme)
    pick(page, "Tourniquet, left thigh")
    page.keyboard.press("x")
    expect(page.get_by_text("Changed at")).to_be_visible(timeout=60_000)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    side = page.get_by_role("tabpanel")
    assert side.evaluate("panel => panel.scrollWidth <= panel.clientWidth")
    assert axe_faults(page) == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_paper_run_sheet_is_two_sides_and_has_what_is_expected(screens: Screens, control: Page, paper: str) -> None:
    enter(control, "tq l thigh", "Tourniquet, left thigh")
    sheet = screens.open(f"/sheet/{ROOM}", width=PRINTED_WIDTHS[paper], height=1000)
    article = sheet.get_by_role("article")
    for words in ("Stops the bleeding of the thigh", "Decompress chest left", "Stop, stop, stop", "Usual: 1000 mg IV"):
        expect(article).to_contain_text(words)
    row = article.get_by_role("listitem").filter(has_text="Control bleeding tourniquet, left thigh")
    expect(row).to_contain_text(re.compile(r"☑.*\d:\d\d"))
    expect(
        article.get_by_role("listitem").filter(has_text=re.compile(r"^\s*☐\s*Decompress chest left"))
    ).to_contain_text("__:__")
    sheet.emulate_media(media="print")
    # A browser shrinks a page that is too wide, and the writing with it.
    assert sheet.evaluate("document.documentElement.scrollWidth <= innerWidth")
    pages = re.findall(rb"/Type\s*/Page\b", sheet.pdf(format=paper))
    assert len(pages) == 2
