"""The windows of a profile: a table with bars, and one setting in detail."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import copysign, inf

from ..comparison.statement import subsystem
from ..documents.profile import BASE, Profile
from ..documents.units import unit_apart, unit_of_key, unit_symbol
from ..expressions.formatting import apart, listed, shown
from ..judgement.rule import SEVERITIES
from ..judgement.window import End, RuleSpan, Span, UncheckedRule, Window
from .section import Block, Card, Code, Line, Report, Row, Section, Table, Toned, row
from .window_bar import LEGEND, between_ends, drawn
from .window_fit import clash_words, fit_unknown, where_words

OF_MODES = "--mode NAME shows what a mode allows."
STILL = "Each window assumes that the other settings stay as they are."
ENTRY_OF_ALL = "An entry moves its motors together; what they share counts as their sum."
OWN_ENTRIES = f"{ENTRY_OF_ALL} Where each has its own, one alone is moved."


def table_page(windows: Sequence[Window], profile: Profile) -> Report:
    """A row a setting, by subsystem, the gravest near end first; a mode that sets it has a column."""
    bases = {window.mode for window in windows} - {BASE}
    modes = sorted(bases) if any(window.mode == BASE for window in windows) else []
    settings: dict[tuple[str, tuple[str, ...]], list[Window]] = {}
    for window in windows:
        own = [key for key in settings if key[0] == window.quantity and window.mode != BASE]
        for key in own or [(window.quantity, window.motors)]:  # a mode sets it for all motors
            settings.setdefault(key, []).append(window)
    bound = [found for found in settings.values() if any(map(_is_bound, found))]
    free = [_named(found[0]) for found in settings.values() if not any(map(_is_bound, found))]
    sections = [Section("", (_table(bound, modes),))] if bound else []
    sections += [Section("", (row("no limit", ", ".join(free)),))] if free else []
    card = Card(
        verdict="WINDOWS",
        tone="bold",
        name=profile.name,
        about=((Code(profile.file),),),
        sections=tuple(sections),
        stamped=False,
    )
    closing = f"{_assumed(windows, profile)} {OF_MODES}" if modes else _assumed(windows, profile)
    return Report("gonogo window", (card,), closing=closing, alone=False)


def _assumed(windows: Iterable[Window], profile: Profile) -> str:
    """What each window takes for granted."""
    if not profile.motors:
        return f"{LEGEND} {STILL}"
    own = any(window.motors for window in windows)
    return f"{LEGEND} {STILL} {OWN_ENTRIES if own else ENTRY_OF_ALL}"


def _table(bound: Iterable[Sequence[Window]], modes: Sequence[str]) -> Table:
    groups: dict[str, list[Sequence[Window]]] = {}
    for found in sorted(bound, key=_worst):
        groups.setdefault(subsystem(found[0].quantity), []).append(found)
    rows: list[tuple[Line, ...]] = []
    below: list[Line] = []
    for group, members in groups.items():
        rows.append(((Toned(group, "bold"),), *((),) * (4 + len(modes))))
        below.append(())
        for found in members:
            rows.append((*_cells(found[0]), *(_mode_cell(found[1:], mode) for mode in modes)))
            below.append(_rules(found))
    heads = ("setting", "now", "allowed", "", "margin", *modes)
    return Table(heads, tuple(rows), labels=False, right=(1,), below=tuple(below), headed=True)


def _worst(found: Sequence[Window]) -> tuple[int, int, float, str]:
    return min(map(tightness, found))


def _mode_cell(found: Iterable[Window], mode: str) -> Line:
    """What a mode sets instead, and whether that is outside there; empty where it inherits."""
    for window in found:
        if window.mode == mode:
            if window.hard is None:
                return (Toned(f"{_today(window)}, no value fits", "danger"),)
            if window.margin is not None and window.margin < 0:
                return (Toned(f"{_today(window)}, {margin_words(window)}", "danger"),)
            return (_today(window),)
    return ()


def _rules(found: Sequence[Window]) -> Line:
    """The rule at each end; of a mode too where its value is outside."""
    parts = [_rules_of(found[0])]
    for window in found[1:]:
        if window.hard is None or (window.margin is not None and window.margin < 0):
            parts.append(f"in {window.mode}: {_rules_of(window)}")
    words = " · ".join(filter(None, parts))
    return (Toned(words, "faint"),) if words else ()


def _rules_of(window: Window) -> str:
    span = window.hard
    if span is None:
        words, other = clash_words(window), window.otherwise
        return f"{words}; by all others {_allowed(other, window)}" if other is not None else words
    ends = [f"{end.rule}{_elsewhere(end, window)}" for end in (span.low, span.high) if end.rule]
    return " · ".join(dict.fromkeys(ends))


def _elsewhere(end: End, window: Window) -> str:
    return f" in mode {end.mode}" if end.mode != window.mode else ""


def _is_bound(window: Window) -> bool:
    return bool(window.rules) or window.hard is None


def tightness(window: Window) -> tuple[int, int, float, str]:
    """The order of the table: what fits nowhere or is outside, then by what the near end's rule
    finds, then by the share that is left to the limit.

    Of a limit of nothing there is no share: past it comes first, clear of it last.
    """
    name = window.entered_as
    if window.hard is None:
        return 0, 0, 0.0, name
    margin, share = window.margin, window.share
    if margin is None:
        return (3 if window.today is None else 4), 0, 0.0, name
    if share is None:
        share = copysign(inf, margin) if margin else 0.0
    severity = near_end(window, window.hard).severity
    grave = SEVERITIES.index(severity) if severity else len(SEVERITIES)
    return (1 if margin < 0 else 2), grave, share, name


def near_end(window: Window, span: Span) -> End:
    """The end that today's value is nearer to, or past."""
    low, high, today = span.low.limit, span.high.limit, window.today or 0.0
    if low is None or high is None:
        return span.high if low is None else span.low
    return span.low if today - low < high - today else span.high


