"""What a comparison comes to in a few lines: verdict, worst finding, ride, tightest margin, work."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..comparison.comparison import Comparison
from ..comparison.margin import Margin
from ..documents.profile import BASE
from ..documents.text import so_many
from ..expressions.names import title_of
from ..judgement.finding import Judgement
from ..judgement.rule import SEVERITIES
from ..judgement.untried import untried_titles
from ..judgement.verdict import fitness
from .comparison_totals import UNFLAGGED
from .comparison_words import (
    ARROW,
    margin_movement,
    margin_way,
    of_each,
    percentage,
    worked_movement,
)
from .failure_change import cause_words
from .loosening import loosened_row
from .ride_change import is_top_speed, ride_in_short
from .section import Code, Line, Row, Section, Toned, row

if TYPE_CHECKING:
    from ..comparison.failure_change import FailureChange

# What a rider notices first, in this order.
SPEEDS = ("ride.speed_at_limit_km_h", "ride.reachable_km_h")  # the top speed says more
RIDE = (
    *SPEEDS,
    "controller.power_W",
    "motor.torque_Nm",
    "pack.sag_V",
    "pack.load_sag_percent",
)


def in_short(comparison: Comparison) -> Section:
    """The lines to read before the rest; none of a vehicle that is new, gone or unchanged."""
    if comparison.old is None or comparison.new is None or not comparison.made:
        return Section("", ())
    return Section(
        "",
        (
            row("verdict", _verdict(comparison), tone="bold"),
            *_untried(comparison.new),
            *_uncovered(comparison),
            *loosened_row(comparison.loosened),
            row("worst new", _worst(comparison), tone="bold"),
            row("ride", _ride(comparison), tone="bold"),
            row("tightest", _tightest(comparison), tone="bold"),
            row("work", _work(comparison), tone="bold"),
        ),
    )


def _verdict(comparison: Comparison) -> str:
    assert comparison.old is not None and comparison.new is not None
    before, now = fitness(comparison.old), fitness(comparison.new)
    return f"{now}, as before" if before == now else f"{before} {ARROW} {now}"


def _untried(new: Judgement) -> Iterator[Row]:
    """The safety functions that nobody tried, though the vehicle may be ridden."""
    if titles := untried_titles(new):
        yield row("never tried", f"{titles} (gonogo bringup)")


def _uncovered(comparison: Comparison) -> Iterator[Row]:
    """The grave failures that nothing catches any more, a line for each cause, the gravest first."""
    from .failure_groups import CLASS_TONES  # late: most changes uncover nothing

    by_cause: dict[tuple[object, ...], list[FailureChange]] = {}
    for one in comparison.uncovered:
        by_cause.setdefault((one.failure.severity, *one.cause.key), []).append(one)
    lines: list[Line] = []
    for some in by_cause.values():
        severity, cause = some[0].failure.severity, some[0].cause
        titles = ", ".join(dict.fromkeys(one.failure.title for one in some))
        why = f", by {cause_words(cause)}" if cause.changes else ""
        told = f": nothing catches any more{why}: {titles}"
        lines.append((Toned(severity, CLASS_TONES[severity]), told))
    if lines:
        yield row("uncovered", *lines, tone="bold")


def _worst(comparison: Comparison) -> Line:
    """The gravest finding that is new or got worse and that nobody waived."""
    found = [
        change.finding
        for way in ("introduced", "worsened")
        for change in comparison.finding_changes
        if change.way == way and not change.finding.waived
    ]
    if not found:
        return (_nothing_worse(comparison),)
    worst = min(found, key=lambda finding: SEVERITIES.index(finding.severity))
    return Toned(worst.severity, worst.severity), f": {worst.message}"


def _nothing_worse(comparison: Comparison) -> str:
    """What is to be said where no finding is new or worse that nobody waived."""
    told = []
    if comparison.waived_here:
        told.append(f"{len(comparison.waived_here)} waived by this change")
    if comparison.waived_longer:
        told.append(f"{len(comparison.waived_longer)} waived for longer by this change")
    if comparison.unchecked:
        told.append(f"{len(comparison.unchecked)} no longer checked")
    if comparison.unflagged:
        told.append(f"{len(comparison.unflagged)} {UNFLAGGED}")
    if comparison.uncovered:
        told.append(f"{so_many(len(comparison.uncovered), 'failure')} uncovered")
    nothing = "no finding is new or worse"
    return f"{nothing}, but {' and '.join(told)}" if told else nothing


def _ride(comparison: Comparison) -> str:
    """What moved of the ride, then of speed, power, torque and sag, in the base settings."""
    told = [one for one in comparison.consequences if one.mode == BASE]
    first = ride_in_short(comparison.ride)
    words = [first] if first else []
    for name in RIDE[len(SPEEDS) :] if any(map(is_top_speed, comparison.ride)) else RIDE:
        moved = [one for one in told if one.quantity == name]
        of_all = [one for one in moved if not one.motors]
        for one in of_all or moved:
            share = percentage(one.share)
            by = f" ({share})" if share else ""
            words.append(f"{title_of(name)}{of_each(one)} {worked_movement(one)}{by}")
    least = percentage(comparison.threshold).lstrip("+")
    return " · ".join(words) or f"no known change of speed, power, torque or sag above {least}"


def _tightest(comparison: Comparison) -> Line:
    """The margin that is the smallest now, of those that moved; of exceeded limits the gravest."""
    if not comparison.margins:
        return ("no margin moved",)
    margin = min(comparison.margins, key=_gravest_exceeded)
    mode = f" in {margin.mode}" if margin.mode else ""
    name = Code(margin.rule.id)
    return (
        name,
        f"{mode}{of_each(margin)}: margin {margin_movement(margin)}, {margin_way(margin)}",
    )


def _gravest_exceeded(margin: Margin) -> int:
    """Of margins in order of tightness, which first: what a limit within reach says is last."""
    return SEVERITIES.index(margin.severity) if margin.new.room < 0 else len(SEVERITIES)


def _work(comparison: Comparison) -> str:
    """What the change makes necessary: the first of it, and how much more there is."""
    if not comparison.follow_ups:
        return "none"
    first, *others = comparison.follow_ups
    return first.do + (f" And {len(others)} more, at the end." if others else "")
