"""The validation page: one HTML file that needs nothing else, by area, a row for each published value.

Its text hangs on results alone: the same body gives the same page.  The results stand in it once more as JSON, from
which ``kept.py`` tells whether the page still says what the code does.
"""

import json
from collections.abc import Sequence
from html import escape
from importlib.resources import files
from typing import Final

from drillyard.validation.counts import NEVER_COUNTS, by_area_and_kind, shares
from drillyard.validation.kept import plain_results
from drillyard.validation.plots import STYLE, plot_of
from drillyard.validation.report import VERDICTS, Result, Verdict
from drillyard.validation.table import KINDS, Kind

AREAS: Final = {
    "gas_exchange": "Gas exchange and acid-base",
    "lung_control": "Lungs and control of breathing",
    "cardiovascular": "Heart and circulation",
    "pkpd": "Drugs",
    "arrest": "Cardiac arrest",
    "metabolic_thermal_neuro": "Metabolism, temperature and brain",
}
SHAPES: Final[dict[Verdict, tuple[str, str, str]]] = {
    "pass": ("\u25cf", "in range", "pass"),
    "fail": ("\u25b2", "out of range", "fail"),
    "not modelled": ("\u25cb", "not modelled", "none"),
    "left out": ("\u2013", "not run", "none"),
}
"""Verdict -> shape, word, class: shape and word say it without the colour."""
_KINDS: Final[dict[Kind, str]] = {
    "patient": "one patient",
    "parameter": "drug parameter",
    "arithmetic": "closed formula",
    "population": "many patients",
    "guideline": "guideline",
}
_KNOWN: Final = {"seen": "number seen in the paper", "memory": "number from memory, not yet checked in print"}


def page(results: Sequence[Result]) -> str:
    """The whole page.

    Args:
        results: in the order of the table; the rows of an area together.
    """
    folder = files("drillyard.validation")
    style = folder.joinpath("page.css").read_text(encoding="utf-8")
    script = folder.joinpath("page.js").read_text(encoding="utf-8")
    areas = list(dict.fromkeys(result.row.area for result in results))
    sections = "\n".join(_area(area, [r for r in results if r.row.area == area]) for area in areas)
    kept = json.dumps(plain_results(results), separators=(",", ":"))
    return f"""<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>Drillyard: the body held against published values</title>
<style>
{style}{STYLE}
</style>
</head>
<body>
<a class="skip" href="#rows">Skip to the rows</a>
<header>
<p class="mark"><strong>TRAINING ONLY.</strong> A teaching model. No number here may be used to treat a real person;
local protocols and licensed practice come first.</p>
<h1>The body held against published values</h1>
<p class="lead">Each row is one published number, the experiment that was done on the computed patient to measure it,
and what came of it. One set of parameters answers all of them; nothing is set for a single row. Rows that fail, and
rows that the body cannot answer, are shown like the others.</p>
{_shares(results)}
</header>
<main>
{_summary(results)}
{_how_to_read()}
{_filter(areas)}
<div id="rows">
{sections}
</div>
</main>
<footer><p>Made by <code>drillyard validate --html</code>. The experiments are plain code in
<code>src/drillyard/validation/experiments</code>.</p></footer>
<script type="application/json" id="results">{kept}</script>
<script>
{script}</script>
</body>
</html>
"""


def _shares(results: Sequence[Result]) -> str:
    items = []
    for share in shares(results):
        got = "none" if share.share_pct is None else f"{share.share_pct:.1f} %"
        shape = SHAPES["pass" if share.is_met else "fail"][0]
        met = f"aim {share.aim_pct:.0f} % {'reached' if share.is_met else 'not reached'}"
        if share.share_pct is None:
            shape, met = "\u25cb", "not answered yet"
        items.append(
            f"<li><b>{got}</b><span>of {share.answered} answered in range: {escape(share.name)}</span>"
            f'<span><span aria-hidden="true">{shape}</span> {met}; {share.rows} rows in the table</span></li>'
        )
    return f'<ul class="shares">{"".join(items)}</ul>'


def _summary(results: Sequence[Result]) -> str:
    heads = "".join(
        f'<th scope="col"><span aria-hidden="true">{SHAPES[v][0]}</span> {SHAPES[v][1]}</th>' for v in VERDICTS
    )
    rows, before, dot = [], "", "\u00b7"
    for area, kind, counts in by_area_and_kind(results):
        name = escape(AREAS.get(area, "All areas"))
        linked = f'<a href="#{area}">{name}</a>' if area in AREAS else name
        first = f'<th scope="rowgroup" class="area">{linked}</th>' if area != before else "<td></td>"
        cells = "".join(f'<td class="n">{counts[verdict] or dot}</td>' for verdict in VERDICTS)
        top = ' class="top"' if area != before else ""
        rows.append(f'<tr{top}>{first}<th scope="row">{_KINDS[kind]}</th>{cells}</tr>')
        before = area
    return (
        '<section aria-labelledby="summary"><h2 id="summary">Summary</h2><div class="wide"><table class="summary">'
        f'<thead><tr><th scope="col">Area</th><th scope="col">Kind</th>{heads}</tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div><p>{NEVER_COUNTS}</p></section>"
    )


