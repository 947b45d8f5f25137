"""The bar of a window: its two ends, the part without cautions, and where today's value lies."""

from __future__ import annotations

from ..judgement.span import Span, Window

CELLS = 10
WIDTH = CELLS + 4
GOOD, HARD, OPEN, TODAY = "━", "─", "╌", "●"


def bar(window: Window) -> str:
    """A window as a line: `├───●━━━━━─┤`; a value outside stands beside the end that it is past.

    Heavy is without cautions, thin with; a broken end is one that no rule bounds.
    """
    span = window.hard
    if span is None:
        return " no value fits".ljust(WIDTH)
    low, high = _ends(window, span)
    cells = [_cell(window, low + (high - low) * (at + 0.5) / CELLS) for at in range(CELLS)]
    left, right = " ", " "
    today = window.today
    if today is not None:
        if span.low.limit is not None and today < span.low.limit:
            left = TODAY
        elif span.high.limit is not None and today > span.high.limit:
            right = TODAY
        else:
            share = (today - low) / (high - low) if high > low else 0.0
            cells[min(max(int(share * CELLS), 0), CELLS - 1)] = TODAY
    first = OPEN if span.low.limit is None else "├"
    last = OPEN if span.high.limit is None else "┤"
    return f"{left}{first}{''.join(cells)}{last}{right}"


def _ends(window: Window, span: Span) -> tuple[float, float]:
    """Between which values to draw: an open end reaches as far again as what is known."""
    low, high = span.low.limit, span.high.limit
    known = [one for one in (low, high, window.today) if one is not None]
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
