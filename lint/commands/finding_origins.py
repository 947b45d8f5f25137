"""`gonogo history --finding`: which commit brought a finding to a vehicle, or to each of a fleet."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from .. import __version__
from ..comparison.history import Version
from ..documents.error import DocumentError, NoProfile, RevisionError, UsageError
from ..documents.files import WorkingTree, is_yaml_name
from ..documents.git_commits import LoggedCommit, logged_commits
from ..documents.git_history import Step, from_top, has_commits, is_shallow
from ..documents.search import Listed, find
from ..documents.text import quoted
from ..judgement.catalogue import catalogue
from ..judgement.site_rules import shop_of
from ..reports.finding_origin import FindingOrigin, Origins
from .batch import unread
from .history_reader import Reader
from .origin_search import OriginSearch
from .pair import is_below
from .progress import progress
from .slips import hint


def finding_origins(
    paths: Sequence[Path],
    rule: str,
    judged_on: str,
    day_of_step: Callable[[Step], str],
    todays_rules: bool = False,
) -> Origins:
    """What brought a rule's finding to every profile under some paths."""
    search = find(paths)
    if not search.profiles:
        raise NoProfile([str(path) for path in paths])
    _refuse_unknown(rule, search.profiles)
    tops: dict[Path, tuple[LoggedCommit, ...]] = {}
    vehicles: list[FindingOrigin] = []
    followed: dict[Path, set[str]] = {}  # by git's top the names that the vehicles ever had
    with progress(len(search.profiles), "vehicles") as done:
        for listed in search.profiles:
            reader, disk = _opened(listed, tops, todays_rules)
            vehicles.append(OriginSearch(reader, rule, day_of_step).origin(disk, judged_on))
            followed.setdefault(reader.top, set()).update(reader.names.values())
            done(1)
    for reader in _gone(paths, tops, followed):
        origin = OriginSearch(reader, rule, day_of_step).origin(None, judged_on)
        vehicles += [origin] if origin.end is not None else []
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in search.errors]
    return Origins(
        judged_on=judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        rule=rule,
        shallow=any(is_shallow(top) for top in tops),
        vehicles=tuple(vehicles),
        unread=unread(met),
    )


def _opened(
    listed: Listed, tops: dict[Path, tuple[LoggedCommit, ...]], todays_rules: bool
) -> tuple[Reader, Version | None]:
    """What reads a profile's commits, and the profile on the disk where that is not what HEAD holds."""
    files = listed.repository.files
    assert isinstance(files, WorkingTree)
    path = Path(files.root, listed.path)
    top, inside = from_top(path)
    if top not in tops:
        tops[top] = logged_commits(top) if has_commits(top) else ()
    if not tops[top]:
        raise RevisionError(
            f"The repository of {quoted(str(path))} has no commit yet that could have brought a finding."
        )
    house = listed.repository.house() if todays_rules else None
    reader = Reader(top, tops[top], inside, house)
    head = tops[top][-1]
    reader.versions[head.commit] = version = reader.version(head)
    reader.readable[head.commit] = version
    point = reader.on_disk(path, inside)
    return reader, point.version if point else None


def _gone(
    paths: Sequence[Path],
    tops: Mapping[Path, tuple[LoggedCommit, ...]],
    followed: Mapping[Path, set[str]],
) -> Iterator[Reader]:
    """What reads the commits of each vehicle below the folders asked about that is there no more."""
    for path in filter(os.path.isdir, paths):
        top, inside = from_top(path)
        commits = tops.get(top, ())
        taken = {
            each.path: one
            for one in commits
            for each in one.changed
            if each.way == "D" and is_yaml_name(each.path) and is_below(each.path, inside)
        }
        for name, one in taken.items():
            if name in followed.get(top, ()) or os.path.lexists(top / name):
                continue
            reader = Reader(top, commits, name)
            parents = [each for each in commits if each.commit in one.parents]
            if any(reader.version(each).profile is not None for each in parents):
                yield reader


def _refuse_unknown(rule: str, profiles: Sequence[Listed]) -> None:
    """A rule's name that neither gonogo nor any shop knows."""
    shops = {id(listed.repository): listed.repository for listed in profiles}
    known = {name for shop in shops.values() for name in shop_of(shop).catalogue.rules}
    if rule not in known:
        said = hint(rule, sorted(known), "`gonogo rules` lists all.")
        raise UsageError(f"No rule is called {quoted(rule)}. {said}")
