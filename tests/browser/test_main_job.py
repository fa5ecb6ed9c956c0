"""The main job as a new user does it: case C8 from Home, live, to debrief and what-if.  One run, told in order."""

import re
import time

import pytest
from playwright.sync_api import Page, expect

from tests.browser.desk import (
    ROOM,
    clock_s,
    echo,
    end_run,
    enter,
    entry_line,
    events,
    phase,
    write,
)
from tests.browser.harness import Screens, Server, axe_faults

pytestmark = pytest.mark.browser


def _number(page: Page, heading: str) -> str:
    """A number of the room monitor, as it stands there."""
    section = page.locator("section.row").filter(has=page.get_by_role("heading", name=heading))
    return section.locator("b.number").inner_text()


def test_from_dispatch_to_what_if(screens: Screens, control: Page) -> None:
    monitor = screens.open(f"/monitor/{ROOM}", width=1280, height=800)

    # Nothing shows before its sensor is on.
    expect(monitor.get_by_text("attach the finger probe to see this")).to_be_visible()
    expect(monitor.get_by_text("attach the ECG electrodes to see this")).to_be_visible()
    expect(monitor.get_by_text("put the cuff on to see this")).to_be_visible()
    assert _number(monitor, "Oxygen saturation") == "–"
    assert axe_faults(monitor) == []

    phase(control, "4", "At patient")
    write(control, "probe on")
    expect(echo(control)).to_contain_text("Finger probe on")
    enter(control, "probe on", "Finger probe on")
    enter(control, "ecg on", "ECG electrodes on")
    enter(control, "cuff on", re.compile("cuff on", re.IGNORECASE))

    # The monitor answers with its own lag: first dashes, then a pulse and a saturation.
    expect(monitor.get_by_text("Electrocardiogram, lead II")).to_be_attached()
    expect(monitor.get_by_text("Pulse wave at the finger")).to_be_attached()
    _becomes_a_number(monitor, "Oxygen saturation")
    _becomes_a_number(monitor, "Heart rate")
    assert 40 <= float(_number(monitor, "Oxygen saturation")) <= 100
    assert 40 <= float(_number(monitor, "Heart rate")) <= 220

    # A cuff on demand takes its time, and then gives a pressure.
    enter(control, "bp", re.compile("pressure", re.IGNORECASE))
    expect(monitor.get_by_role("button", name=re.compile("inflating|measuring"))).to_be_visible()
    cuff = monitor.locator("section.row.pressure b.number")
    expect(cuff).to_have_text(re.compile(r"^\d{2,3}/\d{2,3}$|^no reading$"), timeout=90_000)

    # Treatments, each read back in full before Enter.
    write(control, "tq l thigh")
    expect(echo(control)).to_contain_text("Tourniquet, left thigh")
    enter(control, "tq l thigh", "Tourniquet, left thigh")
    enter(control, "needle l 5", "Decompress the left chest")
    bleeding = control.locator(".row, li, div").filter(has_text=re.compile(r"^Blood lost")).last
    expect(bleeding).to_be_visible()

    # Look-ahead is there and is renewed after the treatments.
    expect(control.get_by_text("if nothing more is done", exact=True)).to_be_visible()
    assert axe_faults(control) == []
    assert axe_faults(monitor) == []

    # The paper run sheet can be printed, in case the computer dies.
    sheet = screens.open(f"/sheet/{ROOM}")
    expect(sheet.get_by_role("button", name="Print")).to_be_enabled()
    assert len(sheet.pdf()) > 10_000
    assert axe_faults(sheet) == []

    end_run(control)
    expect(entry_line(control)).to_be_disabled()
    control.get_by_role("link", name="Open the debrief").click()
    control.wait_for_url("**/debrief/**")

    # The crew tells the case first: the timeline is shut until somebody opens it.
    expect(control.get_by_role("heading", name="First, the crew tells the case")).to_be_visible()
    assert control.get_by_role("list", name="Events").count() == 0
    assert axe_faults(control) == []
    control.keyboard.press("o")
    expect(events(control).filter(has_text="Tourniquet, left thigh")).to_be_visible()
    expect(control.get_by_role("tab", name="Measures")).to_have_attribute("aria-selected", "true")
    expect(control.get_by_role("tabpanel")).to_contain_text("Hypoxia burden")
    assert axe_faults(control) == []

    # What if the tourniquet had not been put on?
    events(control).filter(has_text="Tourniquet, left thigh").get_by_role("button").click()
    control.get_by_role("button", name="Had it not happened").click()
    expect(control.get_by_text("Changed at")).to_be_visible(timeout=60_000)
    expect(control.get_by_role("region", name="Timeline")).to_contain_text("what if:")
    assert axe_faults(control) == []