def label_of(quantity: str) -> str:
    """A setting without its section and unit, as the table names it: `low_voltage.cutoff`."""
    name = quantity.removeprefix("settings.")
    unit = unit_of_key(name)
    return name if unit in ("", "rpm") else name.removesuffix(f"_{unit}")


def _label(window: Window) -> Line:
    """The setting, and the motor whose entry it is where each has its own."""
    whose = f" {listed(window.motors, 'and')}" if window.motors else ""
    label = Code(label_of(window.quantity))
    return (label, Toned(whose, "bold")) if whose else (label,)


def _named(window: Window) -> str:
    whose = f" ({listed(window.motors, 'and')})" if window.motors else ""
    return f"{label_of(window.quantity)}{whose}"


def _cells(window: Window) -> tuple[Line, ...]:
    """One setting: its name, today's value, what is allowed, the bar, the margin."""
    margin = margin_words(window).replace(" left", "")
    outside = window.margin is not None and window.margin < 0
    return (
        _label(window),
        (_today(window),),
        (_range(window),),
        drawn(window),
        (Toned(margin, "danger") if outside else margin,),
    )


def _range(window: Window) -> str:
    """The allowed range for a column: `39.2 to 45.9 V`, `≤ 4280 rpm`."""
    span = window.hard
    if span is None:
        return "not known" if fit_unknown(window) else "nothing"
    low, high = _limits(span, window)
    if low and high:
        unit = unit_symbol(window.unit)
        return f"{low.removesuffix(unit).rstrip()} to {high}"
    return f"≥ {low}" if low else f"≤ {high}" if high else "anything"


def _today(window: Window) -> str:
    return "not set" if window.today is None else shown(window.today, window.unit)


def _limits(span: Span, window: Window) -> tuple[str, str]:
    """Both ends with their unit, empty where no rule limits."""
    low, high = span.low.limit, span.high.limit
    digits = max(apart(low, high), 4) if low is not None and high is not None else 4
    ends = ("" if end is None else shown(end, window.unit, digits) for end in (low, high))
    return next(ends), next(ends)


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
    words = shown(abs(margin), unit_apart(window.unit))
    if margin < 0:
        return f"{words} outside"
    part = f", {shown(abs(share) * 100, 'percent', 2)}" if share is not None else ""
    return f"{words} left{part}"


