"""The names whose values may be another in one profile than in another that is nearly the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..documents.given import Given
from ..documents.profile import Changes, Profile
from ..quantities.book import IN_BASE
from ..quantities.registry import affected


def moved_between(old: Profile, new: Profile) -> frozenset[str]:
    """The names whose value in the base settings may be another in the second profile.

    What reads it as it is in the base settings reads it under a name of its own.
    """
    return moved_by(frozenset(names_otherwise(old, new)))


def moved_by(names: frozenset[str]) -> frozenset[str]:
    """The names whose value may be another once these are, in the base settings too."""
    names = affected(names)
    return affected(names | {IN_BASE + name for name in names}) if names else names


def names_otherwise(old: Profile, new: Profile) -> Iterator[str]:
    """The names that one side gives otherwise than the other, under another key too."""
    yield from given_otherwise(old.givens, new.givens)
    yield from given_otherwise(old.house.allowances, new.house.allowances)
    yield from old.absent ^ new.absent


def given_otherwise(
    was: Mapping[str, Given] | Changes, now: Mapping[str, Given] | Changes
) -> Iterator[str]:
    """The names of one set of entries that the other gives otherwise, or not at all."""
    if was is now:
        return
    for name, other in now.items():
        one = was.get(name)
        if one is other and (one is not None or name in was):
            continue
        if one is None or other is None or not _is_alike(one, other):
            yield name
    yield from was.keys() - now.keys()


def _is_alike(one: Given, other: Given) -> bool:
    """Whether two entries say the same in the same words; true is not 1, and 1 is not 1.0."""
    told = (one.value, other.value)
    return (
        one.entered_as == other.entered_as
        and type(told[0]) is type(told[1])
        and told[0] == told[1]
        and repr(told[0]) == repr(told[1])
    )


def in_same_modes(old: Profile, new: Profile) -> bool:
    """Whether a profile has the modes of another, and each sets the same entries."""
    was, now = old.modes, new.modes
    return list(was) == list(now) and all(was[mode].keys() == now[mode].keys() for mode in now)
