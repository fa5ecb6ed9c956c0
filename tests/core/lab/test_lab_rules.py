"""What a session needs before it starts and before it closes."""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillyard.core.lab.counts import closing_faults, starting_faults, using_faults
from drillyard.core.lab.exposure import met_cases, unseen_by_all
from drillyard.core.lab.names import signing_faults
from drillyard.core.lab.readiness import SAFETY_TICKS, Seat, crew_faults, tick_faults


@dataclass(frozen=True)
class Row:
    item: str
    counted_in: int
    counted_out: int | None = None
    used: int = 0


@given(st.integers(0, 50), st.integers(0, 50), st.integers(0, 10))
def test_counts_close_only_when_all_that_came_in_is_there_again(came_in: int, went_out: int, used: int) -> None:
    faults = closing_faults([Row("training ampoule", came_in, went_out, used)])
    assert (faults == []) == (came_in == went_out)


def test_a_mismatch_names_item_both_numbers_and_what_to_do() -> None:
    (fault,) = closing_faults([Row("needle 14 G", 4, 3)])
    assert "'needle 14 G': 4 in, 3 out, 1 missing" in fault.sentence()
    assert "before anybody leaves" in fault.sentence()


def test_what_was_not_counted_is_asked_for_on_both_sides() -> None:
    assert [f.code for f in starting_faults(["a", "b"], {"a": 0})] == ["not counted"]
    assert [f.code for f in closing_faults([Row("a", 1)])] == ["not counted"]


def test_more_used_than_counted_in_is_a_warning() -> None:
    (fault,) = using_faults([Row("a", 1, 1, used=2)])
    assert fault.is_warning
    assert using_faults([Row("a", 2, 2, used=2)]) == []


@pytest.mark.parametrize(
    ("first", "second", "reason", "one_person", "code"),
    [
        ("", "", "", True, "no name"),
        ("R. Ash", "", "", True, "reason missing"),
        ("R. Ash", "", "alone today", True, None),
        ("R. Ash", "", "alone today", False, "second name missing"),
        ("R. Ash", " r. ash ", "", False, "same name twice"),
        ("R. Ash", "K. Lind", "", False, None),
    ],
)
def test_two_names_or_one_and_a_reason(
    first: str, second: str, reason: str, one_person: bool, code: str | None
) -> None:
    assert [fault.code for fault in signing_faults(first, second, reason, one_person)] == ([code] if code else [])


def test_crew_needs_known_people_in_one_seat_each_who_have_agreed() -> None:
    assert crew_faults([], ["p1"])[0].code == "no crew"
    crew = [Seat("p1", "lead", True), Seat("p1", "airway", True), Seat("p9", "circulation", False)]
    assert [f.code for f in crew_faults(crew, ["p1"])] == ["person twice", "unknown person", "agreement missing"]
    assert crew_faults(crew[:1], ["p1"]) == []


def test_every_safety_tick_is_wanted() -> None:
    wanted = [tick.text for tick in SAFETY_TICKS]
    assert len(tick_faults(wanted, wanted[1:])) == 1
    assert tick_faults(wanted, wanted) == []


def test_a_case_is_unseen_only_if_nobody_of_the_crew_has_met_it() -> None:
    met = met_cases([("p1", "c5"), ("p2", "c8")])
    assert unseen_by_all(["c5", "c8", "c1"], ["p1", "p2"], met) == ["c1"]
    assert unseen_by_all(["c5", "c8"], ["p3"], met) == ["c5", "c8"]
