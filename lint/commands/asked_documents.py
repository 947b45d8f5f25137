"""The documents that a check asks for, and the vehicles of the last commit that are not among them any more."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from ..documents.error import UsageError
from ..documents.files import WorkingTree
from ..documents.git_folder import git_folder
from ..documents.search import Search, find
from ..reports.check_totals import LEFT_OUT_LABEL, Named, Unread
from ..reports.surroundings import Other
from .output import shown_from


def searched(
    paths: Sequence[Path], form: str, at: str | None, staged: bool, judged_on: str
) -> tuple[Search, Named]:
    """The documents that a call asks for: on the disk, in a commit or as they are staged.

    Of files that are no profiles it asks for the profiles that take them.
    """
    if at is None and not staged:
        for name in map(str, paths):
            if name.startswith(":") and not os.path.lexists(name):
                raise UsageError(f"{name} is a file as it is staged: expected --staged {name[1:]}.")
        if all(map(os.path.isdir, paths)):
            search = find(paths, shown_from(paths, form))
            return search, _without_left_out(Named(), lost_below(paths, search, judged_on, form))
        from .named_paths import DiskGround, names_shown, wanted_under

        names = names_shown(paths, form)
        wanted, named = wanted_under(map(str, paths), DiskGround(judged_on), names)
        search = find(wanted, shown_from(list(map(Path, wanted)), form))
        lost = lost_below(list(filter(os.path.isdir, paths)), search, judged_on, form)
        return search, _without_left_out(named, lost)
    if at is not None and staged:
        raise UsageError("--at names a commit and --staged none: expected one of them.")
    from .revisions import found_in

    return found_in(at, paths, Path.cwd(), form, judged_on)


def _without_left_out(named: Named, lost: Sequence[Unread]) -> Named:
    """What a call named, with the vehicles that are lost, and besides those that a sparse clone leaves out."""
    vanished = tuple(one for one in lost if one.label != LEFT_OUT_LABEL)
    away = (Other(one.file, "left_out") for one in lost if one.label == LEFT_OUT_LABEL)
    return named._replace(passed=(*named.passed, *away), vanished=(*named.vanished, *vanished))


def lost_below(
    folders: Sequence[Path], search: Search, judged_on: str, form: str
) -> tuple[Unread, ...]:
    """The profiles that the last commit has below some folders, and the disk has not, gone or left out."""
    if not any(git_folder(folder) for folder in folders):
        return ()
    from .named_paths import names_shown
    from .vanished import LastCommit, last_commit_of

    known: dict[Path, LastCommit] = {}
    held = set()
    for profile in search.profiles:
        assert isinstance(profile.repository.files, WorkingTree)
        held.add(os.path.realpath(profile.repository.files.root / profile.path))
    lost: dict[str, Unread] = {}
    for folder, name in zip(folders, names_shown(folders, form), strict=True):
        last = last_commit_of(folder, judged_on, known)
        if last is not None and last[0].may_lack(last[1], held):
            shown = "" if name == os.curdir else name
            lost |= {one.file: one for one in last[0].vanished(last[1], shown)}
            lost |= {one.file: one for one in last[0].left_out(last[1], shown)}
    return tuple(lost.values())
