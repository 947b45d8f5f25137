"""The vehicles of a list of known findings that are no longer there: nobody can tell about them."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from ..documents.error import UnreadableFile
from ..documents.files import WorkingTree
from ..documents.identity import retired
from ..documents.known import Known, KnownVehicle, known_root, path_in_list
from ..documents.repository import Repository, open_repository, open_revision
from ..documents.search import Listed
from ..documents.text import quoted, so_many
from ..judgement.rule import SEVERITIES
from ..reports.check_totals import Unread, counted
from ..reports.profile_share import Share
from .batch import Result


class KnownOfShop(NamedTuple):
    """A list with the shop that it is of; `paths` are those of the call, on the disk or from git's top."""

    known: Known
    repository: Repository
    paths: tuple[str, ...]


def missing_vehicles(
    listed: KnownOfShop,
    profiles: Sequence[Listed],
    judged: Sequence[Result[Share]],
    judged_on: str,
) -> tuple[Unread, ...]:
    """Each vehicle of the list under the paths of the call whose profile was not among the profiles.

    One that the house file says is retired is not missed, nor is one of a profile that cannot be read.
    """
    shops = _Shops(listed, profiles, judged_on)
    paths = [path_in_list(listed.known, one.repository, one.path) for one in profiles]
    there = [
        (path, result.share.identity.id if result.share and result.share.identity else None)
        for path, result in zip(paths, judged, strict=True)
    ]
    unread = {path for path, result in zip(paths, judged, strict=True) if result.share is None}
    return tuple(
        _missing(listed, vehicle, shops.named(vehicle.file))
        for vehicle in listed.known.vehicles
        if vehicle.file not in unread
        and not any(vehicle.is_of(*one) for one in there)
        and _lies_under(listed.repository, vehicle.file, listed.paths)
        and not shops.has_retired(vehicle)
    )


class _Shops:
    """The shops of which a list speaks: its own, and those below of which there are profiles."""

    def __init__(self, listed: KnownOfShop, profiles: Sequence[Listed], judged_on: str) -> None:
        self.known, self.judged_on = listed.known, judged_on
        found = {known_root(one.repository): one.repository for one in profiles}
        found = {known_root(listed.repository): listed.repository, **found}
        self.by_way = {
            path_in_list(self.known, repository, ""): repository for repository in found.values()
        }

    def _of(self, file: str) -> tuple[Repository, str]:
        """The shop of a file of the list, the innermost first, and its path there."""
        way = max((one for one in self.by_way if file.startswith(one)), key=len)
        return self.by_way[way], file.removeprefix(way)

    def named(self, file: str) -> str:
        """A file of the list as its shop shows it."""
        repository, inside = self._of(file)
        return repository.named(inside)

    def has_retired(self, vehicle: KnownVehicle) -> bool:
        """Whether the house file of a vehicle's shop says that it is no more."""
        repository, inside = self._of(vehicle.file)
        return vehicle.id in retired(_own_shop(repository, inside), self.judged_on)


def _own_shop(repository: Repository, inside: str) -> Repository:
    """The shop that holds for a file, which has one of its own where no profile of it was found."""
    files = repository.files
    if isinstance(files, WorkingTree):
        return open_repository(os.path.join(files.root, inside))[0]
    commit, root = getattr(files, "commit", None), getattr(files, "root", "")
    if commit is None:
        return repository
    return open_revision(commit, f"{root}/{inside}" if root else inside)[0]


def _lies_under(repository: Repository, file: str, paths: Iterable[str]) -> bool:
    """Whether a file of a shop is one of the paths, or lies below one."""
    files = repository.files
    root = getattr(files, "root", "")
    if isinstance(files, WorkingTree):
        root = os.path.realpath(root)
    whole = os.path.normpath(os.path.join(root, file))
    return any(path in ("", ".", whole) or whole.startswith(f"{path}{os.sep}") for path in paths)


def paths_on_disk(paths: Iterable[Path]) -> tuple[str, ...]:
    """The paths of a call as they lie on the disk, links in the way followed; anything may be gone."""
    told: list[str] = []
    for path in paths:
        whole = os.path.abspath(path)
        told.append(os.path.realpath(whole))
        told.append(os.path.join(os.path.realpath(os.path.dirname(whole)), os.path.basename(whole)))
    return tuple(dict.fromkeys(told))


def _missing(listed: KnownOfShop, vehicle: KnownVehicle, file: str) -> Unread:
    amounts = Counter(one.severity for one in vehicle.findings)
    graded = counted({one: amounts[one] for one in SEVERITIES if amounts[one]})
    asks = f"{so_many(len(vehicle.asks), 'required rule')} not checked" if vehicle.asks else ""
    what = ", ".join(words for words in (graded, asks) if words) or "no finding"
    named = "" if vehicle.id is None else f" with the id {quoted(vehicle.id)}"
    is_retired = "" if vehicle.id is None else ", its id under `retired` in the house file"
    found = f"no profile of the vehicle{named}, of which {listed.known.file} has {what}"
    wanted = f"its profile{is_retired}, or the list written again by `gonogo known`"
    error = UnreadableFile(file, 1, 1, found, wanted)
    return Unread(
        error.file, 1, 1, error.found, error.wanted, error.message, affects=(), is_gone=True
    )
