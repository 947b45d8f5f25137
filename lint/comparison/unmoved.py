"""The rulings that a change does not reach: they hold on the new side as they did on the old."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..documents.given import Given
from ..documents.profile import Profile
from ..documents.schema import canonical
from ..judgement.catalogue import Catalogue
from ..judgement.hearing import BASE, Hearing
from ..judgement.ruling import Ruling
from ..quantities.registry import CHEMISTRY, WORKED, moved_by
from ..quantities.typical import TYPICAL


def unmoved(old: Hearing, new: Profile, catalogue: Catalogue) -> Mapping[str, Ruling]:
    """The old side's rulings on the base settings that need no second hearing.

    A ruling holds where nothing that its rule reads can have moved, and where the new side is
    judged by that very rule. Both sides must be judged on the same day.
    """
    names = reached(frozenset(_otherwise(old.profile, new)))
    return {
        name: ruling
        for name, ruling in old.rulings[BASE].items()
        if catalogue.rules.get(name) is ruling.rule and names.isdisjoint(ruling.rule.reads)
    }


def reached(names: frozenset[str]) -> frozenset[str]:
    """The names, what is typical of a chemistry among them, and all that is worked out from them."""
    if CHEMISTRY in names:
        names |= TYPICAL
    return moved_by(names) | names


def _otherwise(old: Profile, new: Profile) -> Iterator[str]:
    """The names that one side gives otherwise than the other, under another key too."""
    for was, now in ((old.givens, new.givens), (old.house.allowances, new.house.allowances)):
        names = was.keys() | now.keys()
        yield from (name for name in names if _said(was.get(name)) != _said(now.get(name)))
    sections = old.absent ^ new.absent
    yield from sections
    below = tuple(f"{section}." for section in sections)
    if below:
        yield from (name for name in (*canonical(), *WORKED) if name.startswith(below))


def _said(given: Given | None) -> tuple[str, Any] | None:
    return None if given is None else (given.entered_as, given.value)
