"""A small picture of a row as SVG text: the measured curve over the published points, or the value on its range.

Written by hand because two shapes are all there is: a plotting library would weigh more than the page.  Colours come
from the page's style (classes); a file of its own carries that style with it.
"""

import math
from html import escape
from typing import Final

from drillyard.validation.bench import Drawing
from drillyard.validation.report import Result

WIDTH: Final = 224
_LEFT, _RIGHT = 8.0, 216.0
_POINTS: Final = 48
"""A curve is thinned to about this many points: the eye sees no more at this size."""

STYLE: Final = """
.plot text{font:11px system-ui,sans-serif;fill:var(--ink)}
.plot .axis{stroke:var(--soft);stroke-width:1;fill:none}
.plot .range{fill:var(--range);stroke:var(--range-edge);stroke-width:1}
.plot .expected{stroke:var(--ink);stroke-width:1.5}
.plot .curve{stroke:var(--got);stroke-width:1.75;fill:none;stroke-linejoin:round}
.plot .published{fill:var(--paper);stroke:var(--ink);stroke-width:1.5}
.plot .got{fill:var(--got);stroke:var(--paper);stroke-width:1}
""".strip()
_ALONE: Final = """
.plot{--ink:#1c2329;--soft:#5d6872;--paper:#fff;--range:#cfe3ea;--range-edge:#4d7f91;--got:#8a3d00;background:#fff}
@media (prefers-color-scheme:dark){.plot{--ink:#e6ebee;--soft:#98a4ad;--paper:#15191d;--range:#234552;
--range-edge:#78a9ba;--got:#ffb37a;background:#15191d}}
""".strip()


def plot_of(result: Result) -> str:
    """The picture of a row, or an empty text where nothing was measured."""
    if result.drawing is not None and _finite(result.drawing):
        return _curve(result, result.drawing)
    return _on_range(result) if result.got is not None else ""


def plot_file(result: Result) -> str:
    """The picture as a file of its own, light and dark, or an empty text where nothing was measured."""
    body = plot_of(result)
    if not body:
        return ""
    head, _, rest = body.partition(">")
    return f'{head} xmlns="http://www.w3.org/2000/svg"><style>{_ALONE}{STYLE}</style>{rest}\n'


def _finite(drawing: Drawing) -> list[tuple[float, float]]:
    return [(x, y) for x, y in zip(drawing.x, drawing.y, strict=True) if math.isfinite(x) and math.isfinite(y)]


def _number(value: float) -> str:
    return f"{value:.3g}" if abs(value) < 1e3 else f"{value:.0f}"


def _svg(height: int, label: str, parts: list[str]) -> str:
    shapes = "".join(parts)
    return f'<svg class="plot" viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{escape(label)}">{shapes}</svg>'


def _on_range(result: Result) -> str:
    """The value as a diamond over the range (bar) and the published value (stroke)."""
    row, got = result.row, result.got
    assert got is not None
    width = row.high - row.low
    if width <= 0.0:
        width = abs(row.expected) * 0.1 or 1.0
    # the range takes the middle half; a value far outside sits at the edge, with an arrow
    low, high = row.low - 0.5 * width, row.high + 0.5 * width

    def across(value: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * min(1.0, max(0.0, (value - low) / (high - low)))

    x0, x1, at, expected = across(row.low), across(row.high), across(got), across(row.expected)
    arrow = "\u2190 " if got < low else "\u2192 " if got > high else ""
    anchor = "start" if at < 45 else "end" if at > WIDTH - 45 else "middle"
    parts = [
        f'<path class="axis" d="M{_LEFT:g} 26H{_RIGHT:g}"/>',
        f'<rect class="range" x="{x0:.1f}" y="20" width="{max(2.0, x1 - x0):.1f}" height="12"/>',
        f'<path class="expected" d="M{expected:.1f} 18V34"/>',
        f'<path class="got" d="M{at:.1f} 19l6 7-6 7-6-7z"/>',
        f'<text x="{at:.1f}" y="13" text-anchor="{anchor}">{arrow}{_number(got)}</text>',
    ]
    if x1 - x0 > 40.0:
        parts += [
            f'<text x="{x0:.1f}" y="46" text-anchor="middle">{_number(row.low)}</text>',
            f'<text x="{x1:.1f}" y="46" text-anchor="middle">{_number(row.high)}</text>',
        ]
    else:
        parts.append(f'<text x="{expected:.1f}" y="46" text-anchor="middle">{_number(row.expected)}</text>')
    return _svg(50, f"measured {_number(got)}, range {row.range_text}", parts)


def _curve(result: Result, drawing: Drawing) -> str:
    """The measured curve as a line, the published points as open circles."""
    points = _finite(drawing)
    step = max(1, len(points) // _POINTS)
    shown = points[::step] + ([points[-1]] if (len(points) - 1) % step else [])
    xs = [x for x, _ in (*shown, *drawing.published)]
    ys = [y for _, y in (*shown, *drawing.published)]
    x_low, x_high, y_low, y_high = min(xs), max(xs), min(ys), max(ys)

    def place(x: float, y: float) -> tuple[float, float]:
        return (
            44.0 + 174.0 * (x - x_low) / ((x_high - x_low) or 1.0),
            72.0 - 56.0 * (y - y_low) / ((y_high - y_low) or 1.0),
        )

    line = " ".join(f"{a:.1f},{b:.1f}" for a, b in (place(x, y) for x, y in shown))
    parts = [
        '<path class="axis" d="M44 14V74H220"/>',
        f'<text x="40" y="22" text-anchor="end">{_number(y_high)}</text>',
        f'<text x="40" y="74" text-anchor="end">{_number(y_low)}</text>',
        f'<text x="44" y="86">{_number(x_low)}</text>',
        f'<text x="220" y="86" text-anchor="end">{_number(x_high)}</text>',
        f'<text x="132" y="86" text-anchor="middle">{escape(drawing.x_label)}</text>',
        f'<text x="2" y="9">{escape(drawing.y_label)}</text>',
    ]
    if len(shown) > 1:
        parts.append(f'<polyline class="curve" points="{line}"/>')
    if len(shown) <= 6:
        parts += [
            f'<path class="got" d="M{a:.1f} {b - 5:.1f}l4 5-4 5-4-5z"/>' for a, b in (place(x, y) for x, y in shown)
        ]
    parts += [
        f'<circle class="published" cx="{a:.1f}" cy="{b:.1f}" r="3"/>'
        for a, b in (place(x, y) for x, y in drawing.published)
    ]
    return _svg(90, f"{drawing.y_label} over {drawing.x_label}: measured curve and published points", parts)
