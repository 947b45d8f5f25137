"""The windows of a profile: a table with bars, one setting in detail, and a record for machines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import copysign, inf
from typing import Any

from ..documents.profile import Profile
from ..documents.units import unit_of_key
from ..expressions.formatting import apart, shown
from ..judgement.window import End, RuleSpan, Span, UncheckedRule, Window
from .record import exact
from .section import Block, Card, Code, Line, Report, Row, Section, Table, Toned, row

WINDOWS_EDITION = "windows/1"
STILL = "Each window assumes that the other settings stay as they are."
CELLS = 10
BAR = CELLS + 4
GOOD, HARD, OPEN, MARK = "━", "─", "╌", "●"


def bar(window: Window) -> str:
    """A window as a line: `├───●━━━━━─┤`; a value outside is drawn beside the end that it is past.

    Heavy: recommended; thin: allowed, with advice; a dashed end: no rule limits that side.
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


def table_page(windows: Sequence[Window], profile: Profile) -> Report:
    """All windows of a profile, smallest margin first, those that no value fits before them."""
    bound = sorted((window for window in windows if _is_bound(window)), key=tightness)
    table = Table(
        heads=("setting", "now", "window", "margin"),
        rows=tuple(_cells(window) for window in bound),
        labels=False,
        right=(1,),
        below=tuple(_ends_with_rules(window) for window in bound),
    )
    free = [_short_name(window) for window in windows if not _is_bound(window)]
    sections = [Section("", (table,))] if bound else []
    sections += [Section("", (row("no limit", ", ".join(free)),))] if free else []
    card = Card(
        verdict="WINDOWS",
        tone="bold",
        name=profile.name,
        about=((Code(profile.file),),),
        sections=tuple(sections),
        stamped=False,
    )
    return Report("gonogo window", (card,), closing=STILL, alone=False)


def _is_bound(window: Window) -> bool:
    return bool(window.rules) or window.hard is None


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


def _short_name(window: Window) -> str:
    """The setting without its section and unit; a mode's setting with the mode's name."""
    name = window.quantity.removeprefix("settings.")
    unit = unit_of_key(window.entered_as)
    bare = name if unit in ("", "rpm") else name.removesuffix(f"_{unit_of_key(name)}")
    return f"{window.mode}: {bare}" if window.mode else bare


def _cells(window: Window) -> tuple[Line, ...]:
    """One setting: its name, today's value, the bar, the margin."""
    start, mark, end = bar(window).partition(MARK)
    drawn: Line = (start, Toned(mark, "value"), end)
    return (Code(_short_name(window)),), (_today(window),), drawn, (margin_words(window),)


def _today(window: Window) -> str:
    return "not set" if window.today is None else shown(window.today, window.unit)


def _ends_with_rules(window: Window) -> Line:
    """The window with the rule at each end: `48 V (low-voltage-cutoff-below-cells) to …`."""
    span = window.hard
    if span is None:
        return (f"conflict of {' and '.join(window.conflict)}",)
    low, high = _limits(span, window)
    first, last = f"{low}{_rule(span.low, window)}", f"{high}{_rule(span.high, window)}"
    if low and high:
        return (f"{first} to {last}",)
    bound = f"at least {first}" if low else f"at most {last}"
    return (bound if low or high else "no danger or fault limits it",)


def _rule(end: End, window: Window) -> str:
    mode = f" in mode {end.mode}" if end.mode != window.mode else ""
    return f" ({end.rule}{mode})" if end.rule else ""


def _limits(span: Span, window: Window) -> tuple[str, str]:
    """Both ends with their unit, empty where no rule limits."""
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
    words = shown(abs(margin), unit)
    if margin < 0:
        return f"{words} outside"
    part = f", {shown(abs(share) * 100, 'percent', 2)}" if share is not None else ""
    return f"{words} left{part}"


def detail_page(windows: Iterable[Window], profile: Profile) -> Report:
    """One setting in detail: its window in the base settings, then in each mode that sets it."""
    cards = [_detail_card(window, profile) for window in windows]
    return Report("gonogo window", tuple(cards), closing=STILL, alone=False)


def _detail_card(window: Window, profile: Profile) -> Card:
    mode = f" in mode {window.mode}" if window.mode else ""
    return Card(
        verdict="WINDOW",
        tone="bold",
        name=window.entered_as,
        about=((f"{profile.name}, {profile.file}: {_today(window)}{mode}",),),
        sections=tuple(Section("", blocks) for blocks in _blocks(window) if blocks),
        stamped=False,
    )


