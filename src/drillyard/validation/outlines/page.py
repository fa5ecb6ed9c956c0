"""The page of the outline cases: one HTML file that needs nothing else."""

from collections.abc import Sequence
from html import escape
from importlib.resources import files
from typing import Final

from drillyard.validation.outlines.judged import Judged, Outcome
from drillyard.validation.outlines.model import MEASURES, START, TIME_SHARE, Doing
from drillyard.validation.outlines.plots import STYLE, key, pictures

_STYLE: Final = """
.case{border-top:2px solid var(--ink);margin-top:2.5rem;padding-top:.25rem}
.case h2{margin:.5rem 0}
.case h3{font-size:1rem;margin:1rem 0 .25rem}
.given{max-width:56rem;margin:.25rem 0}
.panels{display:grid;grid-template-columns:repeat(auto-fit,minmax(14rem,1fr));gap:.5rem 1rem;max-width:74rem}
.figures{margin-top:.5rem}.figures td,.figures th{padding:.3rem .9rem .3rem 0;border-bottom:1px solid var(--line)}
.figures .n{font-variant-numeric:tabular-nums}
.figures .group th{font-weight:600;background:var(--band);padding-left:.4rem}
.figures td:nth-child(4){min-width:14rem}
.done{max-width:56rem;font-size:.95rem}.done li{margin:.1rem 0}
@media print{.case{break-before:auto}.panels,.figures tr{break-inside:avoid}}
""".strip()


def page(outcomes: Sequence[Outcome]) -> str:
    """The whole page, for the cases given."""
    style = files("drillyard.validation").joinpath("page.css").read_text(encoding="utf-8")
    n_met = sum(outcome.n_met for outcome in outcomes)
    n_all = sum(len(outcome.judged) for outcome in outcomes)
    cases = "\n".join(_case(outcome) for outcome in outcomes)
    return f"""<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>Drillyard: the outline cases beside the body</title>
<style>
{style}{STYLE}
{_STYLE}
</style>
</head>
<body>
<a class="skip" href="#cases">Skip to the cases</a>
<header>
<p class="mark"><strong>TRAINING ONLY.</strong> A teaching model. No number here may be used to treat a real person;
local protocols and licensed practice come first.</p>
<h1>The outline cases beside the body</h1>
<p class="lead">Fourteen cases were outlined before the body existed: how the patient is found, what becomes of them
untreated, what care does. Here the same problems are given to the computed patient, nobody touches a parameter of
the body, and its course stands beside the outline. <b>The outline's numbers are one author's values from memory</b>,
for a medical director to accept or change. They are a second opinion, not a measurement: a miss may be the body's
fault or the outline's, and the reason says which we think.</p>
<ul class="shares"><li><b>{n_met} of {n_all}</b><span>numbers of the outlines met</span></li>
<li><b>{_start_met(outcomes)}</b><span>of those at the start, for which problem sizes were chosen</span></li>
<li><b>{_played(outcomes)}</b><span>cases played</span></li></ul>
</header>
<main>
{_summary(outcomes)}
{_how()}
<div id="cases">
{cases}
</div>
</main>
<footer><p>Made by <code>drillyard validate --outlines</code>. Each case is plain code in
<code>src/drillyard/validation/outlines</code>, on the public scripting interface.</p></footer>
</body>
</html>
"""


def _start_met(outcomes: Sequence[Outcome]) -> str:
    start = [one for outcome in outcomes for one in outcome.judged if one.figure.course == START]
    return f"{sum(one.verdict == 'met' for one in start)} of {len(start)}"


def _played(outcomes: Sequence[Outcome]) -> str:
    return f"{sum(not outcome.lacking for outcome in outcomes)} of {len(outcomes)}"


def _summary(outcomes: Sequence[Outcome]) -> str:
    rows = []
    for outcome in outcomes:
        cells = []
        for is_start in (True, False):
            group = [one for one in outcome.judged if (one.figure.course == START) == is_start]
            met = sum(one.verdict == "met" for one in group)
            said = f"{met} of {len(group)}" if group else "\u2013"
            cells.append(f'<td class="n">{said}</td>')
        lacking = f"not played: {', '.join(outcome.lacking)} not modelled yet" if outcome.lacking else ""
        rows.append(
            f'<tr><th scope="row"><a href="#{outcome.case.id}">{outcome.case.id} {escape(outcome.case.title)}</a></th>'
            f"{''.join(cells)}<td>{escape(lacking)}</td></tr>"
        )
    return (
        '<section aria-labelledby="summary"><h2 id="summary">Summary</h2><div class="wide"><table class="summary">'
        '<thead><tr><th scope="col">Case</th><th scope="col" class="n">Start, met</th>'
        '<th scope="col" class="n">Course, met</th><th scope="col"></th></tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div></section>"
    )


