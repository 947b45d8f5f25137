"""Which changes of a vehicle were made in a file that other vehicles read too."""

from __future__ import annotations

from posixpath import join, normpath

from ..comparison.change import ValueChange
from ..comparison.comparison import Comparison
from ..comparison.statement import HOUSE_KEYS
from ..documents.files import Files, WorkingTree
from ..documents.profile import Profile
from ..reports.changed_sources import SourceChange
from ..reports.comparison_words import change_movement
from ..reports.record import exact
from .sides import ProfilePath

HOUSE_HEAD = "house"


def path_inside(files: Files, file: str) -> str:
    """The path inside its root of a file by the name that is shown."""
    start = files.start if isinstance(files, WorkingTree) else ""
    return normpath(join(start, file)) if start else file.removeprefix(files.prefix)


def source_changes(
    old: ProfilePath, new: ProfilePath, comparison: Comparison
) -> tuple[SourceChange, ...]:
    """The changes that stand in a part, the house file or an own rule that the vehicle read before too.

    Where a profile takes another part, or says itself what a part said, the change is its own.
    """
    if comparison.old is None or comparison.new is None:
        return ()
    was, now = comparison.old.profile, comparison.new.profile
    before = _Read(old, was)
    after = _Read(new, now)
    found = []
    for change in comparison.made:
        path = _house_path(change, before, after) or _part_path(change, before, after)
        if path:
            file = new.repository.named(path)
            found.append(
                SourceChange(file, change.entered_as, change_movement(change), _record(change))
            )
    return tuple(found)


class _Read:
    """What a side read, by paths inside its shop."""

    def __init__(self, side: ProfilePath, profile: Profile) -> None:
        self.profile = profile
        self.own = side.path
        self.files = side.repository.files
        self.paths = {path_inside(self.files, file) for file in profile.files}

    def rule(self, name: str) -> str:
        """The path of the file of an own rule that holds; "" where none of that id does."""
        held = (rule.file for rule in self.profile.house.rules if rule.value["id"] == name)
        return next((path_inside(self.files, file) for file in held), "")

    def path(self, file: str) -> str:
        """The path of a file by its shown name; "" where this side read none of that name."""
        return path_inside(self.files, file) if file in self.profile.texts else ""


def _part_path(change: ValueChange, before: _Read, after: _Read) -> str:
    """The part that both sides read, in which a changed entry stands; "" for the profile itself."""
    if change.place is None:
        return ""
    path = after.path(change.place.file) or before.path(change.place.file)
    is_own = path in (before.own, after.own)
    return path if path in before.paths & after.paths and not is_own else ""


def _house_path(change: ValueChange, before: _Read, after: _Read) -> str:
    """The house file, or the own rule, in which a change was made; "" for any other."""
    head, _, name = change.quantity.partition(".")
    if head not in (HOUSE_HEAD, *HOUSE_KEYS):
        return ""
    if head == "rules":
        rule = _rule_path(name, before, after)
        if rule:
            return rule
    for side in (after, before):
        if side.profile.house.file:
            return path_inside(side.files, side.profile.house.file)
    return ""


def _rule_path(name: str, before: _Read, after: _Read) -> str:
    """The file of an own rule that changed; "" where it is as it was, and the house file lets it go or in."""
    was, now = before.rule(name), after.rule(name)
    if was and now:
        return now
    if was:
        return "" if after.files.exists(was) else was
    return "" if now and before.files.exists(now) else now


def _record(change: ValueChange) -> dict[str, object]:
    return {
        "quantity": change.quantity,
        "entered_as": change.entered_as,
        "old": exact(change.old),
        "new": exact(change.new),
        "unit": change.unit,
    }
