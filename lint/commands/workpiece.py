"""The profile that a command works on: read from its file, with its shop's rules and the day."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from ..documents.dataclass import dataclass
from ..documents.draft import Draft
from ..documents.edit import Change, edited
from ..documents.error import DocumentErrors, UsageError
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..documents.repository import Repository, open_repository
from ..judgement.catalogue import Catalogue
from ..judgement.shop import shop_of
from ..judgement.tune import Setting
from .day import day


@dataclass(frozen=True, slots=True)
class Workpiece:
    """A profile with all that it is judged by. `data` are its file's bytes as they were read."""

    path: Path
    repository: Repository
    inside: str
    data: bytes
    profile: Profile
    catalogue: Catalogue
    judged_on: str

    def edited(self, settings: Iterable[Setting]) -> bytes:
        """The file's bytes with the settings entered, and nothing else touched."""
        changes = [Change(one.keys, one.entered) for one in settings]
        return edited(self.data, changes, self.profile.file)

    def refuse_unknown_mode(self, mode: str | None) -> None:
        """Raise UsageError where the profile has no mode of that name."""
        if mode is not None and mode not in self.profile.modes:
            known = ", ".join(self.profile.modes) or "none"
            raise UsageError(f"--mode {mode}: the profile has no such mode. It has {known}.")

    def as_drafted(self, data: bytes) -> Profile:
        """The profile as it would be read if its file held these bytes."""
        return drafted(self.repository, self.inside, data)


def drafted(repository: Repository, inside: str, data: bytes) -> Profile:
    """A profile read from bytes that are not written yet, with the parts and house on the disk."""
    return load_profile(Repository(Draft(repository.files, inside, data)), inside)


def workpiece(path: Path, as_of: str | None = None) -> Workpiece:
    """The profile in a file; raises DocumentErrors for all that keeps it from use."""
    judged_on = day(as_of)
    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    profile = load_profile(repository, inside)
    data = repository.files.read(inside)
    return Workpiece(path, repository, inside, data, profile, shop.catalogue, judged_on)
