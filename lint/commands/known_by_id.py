"""A vehicle's file in an earlier commit, by its id: two that changed places tell no other way."""

from __future__ import annotations

from pathlib import Path
from posixpath import basename

from ..documents.files import is_yaml_name
from ..documents.git_commits import NO_NAME, LoggedCommit, tree_changes
from ..documents.git_revision import Objects
from ..documents.identity import ID_KEY, id_in


class KnownById:
    """The names under which a vehicle's file was known before, by its id: two that changed places too."""

    def __init__(self, top: Path, objects: Objects) -> None:
        self.top, self.objects = top, objects

    def name_before(self, one: LoggedCommit, parent: str, name: str) -> str | None:
        """A vehicle's file in a parent, NO_NAME if another vehicle's was in its place; None without ids."""
        is_main = parent == one.parents[0]
        changed = one.changed if is_main else tree_changes(self.top, parent, one.commit)
        mine = next((each for each in changed if each.path == name and each.way != "D"), None)
        if mine is None or mine.is_link:
            return None
        now, before = self._read(mine.after), self._read(mine.before) if mine.way != "A" else b""
        if mine.way != "A" and _id_lines(now) == _id_lines(before):
            return None
        own, other = id_in(now), id_in(before)
        if own is None or own == other:
            return None
        documents = (
            each
            for each in changed
            if each.way != "A" and not each.is_link and is_yaml_name(basename(each.path))
        )
        there = (each.path for each in documents if id_in(self._read(each.before)) == own)
        return next(there, None if other is None else NO_NAME)

    def _read(self, name: str) -> bytes:
        return self.objects.read(name) or b""


def _id_lines(data: bytes) -> list[bytes]:
    """The lines that may give an id: while they are the same, so is the id."""
    return [line for line in data.splitlines() if ID_KEY in line and b":" in line]
