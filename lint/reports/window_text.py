"""The windows as text: a table with bars, and one setting in detail."""

from __future__ import annotations

from collections.abc import Sequence
from math import copysign, inf

from ..documents.profile import Profile
from ..documents.text import clean
from ..documents.units import unit_of_key
from ..judgement.formatting import apart, shown
from ..judgement.window import End, OpenEnd, RuleSpan, Span, Window
from .layout import INDENT, Page, columns, painted, row, set_beside, together

CELLS = 10
BAR = CELLS + 4
GOOD, HARD, OPEN, MARK = "━", "─", "╌", "●"


def bar(window: Window) -> str:
    """A window as a line: `├───●━━━━━─┤`; a value outside stands beside the end that it is past.

    Heavy is without cautions, thin with; a broken end is one that no rule bounds.
    """
    span = window.hard
    if span is None:
        return " no value fits".ljust(BAR)
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


NAME = 27
TODAY = 13
MARGIN = 24
STILL = "Each window holds with the other settings as they stand."


def table(found: Sequence[Window], profile: Profile, page: Page) -> str:
    """All windows of a profile, tightest margin first, those that no value fits before them."""
    lines = [*_head("WINDOWS", profile.name, profile.file, page)]
    bound = [one for one in found if one.rules or one.hard is None]
    for window in sorted(bound, key=tightness):
        lines += ["", *_entry(window, page)]
    free = [_label(one) for one in found if one not in bound]
    if free:
        lines += ["", *row("unbound", ", ".join(free), page)]
    lines += ["", _rule_off(page), *set_beside("", STILL, page, 1)]
    return "\n".join(lines) + "\n"


def tightness(window: Window) -> tuple[int, float, str]:
    """The order of the table: what fits nowhere, then by the share that is left to the limit.

    Of a limit of nothing there is no share: past it comes first, clear of it last.
    """
    if window.hard is None:
        return 0, 0.0, window.entered_as
    margin, share = window.margin, window.share
    if margin is None:
        return (2 if window.today is None else 3), 0.0, window.entered_as
    if share is None:
        share = copysign(inf, margin) if margin else 0.0
    return 1, share, window.entered_as


def _head(word: str, name: str, about: str, page: Page) -> list[str]:
    label = painted(word, "bold", page.colour)
    title = f" {label}{' ' * (INDENT - 1 - len(word))}{clean(name)}"
    return [title, *set_beside("", clean(about), page, INDENT), _rule_off(page)]


def _rule_off(page: Page) -> str:
    return painted("─" * page.width, "faint", page.colour)


def _label(window: Window) -> str:
    """The setting without its section and unit; a mode's setting with the mode's name."""
    name = window.quantity.removeprefix("settings.")
    unit = unit_of_key(window.entered_as)
    bare = name if unit in ("", "rpm") else name.removesuffix(f"_{unit_of_key(name)}")
    return f"{window.mode}: {bare}" if window.mode else bare


def _entry(window: Window, page: Page) -> list[str]:
    """One setting: its name, today's value, the bar, the margin; below it the ends with rules."""
    label = clean(_label(window))
    today = shown(window.today, window.unit) if window.today is not None else "not set"
    room = max(min(NAME, page.width - TODAY - BAR - MARGIN), 0)
    lines = []
    if columns(label) > room:
        lines += set_beside("", label, page, 1)
        label = ""
    line = f" {label.ljust(room)}{today.rjust(TODAY)} {bar(window)}"
    margin = margin_words(window)
    beside = columns(line) + columns(margin) + 2 <= page.width
    line = f"{line}  {margin}" if beside else line
    lines.append(line.replace(MARK, painted(MARK, "value", page.colour)).rstrip())
    if not beside:
        lines += set_beside("", margin, page, 4)
    if window.hard is None:
        return lines + set_beside("", " and ".join(window.contrary) + " cannot hold", page, 4)
    return lines + set_beside("", together(_with_rules(window.hard, window)), page, 4)


def _with_rules(span: Span, window: Window) -> str:
    """The window with the rule at each end: `48 V (low-voltage-stop-below-cells) to …`."""
    low, high = _limits(span, window)
    first, last = f"{low}{_rule(span.low, window)}", f"{high}{_rule(span.high, window)}"
    if low and high:
        return f"{first} to {last}"
    return (
        f"at least {first}"
        if low
        else f"at most {last}"
        if high
        else "no danger or fault bounds it"
    )


