"""What one version of a profile was read from, so that a commit that touches none of it is passed over."""

from __future__ import annotations

from collections.abc import Iterable
from posixpath import basename

from ..documents.git_commits import Changed
from ..documents.git_revision import Commit, Objects
from ..documents.shop_top import is_house_name


class ReadObjects(Objects):
    """Hands out a commit's files, and remembers which."""

    def __init__(self, objects: Objects) -> None:
        self.own, self.others = objects.own, objects.others
        self.names: set[str] = set()

    def read(self, name: str) -> bytes | None:
        """A file's bytes, or None where it is too large to be read."""
        self.names.add(name)
        return super().read(name)


class ReadFiles:
    """What a version depended on: paths from git's top, with links followed."""

    def __init__(self, commit: Commit, names: set[str], name: str, rules: str | None) -> None:
        held = (*commit.files.items(), *commit.links.items())
        self.paths = {name, *(path for path, object_ in held if object_ in names)}
        self.rules = rules
        self.is_linked = bool(commit.links)

    def touched_by(self, changed: Iterable[Changed]) -> bool:
        """Whether a change of files can make another version of the profile."""
        return any(
            each.path in self.paths
            or each.is_link
            or is_house_name(basename(each.path))
            or self._is_rule(each)
            for each in changed
        )

    def _is_rule(self, each: Changed) -> bool:
        """Whether a file is a new one among the shop's rules; behind a link any new one can be."""
        if self.rules is None:
            return False
        return each.path.startswith(self.rules) or (self.is_linked and each.way in "AD")
