"""Home: what a new user meets first."""

import pytest
from playwright.sync_api import expect

from tests.browser.desk import C5, C8
from tests.browser.harness import Screens, axe_faults

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_home_opens_with_its_cases_and_its_mark_and_is_clean(screens: Screens, scheme: str) -> None:
    page = screens.open("/", scheme=scheme)
    for title in (C5, C8):
        expect(page.get_by_role("heading", name=title)).to_be_visible()
    expect(page.get_by_text("Training only. Not for the care of patients.")).to_be_visible()
    expect(page.get_by_text("connected")).to_be_visible()
    expect(page.get_by_role("heading", name="Your first hour")).to_be_visible()
    assert "Training only" in page.title()
    assert axe_faults(page) == []


def test_home_tells_which_manikin_can_run_a_case_and_what_is_by_hand(screens: Screens) -> None:
    page = screens.open("/")
    card = page.get_by_role("article").filter(has_text=C8)
    expect(card.get_by_text("can run it")).to_be_visible()
    expect(card.get_by_text("draft")).to_be_visible()


def test_keys_of_home_open_a_rehearsal_but_never_while_a_field_has_focus(screens: Screens) -> None:
    page = screens.open("/")
    field = page.get_by_placeholder("new person")
    field.click()
    page.keyboard.type("12")
    expect(field).to_have_value("12")
    assert page.get_by_role("dialog").count() == 0
    field.fill("")
    field.blur()
    page.keyboard.press("2")
    expect(page.get_by_role("dialog", name=C8)).to_be_visible()
    assert axe_faults(page) == []
    page.keyboard.press("Escape")
    assert page.get_by_role("dialog").count() == 0


def test_a_real_session_asks_before_it_starts(screens: Screens) -> None:
    page = screens.open("/")
    page.get_by_role("article").filter(has_text=C8).get_by_role("button", name="Real session").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_be_visible()
    for word in ("agreement", "sharps", "drug"):
        expect(dialog).to_contain_text(word, ignore_case=True)
    assert axe_faults(page) == []


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (820, 1180)])
def test_home_needs_no_sideways_scrolling(screens: Screens, width: int, height: int) -> None:
    page = screens.open("/", width=width, height=height)
    expect(page.get_by_role("heading", name=C8)).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_an_address_that_is_none_says_so(screens: Screens) -> None:
    page = screens.open("/control/no%20such%20room")
    expect(page.get_by_text("This lab has no room called “no such room”")).to_be_visible()
    assert axe_faults(page) == []
