"""Work that vehicles which are nearly the same have in common, beside their books and rulings.

What is kept rests on names: the next vehicle takes over what rests on none that moved.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from operator import is_
from typing import Any, NamedTuple, Protocol, TypeVar, cast, runtime_checkable

from .finding import NotChecked

_Made = TypeVar("_Made")
Rulings = tuple[object, ...]  # of one rule, in the order of the modes


class OpenRule(NamedTuple):
    """What is open about a rule that flags nothing, and whether it applied at all."""

    rulings: Rulings
    unchecked: tuple[NotChecked, ...]
    scope: bool


@runtime_checkable
class Resting(Protocol):
    """What can forget all that it was made with, and only knows what it came to."""

    def rest(self) -> None:
        """Let go of it."""


class CommonWork:
    """What was worked out for one vehicle and may hold for the next, which has the same modes."""

    def __init__(self) -> None:
        self._open: dict[str, OpenRule] = {}
        self._made: dict[Hashable, tuple[frozenset[str], Any]] = {}

    def without(self, moved: frozenset[str]) -> CommonWork:
        """What holds for a vehicle in which some names moved."""
        for kept in self._made.values():
            if isinstance(kept[1], Resting):
                kept[1].rest()
        other = CommonWork()
        other._open = self._open  # each is held against the rulings that it was made of
        other._made = {key: kept for key, kept in self._made.items() if moved.isdisjoint(kept[0])}
        return other

    def open_rule(self, name: str, rulings: Rulings) -> OpenRule | None:
        """What is known of a rule, if it was made of these very rulings."""
        known = self._open.get(name)
        is_same = known is not None and all(map(is_, rulings, known.rulings))
        return known if is_same else None

    def keep_open(self, name: str, known: OpenRule) -> None:
        """Keep what is open about a rule."""
        self._open[name] = known

    def made(
        self, key: Hashable, rests_on: Callable[[_Made], frozenset[str]], make: Callable[[], _Made]
    ) -> _Made:
        """What is kept under a key, else made and kept with the names that it rests on."""
        known = self._made.get(key)
        if known is None:
            new = make()
            self._made[key] = (rests_on(new), new)
            return new
        return cast("_Made", known[1])
