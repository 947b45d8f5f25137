"""A plot as a drawing inside a page: lines of SVG, without a script and without anything from outside."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from markupsafe import Markup

from ..documents.text import clean
from ..expressions.formatting import number
from .section import Plot, PlotLine

PLOT_WIDE, PLOT_HIGH = 440, 280
EDGE_LEFT, EDGE_RIGHT, EDGE_TOP, EDGE_BOTTOM = 52, 14, 24, 40
LEGEND_HIGH, LEGEND_WIDE, LEGEND_COLUMNS = 18, 194, 2
TICKS = 6
LINE_TONES = ("currentColor", "var(--go)", "var(--advice)", "var(--fault)")
# Lines differ by their dashes too: not everybody sees colours, and few printers have any.
LINE_DASHES = ("", "9 4", "2 4", "9 4 2 4")
COMPARED_DASH = "6 4"
STEPS = (1.0, 2.0, 5.0, 10.0)
LONGEST_NAME = 21


class _Frame(NamedTuple):
    """The room between the axes: `far` and `top` are their ends, `head` is where it begins."""

    far: float
    top: float
    head: float

    @property
    def bottom(self) -> float:
        return self.head + PLOT_HIGH - EDGE_TOP - EDGE_BOTTOM

    def x(self, value: float) -> float:
        return EDGE_LEFT + value / self.far * (PLOT_WIDE - EDGE_LEFT - EDGE_RIGHT)

    def y(self, value: float) -> float:
        return self.bottom - value / self.top * (self.bottom - self.head)


def drawing(plot: Plot) -> Markup:
    """The plot as an element that stands by itself; its words are escaped."""
    rows = math.ceil(len(plot.curves) / LEGEND_COLUMNS)
    frame = _Frame(
        round_end([x for curve in plot.curves for x, _ in curve.points]),
        round_end([y for curve in plot.curves for _, y in curve.points]),
        float(EDGE_TOP + rows * LEGEND_HIGH),
    )
    lines = [
        Markup('<svg viewBox="0 0 {} {:.0f}" role="img" aria-label="{}">').format(
            PLOT_WIDE, frame.bottom + EDGE_BOTTOM, clean(plot.told)
        ),
        *_axes(plot, frame),
    ]
    for place, curve in enumerate(plot.curves):
        lines += _curve(curve, place, frame)
    return Markup("\n").join([*lines, Markup("</svg>")])


def round_end(values: Sequence[float]) -> float:
    """A round end of an axis that holds all values."""
    step = round_step(max(values, default=0.0))
    return max(math.ceil(max(values, default=0.0) / step - 1e-9), 1) * step


def round_step(most: float) -> float:
    """A round step of which a handful reach the most."""
    if most <= 0.0:
        return 1.0
    rough = most / TICKS
    scale: float = 10.0 ** math.floor(math.log10(rough))
    return next(scale * step for step in STEPS if scale * step >= rough * (1.0 - 1e-9))


def _ticks(end: float) -> Iterator[float]:
    step = round_step(end)
    yield from (step * count for count in range(round(end / step) + 1))


def _axes(plot: Plot, frame: _Frame) -> Iterator[Markup]:
    rule = Markup('<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" stroke="var(--line)"/>')
    word = Markup('<text x="{:.1f}" y="{:.1f}" text-anchor="{}" fill="currentColor">{}</text>')
    for value in _ticks(frame.far):
        x = frame.x(value)
        yield rule.format(x, frame.head, x, frame.bottom)
        yield word.format(x, frame.bottom + 16.0, "middle", number(value))
    for value in _ticks(frame.top):
        y = frame.y(value)
        yield rule.format(float(EDGE_LEFT), y, float(PLOT_WIDE - EDGE_RIGHT), y)
        yield word.format(EDGE_LEFT - 6.0, y + 4.0, "end", number(value))
    right = float(PLOT_WIDE - EDGE_RIGHT)
    yield word.format(right, frame.bottom + EDGE_BOTTOM - 6.0, "end", clean(plot.across))
    yield word.format(4.0, frame.head - 9.0, "start", clean(plot.upward))


def _curve(curve: PlotLine, place: int, frame: _Frame) -> Iterator[Markup]:
    """The line, and its name in the legend above the plot, two in a row."""
    tone = LINE_TONES[place % len(LINE_TONES)]
    pattern = COMPARED_DASH if curve.dashed else LINE_DASHES[place % len(LINE_DASHES)]
    dash = Markup(' stroke-dasharray="{}"').format(pattern) if pattern else Markup("")
    points = " ".join(f"{frame.x(x):.1f},{frame.y(y):.1f}" for x, y in curve.points)
    line = Markup('<polyline points="{}" fill="none" stroke="{}" stroke-width="2"{}/>')
    yield line.format(points, tone, dash)
    row, column = divmod(place, LEGEND_COLUMNS)
    x, y = 4.0 + column * (LEGEND_WIDE + 20.0), 10.0 + row * LEGEND_HIGH
    key = Markup(
        '<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" stroke="{}" stroke-width="2"{}/>'
    )
    yield key.format(x, y, x + 30.0, y, tone, dash)
    name = Markup('<text x="{:.1f}" y="{:.1f}" fill="currentColor">{}</text>')
    yield name.format(x + 36.0, y + 4.0, shortened_name(clean(curve.name)))


def shortened_name(name: str) -> str:
    """A name as far as the legend has room for it.

    >>> shortened_name("a-mode-with-a-rather-long-name")
    'a-mode-with-a-rather…'
    """
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"
