"""Vehicles that are nearly the same: what one of them came to, taken over where the other cannot differ.

A shop builds one vehicle many times. Of the next one only those quantities are worked out and those
rules checked that something reaches in which it differs, as is done for a mode.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from ..documents.profile import BASE, Profile
from ..quantities.registry import affected
from .catalogue import Catalogue
from .common_work import CommonWork
from .evaluation import Hearing, Ruling, book_of, ruling, settle_any
from .moved_names import given_otherwise, in_same_modes, moved_by, names_otherwise

if TYPE_CHECKING:
    from .motor_books import OfMotor

Hearings = TypeVar("Hearings")

MOST_ALIKE = 32  # vehicles, the last of each build
FEW = 12  # names; two vehicles that differ in no more are of one build


class _Heard(NamedTuple):
    """A vehicle that was heard, and the rules by which."""

    catalogue: Catalogue
    profile: Profile
    hearing: Any

    def differs(
        self, profile: Profile, catalogue: Catalogue
    ) -> Mapping[str, frozenset[str]] | None:
        """The names in which each motor of a profile differs from it; None where it is of another sort."""
        own, other = _views(self.profile), _views(profile)
        same_sort = self.profile.parts == profile.parts and list(own) == list(other)
        if self.catalogue is not catalogue or not same_sort:
            return None
        return {name: frozenset(names_otherwise(own[name], view)) for name, view in other.items()}


def _views(profile: Profile) -> Mapping[str, Profile]:
    return profile.motors or {"": profile}


class Alike:
    """Hears profiles, each beside the one that is most like it. All are judged on one day."""

    def __init__(self) -> None:
        self._heard: dict[int, _Heard] = {}  # by a number that rises

    def hear(self, profile: Profile, catalogue: Catalogue, judged_on: str) -> Hearing:
        """The same as `evaluation.hear` finds without it, of a profile of one motor."""

        def made(before: _Heard | None, names: Mapping[str, frozenset[str]]) -> Hearing:
            known = before and before.hearing
            return _heard(profile, catalogue, judged_on, known, names.get("", frozenset()))

        return self._beside(profile, catalogue, made)

    def hear_motors(
        self, profile: Profile, catalogue: Catalogue, judged_on: str
    ) -> Mapping[str, OfMotor]:
        """The same as `motor_books.hear_motors` finds without it."""
        from .motor_books import hear_motors  # late: most vehicles have one motor
        from .motors_alike import Before

        def made(
            before: _Heard | None, names: Mapping[str, frozenset[str]]
        ) -> Mapping[str, OfMotor]:
            is_like = before is not None and all(
                in_same_modes(_views(before.profile)[name], view)
                for name, view in profile.motors.items()
            )
            known = (
                Before(before.hearing, {name: moved_by(one) for name, one in names.items()})
                if before is not None and is_like
                else None
            )
            return hear_motors(profile, catalogue, judged_on, known)

        return self._beside(profile, catalogue, made)

    def _beside(
        self,
        profile: Profile,
        catalogue: Catalogue,
        made: Callable[[_Heard | None, Mapping[str, frozenset[str]]], Hearings],
    ) -> Hearings:
        """What is made of a profile beside the nearest one that was heard."""
        place, before, names = self._nearest(profile, catalogue)
        heard = made(before, names)
        if before is not None and _count(names) <= FEW:
            del self._heard[place]
        self._heard[max(self._heard, default=place) + 1] = _Heard(catalogue, profile, heard)
        if len(self._heard) > MOST_ALIKE:
            del self._heard[next(iter(self._heard))]
        return heard

    def _nearest(
        self, profile: Profile, catalogue: Catalogue
    ) -> tuple[int, _Heard | None, Mapping[str, frozenset[str]]]:
        """The vehicle that differs in the fewest names, the last of those of one build, and these names."""
        place, nearest, fewest = 0, None, dict[str, frozenset[str]]()
        for number, one in reversed(self._heard.items()):
            names = one.differs(profile, catalogue)
            if names is not None and (nearest is None or _count(names) < _count(fewest)):
                place, nearest, fewest = number, one, dict(names)
                if _count(names) <= FEW:
                    break
        return place, nearest, fewest


def _count(names: Mapping[str, frozenset[str]]) -> int:
    return sum(map(len, names.values()))


def hear_beside(
    profile: Profile, catalogue: Catalogue, judged_on: str, before: Hearing | None
) -> Hearing:
    """The same as `evaluation.hear` finds, by the same rules and for the same day as `before`.

    What cannot differ from the profile heard before is taken over from it: a ruling that is, is the
    same object.
    """
    names = () if before is None else names_otherwise(before.profile, profile)
    return _heard(profile, catalogue, judged_on, before, frozenset(names))


def _heard(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    before: Hearing | None,
    names: frozenset[str],
) -> Hearing:
    """The hearing of a profile that differs in some names from the one heard before."""
    rules = catalogue.about("profile")
    base = book_of(profile, judged_on)
    away = every = moved_by(names)
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
            other = frozenset(given_otherwise(before.profile.modes[mode], changes))
            gone = away | affected(other) if other else away
            every |= gone
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
    common = before.common if before and in_same_modes(before.profile, profile) else None
    return Hearing(profile, books, rulings, common.without(every) if common else CommonWork())
