"""The corners of several motors: each motor's rules over the box of all entries, and one verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from ..documents.profile import Profile
from ..judgement.catalogue import Catalogue
from ..judgement.motor_books import hear_motors, which_book
from ..judgement.motors import concluded_of
from ..judgement.rule import SEVERITIES, STOPS
from ..quantities.book import Book
from .clauses import corner_clauses
from .corners import (
    Corners,
    OnBench,
    Room,
    RuleCorners,
    corners_on,
    rooms_of,
    untold_of,
    verdict_everywhere,
)
from .mode_corners import ModeCorners, ModeFailure, corners_of_modes, judgement_in_mode
from .motor_bench import motor_benches, own_entries, side_of_motor
from .settling import Settling, SettlingTogether, settling, settling_together
from .tolerance import Tolerated

Own = Mapping[str, frozenset[str]]


def corners_of_motors(
    profile: Profile, catalogue: Catalogue, judged_on: str, mode: str | None = None
) -> Corners:
    """The corners of a profile of several motors."""
    heard = hear_motors(profile, catalogue, judged_on)
    judgement = concluded_of(profile, heard, catalogue, judged_on, sweeps=False)
    if mode is not None:
        hearings = [one.hearing for one in heard.values()]
        judgement = judgement_in_mode(judgement, hearings, mode)
    views = profile.motors
    house = profile.house.tolerances
    each = {
        name: Tolerated(one.hearing.books[""], views[name].givens, house, views[name].tolerances)
        for name, one in heard.items()
    }
    own = {name: own_entries(view, name) for name, view in views.items()}
    found: list[tuple[str, OnBench]] = []
    for motor, benches in motor_benches(profile, catalogue, heard, each):
        hearing = heard[motor].hearing
        clauses = list(corner_clauses(hearing, catalogue, mode))
        for bench in benches:
            asked = [one for one in clauses if which_book(one.rule) == bench.number]
            found.append((motor, corners_on(bench, asked, hearing, judged_on)))
    rules = tuple(_once(found, len(views)))
    alone, together = _settled(found, own)
    rooms = {
        room.quantity: room
        for name, view in views.items()
        for room in _rooms(name, view, each[name], heard[name].hearing.books[""], own)
    }
    untold = (name for one, view in views.items() for name in untold_of(view, each[one]))
    return Corners(
        judgement,
        rules,
        verdict_everywhere(judgement, rules),
        alone,
        together,
        tuple(rooms.values()),
        tuple(dict.fromkeys(untold)),
        tuple(_modes(found, judged_on)) if mode is None else (),
        mode,
    )


def _once(found: Iterable[tuple[str, OnBench]], motors: int) -> Iterator[RuleCorners]:
    """The rules of all motors; what is the same of several is told once, with their names."""
    groups: dict[tuple[object, ...], list[tuple[str, RuleCorners]]] = {}
    for motor, one in found:
        for rule in one.rules:
            told = rule.at_corner
            said = (told.in_words, told.past, told.waived, told.told_by)
            key = (rule.rule.id, rule.severity, rule.holds, rule.measured, *said)
            groups.setdefault(key, []).append((motor, rule))
    for group in groups.values():
        names = tuple(motor for motor, _ in group)
        share = min(rule.share for _, rule in group)
        yield replace(group[0][1], motors=names if len(names) < motors else (), share=share)


def _named(motor: str, quantity: str, own: Own) -> str:
    """An entry as all motors name it."""
    return side_of_motor(motor, quantity) if quantity in own[motor] else quantity


def _settled(
    found: Sequence[tuple[str, OnBench]], own: Own
) -> tuple[tuple[Settling, ...], tuple[SettlingTogether, ...]]:
    """What settles each rule for all motors of which it is in doubt: one entry, else several together."""
    singly: dict[str, list[str]] = {}
    groups: dict[tuple[str, ...], list[str]] = {}
    for rule, ways in _ways(found, own).items():
        shared = [name for name in ways[0][0] if all(name in alone for alone, _ in ways)]
        for name in shared:
            singly.setdefault(name, []).append(rule)
        if shared:
            continue
        parts = [alone[:1] or group for alone, group in ways]
        if all(parts):
            names = tuple(dict.fromkeys(name for part in parts for name in part))
            groups.setdefault(names, []).append(rule)
    most = sorted(singly.items(), key=lambda one: (-len(one[1]), one[0]))
    together = sorted(groups.items(), key=lambda one: (-len(one[1]), one[0]))
    return (
        tuple(Settling(name, tuple(rules)) for name, rules in most),
        tuple(SettlingTogether(names, tuple(rules)) for names, rules in together),
    )


def _ways(
    found: Sequence[tuple[str, OnBench]], own: Own
) -> dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]]:
    """By the rule in doubt, for each motor: the entries of which one settles it, else a group that does."""
    ways: dict[str, list[tuple[tuple[str, ...], tuple[str, ...]]]] = {}
    for motor, one in found:
        alone: dict[str, list[str]] = {}
        for settled in settling(one.bench, [clause for clause, _ in one.doubted]):
            for rule in settled.rules:
                alone.setdefault(rule, []).append(_named(motor, settled.quantity, own))
        left = [each for each in one.doubted if each[0].rule.id not in alone]
        grouped = {
            rule: tuple(_named(motor, name, own) for name in group.quantities)
            for group in settling_together(one.bench, left)
            for rule in group.rules
        }
        for rule in dict.fromkeys(clause.rule.id for clause, _ in one.doubted):
            told = (tuple(alone.get(rule, ())), grouped.get(rule, ()))
            ways.setdefault(rule, []).append(told)
    return ways


def _rooms(motor: str, view: Profile, tolerated: Tolerated, book: Book, own: Own) -> Iterator[Room]:
    for room in rooms_of(view, book, tolerated):
        yield replace(room, quantity=_named(motor, room.quantity, own))


def _modes(found: Sequence[tuple[str, OnBench]], judged_on: str) -> Iterator[ModeCorners]:
    """Each mode with what fails in it for any of the motors, each rule once at its gravest."""
    fails: dict[str, dict[str, ModeFailure]] = {}
    for _, one in found:
        for told in corners_of_modes(one.bench, one.failing, judged_on):
            known = fails.setdefault(told.mode, {})
            for failure in told.fails:
                before = known.get(failure.rule.id)
                graver = before is None or SEVERITIES.index(failure.severity) < SEVERITIES.index(
                    before.severity
                )
                if graver:
                    known[failure.rule.id] = failure
    for mode, known in fails.items():
        ordered = sorted(known.values(), key=lambda one: STOPS.index(one.severity))
        yield ModeCorners(mode, tuple(ordered))