def detail_page(windows: Iterable[Window], profile: Profile) -> Report:
    """One setting in detail: its window in the base settings, then in each mode that sets it."""
    windows = list(windows)
    cards = [_detail_card(window, profile) for window in windows]
    closing = _assumed(windows, profile)
    return Report("gonogo window", tuple(cards), closing=closing, alone=False)


def _detail_card(window: Window, profile: Profile) -> Card:
    mode = f" in mode {window.mode}" if window.mode else ""
    also = ""
    if window.motors:
        several = "s" if len(window.motors) > 1 else ""
        also = f"; motor{several} {listed(window.motors, 'and')}{', each alone' if window.each else ''}"
    return Card(
        verdict="WINDOW",
        tone="bold",
        name=window.entered_as,
        about=((f"{profile.name}, {profile.file}: {_today(window)}{mode}{also}",),),
        sections=tuple(Section("", blocks) for blocks in _blocks(window) if blocks),
        stamped=False,
    )


def _blocks(window: Window) -> list[tuple[Block, ...]]:
    rules = _bounds(window)
    always = f"{where_words(window)}, whatever is entered"
    flagged = [row("flagged", f"{name}{always}") for name in window.flagged_regardless]
    unless_off = f"unless it is {shown(0, window.unit)}"
    flagged += [row("flagged", f"{name}, {unless_off}") for name in window.flagged_unless_off]
    flagged += [
        row("not decided", f"{name} at a corner; that is no proof that a value fails")
        for name in window.undecided
    ]
    not_checked = [row("not checked", _not_checked(rule)) for rule in window.not_checked]
    inputs = (row("depends on", ", ".join(window.depends_on)),) if window.depends_on else ()
    return [_span_rows(window), (*rules, *flagged, *not_checked), inputs]


def _span_rows(window: Window) -> tuple[Row, ...]:
    if window.hard is None:
        nothing = "not known" if fit_unknown(window) else "nothing"
        rows = [row("allowed", f"{nothing}: {clash_words(window)}")]
        if window.otherwise is not None:
            others = f"{_allowed(window.otherwise, window)} by all other rules"
            rows.append(row("otherwise", others))
        return tuple(rows)
    good = "nothing" if window.good is None else _allowed(window.good, window)
    rows = [
        row("range", between_ends(window)),
        row("allowed", _allowed(window.hard, window)),
        row("recommended", good),
    ]
    return (*rows, *([row("margin", margin_words(window))] if window.margin is not None else []))


def _bounds(window: Window) -> tuple[Table, ...]:
    """Every rule that limits the setting, the nearest first on either side."""
    lows = sorted(
        (rule for rule in window.rules if rule.low is not None),
        key=lambda rule: rule.low or 0.0,
        reverse=True,
    )
    highs = sorted(
        (rule for rule in window.rules if rule.high is not None), key=lambda rule: rule.high or 0.0
    )
    rows = [_bound_cells("at most", rule, rule.high or 0.0, window) for rule in highs]
    rows += [_bound_cells("at least", rule, rule.low or 0.0, window) for rule in lows]
    heads = ("side", "limit", "severity", "rule")
    return (Table(heads, tuple(rows), right=(1,)),) if rows else ()


def _bound_cells(side: str, rule: RuleSpan, limit: float, window: Window) -> tuple[Line, ...]:
    mode = f" in mode {rule.mode}" if rule.mode != window.mode else ""
    return (side,), (shown(limit, window.unit, 6),), (rule.severity,), (Code(rule.rule), mode)


def _not_checked(rule: UncheckedRule) -> str:
    side = {"high": "upper end, ", "low": "lower end, "}.get(rule.side, "")
    return f"{side}{rule.rule} ({rule.severity}): missing {', '.join(rule.missing)}"
