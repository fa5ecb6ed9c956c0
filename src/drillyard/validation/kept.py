"""Whether a page that was written earlier still says what the code does."""

import json
import re
from collections.abc import Iterable, Mapping
from typing import Final

from drillyard.validation.report import Result, Verdict

_JSON: Final = re.compile(r'<script type="application/json" id="results">(.*?)</script>', re.DOTALL)
_NEAR: Final = 2e-3
"""Relative: values are kept with four figures, and the last one may turn over between libraries of arithmetic."""

Kept = Mapping[str, tuple[Verdict, float | None]]


def plain_results(results: Iterable[Result]) -> dict[str, tuple[Verdict, float | None]]:
    """Row -> verdict and value with four figures, as they stand in the page."""
    return {
        result.row.id: (result.verdict, None if result.got is None else float(f"{result.got:.4g}"))
        for result in results
    }


def read_page(text: str) -> dict[str, tuple[Verdict, float | None]]:
    """The results that stand in a page.

    Raises:
        ValueError: the text is no page of results.
    """
    found = _JSON.search(text)
    if found is None:
        raise ValueError("it holds no results: it was not written by 'drillyard validate --html'")
    return {row: (verdict, got) for row, (verdict, got) in json.loads(found.group(1)).items()}


def differences(results: Iterable[Result], kept: Kept) -> list[str]:
    """One sentence for each row on which the page and the code disagree.  Rows that were not run are not compared."""
    found = []
    for row, (verdict, got) in plain_results(results).items():
        if verdict == "left out":
            continue
        if row not in kept:
            found.append(f"{row} is not on the page; it is {_said(verdict, got)} now.")
            continue
        old_verdict, old_got = kept[row]
        if old_verdict != verdict or not _near(got, old_got):
            found.append(f"{row} is {_said(old_verdict, old_got)} on the page and {_said(verdict, got)} now.")
    return found


def _near(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= _NEAR * max(abs(one), abs(other), 1e-9)


def _said(verdict: Verdict, got: float | None) -> str:
    return f"'{verdict}'" if got is None else f"'{verdict}' with {got:.4g}"
