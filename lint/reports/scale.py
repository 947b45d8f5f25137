"""A scale as a drawing inside a page: bands along a line of numbers, and marks on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from string import ascii_uppercase

from markupsafe import Markup

from ..documents.text import clean
from ..expressions.formatting import number
from .plot import round_step
from .section import Scale, Tone

SCALE_WIDE, SCALE_EDGE = 440, 16
BAND_TOP, BAND_HIGH = 8, 34
MARK_ROWS, MARK_HIGH, MARK_WIDE = 4, 17, 17
FOOT = 42
FILLS: dict[Tone, tuple[str, float]] = {
    "danger": ("var(--danger)", 0.35),
    "advice": ("var(--advice)", 0.25),
    "go": ("var(--go)", 0.3),
}


def letter_of(place: int) -> str:
    """The letter of a band by its place.

    >>> letter_of(0), letter_of(27)
    ('A', 'B')
    """
    return ascii_uppercase[place % len(ascii_uppercase)]


class _Line:
    """The line of numbers: from where to where, in round steps."""

    def __init__(self, scale: Scale) -> None:
        values = [value for band in scale.bands for value in (band.low, band.high)]
        values += [value for _, value in scale.marks]
        least = 0.0 if scale.from_nought else min(values)
        self.step = round_step((max(values) - least) or abs(least) or 1.0)
        self.low = math.floor(least / self.step + 1e-9) * self.step
        self.high = max(math.ceil(max(values) / self.step - 1e-9) * self.step, self.low + self.step)

    def x(self, value: float) -> float:
        room = SCALE_WIDE - 2 * SCALE_EDGE
        return SCALE_EDGE + (value - self.low) / (self.high - self.low) * room

    def ticks(self) -> Iterator[float]:
        count = round((self.high - self.low) / self.step)
        yield from (self.low + self.step * place for place in range(count + 1))


def scale_drawing(scale: Scale) -> Markup:
    """The scale as an element that stands by itself; its words are escaped."""
    line = _Line(scale)
    rows = mark_rows([line.x(value) for _, value in scale.marks])
    base = BAND_TOP + BAND_HIGH + (max(rows, default=-1) + 1) * MARK_HIGH
    head = Markup('<svg viewBox="0 0 {} {}" role="img" aria-label="{}">').format(
        SCALE_WIDE, base + FOOT, clean(scale.told)
    )
    parts = [*_bands(scale, line), *_marks(scale, line, rows), *_numbers(scale, line, base)]
    return Markup("\n").join([head, *parts, Markup("</svg>")])


def mark_rows(places: Sequence[float]) -> list[int]:
    """The row of each mark's number, so that none stands on another as long as there are rows.

    >>> mark_rows([10.0, 12.0, 90.0])
    [0, 1, 0]
    """
    ends = [-math.inf] * MARK_ROWS
    rows = [0] * len(places)
    for index in sorted(range(len(places)), key=places.__getitem__):
        free = (row for row in range(MARK_ROWS) if places[index] - ends[row] >= MARK_WIDE)
        rows[index] = next(free, MARK_ROWS - 1)
        ends[rows[index]] = places[index]
    return rows


def _bands(scale: Scale, line: _Line) -> Iterator[Markup]:
    box = Markup(
        '<rect x="{:.1f}" y="{}" width="{:.1f}" height="{}" fill="{}" fill-opacity="{}" '
        'stroke="currentColor"/>'
    )
    word = Markup('<text x="{:.1f}" y="{}" text-anchor="middle" fill="currentColor">{}</text>')
    for place, band in enumerate(scale.bands):
        left, right = line.x(band.low), line.x(band.high)
        fill, opacity = FILLS.get(band.tone, ("none", 1))
        yield box.format(left, BAND_TOP, right - left, BAND_HIGH, fill, opacity)
        yield word.format(min(left + 9.0, (left + right) / 2.0), BAND_TOP + 14, letter_of(place))


def _marks(scale: Scale, line: _Line, rows: Sequence[int]) -> Iterator[Markup]:
    stem = Markup(
        '<line x1="{0:.1f}" y1="{1}" x2="{0:.1f}" y2="{2}" stroke="currentColor" stroke-width="2"/>'
    )
    word = Markup(
        '<text x="{:.1f}" y="{}" text-anchor="middle" fill="currentColor" font-weight="700">{}</text>'
    )
    for place, (_, value) in enumerate(scale.marks):
        foot = BAND_TOP + BAND_HIGH + rows[place] * MARK_HIGH
        yield stem.format(line.x(value), BAND_TOP, foot + 3)
        yield word.format(line.x(value), foot + 14, place + 1)


def _numbers(scale: Scale, line: _Line, base: int) -> Iterator[Markup]:
    rule = Markup(
        '<line x1="{:.1f}" y1="{}" x2="{:.1f}" y2="{}" stroke="var(--line)" stroke-width="1"/>'
    )
    word = Markup('<text x="{:.1f}" y="{}" text-anchor="{}" fill="currentColor">{}</text>')
    yield rule.format(line.x(line.low), base + 5, line.x(line.high), base + 5)
    for value in line.ticks():
        yield rule.format(line.x(value), base + 2, line.x(value), base + 8)
        yield word.format(line.x(value), base + 21, "middle", number(value))
    right = float(SCALE_WIDE - SCALE_EDGE)
    yield word.format(right, base + 37, "end", clean(scale.across))
