"""Courses of a case as small pictures: a line a course, the outline's numbers as open marks."""

import math
from html import escape
from typing import Final

from drillyard.validation.outlines.judged import Outcome, smoothed
from drillyard.validation.outlines.model import MEASURES, START, UNTREATED

_WIDTH: Final = 340
_HEIGHT: Final = 170
_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 330.0, 26.0, 142.0
_POINTS: Final = 120
LINES: Final = ("one", "two", "three", "four")
"""Classes of the lines, told apart by dashes as well as by colour."""
STYLE: Final = """
.course text{font:11px system-ui,sans-serif;fill:var(--ink)}
.course .title{font-weight:600}
.course .axis{stroke:var(--soft);stroke-width:1;fill:none}
.course .grid{stroke:var(--line);stroke-width:1}
.course .line{fill:none;stroke-width:2;stroke-linejoin:round}
.one{stroke:var(--got)}.two{stroke:var(--range-edge);stroke-dasharray:7 3}
.three{stroke:var(--pass);stroke-dasharray:2 3}.four{stroke:var(--ink);stroke-dasharray:9 3 2 3}
.said{fill:var(--paper);stroke:var(--ink);stroke-width:1.5;stroke-dasharray:none}
.course{width:100%;max-width:340px;height:auto;display:block}
.key{list-style:none;margin:.25rem 0 .75rem;padding:0;display:flex;flex-wrap:wrap;gap:.25rem 1.25rem;font-size:.9rem}
.key svg{width:2.25rem;height:.75rem;vertical-align:middle;margin-right:.4rem}
.key path{stroke-width:2.5;fill:none}
""".strip()


def key(outcome: Outcome) -> str:
    """Which line is which course."""
    items = [
        f'<li><svg viewBox="0 0 36 12" aria-hidden="true"><path class="{LINES[n]}" d="M0 6H36"/></svg>'
        f"{escape(name)}</li>"
        for n, name in enumerate(_drawn(outcome))
    ]
    items.append(
        '<li><svg viewBox="0 0 36 12" aria-hidden="true"><circle class="said" cx="18" cy="6" r="4"/>'
        "</svg>the outline, untreated</li>"
    )
    if any(name != UNTREATED for name in _drawn(outcome)):
        items.append(
            '<li><svg viewBox="0 0 36 12" aria-hidden="true">'
            '<rect class="said" x="14" y="2" width="8" height="8"/></svg>the outline, treated</li>'
        )
    return f'<ul class="key">{"".join(items)}</ul>'


def pictures(outcome: Outcome) -> str:
    """One picture a panel of the case."""
    return "".join(_picture(outcome, signal) for signal in outcome.case.panels)


def _drawn(outcome: Outcome) -> list[str]:
    return [name for name in outcome.case.drawn if name in outcome.followed]


def _said(outcome: Outcome, signal: str) -> list[tuple[float, float, bool]]:
    """Minute of the case, value and whether it is of the untreated course, of each number that has a place."""
    points = []
    for figure in outcome.case.figures:
        name = UNTREATED if figure.course == START else figure.course
        if figure.signal != signal or name not in _drawn(outcome):
            continue
        followed = outcome.followed[name]
        value = figure.value
        if figure.how == "change":
            value += float(smoothed(followed, signal)[1][0])
        points.append((followed.from_min + figure.at_min, value, name == UNTREATED))
    return points


def _picture(outcome: Outcome, signal: str) -> str:
    measure = MEASURES[signal]
    curves = []
    for name in _drawn(outcome):
        followed = outcome.followed[name]
        minutes, values = smoothed(followed, signal)
        step = max(1, len(minutes) // _POINTS)
        curves.append(
            [(followed.from_min + float(m), float(v)) for m, v in zip(minutes[::step], values[::step], strict=True)]
        )
    said = _said(outcome, signal)
    xs = [x for curve in curves for x, _ in curve] + [x for x, *_ in said]
    ys = [y for curve in curves for _, y in curve if math.isfinite(y)] + [y for _, y, _ in said]
    x_ticks, y_ticks = [t for t in _ticks(0.0, max(xs)) if t <= max(xs)], _ticks(min(ys), max(ys))
    x_high, y_low, y_high = max(xs), y_ticks[0], y_ticks[-1]

    def place(x: float, y: float) -> tuple[float, float]:
        return (
            _LEFT + (_RIGHT - _LEFT) * x / (x_high or 1.0),
            _BOTTOM - (_BOTTOM - _TOP) * (y - y_low) / ((y_high - y_low) or 1.0),
        )

    title = f"{measure.label}, {measure.unit}" if measure.unit else measure.label
    parts = [f'<text class="title" x="2" y="13">{escape(title)}</text>']
    for tick in y_ticks:
        y = place(0.0, tick)[1]
        parts.append(f'<path class="grid" d="M{_LEFT:g} {y:.1f}H{_RIGHT:g}"/>')
        parts.append(f'<text x="{_LEFT - 5:g}" y="{y + 4:.1f}" text-anchor="end">{tick:g}</text>')
    for tick in x_ticks:
        x = place(tick, y_low)[0]
        parts.append(f'<text x="{x:.1f}" y="{_BOTTOM + 14:g}" text-anchor="middle">{tick:g}</text>')
    parts.append(f'<path class="axis" d="M{_LEFT:g} {_TOP:g}V{_BOTTOM:g}H{_RIGHT:g}"/>')
    parts.append(f'<text x="{_RIGHT:g}" y="{_BOTTOM + 26:g}" text-anchor="end">minutes from at patient</text>')
    for n, curve in enumerate(curves):
        for piece in _pieces(curve):
            line = " ".join(f"{a:.1f},{b:.1f}" for a, b in (place(x, y) for x, y in piece))
            parts.append(f'<polyline class="line {LINES[n]}" points="{line}"/>')
    for x, y, is_untreated in said:
        a, b = place(x, y)
        if is_untreated:
            parts.append(f'<circle class="said" cx="{a:.1f}" cy="{b:.1f}" r="4"/>')
        else:
            parts.append(f'<rect class="said" x="{a - 4:.1f}" y="{b - 4:.1f}" width="8" height="8"/>')
    names = ", ".join(_drawn(outcome))
    label = escape(f"{outcome.case.id}, {title}, over minutes: {names}; {len(said)} numbers of the outline")
    return (
        f'<svg class="course" viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" aria-label="{label}">{"".join(parts)}</svg>'
    )


def _pieces(curve: list[tuple[float, float]]) -> list[list[tuple[float, float]]]:
    """The curve without its gaps."""
    pieces: list[list[tuple[float, float]]] = [[]]
    for x, y in curve:
        if math.isfinite(y):
            pieces[-1].append((x, y))
        elif pieces[-1]:
            pieces.append([])
    return [piece for piece in pieces if len(piece) > 1]


def _ticks(low: float, high: float) -> list[float]:
    """About five round numbers from at or under ``low`` to at or over ``high``."""
    span = max(high - low, 1e-6 + 0.02 * abs(high))
    power = 10.0 ** math.floor(math.log10(span / 4.0))
    step = next(power * m for m in (1.0, 2.0, 2.5, 5.0, 10.0) if power * m >= span / 4.0)
    first = math.floor(low / step + 1e-9)
    last = math.ceil(high / step - 1e-9)
    return [round(n * step, 6) for n in range(first, max(last, first + 1) + 1)]
