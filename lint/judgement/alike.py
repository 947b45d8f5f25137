"""Vehicles that are nearly the same: what one of them came to, taken over where the other cannot differ.

A shop builds one vehicle many times. Of the next one only those quantities are worked out and those
rules checked that something reaches in which it differs, as is done for a mode.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..documents.given import Given
from ..documents.profile import BASE, Changes, Profile
from ..quantities.book import IN_BASE
from ..quantities.registry import affected
from .catalogue import Catalogue
from .evaluation import Hearing, Ruling, book_of, ruling, settle_any

MOST_ALIKE = 16  # vehicles, the last of each sort


def moved_between(old: Profile, new: Profile) -> frozenset[str]:
    """The names whose value in the base settings may be another in the second profile.

    What reads it as it is in the base settings reads it under a name of its own.
    """
    names = affected(frozenset(_otherwise(old, new)))
    return affected(names | {IN_BASE + name for name in names}) if names else names


def _otherwise(old: Profile, new: Profile) -> Iterator[str]:
    """The names that one side gives otherwise than the other, under another key too."""
    yield from _given_otherwise(old.givens, new.givens)
    yield from _given_otherwise(old.house.allowances, new.house.allowances)
    yield from old.absent ^ new.absent


def _given_otherwise(
    was: Mapping[str, Given] | Changes, now: Mapping[str, Given] | Changes
) -> Iterator[str]:
    for name in was.keys() | now.keys():
        one, other = was.get(name), now.get(name)
        if one is other and name in was and name in now:
            continue
        if one is None or other is None or not _is_alike(one, other):
            yield name


def _is_alike(one: Given, other: Given) -> bool:
    """Whether two entries say the same in the same words; true is not 1, and 1 is not 1.0."""
    told = (one.value, other.value)
    return (
        one.entered_as == other.entered_as
        and type(told[0]) is type(told[1])
        and told[0] == told[1]
        and repr(told[0]) == repr(told[1])
    )


class Alike:
    """Hears profiles of one motor, each beside the last one of its sort. All are judged on one day."""

    def __init__(self) -> None:
        self._heard: dict[tuple[int, frozenset[tuple[str, str]]], tuple[Catalogue, Hearing]] = {}

    def hear(self, profile: Profile, catalogue: Catalogue, judged_on: str) -> Hearing:
        """The same as `evaluation.hear` finds without it."""
        sort = id(catalogue), frozenset(profile.parts.items())
        _, before = self._heard.pop(sort, (catalogue, None))
        heard = hear_beside(profile, catalogue, judged_on, before)
        self._heard[sort] = (catalogue, heard)  # kept with it, so that its id stays its own
        if len(self._heard) > MOST_ALIKE:
            del self._heard[next(iter(self._heard))]
        return heard


def hear_beside(
    profile: Profile, catalogue: Catalogue, judged_on: str, before: Hearing | None
) -> Hearing:
    """The same as `evaluation.hear` finds, by the same rules and for the same day as `before`.

    What cannot differ from the profile heard before is taken over from it: a ruling that is, is the
    same object.
    """
    rules = catalogue.about("profile")
    base = book_of(profile, judged_on)
    away = moved_between(before.profile, profile) if before is not None else frozenset()
    known: Mapping[str, Ruling] = {}
    if before is not None:
        base.take_over(before.books[BASE], away)
        known = before.rulings[BASE]
    books = {BASE: base}
    rulings = {
        BASE: {
            rule.id: known[rule.id]
            if rule.modes != "any" and rule.id in known and away.isdisjoint(rule.reads)
            else ruling(rule, base)
            for rule in rules
        }
    }
    for mode, changes in profile.modes.items():
        book = books[mode] = base.overlaid(changes)
        known, gone = {}, away
        if before is not None and mode in before.books:
            other = frozenset(_given_otherwise(before.profile.modes[mode], changes))
            gone = away | affected(other) if other else away
            book.take_over(before.books[mode], gone)
            known = before.rulings[mode]
        reached = affected(frozenset(changes))
        rulings[mode] = {
            rule.id: known[rule.id]
            if rule.id in known and gone.isdisjoint(rule.reads)
            else ruling(rule, book)
            for rule in rules
            if rule.modes != "base" and not reached.isdisjoint(rule.reads)
        }
    for rule in rules if profile.modes else ():
        if rule.modes == "any":
            settle_any(rule.id, rulings)
    return Hearing(profile, books, rulings)
