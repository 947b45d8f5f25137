"""A corner in words: what moves a rule there, by its names of the trade, and what the judge says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import isfinite
from typing import NamedTuple

from ..documents.given import Value
from ..documents.motors import MOTORS, entry_path
from ..expressions.formatting import shown
from ..expressions.names import title_of
from ..judgement.evaluation import Ruling, ruling
from ..judgement.explanation import finding_of
from ..judgement.rule import SEVERITIES
from ..judgement.waivers import covered
from ..quantities.number import is_number, share_of_limit
from ..quantities.registry import unit_of
from .clauses import CornerBench, CornerClause
from .excess import flags_at
from .interval import outward
from .search import BoxPoint
from .tolerance import Reach, rules_of_entries

SLIGHT = 0.02  # of what a corner adds: who moves a rule by less is not named
_MOST_CAUSES = 4


class CornerFinding(NamedTuple):
    """What the judge says at a corner, and what brings the rule there.

    `past` is how far the value is beyond the limit there, as a share of it; None of a limit of nought, or
    of a rule that is a condition. `together` has the fewest of the causes, the strongest, that break it
    with all else as it is entered.
    """

    corner: Mapping[str, Value] = {}
    in_words: str = ""
    causes: tuple[str, ...] = ()
    waived: bool = False
    told_by: str = ""
    modes: tuple[str, ...] = ()
    message: str = ""
    remedy: str = ""
    past: float | None = None
    together: tuple[str, ...] = ()


def corner_finding(
    clause: CornerClause, worst: BoxPoint, bench: CornerBench, judged_on: str
) -> CornerFinding:
    """The finding of a clause at its worst corner."""
    seats = bench.flagged(clause, worst)
    if not seats:
        return CornerFinding()
    moving = _movers(clause, worst, bench)
    corner = {name: _value(name, worst[name], bench) for name in moving}
    causes = tuple(_cause(name, worst[name], bench, clause) for name in moving)
    books = bench.at(worst)
    decided = {seat: ruling(clause.rule, books[seat]) for seat in seats}
    if clause.rule.modes == "any":
        seats = [_told_seat(clause, decided)]
        decided = {seat: decided[seat] for seat in seats}
    first = seats[0]
    modes = () if first == "" else tuple(seats)
    found = finding_of(decided[first], clause.counts_as, modes, books[first], bench.profile)
    found = replace(found, motors=bench.about)
    waived = covered([found], bench.profile, bench.catalogue, judged_on)[0].waived is not None
    where = f" (mode {', '.join(modes)})" if modes else ""
    return CornerFinding(
        corner,
        f"{_listed(causes)}: {found.message}{where}" if causes else f"{found.message}{where}",
        causes,
        waived,
        _told_by(clause, worst, bench, first),
        modes,
        f"{found.message}{where}",
        found.remedy,
        max((past for past in map(_past, decided.values()) if past is not None), default=None),
        _together(clause, worst, moving, causes, bench),
    )


def _told_seat(clause: CornerClause, decided: Mapping[str, Ruling]) -> str:
    """Whose numbers are told of a rule for which any mode will do: those wanted, else the best one's."""
    if clause.told_in is not None and clause.told_in in decided:
        return clause.told_in
    told = {seat: past for seat, one in decided.items() if (past := _past(one)) is not None}
    return min(told, key=lambda seat: told[seat], default=next(iter(decided)))


def _together(
    clause: CornerClause,
    worst: BoxPoint,
    moving: Sequence[str],
    causes: tuple[str, ...],
    bench: CornerBench,
) -> tuple[str, ...]:
    """The fewest of the causes, from the strongest on, that break a rule with all else as entered."""
    for count in range(1, len(moving)):
        if bench.flagged(clause, {name: worst[name] for name in moving[:count]}):
            return causes[:count]
    return causes


def _past(decided: Ruling) -> float | None:
    """How far a broken rule's value is beyond the limit that its severity begins at."""
    of, low, high = decided.of, decided.low, decided.high
    step = decided.last_reached
    if step is not None and (step.low is not None or step.high is not None):
        low, high = step.low, step.high  # a step that is a condition has the rule's own limit
    if of is None or not is_number(of.value):
        return None
    ends = [
        float(end.value) if end is not None and is_number(end.value) else None
        for end in (low, high)
    ]
    share = share_of_limit(float(of.value), *ends)
    return -share if share is not None and share <= 0.0 else None


def _movers(clause: CornerClause, worst: BoxPoint, bench: CornerBench) -> list[str]:
    """The entries that bring the rule to its corner, the strongest first."""
    entered = bench.tolerated.entered
    whole = _excess(clause, worst, bench)
    gains = {
        name: whole - _excess(clause, {**worst, name: entered[name]}, bench)
        for name, value in worst.items()
        if value != entered[name]
    }
    added = sum(gain for gain in gains.values() if gain > 0.0)
    return sorted(
        (name for name, gain in gains.items() if gain > SLIGHT * added), key=lambda n: -gains[n]
    )


def _excess(clause: CornerClause, at: BoxPoint, bench: CornerBench) -> float:
    hair = {name: outward(value, value) for name, value in at.items()}  # at rest it has no size
    number = bench.excess(clause, hair).number
    low = number.value.low if number is not None else 0.0
    return low if isfinite(low) else 0.0


def _value(name: str, value: float, bench: CornerBench) -> Value:
    """An entry's value at a corner, of a list each of them."""
    moved = bench.given(name, value).value
    assert moved is not None
    return moved


def _cause(name: str, value: float, bench: CornerBench, clause: CornerClause) -> str:
    """The end of an entry's room in words, or its name and value there."""
    above = value > bench.tolerated.entered[name]
    words = [_word(reach, above) for reach in bench.tolerated.counting(clause.rule).get(name, ())]
    told = [word for word in words if word]
    if told:
        return ", ".join(told) + of_motor(name)
    moved = _value(name, value, bench)
    unit = unit_of(entry_path(name))
    if isinstance(moved, tuple):
        return f"{entry_title(name)} {'+' if value > 0 else '−'}{shown(abs(value), unit)}"
    return f"{entry_title(name)} {shown(float(value), unit)}"


def entry_title(name: str) -> str:
    """An entry's title, with its motor where there are several and it is another one's."""
    return f"{title_of(entry_path(name))}{of_motor(name)}"


def of_motor(name: str) -> str:
    """Of an entry of one of several motors, whose it is."""
    return f" of motor {name.split('.')[1]}" if name.startswith(f"{MOTORS}.") else ""


def _word(reach: Reach, above: bool) -> str:
    moves = reach.most > 1.0 if above else reach.least < 1.0
    if not (moves or reach.plus_minus > 0.0):
        return ""
    return reach.tolerance.at_high if above else reach.tolerance.at_low


def _listed(causes: tuple[str, ...]) -> str:
    named = ", ".join(causes[:_MOST_CAUSES])
    more = len(causes) - _MOST_CAUSES
    return f"{named} and {more} more" if more > 0 else named


def _told_by(clause: CornerClause, worst: BoxPoint, bench: CornerBench, seat: str) -> str:
    """A rule that tells the same cause better at the corner, and as gravely."""
    book = bench.at(worst)[seat]
    for name in clause.rule.yields_to:
        other = bench.catalogue.rules.get(name)
        if other is None or other.subject != "profile" or name in rules_of_entries():
            continue  # what holds entries against each other is not asked at corners, so tells nothing
        grave = max(clause.severity, other.gravest, key=SEVERITIES.index)
        if grave == clause.severity and flags_at(other, clause.severity, book):
            return name
    return ""
