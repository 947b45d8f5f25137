"""Dependents: the profiles of a shop that take a file, be it there or not, directly or through a part."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from posixpath import basename, dirname, join, normpath
from typing import TYPE_CHECKING

from ruamel.yaml.cyaml import CParser  # type: ignore[attr-defined]
from ruamel.yaml.error import YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from .error import DocumentError, DocumentErrors
from .files import HOUSE_FILE, Files, WorkingTree, lies_in
from .loading import part_path
from .repository import Repository
from .search import Listed
from .text import decode

if TYPE_CHECKING:
    from .git_revision import GitRevision

MOST_TAKEN = 1000  # files that one profile refers to, by way of others: more is no vehicle


class PartsTaken:
    """Which files the profiles of one tree refer to; what several of them take is read once."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, str], tuple[str, ...] | None] = {}

    def takes(self, profile: Listed, wanted: frozenset[str]) -> bool:
        """Whether a profile refers to one of the places in `wanted`, as `places_of` gives them.

        Of a file that is no YAML its text is asked for the name: nobody can tell better.
        """
        repository = profile.repository
        waiting = [profile.path]
        met = set(waiting)
        while waiting and len(met) < MOST_TAKEN:
            path = waiting.pop()
            taken = self._references(repository, path)
            if taken is None:
                if _names(repository, path, wanted):
                    return True
                continue
            for other in taken:
                if other in met:
                    continue
                met.add(other)
                if not wanted.isdisjoint(places_of(repository, other)):
                    return True
                waiting.append(other)
        return False

    def _references(self, repository: Repository, path: str) -> tuple[str, ...] | None:
        """The paths of the parts that a file refers to; None where it cannot be read as YAML."""
        key = (id(repository), path)
        if key not in self._known:
            self._known[key] = _references(repository, path)
        return self._known[key]


def places_of(repository: Repository, path: str) -> frozenset[str]:
    """Where a path of a tree leads, as it is written and with links followed: two names of one file."""
    files = repository.files
    own = lying_at(repository, path)
    if isinstance(files, WorkingTree):
        try:
            return frozenset((own, os.path.realpath(os.path.join(files.root, path))))
        except (OSError, ValueError):  # a name that no file can have
            return frozenset((own,))
    commit = _of_commit(files)
    full = join(commit.root, path) if commit.root else path
    names = (own, full, commit.real(path))
    return frozenset(name for name in names if name is not None)


def lying_at(repository: Repository, path: str) -> str:
    """Where a file of a tree lies, links among its folders followed; one that is a link lies where it is."""
    files = repository.files
    if isinstance(files, WorkingTree):
        whole = os.path.join(files.root, path)
        try:
            return os.path.join(os.path.realpath(os.path.dirname(whole)), os.path.basename(whole))
        except (OSError, ValueError):  # a name that no file can have
            return whole
    commit = _of_commit(files)
    above = commit.real(dirname(path)) if dirname(path) else commit.root
    full = join(commit.root, path) if commit.root else path
    return full if above is None else join(above, basename(path))


def _of_commit(files: Files) -> GitRevision:
    """Files that lie in no working tree: those of a commit."""
    from .git_revision import GitRevision  # late: most calls are about the files on the disk

    assert isinstance(files, GitRevision)
    return files


def is_own_rule(repository: Repository, path: str) -> bool:
    """Whether a file lies, or lay, among the rules that the shop's house file takes up."""
    try:
        folder = repository.document(HOUSE_FILE, "house").value.get("rules")
    except (DocumentError, DocumentErrors):  # there is no house file, or none that can be read
        return False
    return isinstance(folder, str) and lies_in(path, (normpath(folder),))


def _references(repository: Repository, path: str) -> tuple[str, ...] | None:
    try:
        words = tuple(_parts(decode(repository.files.read(path), "")))
    except YAMLError:
        return None
    except DocumentError:
        return None if repository.files.exists(path) else ()
    inside = (part_path(word, path) for word in dict.fromkeys(words))
    return tuple(name for name in inside if name is not None)


def _parts(text: str) -> Iterator[str]:
    """Whatever stands behind a key `part` anywhere; a part's own `part` is a section and no path.

    The parser's events are read, since a tree of each of a thousand profiles takes three times as long.
    """
    parser = CParser(text)
    anchors: dict[str, str] = {}
    keys: list[str | None] = []  # of each mapping that is open the key that waits; "" in a list
    while type(event := parser.get_event()) is not StreamEndEvent:
        kind = type(event)
        if kind is MappingStartEvent or kind is SequenceStartEvent:
            keys.append(None if kind is MappingStartEvent else "")
        elif kind is MappingEndEvent or kind is SequenceEndEvent:
            keys.pop()
            _met(keys, "")
        elif kind is ScalarEvent or kind is AliasEvent:
            word = event.value if kind is ScalarEvent else anchors.get(event.anchor, "")
            if kind is ScalarEvent and event.anchor is not None:
                anchors[event.anchor] = word
            if _met(keys, word) == "part":
                yield word


def _met(keys: list[str | None], word: str) -> str | None:
    """Take a word as a key, or as the value of the key that waits, which is returned."""
    if not keys or keys[-1] == "":
        return None
    key, keys[-1] = keys[-1], word or "?" if keys[-1] is None else None
    return key


def _names(repository: Repository, path: str, wanted: Iterable[str]) -> bool:
    try:
        text = repository.files.read(path)
    except DocumentError:
        return False
    return any(os.fsencode(os.path.basename(place)) in text for place in wanted)
