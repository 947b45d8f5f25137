"""A plot as a drawing inside a page: lines of SVG, without a script and without anything from outside."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from markupsafe import Markup

from ..documents.text import clean
from ..expressions.formatting import number
from .section import Plot, PlotLine

PLOT_WIDE, PLOT_HIGH = 640, 320
EDGE_LEFT, EDGE_RIGHT, EDGE_TOP, EDGE_BOTTOM = 58, 12, 26, 40
TICKS = 6
LINE_TONES = ("currentColor", "var(--go)", "var(--advice)", "var(--fault)")
STEPS = (1.0, 2.0, 5.0, 10.0)


def drawing(plot: Plot) -> Markup:
    """The plot as an element that stands by itself; its words are escaped."""
    far = _end([x for curve in plot.curves for x, _ in curve.points])
    top = _end([y for curve in plot.curves for _, y in curve.points])
    lines = [
        Markup('<svg viewBox="0 0 {} {}" role="img" aria-label="{}">').format(
            PLOT_WIDE, PLOT_HIGH, clean(plot.told)
        ),
        *_axes(plot, far, top),
    ]
    for place, curve in enumerate(plot.curves):
        lines += _curve(curve, place, far, top)
    return Markup("\n").join([*lines, Markup("</svg>")])


def _end(values: Sequence[float]) -> float:
    """A round end of an axis that holds all values."""
    step = _step(max(values, default=0.0))
    return math.ceil(max(values, default=0.0) / step - 1e-9) * step


def _step(most: float) -> float:
    """A round step of which a handful reach the most."""
    if most <= 0.0:
        return 1.0
    rough = most / TICKS
    scale: float = 10.0 ** math.floor(math.log10(rough))
    return next(scale * step for step in STEPS if scale * step >= rough * (1.0 - 1e-9))


def _x(value: float, far: float) -> float:
    return EDGE_LEFT + value / far * (PLOT_WIDE - EDGE_LEFT - EDGE_RIGHT)


def _y(value: float, top: float) -> float:
    return PLOT_HIGH - EDGE_BOTTOM - value / top * (PLOT_HIGH - EDGE_TOP - EDGE_BOTTOM)


def _ticks(end: float) -> Iterator[float]:
    step = _step(end)
    yield from (step * count for count in range(round(end / step) + 1))


def _axes(plot: Plot, far: float, top: float) -> Iterator[Markup]:
    rule = Markup('<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" stroke="var(--line)"/>')
    word = Markup('<text x="{:.1f}" y="{:.1f}" text-anchor="{}" fill="currentColor">{}</text>')
    for value in _ticks(far):
        x = _x(value, far)
        yield rule.format(x, float(EDGE_TOP), x, float(PLOT_HIGH - EDGE_BOTTOM))
        yield word.format(x, PLOT_HIGH - EDGE_BOTTOM + 16.0, "middle", number(value))
    for value in _ticks(top):
        y = _y(value, top)
        yield rule.format(float(EDGE_LEFT), y, float(PLOT_WIDE - EDGE_RIGHT), y)
        yield word.format(EDGE_LEFT - 6.0, y + 4.0, "end", number(value))
    yield word.format(float(PLOT_WIDE - EDGE_RIGHT), PLOT_HIGH - 6.0, "end", clean(plot.across))
    yield word.format(4.0, 14.0, "start", clean(plot.upward))


def _curve(curve: PlotLine, place: int, far: float, top: float) -> Iterator[Markup]:
    """The line, and its name in the legend above the plot, right to left."""
    tone = LINE_TONES[place % len(LINE_TONES)]
    dash = Markup(' stroke-dasharray="6 4"') if curve.dashed else Markup("")
    points = " ".join(f"{_x(x, far):.1f},{_y(y, top):.1f}" for x, y in curve.points)
    line = Markup('<polyline points="{}" fill="none" stroke="{}" stroke-width="2"{}/>')
    yield line.format(points, tone, dash)
    x = PLOT_WIDE - EDGE_RIGHT - 150.0 * (place + 1)
    key = Markup('<line x1="{:.1f}" y1="10" x2="{:.1f}" y2="10" stroke="{}" stroke-width="2"{}/>')
    yield key.format(x, x + 24.0, tone, dash)
    name = Markup('<text x="{:.1f}" y="14" fill="currentColor">{}</text>')
    yield name.format(x + 30.0, clean(curve.name))