def _rule(end: End, window: Window) -> str:
    mode = f" in mode {clean(end.mode)}" if end.mode != window.mode else ""
    return f" ({end.rule}{mode})" if end.rule else ""


def _limits(span: Span, window: Window) -> tuple[str, str]:
    """Both ends with their unit, empty where no rule bounds."""
    low, high = span.low.limit, span.high.limit
    digits = max(apart(low, high), 4) if low is not None and high is not None else 4
    return (
        shown(low, window.unit, digits) if low is not None else "",
        shown(high, window.unit, digits) if high is not None else "",
    )


def _allowed(span: Span, window: Window) -> str:
    """The window in words: `48 V to 51.1 V`, `4940 rpm at most`."""
    low, high = _limits(span, window)
    if low and high:
        return f"{low} to {high}"
    return f"{low} at least" if low else f"{high} at most" if high else "anything"


def margin_words(window: Window) -> str:
    """The margin with its share: `40 rpm, 0.8%`; outside it says how far."""
    margin, share = window.margin, window.share
    if margin is None:
        return ""
    unit = "K" if window.unit == "degC" else window.unit
    told = shown(abs(margin), unit)
    if margin < 0:
        return f"{told} out"
    part = f", {shown(abs(share) * 100, 'percent', 2)}" if share is not None else ""
    return f"{told} left{part}"


def detail(found: Sequence[Window], profile: Profile, page: Page) -> str:
    """One setting in detail: its window in the base settings, then in each mode that sets it."""
    lines: list[str] = []
    for window in found:
        lines += [*_one(window, profile, page), ""]
    return "\n".join([*lines, *set_beside("", STILL, page, 1)]) + "\n"


def _one(window: Window, profile: Profile, page: Page) -> list[str]:
    lines = _head("WINDOW", window.entered_as, _standing(window, profile), page)
    lines += [f"{' ' * (INDENT - 1)}{bar(window)}".rstrip()] if window.hard else []
    if window.hard is None:
        told = f"nothing: {' and '.join(window.contrary)} cannot all hold"
        lines += row("allowed", told, page)
    else:
        lines += row("allowed", f"{_allowed(window.hard, window)}, without danger or fault", page)
        good = "nothing" if window.good is None else _allowed(window.good, window)
        lines += row("good", f"{good}, without a caution either", page)
    if window.margin is not None:
        lines += row("margin", margin_words(window), page)
    lines += ["", *_bounds(window, page)]
    for name in window.broken:
        lines += row("broken", f"{name}, whatever is entered here", page)
    for one in window.open_ends:
        lines += row("open", _open(one), page)
    if window.depends_on:
        lines += ["", *row("hangs on", ", ".join(window.depends_on), page)]
    return lines


def _standing(window: Window, profile: Profile) -> str:
    today = "not set" if window.today is None else shown(window.today, window.unit)
    mode = f" in mode {window.mode}" if window.mode else ""
    return f"{profile.name}, {profile.file}: {today}{mode}"


def _bounds(window: Window, page: Page) -> list[str]:
    """Every rule that bounds the setting, the nearest first on either side."""
    lows = sorted((one for one in window.rules if one.low is not None), key=lambda one: -_low(one))
    highs = sorted((one for one in window.rules if one.high is not None), key=_high)
    lines: list[str] = []
    for label, rules, value in (("at most", highs, _high), ("at least", lows, _low)):
        for number, one in enumerate(rules):
            limit = shown(value(one), window.unit, 6)
            mode = f" in mode {clean(one.mode)}" if one.mode != window.mode else ""
            head = "" if number else label
            line = f" {head}".ljust(INDENT)
            line += f"{limit.rjust(11)}  {one.severity.ljust(8)} {one.rule}{mode}"
            if columns(line) <= page.width:
                lines.append(line)
            else:
                lines += row(head, f"{limit} {one.severity} {one.rule}{mode}", page)
    return lines


def _low(one: RuleSpan) -> float:
    return one.low if one.low is not None else 0.0


def _high(one: RuleSpan) -> float:
    return one.high if one.high is not None else 0.0


def _open(one: OpenEnd) -> str:
    side = {"high": "upper end, ", "low": "lower end, "}.get(one.side, "")
    return f"{side}{one.rule} ({one.severity}) waits for {', '.join(one.missing)}"