def _how_to_read() -> str:
    return """<details><summary>How to read a row</summary>
<p><b>Published</b> is the number of the source and the range that counts as right: the paper's own spread where it
prints one, else a range that the makers of the table chose. <b>Got</b> is what was measured. In the small picture the
bar is the range, the upright stroke the published value and the diamond what was measured; where a whole course was
measured the line is the computed patient and open circles are published points. An arrow says that the value lies
further out than the picture.</p>
<p><b>One patient</b>: an experiment on the whole body. <b>Drug parameter</b>: read from the kinetics of one drug.
<b>Closed formula</b>: a published equation that the program uses. <b>Many patients</b>: shares over many computed
patients. <b>Guideline</b>: a dose, target
or teaching value, checked in the data files that carry it.</p></details>"""


def _filter(areas: Sequence[str]) -> str:
    options = "".join(f'<option value="{area}">{escape(AREAS.get(area, area))}</option>' for area in areas)
    kinds = "".join(f'<option value="{kind}">{_KINDS[kind]}</option>' for kind in KINDS)
    verdicts = "".join(f'<option value="{v}">{SHAPES[v][0]} {SHAPES[v][1]}</option>' for v in VERDICTS)
    return (
        '<form class="filter" role="search" hidden>'
        '<label>Search <input type="search" id="find" placeholder="words, PK003, Nunn"></label>'
        f'<label>Verdict <select id="verdict"><option value="">all</option>{verdicts}</select></label>'
        f'<label>Area <select id="area"><option value="">all</option>{options}</select></label>'
        f'<label>Kind <select id="kind"><option value="">all</option>{kinds}</select></label>'
        '<button type="reset">Show all</button><output id="shown" aria-live="polite"></output></form>'
    )


def _area(area: str, results: Sequence[Result]) -> str:
    rows = "\n".join(_row(result) for result in results)
    return (
        f'<section class="area" id="{area}" aria-labelledby="{area}-head">'
        f'<h2 id="{area}-head">{escape(AREAS.get(area, area))}</h2><table class="rows"><thead><tr>'
        '<th scope="col">What is measured</th><th scope="col">Published</th><th scope="col">Got</th>'
        f'<th scope="col">Verdict</th><th scope="col">Picture</th></tr></thead><tbody>\n{rows}\n'
        "</tbody></table></section>"
    )


def _row(result: Result) -> str:
    row = result.row
    shape, word, style = SHAPES[result.verdict]
    unit = escape(_unit(row.unit))
    got = "" if result.got is None else f"<b>{result.got:.4g}</b> {unit}"
    reason = f'<p class="why">{escape(_sentence(result.reason))}</p>' if result.reason else ""
    known = _KNOWN.get(row.how_known, escape(row.how_known))
    said = f" Experiment: <code>{result.experiment}</code>." if result.experiment else ""
    extended = ", extended" if row.difficulty == "extended" else ""
    return (
        f'<tr id="{row.id}" data-v="{result.verdict}" data-k="{row.kind}"><td class="what"><p><a class="id" '
        f'href="#{row.id}">{row.id}</a> <strong>{escape(row.check)}</strong></p><p>{escape(row.conditions)}</p>'
        f'<p class="source">{escape(row.source.rstrip("."))}. <em>{known}</em>;'
        f" {_KINDS[row.kind]}{extended}.{said}</p></td>"
        f'<td data-h="Published"><b>{row.expected:g}</b> {unit} <br><span class="source">{_range(row.low, row.high)}'
        f"</span></td>"
        f'<td data-h="Got">{got}</td><td data-h="Verdict" class="{style}"><span class="verdict">'
        f'<span aria-hidden="true">{shape}</span> {word}</span>{reason}</td><td>{plot_of(result)}</td></tr>'
    )


def _range(low: float, high: float) -> str:
    return "exactly this" if low == high else f"{low:g} to {high:g}"


def _unit(unit: str) -> str:
    return {"degC": "\u00b0C", "per degC": "per \u00b0C"}.get(unit, unit.replace("ug", "\u00b5g"))


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
