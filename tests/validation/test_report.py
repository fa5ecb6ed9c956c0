"""Verdicts, reasons, counts, pictures and the page of ``drillyard validate``, on experiments made for the test."""

import json
import math
from html.parser import HTMLParser
from typing import ClassVar

import pytest

from drillyard.validation import failing, not_modelled, report
from drillyard.validation.bench import Answers, Bench, Experiment, all_experiments
from drillyard.validation.counts import shares, summary
from drillyard.validation.kept import differences, plain_results, read_page
from drillyard.validation.page import page
from drillyard.validation.plots import plot_file, plot_of
from drillyard.validation.report import Result, validate
from drillyard.validation.table import reference_rows

ROWS = {row.id: row for row in reference_rows()}


def _inside(bench: Bench) -> Answers:
    bench.draw("GX012", [1.0, 2.0, math.nan], [3.0, 4.0, 5.0], x_label="min <", y_label="mmHg", published=[(1.5, 3.5)])
    bench.leave("GX016", "left for the test")
    return {"GX012": 74.95, "GX013": 12.0}


def _broken(bench: Bench) -> Answers:
    raise ArithmeticError("no <flow>")


def _long(bench: Bench) -> Answers:
    raise AssertionError("a slow experiment was run")


EXPERIMENTS = (
    Experiment("inside", ("GX012", "GX013", "GX016", "GX017"), _inside, is_slow=False),
    Experiment("broken", ("PK001",), _broken, is_slow=False),
    Experiment("long", ("GX075",), _long, is_slow=True),
)


@pytest.fixture
def results(monkeypatch: pytest.MonkeyPatch) -> list[Result]:
    monkeypatch.setattr(report, "all_experiments", lambda: EXPERIMENTS)
    return validate(fast=True)


def test_each_row_of_the_table_has_a_verdict_and_a_reason_unless_it_passes(results: list[Result]) -> None:
    assert [result.row for result in results] == list(reference_rows())
    assert len(results) == 413
    for result in results:
        assert bool(result.reason) == (result.verdict != "pass"), result.row.id
        assert (result.got is None) or result.verdict in ("pass", "fail")


def test_verdicts_follow_from_what_was_measured(results: list[Result]) -> None:
    by_row = {result.row.id: result for result in results}
    assert by_row["GX012"].verdict == "pass"
    assert by_row["GX013"].verdict == "fail"
    assert by_row["GX013"].reason.startswith("85.7 % SO2 below the range")
    assert (by_row["GX016"].verdict, by_row["GX016"].reason) == ("not modelled", "left for the test")
    assert (by_row["GX017"].verdict, by_row["GX017"].got) == ("fail", None)
    assert by_row["PK001"].reason == "the experiment stopped: ArithmeticError: no <flow>"
    assert by_row["GX075"].verdict == "left out"


def test_only_the_rows_and_areas_asked_for_are_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(report, "all_experiments", lambda: EXPERIMENTS)
    said: list[tuple[str, int, int]] = []
    chosen = validate(rows=("PK001",), said=lambda experiment, done, total: said.append((experiment.name, done, total)))
    assert [result.row.id for result in chosen] == ["PK001"]
    assert said == [("broken", 0, 1)]
    assert {result.row.area for result in validate(("arrest",))} == {"arrest"}


def test_shares_count_answered_rows_alone_and_never_guidelines(results: list[Result]) -> None:
    one_patient, formulas, many = shares(results)
    assert (one_patient.answered, one_patient.share_pct) == (0, None)
    # of the rows above only GX017 is a closed formula; GX012, GX013 and PK001 are guideline rows
    assert (formulas.answered, formulas.in_range, formulas.share_pct) == (1, 0, 0.0)
    assert (many.rows, many.is_met) == (33, False)
    assert "never count" in summary(results)


def test_reasons_are_written_for_rows_that_exist_and_are_not_answered() -> None:
    answered = {row for experiment in all_experiments() for row in experiment.rows}
    assert set(not_modelled.EXPLAINED) <= set(ROWS) - answered
    assert set(failing.EXPLAINED) <= answered


def test_a_curve_and_its_published_points_are_drawn_within_the_picture(results: list[Result]) -> None:
    drawn = next(result for result in results if result.row.id == "GX012")
    picture = plot_of(drawn)
    assert picture.count('class="published"') == 1
    assert "min &lt;" in picture
    assert "nan" not in picture
    outside = next(result for result in results if result.row.id == "GX013")
    assert "\u2190 12" in plot_of(outside), "a value far below the range gets an arrow"
    assert plot_file(outside).startswith('<svg class="plot"')
    assert 'xmlns="http://www.w3.org/2000/svg"' in plot_file(outside)
    assert plot_file(next(result for result in results if result.verdict == "left out")) == ""


class _Page(HTMLParser):
    VOID: ClassVar = {"meta", "input", "br"}
    SHAPES: ClassVar = {"path", "rect", "circle", "polyline"}

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.resources: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)
        self._note(tag, attrs)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._note(tag, attrs)

    def _note(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for name, value in attrs if name == "id"]
        self.resources += [
            f"{tag} {value}" for name, value in attrs
            if name in ("src", "href", "srcset", "data") and not (value or "").startswith("#")
        ]  # fmt: skip

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_whole_needs_nothing_else_and_is_the_same_each_time(results: list[Result]) -> None:
    text = page(results)
    read = _Page(text)
    assert read.open == []
    assert len(read.ids) == len(set(read.ids))
    assert set(ROWS) <= set(read.ids)
    assert read.resources == []
    assert "url(" not in text
    assert "no &lt;flow&gt;" in text
    assert "TRAINING ONLY" in text
    assert text == page(results)


def test_a_kept_page_is_compared_row_by_row(results: list[Result]) -> None:
    kept = read_page(page(results))
    assert kept == json.loads(
        json.dumps(plain_results(results)), object_hook=lambda all_: {k: tuple(v) for k, v in all_.items()}
    )
    assert differences(results, kept) == []
    changed = {**kept, "GX012": ("fail", 70.0), "GX075": ("pass", 20.0)}
    assert differences(results, changed) == ["GX012 is 'fail' with 70 on the page and 'pass' with 74.95 now."]
    assert differences(results, {**kept, "GX012": ("pass", 74.96)}) == [], "the fourth figure may turn over"
    with pytest.raises(ValueError, match="holds no results"):
        read_page("<html></html>")
