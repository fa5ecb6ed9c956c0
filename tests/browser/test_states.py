"""States of the three screens that an operator meets with a crew in the room."""

import re
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.desk import (
    C5,
    C8,
    ROOM,
    echo,
    end_open_run,
    end_run,
    enter,
    entry_line,
    events,
    leave_line,
    phase,
    start_rehearsal,
    write,
)
from tests.browser.harness import Screens, Server, axe_faults

pytestmark = pytest.mark.browser


@pytest.fixture
def opioid(screens: Screens) -> Iterator[Page]:
    """The control room of a live rehearsal of C5, which declares a time jump."""
    yield start_rehearsal(screens, C5)
    end_open_run(screens)


def _menu(page: Page) -> Locator:
    return page.locator("summary[aria-label='More']")


def test_a_time_jump_says_what_it_brings_before_it_happens(opioid: Page) -> None:
    expect(opioid.get_by_role("list", name="If nothing more is done")).to_contain_text("Arrest", timeout=60_000)
    _menu(opioid).click()
    opioid.get_by_role("button", name=re.compile("Time jump")).click()
    dialog = opioid.get_by_role("dialog", name=re.compile("Time jump"))
    expect(dialog).to_contain_text("Arrest")
    assert axe_faults(opioid) == []
    n_before = events(opioid).count()
    dialog.get_by_role("button", name="Not now").click()
    assert opioid.get_by_role("dialog").count() == 0
    assert events(opioid).count() == n_before


def test_the_menu_closes_by_escape_and_gives_the_focus_back(control: Page) -> None:
    _menu(control).click()
    expect(control.get_by_role("link", name=re.compile("Room monitor"))).to_be_visible()
    control.keyboard.press("Escape")
    expect(control.get_by_role("link", name=re.compile("Room monitor"))).to_be_hidden()
    expect(_menu(control)).to_be_focused()


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (768, 1024)])
def test_a_warning_is_read_to_its_end_on_a_tablet(screens: Screens, control: Page, width: int, height: int) -> None:
    tablet = screens.open(f"/control/{ROOM}", width=width, height=height)
    expect(entry_line(tablet)).to_be_visible()
    write(tablet, "fentanyl 5 mg iv")
    expect(echo(tablet)).to_contain_text("more than any single dose")
    tablet.keyboard.press("Enter")
    expect(echo(tablet)).to_contain_text("Enter again")
    assert echo(tablet).evaluate("box => box.scrollHeight <= box.clientHeight + 1")
    expect(tablet.get_by_role("button", name=re.compile("Real emergency"))).to_be_in_viewport(ratio=1)


def test_a_hold_starts_at_the_value_of_now_and_the_log_names_it_in_words(control: Page) -> None:
    shown = control.get_by_text(re.compile(r"^\d+/\d+$")).first
    expect(shown).to_be_visible()
    control.keyboard.press("h")
    sheet = control.get_by_role("dialog", name="Problems and holds")
    sheet.get_by_label("Hold another").select_option(label="Mean pressure on the room monitor")
    field = sheet.get_by_label("Mean pressure on the room monitor, mmHg")
    upper, lower = (float(part) for part in (shown.text_content() or "").split("/"))
    assert lower - 2.0 <= float(field.input_value()) <= upper + 2.0
    field.fill("80")
    sheet.get_by_role("button", name="Hold", exact=True).click()
    control.keyboard.press("Escape")
    expect(events(control).last).to_contain_text("Mean pressure held at 80 mmHg on the room monitor only")


def test_an_answer_that_was_asked_for_says_what_it_answers(control: Page) -> None:
    enter(control, "neck veins", "Asked: Neck veins")
    expect(control.get_by_role("list", name="Say or hand over now")).to_contain_text("Neck veins:")


def test_all_rows_of_the_manikin_can_be_seen_and_ticked_at_once(control: Page) -> None:
    card = control.locator("section").filter(has=control.get_by_role("heading", name="Set by hand on the manikin"))
    card.get_by_role("button", name=re.compile(r"and \d+ more")).click()
    n_rows = card.get_by_role("listitem").count()
    assert n_rows > 5
    card.get_by_role("button", name=f"all {n_rows} are set").click()
    expect(events(control).filter(has_text="Manikin set")).to_have_count(n_rows)
    assert card.get_by_role("listitem").count() < n_rows


def test_what_was_refused_stays_until_it_is_read(control: Page) -> None:
    leave_line(control)
    control.keyboard.press("Control+z")
    refused = control.get_by_role("alert").filter(has_text="Undo:")
    expect(refused).to_be_visible()
    assert axe_faults(control) == []
    control.keyboard.press("Escape")
    expect(refused).to_be_hidden()


