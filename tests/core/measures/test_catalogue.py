"""The catalogue of measures and its page."""

from pathlib import Path

import pytest

from drillyard.core.measures import GENERAL, MEASURE_IDS, MEASURES, compute
from drillyard.core.measures.page import measures_page
from tests.core.measures.hand_log import SCENARIO, HandLog, HandTracks

PAGE = Path(__file__).parents[3] / "docs" / "measures.md"


def test_the_page_is_what_the_definitions_say() -> None:
    assert PAGE.read_text(encoding="utf-8") == measures_page()


@pytest.mark.parametrize("number", MEASURE_IDS)
def test_every_definition_says_what_where_from_and_in_which_unit(number: int) -> None:
    row = MEASURES[number][0]
    assert row.id == number and row.title and row.definition and row.unit and row.target and row.source
    if row.source_kind == "L":
        assert "local teaching choice" in row.source


def test_only_the_burdens_read_the_body() -> None:
    assert {n for n, (row, _) in MEASURES.items() if row.is_patient_not_crew} == {12, 13}


def test_general_measures_come_with_every_case_and_the_case_adds_its_own() -> None:
    """SCENARIO lists none, so the general ones alone come, in order."""
    log = HandLog()
    log.phase(0, "at patient")
    assert [result.id for result in compute(log.events, HandTracks(), SCENARIO)] == sorted(GENERAL)


def test_an_empty_log_gives_results_and_no_error() -> None:
    results = compute([], HandTracks(0), SCENARIO)
    assert {result.status for result in results} <= {"cannot say", "not applicable", "met"}