def _becomes_a_number(monitor: Page, heading: str) -> None:
    until_s = time.monotonic() + 60
    while not re.fullmatch(r"\d+", _number(monitor, heading)):
        assert time.monotonic() < until_s, f"{heading} shows '{_number(monitor, heading)}'"
        time.sleep(0.2)


def test_the_patient_gets_worse_untreated_and_the_look_ahead_says_so(screens: Screens, control: Page) -> None:
    first = control.get_by_role("list", name="If nothing more is done").locator("li").first
    expect(first).to_contain_text(re.compile(r"below \d+|no pulse|arrest"), timeout=60_000)
    # It comes nearer by itself: the patient needs no hand to get worse.
    lines = control.get_by_role("list", name="If nothing more is done").locator("li")
    named = lines.last.inner_text()
    until_s = _minutes_and_seconds(named)
    time.sleep(6.0)
    later = lines.filter(has_text=re.sub(r"^\S+\s+", "", named))
    assert _minutes_and_seconds(later.inner_text()) <= until_s - 3.0


def _minutes_and_seconds(text: str) -> float:
    found = re.match(r"(\d+):(\d\d)", text)
    assert found is not None, text
    return 60.0 * int(found.group(1)) + int(found.group(2))


def test_bad_input_is_told_in_one_sentence_and_kept(control: Page) -> None:
    n_before = events(control).count()

    # An unknown word is kept as text, and it is said that the body does not change.
    write(control, "flurbium 3 mg iv")
    expect(echo(control)).to_contain_text(re.compile("flurbium|not modelled|not known", re.IGNORECASE))

    # A number without a unit that could be read two ways is a question.
    write(control, "txa 10 iv")
    expect(echo(control)).to_contain_text("?")
    control.keyboard.press("Enter")

    # An impossible dose is shown with the usual range, and taken only on a second Enter.
    write(control, "fentanyl 5 mg iv")
    control.keyboard.press("Enter")
    expect(echo(control)).to_contain_text("Enter again")
    assert events(control).count() == n_before
    control.keyboard.press("Escape")
    assert events(control).count() == n_before

    # An event before the start is refused, and what was typed stays.
    write(control, "@-1:00 tq l thigh")
    control.keyboard.press("Enter")
    expect(entry_line(control)).to_have_value("@-1:00 tq l thigh")
    assert events(control).count() == n_before


def test_undo_takes_back_the_newest_entry_and_the_log_keeps_it(control: Page) -> None:
    enter(control, "tq l thigh", "Tourniquet, left thigh")
    control.keyboard.press("Control+z")
    expect(events(control).filter(has_text="Tourniquet, left thigh")).to_contain_text("taken back")


def test_two_operators_write_in_one_log(screens: Screens, control: Page) -> None:
    other = screens.open(f"/control/{ROOM}")
    expect(entry_line(other)).to_be_visible()
    write(control, "o2 15 reservoir")
    write(other, "probe on")
    control.keyboard.press("Enter")
    other.keyboard.press("Enter")
    for page in (control, other):
        expect(events(page).filter(has_text="Finger probe on")).to_be_visible()
        expect(events(page).filter(has_text="reservoir")).to_be_visible()
    assert events(control).all_inner_texts() == events(other).all_inner_texts()


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1280, 800)])
def test_the_control_room_needs_no_scrolling(screens: Screens, control: Page, width: int, height: int) -> None:
    page = screens.open(f"/control/{ROOM}", width=width, height=height)
    expect(entry_line(page)).to_be_visible()
    assert page.evaluate(
        "document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth"
    )


def test_a_tablet_keeps_river_entry_line_and_first_card(screens: Screens, control: Page) -> None:
    page = screens.open(f"/control/{ROOM}", width=1024, height=768, scheme="dark")
    expect(entry_line(page)).to_be_in_viewport()
    expect(page.get_by_role("heading", name=re.compile("Say or hand over now"))).to_be_in_viewport()
    assert axe_faults(page) == []


def test_the_clock_runs_at_the_pace_of_the_wall_and_stands_when_paused(server: Server, control: Page) -> None:
    began_s, began_wall_s = clock_s(control), time.monotonic()
    time.sleep(5.0)
    gone_s, gone_wall_s = clock_s(control) - began_s, time.monotonic() - began_wall_s
    assert abs(gone_s - gone_wall_s) <= 2.0
    control.keyboard.press("p")
    expect(control.get_by_text("paused: go on")).to_be_visible()
    stood_s = clock_s(control)
    time.sleep(2.0)
    assert clock_s(control) == stood_s
    control.keyboard.press("p")
    expect(control.get_by_text("paused: go on")).to_be_hidden()
