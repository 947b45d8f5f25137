"""The list of known findings that a check is held against, from where the profiles come from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ..documents.error import UsageError
from ..documents.files import named
from ..documents.known import known_root, place_of_known, read_known, refuse_other_shops
from ..documents.repository import Repository
from ..documents.search import Search
from .known_missing import KnownOfShop, paths_on_disk


def known_list(
    path: Path,
    search: Search,
    paths: Sequence[Path],
    at: str | None = None,
    staged: bool = False,
    here: Path | None = None,
) -> KnownOfShop:
    """The list in a file of the shop; of a commit or of what is staged, as it is there.

    It is read without a profile to hold against it too: that of a vehicle on it may be gone. Raises
    DocumentErrors for a list that cannot be read, and UsageError for one that is a link or lies elsewhere.
    """
    if at is None and not staged:
        repository, inside = place_of_known(path)
        wanted = paths_on_disk(paths)
    else:
        repository, inside, wanted = _in_revision(path, search, paths, at, here or Path.cwd())
    refuse_other_shops(repository, str(path), search.profiles)
    root = known_root(repository)
    shops = {known_root(one.repository): one.repository for one in search.profiles}
    own = shops.get(root, repository)  # as the profiles are shown
    return KnownOfShop(read_known(own, inside), own, wanted)


def _in_revision(
    path: Path, search: Search, paths: Sequence[Path], at: str | None, here: Path
) -> tuple[Repository, str, tuple[str, ...]]:
    """A file of the commit in which the profiles are, or of what is staged; and the paths there."""
    from ..documents.git_revision import Commit, GitRevision, Staged  # late: most read the disk
    from ..documents.repository import open_revision
    from .revisions import paths_in

    if search.profiles:
        files = search.profiles[0].repository.files
        assert isinstance(files, GitRevision)
        commit = files.commit
    else:
        commit = Staged(here) if at is None else Commit(here, at)
    (name,) = paths_in(commit.top, [path], here)
    place = GitRevision(commit)
    if name in commit.links:
        raise UsageError(f"{named(place, name)} is a link: expected the list itself.")
    repository, inside = open_revision(commit, place.real(name) or name)
    return repository, inside, tuple(paths_in(commit.top, paths, here))
