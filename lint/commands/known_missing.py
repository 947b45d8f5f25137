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
from ..documents.known import Known, KnownVehicle
from ..documents.repository import Repository
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
    gone = retired(listed.repository, judged_on)
    there = [
        (one.path, result.share.identity.id if result.share and result.share.identity else None)
        for one, result in zip(profiles, judged, strict=True)
    ]
    unread = {
        one.path for one, result in zip(profiles, judged, strict=True) if result.share is None
    }
    return tuple(
        _missing(listed, vehicle)
        for vehicle in listed.known.vehicles
        if vehicle.id not in gone
        and vehicle.file not in unread
        and not any(vehicle.is_of(*one) for one in there)
        and _lies_under(listed.repository, vehicle.file, listed.paths)
    )


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


def _missing(listed: KnownOfShop, vehicle: KnownVehicle) -> Unread:
    amounts = Counter(one.severity for one in vehicle.findings)
    graded = counted({one: amounts[one] for one in SEVERITIES if amounts[one]})
    asks = f"{so_many(len(vehicle.asks), 'required rule')} not checked" if vehicle.asks else ""
    what = ", ".join(words for words in (graded, asks) if words) or "no finding"
    named = "" if vehicle.id is None else f" with the id {quoted(vehicle.id)}"
    is_retired = "" if vehicle.id is None else ", its id under `retired` in the house file"
    found = f"no profile of the vehicle{named}, of which {listed.known.file} has {what}"
    wanted = f"its profile{is_retired}, or the list written again by `gonogo known`"
    error = UnreadableFile(listed.repository.named(vehicle.file), 1, 1, found, wanted)
    return Unread(
        error.file, 1, 1, error.found, error.wanted, error.message, affects=(), is_gone=True
    )
