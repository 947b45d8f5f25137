"""What a setting's first value can depend on, so that it need not be found again where none of it moved.

`gonogo new` asks for it after each answer, and an answer concerns few settings.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Generic, TypeVar

from ..documents.profile import Profile
from ..quantities.book import IN_BASE
from ..quantities.registry import CHEMISTRY, TYPICAL, affected, rests_on
from .catalogue import Catalogue

Found = TypeVar("Found")
Context = tuple[object, ...]


class Remembered(Generic[Found]):
    """What was found for each setting so far, with all that it was found from."""

    def __init__(self) -> None:
        self._digest = ""
        self._concerns: dict[str, frozenset[str]] = {}
        self._found: dict[tuple[str, Context], Found] = {}

    def context(
        self,
        setting: str,
        told: Iterable[str],
        profile: Profile,
        others: Mapping[str, object],
        catalogue: Catalogue,
    ) -> Context | None:
        """All of a profile, and of the `others` proposed for it, that a setting's value is found from.

        `told` are the names that its starting point reads. None where modes make that more than
        base settings.
        """
        if profile.modes:
            return None
        if catalogue.digest != self._digest:
            self._digest = catalogue.digest
            self._concerns.clear()
            self._found.clear()
        concern = self._concerns.get(setting)
        if concern is None:
            concern = self._concerns[setting] = concern_of(setting, told, catalogue)
        allowances = profile.house.allowances.items()
        return (
            profile.absent,
            *((name, given.value) for name, given in allowances),
            *((name, repr(one.value)) for name, one in profile.givens.items() if name in concern),
            *(other for other in others.items() if _touches(concern, other[0])),
        )

    def knows(self, setting: str, context: Context | None) -> bool:
        """Whether it was found before, from the same."""
        return context is not None and (setting, context) in self._found

    def found(self, setting: str, context: Context | None) -> Found:
        """What was found then."""
        assert context is not None
        return self._found[setting, context]

    def keep(self, setting: str, context: Context | None, found: Found) -> None:
        """Remember what was found."""
        if context is not None:
            self._found[setting, context] = found


def concern_of(setting: str, told: Iterable[str], catalogue: Catalogue) -> frozenset[str]:
    """Every name that a setting's value, or a rule that it reaches, is worked out of."""
    moved = affected(frozenset({setting}))
    names = {setting, *told}
    for rule in catalogue.about("profile"):
        if not moved.isdisjoint(rule.reads):
            names |= {*rule.reads, *rule.needs}
    bare = (name.removeprefix(IN_BASE) for name in names)
    whole = frozenset[str]().union(*map(rests_on, bare))
    return whole if whole.isdisjoint(TYPICAL) else whole | {CHEMISTRY}


def _touches(concern: frozenset[str], quantity: str) -> bool:
    """Whether a proposed setting, or a section that it begins, is among the names."""
    steps = quantity.split(".")
    return any(".".join(steps[:length]) in concern for length in range(2, len(steps) + 1))