def test_the_end_says_what_comes_next_and_frees_the_room(screens: Screens, control: Page) -> None:
    home = screens.open("/")
    home.get_by_role("article").filter(has_text=C5).get_by_role("button", name="Rehearse").click()
    dialog = home.get_by_role("dialog")
    expect(dialog).to_contain_text("A run is open in every room")
    expect(dialog.get_by_role("button", name="Start", exact=True)).to_be_disabled()
    assert axe_faults(home) == []

    end_run(control)
    expect(control.get_by_role("heading", name="What comes next")).to_be_visible()
    assert control.get_by_role("heading", name=re.compile("Say or hand over now")).count() == 0
    assert axe_faults(control) == []
    home.reload()
    expect(home.get_by_role("listitem").filter(has_text=ROOM).filter(has_text="free")).to_be_visible()


@pytest.mark.parametrize(("width", "height"), [(768, 1024), (1280, 800)])
def test_the_room_monitor_keeps_its_mark_and_all_numbers_whichever_way_it_stands(
    screens: Screens, control: Page, width: int, height: int
) -> None:
    monitor = screens.open(f"/monitor/{ROOM}", width=width, height=height)
    phase(control, "4", "At patient")
    for sensor in ("probe on", "ecg on", "co2 on", "cuff on"):
        enter(control, sensor, re.compile("on", re.IGNORECASE))
    expect(monitor.get_by_role("list", name="Alarms").locator("li").nth(1)).to_be_visible(timeout=60_000)
    expect(monitor.get_by_text("Training only, not a patient")).to_be_in_viewport(ratio=1)
    for number in monitor.locator("b.number").all():
        expect(number).to_be_in_viewport(ratio=1)
    expect(monitor.get_by_role("button", name="Measure now")).to_be_in_viewport(ratio=1)
    assert axe_faults(monitor) == []

    # What has ended alarms no more.
    end_run(control)
    expect(monitor.get_by_role("list", name="Alarms").locator("li")).to_have_count(0)


def test_a_copied_case_file_that_kept_its_name_is_told_and_leaves_home_whole(screens: Screens, server: Server) -> None:
    scenarios = server.lab / "scenarios"
    copied = scenarios / "copy.yaml"
    shutil.copyfile(next(scenarios.glob("c8*.yaml")), copied)
    try:
        page = screens.open("/")
        expect(page.get_by_role("article")).to_have_count(3)
        broken = page.get_by_role("article").filter(has_text="It cannot be played")
        expect(broken.get_by_role("button", name="Rehearse")).to_be_disabled()
        expect(page.get_by_text("is not the file's name 'copy'")).to_be_visible()
        assert axe_faults(page) == []
    finally:
        copied.unlink()


def test_a_real_session_is_counted_in_and_closes_only_when_the_counts_agree(screens: Screens) -> None:
    page = screens.open("/")
    page.get_by_role("article").filter(has_text=C8).get_by_role("button", name="Real session").click()
    form = page.get_by_role("dialog")
    start = form.get_by_role("button", name="Start the session")
    expect(form.get_by_role("spinbutton").first).to_be_visible()
    expect(start).to_be_disabled()
    for name in ("Invented Lead", "Invented Airway"):
        form.get_by_label("Name of a new person").fill(name)
        form.get_by_label("Name of a new person").press("Enter")
        expect(form.get_by_label("Name of a new person")).to_have_value("")
    for count in form.get_by_role("spinbutton").all():
        count.fill("2")
    for tick in form.get_by_role("checkbox").all():
        tick.check()
    form.get_by_label("Counted and checked by").fill("Invented Operator")
    expect(form.get_by_role("status")).to_contain_text("a second name, or why there is one only")
    form.get_by_label("Only one person here?").fill("nobody else is here")
    start.click()
    page.wait_for_url(f"**/control/{ROOM}")
    expect(entry_line(page)).to_be_visible()
    end_run(page)
    expect(page.get_by_text("count out and close the session")).to_be_visible()

    page.goto(screens.server.address + "/")
    page.get_by_role("button", name="Count and close").click()
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_role("spinbutton").first).to_be_visible()
    for count in sheet.get_by_role("spinbutton").all():
        count.fill("2")
    sheet.get_by_role("spinbutton").first.fill("1")
    sheet.get_by_label("Counted by").fill("Invented Operator")
    sheet.get_by_label("Only one person here?").fill("nobody else is here")
    sheet.get_by_role("button", name="Close the session").click()
    expect(sheet.get_by_role("alert")).to_contain_text("The session stays open.")
    expect(sheet.get_by_role("alert")).to_contain_text("1 missing")
    assert axe_faults(page) == []
    sheet.get_by_role("spinbutton").first.fill("2")
    sheet.get_by_role("button", name="Close the session").click()
    expect(sheet).to_contain_text("The session is closed.")
    sheet.get_by_role("button", name="Done").click()
    expect(page.get_by_role("heading", name="Still to be counted out")).to_be_hidden()
    expect(page.get_by_role("row").filter(has_text="Invented Lead")).to_contain_text("lead")
