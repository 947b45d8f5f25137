"""A window as a bar: what is recommended, what has advice, the ends, and where today's value lies."""

from __future__ import annotations

from itertools import groupby

from ..expressions.formatting import shown
from ..judgement.window import Span, Window
from .section import Line, Tone, Toned
from .window_fit import fit_unknown

CELLS = 8
END_DIGITS = 6
BAR = CELLS + 4
GOOD, HARD, OPEN, MARK = "━", "░", "╌", "●"
LOW_END, HIGH_END = {True: "┣", False: "├"}, {True: "┫", False: "┤"}  # by whether past it is danger
LEGEND = (
    "In the bar ● is the value now, ━ recommended, ░ allowed with advice; past ┣ or ┫ is a danger,"
    " past ├ or ┤ a fault, and ╌ has no limit."
)


def bar(window: Window) -> str:
    """A window as a line: `├░░●━━━░░┤`; a value outside is drawn beside the end that it is past.

    Heavy: recommended; shaded: allowed, with advice; a heavy end: a danger past it, a dashed one:
    no rule limits that side.
    """
    span = window.hard
    if span is None:
        return (" not decided" if fit_unknown(window) else " no value fits").ljust(BAR)
    low, high = _ends(window, span)
    cells = [_cell(window, low + (high - low) * (at + 0.5) / CELLS) for at in range(CELLS)]
    left, right = " ", " "
    today = window.today
    if today is not None:
        if span.low.limit is not None and today < span.low.limit:
            left = MARK
        elif span.high.limit is not None and today > span.high.limit:
            right = MARK
        else:
            share = (today - low) / (high - low) if high > low else 0.0
            cells[min(max(int(share * CELLS), 0), CELLS - 1)] = MARK
    first = OPEN if span.low.limit is None else LOW_END[span.low.severity == "danger"]
    last = OPEN if span.high.limit is None else HIGH_END[span.high.severity == "danger"]
    return f"{left}{first}{''.join(cells)}{last}{right}"


def _ends(window: Window, span: Span) -> tuple[float, float]:
    """Between which values to draw: an open end reaches as far again as what is known."""
    low, high = span.low.limit, span.high.limit
    known = [value for value in (low, high, window.today) if value is not None]
    if low is None:
        low = window.lowest
    if high is None:
        high = min(window.highest, 2 * max([*known, low]) - low) if known else window.highest
        high = max(high, low + window.step)
    return low, high


def _cell(window: Window, value: float) -> str:
    good = window.good
    if good is None:
        return HARD
    above = good.low.limit is None or value >= good.low.limit
    below = good.high.limit is None or value <= good.high.limit
    return GOOD if above and below else HARD


def drawn(window: Window) -> Line:
    """The bar in pieces: what is recommended, what has advice, the ends, today's value."""
    span = window.hard
    if span is None:
        return (Toned(bar(window).rstrip(), "danger"),)
    outside = window.margin is not None and window.margin < 0
    tones: dict[str, Tone] = {
        GOOD: "good",
        HARD: "advised",
        MARK: "danger" if outside else "value",
        **dict.fromkeys(LOW_END.values(), span.low.severity or "faint"),
        **dict.fromkeys(HIGH_END.values(), span.high.severity or "faint"),
    }
    runs = ("".join(run) for _, run in groupby(bar(window)))
    return tuple(Toned(run, tones[run[0]]) if run[0] in tones else run for run in runs)


def between_ends(window: Window) -> Line:
    """The bar with the limit that each end stands for; nothing beside an end that no rule limits."""
    span = window.hard
    if span is None:
        return drawn(window)
    low, high = (
        "" if limit is None else shown(limit, window.unit, END_DIGITS)
        for limit in (span.low.limit, span.high.limit)
    )
    return f"{low} " if low else "", *drawn(window), f" {high}" if high else ""
