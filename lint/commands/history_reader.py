"""A profile as each commit left it: read again only where something that it depended on changed."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from ..comparison.history import RETIRED_HERE, HistoryPoint, Version
from ..documents.error import DocumentErrors
from ..documents.files import Files
from ..documents.git_commits import (
    NO_NAME,
    Changed,
    LoggedCommit,
    main_line,
    names_of,
    renames,
    tree_changes,
)
from ..documents.git_history import Step
from ..documents.git_revision import Commit, Objects
from ..documents.house import House
from ..documents.identity import identity_in, retired
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..documents.repository import Repository
from ..documents.text import quoted
from ..judgement.site_rules import shop_of
from ..reports.history import COMMIT_LETTERS
from .commit_library import CommitLibrary
from .known_by_id import KnownById
from .progress import Done, unseen
from .sides import ProfilePath, Shelf, on_disk, same_vehicle
from .version_inputs import ReadFiles, ReadObjects, folder_of_rules

NOT_COMMITTED = "not committed yet"
TAKEN_AWAY = "The profile was removed or renamed here."


class RuledByToday(Repository):
    """The documents of another day under the house file of today."""

    def __init__(self, files: Files, house: House) -> None:
        super().__init__(files)
        self.today = house

    def house(self) -> House:
        """The house file that holds today."""
        return self.today


class Reader:
    """ReadFiles a profile at each commit of a repository, as often as it became another."""

    def __init__(
        self,
        top: Path,
        commits: Sequence[LoggedCommit],
        path: str,
        house: House | None = None,
        done: Done = unseen,
        library: CommitLibrary | None = None,
    ) -> None:
        self.top, self.commits, self.house, self.done = top, commits, house, done
        self.library = library
        objects = Objects(top)
        try:
            known = KnownById(top, objects)
            self.names: Mapping[str, str] = names_of(
                top, commits, path, self._is_same, known.name_before
            )
        finally:
            objects.stop()
        self.main = main_line(commits)
        self.reads: dict[str, ReadFiles] = {}
        self.versions: dict[str, Version] = {}
        self.readable: dict[str, Version | None] = {}
        self.alive: set[str] = set()

    def points(self) -> Iterator[HistoryPoint]:
        """Every commit that left another profile than it found, parents before their children."""
        for one in self.commits:
            point = self._point(one)
            self.done(1)
            if point is not None:
                yield point

    def _point(self, one: LoggedCommit) -> HistoryPoint | None:
        parents = [parent for parent in one.parents if parent in self.versions]
        same = next((parent for parent in parents if self._is_unmoved(one, parent)), None)
        version = self.version(one) if same is None else self.versions[same]
        if same is None and version.error:
            same = next((name for name in parents if is_alike(self.versions[name], version)), None)
            version = version if same is None else self.versions[same]
        self.versions[one.commit] = version
        known = [self.readable[parent] for parent in parents]
        before = tuple(dict.fromkeys(each for each in known if each is not None))
        self.readable[one.commit] = version if version.profile else next(iter(before), None)
        was_alive = any(parent in self.alive for parent in parents)
        if not version.is_absent or was_alive:
            self.alive.add(one.commit)
        is_touched = any(each.path == self.names[one.commit] for each in one.changed)
        left_out = self._left_out(parents, version) if len(parents) > 1 and same else None
        is_news = same is None or is_touched or len(parents) > 1
        is_gone_anew = was_alive and (same is None or len(parents) > 1)
        if not is_news or (version.is_absent and not is_gone_anew):
            return None
        return HistoryPoint(
            step=self.step(one),
            version=version,
            before=before,
            is_main=one.commit in self.main,
            is_merge=len(one.parents) > 1,
            is_touched=is_touched,
            is_restored=bool(version.profile)
            and not any(self.versions[parent].profile for parent in parents),
            left_out=left_out,
            main_before=self.readable.get(one.parents[0]) if one.parents else None,
        )

    def _is_unmoved(self, one: LoggedCommit, parent: str) -> bool:
        """Whether a commit changed nothing that the version of its parent depended on."""
        version = self.versions[parent]
        is_first = parent == one.parents[0]
        changed = one.changed if is_first else tree_changes(self.top, parent, one.commit)
        name = self.names[one.commit]
        if self.names[parent] != name:
            return False
        return self._is_kept(version, name, changed)

    def _is_kept(self, version: Version, name: str, changed: Sequence[Changed]) -> bool:
        """Whether a change of files, made or taken back, leaves a version what it is."""
        if version.is_absent:
            return not any(each.path == name or each.is_link for each in changed)
        reads = self.reads.get(version.step.commit)
        return not changed or (reads is not None and not reads.touched_by(changed))

    def is_same_before(self, version: Version, one: LoggedCommit) -> bool:
        """Whether the main parent of a commit has the version that the commit has."""
        name = self.names[one.commit]
        if not one.parents or self.names.get(one.parents[0]) != name:
            return False
        return self._is_kept(version, name, one.changed)

    def _left_out(self, parents: Sequence[str], version: Version) -> Version | None:
        """The version of a parent that a merge dropped whole, though the other did not know it."""
        kept = [parent for parent in parents if self.versions[parent] is version]
        for parent in parents:
            other = self.readable[parent]
            if other is None or other is version:
                continue
            if not any(self._leads_to(other.step.commit, one) for one in kept):
                return other
        return None

    def _leads_to(self, older: str, newer: str) -> bool:
        """Whether a commit is among the ancestors of another."""
        parents = {one.commit: one.parents for one in self.commits}
        waiting, known = [newer], set[str]()
        while waiting:
            name = waiting.pop()
            if name == older:
                return True
            if name not in known:
                known.add(name)
                waiting += parents.get(name, ())
        return False

    def step(self, one: LoggedCommit) -> Step:
        """A commit as far as the profile is concerned."""
        return Step(one.commit, one.day, one.subject, self.names[one.commit], one.author)

    def shelf_of(self, name: str) -> Shelf:
        """A commit, opened; a library of commits may have it open already."""
        if self.library is not None:
            return self.library.shelf(name)
        return Shelf(Commit(self.top, name), name[:COMMIT_LETTERS])

    def version(self, one: LoggedCommit) -> Version:
        """The profile as a commit left it, read afresh."""
        step = self.step(one)
        shelf = self.shelf_of(one.commit)
        commit = shelf.commit
        objects = commit.objects = ReadObjects(commit.objects)
        try:
            if not shelf.holds(step.path):
                return Version(step, None, None, self._taken_away(one, shelf), is_absent=True)
            side = shelf.side(step.path)
            version = self._loaded(step, side)
            if version.profile is not None:
                rules = None if self.house else folder_of_rules(side.repository)
                self.reads[one.commit] = ReadFiles(commit, objects.names, step.path, rules)
            return version
        finally:
            commit.close()

    def _taken_away(self, one: LoggedCommit, shelf: Shelf) -> str:
        name = self.names[one.commit]
        if name != NO_NAME and self._is_retired(one, shelf.side(name)):
            return RETIRED_HERE
        if one.parents and any(each.path == name and each.way == "D" for each in one.changed):
            moved = renames(self.top, one.parents[0], one.commit)
            new = next((new for new, old in moved.items() if old == name), None)
            if new is not None:
                return f"The profile was removed or renamed here; git finds it as {quoted(new)}."
        return TAKEN_AWAY

    def _is_retired(self, one: LoggedCommit, side: ProfilePath) -> bool:
        """Whether the shop had parted by the day of a commit with the vehicle that a parent still has."""
        before = [self.readable.get(parent) for parent in one.parents]
        owned = [identity_in(each.profile) for each in before if each and each.profile]
        return any(own and own.id in retired(side.repository, one.day) for own in owned)

    def on_disk(self, path: Path, inside: str) -> HistoryPoint | None:
        """The profile as it lies on the disk; None where that is what HEAD holds."""
        head = self.versions[self.commits[-1].commit]
        before = self.readable[self.commits[-1].commit]
        step = Step("", "", NOT_COMMITTED, inside)
        if os.path.lexists(path):
            version = self._loaded(step, on_disk(path))
        elif head.is_absent:
            return None
        else:
            version = Version(step, None, None, TAKEN_AWAY, is_absent=True)
        if is_alike(head, version):
            return None
        return HistoryPoint(step, version, () if before is None else (before,))

    def _loaded(self, step: Step, side: ProfilePath) -> Version:
        repository = side.repository
        if self.house is not None:
            repository = RuledByToday(repository.files, self.house)
        try:
            profile = load_profile(repository, side.path)
        except DocumentErrors as broken:
            return Version(step, None, None, str(broken.errors[0]))
        shop = shop_of(repository)
        if shop.errors:  # without one of its rules it would be no judgement of that shop
            return Version(step, None, None, str(shop.errors[0]))
        return Version(step, profile, shop.catalogue)

    def _is_same(self, commit: str, name: str, parent: str, old: str) -> bool:
        """Whether a moved file still describes the vehicle that it described before."""
        sides = []
        for one, path in ((parent, old), (commit, name)):
            opened = Commit(self.top, one)
            sides.append((opened, Shelf(opened, one[:COMMIT_LETTERS]).side(path)))
        try:
            return same_vehicle(sides[0][1], sides[1][1])
        finally:
            for opened, _ in sides:
                opened.close()


def is_alike(one: Version, other: Version) -> bool:
    """Whether both were read from the same texts, whatever their line ends, or have the same error."""
    if one.profile is None or other.profile is None:
        return one.profile is other.profile and _error(one) == _error(other)
    return _texts(one.profile) == _texts(other.profile)


def _error(version: Version) -> str:
    """Why a version could not be read, wherever it lies."""
    return version.error.replace(f"{version.step.commit[:COMMIT_LETTERS]}:", "")


def _texts(profile: Profile) -> list[str]:
    rules = (document.text for document in profile.house.rules)
    return [text.replace("\r\n", "\n") for text in (*profile.texts.values(), *rules)]