def _blocks(window: Window) -> list[tuple[Block, ...]]:
    rules = _bounds(window)
    flagged = [row("flagged", f"{name}, whatever is entered") for name in window.flagged_regardless]
    not_checked = [row("not checked", _not_checked(rule)) for rule in window.not_checked]
    inputs = (row("depends on", ", ".join(window.depends_on)),) if window.depends_on else ()
    return [_span_rows(window), (*rules, *flagged, *not_checked), inputs]


def _span_rows(window: Window) -> tuple[Row, ...]:
    if window.hard is None:
        return (row("allowed", f"nothing: conflict of {' and '.join(window.conflict)}"),)
    good = "nothing" if window.good is None else _allowed(window.good, window)
    rows = [
        row("", bar(window).strip()),
        row("allowed", _allowed(window.hard, window)),
        row("recommended", good),
    ]
    return (*rows, *([row("margin", margin_words(window))] if window.margin is not None else []))


def _bounds(window: Window) -> tuple[Table, ...]:
    """Every rule that limits the setting, the nearest first on either side."""
    lows = sorted((rule for rule in window.rules if rule.low is not None), key=_low, reverse=True)
    highs = sorted((rule for rule in window.rules if rule.high is not None), key=_high)
    rows = [_bound_cells("at most", rule, _high(rule), window) for rule in highs]
    rows += [_bound_cells("at least", rule, _low(rule), window) for rule in lows]
    heads = ("side", "limit", "severity", "rule")
    return (Table(heads, tuple(rows), right=(1,)),) if rows else ()


def _bound_cells(side: str, rule: RuleSpan, limit: float, window: Window) -> tuple[Line, ...]:
    mode = f" in mode {rule.mode}" if rule.mode != window.mode else ""
    return (side,), (shown(limit, window.unit, 6),), (rule.severity,), (Code(rule.rule), mode)


def _low(rule: RuleSpan) -> float:
    return rule.low if rule.low is not None else 0.0


def _high(rule: RuleSpan) -> float:
    return rule.high if rule.high is not None else 0.0


def _not_checked(rule: UncheckedRule) -> str:
    side = {"high": "upper end, ", "low": "lower end, "}.get(rule.side, "")
    return f"{side}{rule.rule} ({rule.severity}): missing {', '.join(rule.missing)}"


def record(windows: Sequence[Window], profile: Profile, judged_on: str) -> dict[str, Any]:
    """All windows of a profile, in the order of the schema."""
    return {
        "gonogo": WINDOWS_EDITION,
        "file": profile.file,
        "name": profile.name,
        "judged_on": judged_on,
        "windows": [window_record(window) for window in windows],
    }


def window_record(window: Window) -> dict[str, Any]:
    """One window; numbers are in the unit of the key as entered, null where no rule limits."""
    margin = window.margin
    return {
        "quantity": window.quantity,
        "entered_as": window.entered_as,
        "mode": window.mode or None,
        "unit": window.unit,
        "step": exact(window.step),
        "today": exact(window.today),
        "hard": _span_record(window.hard),
        "good": _span_record(window.good),
        "margin": None if margin is None else {"absolute": exact(margin), "share": window.share},
        "rules": list(map(_rule_record, window.rules)),
        "conflict": list(window.conflict),
        "flagged_regardless": list(window.flagged_regardless),
        "not_checked": [
            {
                "rule": end.rule,
                "severity": end.severity,
                "side": end.side or None,
                "missing": list(end.missing),
            }
            for end in window.not_checked
        ],
        "depends_on": list(window.depends_on),
    }


def _rule_record(rule: RuleSpan) -> dict[str, Any]:
    ends = {"low": exact(rule.low), "high": exact(rule.high)}
    return {"rule": rule.rule, "severity": rule.severity, "mode": rule.mode or None, **ends}


def _span_record(span: Span | None) -> dict[str, Any] | None:
    return None if span is None else {"low": _end_record(span.low), "high": _end_record(span.high)}


def _end_record(end: End) -> dict[str, Any]:
    end_record = {"limit": exact(end.limit), "rule": end.rule, "mode": end.mode or None}
    return {**end_record, "severity": end.severity}