def _how() -> str:
    slacks = "; ".join(
        f"{escape(measure.label.lower() if measure.label[1].islower() else measure.label)} \u00b1"
        + (f"{measure.near:.0%}" if measure.is_share else f"{measure.near:g} {measure.unit}".rstrip())
        for measure in MEASURES.values()
    )
    share = f"{TIME_SHARE:.0%}".replace("%", " %")
    return f"""<details><summary>How a number is judged</summary>
<p>A number at a time is met if the course passes it, within the slack of its measure, at some moment within {share} of
that time; at the start no time is allowed. A change ("+14 in 30 s") is met within {share} of its size. An event
("asystole at 10 min") is met within {share} of its time. Values are means of 11 s; where a finger probe
finds no pulse the line has a gap. The slack is our choice, about what
two people at the bedside would differ by: {slacks.replace("%", " %")}.</p>
<p>Sizes of problems were chosen once so that the patient is found as the outline says, as far as one consistent body
can be: where the numbers of an outline contradict one another, or the body, the start is missed and the row says
why.</p></details>"""


def _case(outcome: Outcome) -> str:
    case = outcome.case
    head = (
        f'<section class="case" id="{case.id}" aria-labelledby="{case.id}-head">'
        f'<h2 id="{case.id}-head">{case.id}. {escape(case.title)}: {escape(outcome.verdict)}</h2>'
        f'<p class="given"><b>{escape(case.person)}.</b> {escape(case.given)}</p>'
    )
    if outcome.lacking:
        words = ", ".join(f"\u201c{kind}\u201d" for kind in outcome.lacking)
        said = f"<p>Not played: this version of the body does not know {words} yet.</p>"
        return f"{head}{said}{_left_out(outcome)}</section>"
    remark = f'<p class="given">{escape(case.remark)}</p>' if case.remark else ""
    return (
        f'{head}{remark}<div class="panels">{pictures(outcome)}</div>{key(outcome)}{_figures(outcome)}'
        f"{_care(outcome)}{_left_out(outcome)}</section>"
    )


def _figures(outcome: Outcome) -> str:
    groups = list(dict.fromkeys(one.figure.course for one in outcome.judged))
    rows = []
    for group in groups:
        words = "As found" if group == START else group[:1].upper() + group[1:]
        rows.append(f'<tr class="group"><th scope="rowgroup" colspan="4">{escape(words)}</th></tr>')
        rows += [_row(one) for one in outcome.judged if one.figure.course == group]
    return (
        '<div class="wide"><table class="figures"><thead><tr><th scope="col">The outline says</th>'
        '<th scope="col">The body</th><th scope="col">Verdict</th><th scope="col">Why it differs</th></tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )


def _row(one: Judged) -> str:
    is_met = one.verdict == "met"
    shape, style = ("\u25cf", "pass") if is_met else ("\u25b2", "fail")
    return (
        f'<tr><th scope="row">{escape(one.figure.said)}</th><td class="n">{escape(_got(one))}</td>'
        f'<td class="{style}"><span class="verdict"><span aria-hidden="true">{shape}</span> {one.verdict}</span></td>'
        f"<td>{escape(_sentence(one.reason))}</td></tr>"
    )


def _got(one: Judged) -> str:
    if one.got is None:
        return "never" if one.figure.how in ("falls to", "rises to") else "no reading"
    if one.figure.how in ("falls to", "rises to"):
        return f"at {one.got:.1f} min"
    measure = MEASURES[one.figure.signal]
    sign = "+" if one.figure.how == "change" and one.got > 0 else ""
    digits = 0 if abs(one.got) >= 30 else 1 if abs(one.got) >= 5 else 2
    value = f"{one.got:.{digits}f}"
    value = "0" if float(value) == 0.0 else value
    passed = ""
    if one.passes_min is not None and abs(one.got - one.figure.value) > measure.slack(one.figure.value):
        passed = f"; passes {one.figure.value:g} at {one.passes_min:.1f} min"
    return f"{sign}{value} {measure.unit}".rstrip() + passed


def _care(outcome: Outcome) -> str:
    items = []
    for followed in outcome.followed.values():
        done = _spoken(followed.doings)
        if done:
            begins = f", from minute {followed.from_min:g}" if followed.from_min else ""
            items.append(f"<li><b>{escape(followed.name)}</b>{begins}: {escape(done)}</li>")
    if not items:
        return ""
    return f'<details><summary>What was done in each course</summary><ul class="done">{"".join(items)}</ul></details>'


def _spoken(doings: Sequence[Doing]) -> str:
    """What was done with its minutes; a problem that grows in steps is told once."""
    said: list[str] = []
    steps: dict[str, list[Doing]] = {}
    for doing in doings:
        if doing.is_problem:
            steps.setdefault(str(doing.fields.get("name", doing.kind)), []).append(doing)
        else:
            only = f", only {doing.only}" if doing.only else ""
            said.append(f"{doing.at_min:g} min {doing.text}{only}")
    for grown in steps.values():
        first, last = grown[0], grown[-1]
        text = f"{first.at_min:g} min {first.text}"
        said.append(text if first is last else f"{text}, growing by {last.at_min:g} min to {last.text}")
    return "; ".join(said)


def _left_out(outcome: Outcome) -> str:
    if not outcome.case.left_out:
        return ""
    items = "".join(f"<li>{escape(said)}: {escape(why)}.</li>" for said, why in outcome.case.left_out)
    return f'<h3>Not modelled, so not judged</h3><ul class="done">{items}</ul>'


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}." if text else ""
