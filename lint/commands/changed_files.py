"""Which changes of a vehicle were made in a file that other vehicles read too."""

from __future__ import annotations

from collections.abc import Mapping
from posixpath import join, normpath, relpath
from types import MappingProxyType
from typing import NamedTuple

from ..comparison.change import ValueChange
from ..comparison.comparison import Comparison
from ..comparison.harm_sources import Harm, JudgedBy, harm_by_source
from ..comparison.statement import HOUSE_KEYS
from ..documents.files import Files, WorkingTree
from ..documents.profile import Profile
from ..reports.changed_sources import FILE_CHANGED, SourceChange
from ..reports.comparison_words import change_movement
from ..reports.record import exact
from .sides import ProfilePath

HOUSE_HEAD = "house"


def path_inside(files: Files, file: str) -> str:
    """The path inside its root of a file by the name that is shown."""
    start = files.start if isinstance(files, WorkingTree) else ""
    return normpath(join(start, file)) if start else file.removeprefix(files.prefix)


class SourceHarm(NamedTuple):
    """The changes of a vehicle that were made in files of others, and what each of those files brought."""

    changes: tuple[SourceChange, ...] = ()
    harm: Mapping[str, Harm] = MappingProxyType({})


def source_changes(
    old: ProfilePath, new: ProfilePath, comparison: Comparison, judged_by: JudgedBy
) -> SourceHarm:
    """The changes that stand in a part, the house file or an own rule that the vehicle read before too.

    Where a profile takes another part, or says itself what a part said, the change is its own.
    """
    if comparison.old is None or comparison.new is None:
        return SourceHarm()
    before = _Read(old, comparison.old.profile)
    after = _Read(new, comparison.new.profile, before)
    found: list[SourceChange] = []
    sources: dict[str, list[ValueChange]] = {}
    for change in comparison.made:
        file = _house_file(change, before, after) or _part_file(change, before, after)
        if file:
            told = change_movement(change)
            found.append(
                SourceChange(file.name, change.entered_as, told, _record(change), file.became)
            )
            sources.setdefault(file.name, []).append(change)
    return SourceHarm(tuple(found), harm_by_source(comparison, sources, judged_by))


class _Source(NamedTuple):
    """A file by the name that the new side shows, and what became of it."""

    name: str
    became: str = FILE_CHANGED


class _Read:
    """What a side read, by paths inside its shop."""

    def __init__(self, side: ProfilePath, profile: Profile, before: _Read | None = None) -> None:
        self.side = side
        self.profile = profile
        self.own = side.path
        self.files = side.repository.files
        self.paths = {path_inside(self.files, file) for file in profile.files}
        house = profile.house
        self.house = path_inside(self.files, house.file) if house.file else ""
        self.rules = {path_inside(self.files, rule.file) for rule in house.rules}
        self.before = before

    def shown(self, path: str) -> str:
        """A path of this side as it is shown; it may lie above its shop."""
        return normpath(self.side.repository.named(path))

    def from_before(self, path: str) -> str:
        """A path of the side before, from the top of this side's shop: the two tops may differ."""
        was, now = ("" if self.before is None else self.before.own), self.own
        if was != now and now.endswith(f"/{was}"):  # this shop begins further up
            return normpath(join(now.removesuffix(was), path))
        if was != now and was.endswith(f"/{now}"):
            return relpath(path or ".", was.removesuffix(now))
        return path

    def rule(self, name: str) -> str:
        """The path of the file of an own rule that holds; "" where none of that id does."""
        held = (rule.file for rule in self.profile.house.rules if rule.value["id"] == name)
        return next((path_inside(self.files, file) for file in held), "")

    def path(self, file: str) -> str:
        """The path of a file by its shown name; "" where this side read none of that name."""
        return path_inside(self.files, file) if file in self.profile.texts else ""


def _part_file(change: ValueChange, before: _Read, after: _Read) -> _Source | None:
    """The part that both sides read, in which a changed entry stands; None for the profile itself."""
    if change.place is None:
        return None
    path = after.path(change.place.file) or before.path(change.place.file)
    is_shared = path in before.paths & after.paths and path not in (before.own, after.own)
    return _Source(after.shown(path)) if is_shared else None


def _house_file(change: ValueChange, before: _Read, after: _Read) -> _Source | None:
    """The house file, or the own rule, in which a change was made; None for any other."""
    head, _, name = change.quantity.partition(".")
    if head not in (HOUSE_HEAD, *HOUSE_KEYS):
        return None
    is_one_shop = after.from_before("") == ""
    rule = _rule_file(name, before, after) if head == "rules" and is_one_shop else None
    was, now = before.house, after.house
    if rule or not (was or now):
        return rule
    if not now:
        return _Source(after.shown(after.from_before(was)), "gone")
    if not was:
        return _Source(after.shown(now), "new")
    if is_one_shop:
        return _Source(after.shown(now))
    return _Source(after.shown(now), f"in place of {after.shown(after.from_before(was))}")


def _rule_file(name: str, before: _Read, after: _Read) -> _Source | None:
    """The file of an own rule that changed; None where the house file alone lets it go or in.

    A file in which a rule has another id now is one that changed.
    """
    was, now = before.rule(name), after.rule(name)
    if was and now:
        return _Source(after.shown(now))
    path = was or now
    if path in before.rules and path in after.rules:
        return _Source(after.shown(path))
    if was:
        return None if after.files.exists(was) else _Source(after.shown(was), "gone")
    return None if not now or before.files.exists(now) else _Source(after.shown(now), "new")


def _record(change: ValueChange) -> dict[str, object]:
    return {
        "quantity": change.quantity,
        "entered_as": change.entered_as,
        "old": exact(change.old),
        "new": exact(change.new),
        "unit": change.unit,
    }
