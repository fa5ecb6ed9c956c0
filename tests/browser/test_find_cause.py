"""Find the cause and holds by a named cause, as an operator does them."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import events, leave_line
from tests.browser.harness import Screens, axe_faults

pytestmark = pytest.mark.browser


def test_a_size_is_found_shown_set_and_taken_back(control: Page) -> None:
    leave_line(control)
    control.keyboard.press("f")
    sheet = control.get_by_role("dialog", name="Find the cause")
    expect(sheet.get_by_label("Problem")).to_be_enabled()
    sheet.get_by_label("Problem").select_option("bleeding by hand")
    sheet.get_by_label("is, mmHg").fill("50")
    sheet.get_by_label("in minutes").fill("4")
    sheet.get_by_role("button", name="Find the size").click()
    set_it = sheet.get_by_role("button", name="Set this problem")
    expect(set_it).to_be_visible()
    said = sheet.get_by_role("status")
    expect(said).to_contain_text(re.compile(r"mL/min|%"))
    expect(said).to_contain_text("mean pressure")
    # the course stands beside the look-ahead, and what was asked no longer counts once the question changes
    assert control.locator("path.second").count() >= 3
    assert axe_faults(control) == []
    set_it.click()
    expect(sheet).to_be_hidden()
    assert control.locator("path.second").count() == 0
    line = events(control).filter(has_text="'bleeding by hand' set: found for mean pressure 50 mmHg in 4 min")
    expect(line).to_have_count(1)
    leave_line(control)
    control.keyboard.press("Control+z")
    # the line that is taken back says so, and so does the entry that took it back
    expect(events(control).filter(has_text="taken back")).to_have_count(2)


def test_another_question_takes_the_old_answer_away_and_nonsense_is_refused_in_words(control: Page) -> None:
    leave_line(control)
    control.keyboard.press("f")
    sheet = control.get_by_role("dialog", name="Find the cause")
    expect(sheet.get_by_label("Problem")).to_be_enabled()
    find = sheet.get_by_role("button", name="Find the size")
    expect(find).to_be_disabled()
    sheet.get_by_label("is, mmHg").fill("9000")
    sheet.get_by_label("in minutes").fill("1")
    find.click()
    expect(sheet.get_by_role("status")).to_contain_text("is never 9000")
    sheet.get_by_label("is, mmHg").fill("70")
    expect(sheet.get_by_role("status")).to_be_empty()


def test_an_outcome_is_held_by_a_cause_and_the_list_says_what_it_does(screens: Screens, control: Page) -> None:
    leave_line(control)
    control.keyboard.press("h")
    sheet = control.get_by_role("dialog", name="Problems and holds")
    sheet.get_by_label("Hold another").select_option("mean pressure")
    sheet.get_by_label(re.compile("^By")).select_option("pump failure")
    sheet.get_by_label("mean pressure, mmHg").fill("55")
    sheet.get_by_role("button", name="Hold", exact=True).click()
    row = sheet.get_by_text(re.compile(r"wanted 55 mmHg, is \d+ mmHg: strength of the heart × \d"))
    expect(row).to_be_visible()
    assert axe_faults(control) == []
    control.keyboard.press("Escape")
    expect(events(control).filter(has_text="mean pressure held at 55 mmHg by pump failure")).to_have_count(1)
    monitor = screens.open("/monitor/room-1")
    expect(monitor.get_by_text("Training only").first).to_be_visible()
    assert monitor.get_by_text(re.compile("pump failure|held", re.IGNORECASE)).count() == 0
