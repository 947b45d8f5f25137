"""The list of known findings that a check is held against, from where the profiles come from."""

from __future__ import annotations

from pathlib import Path

from ..documents.error import UsageError
from ..documents.files import WorkingTree, named
from ..documents.known import Known, place_of_known, read_known, refuse_other_shops
from ..documents.repository import Repository
from ..documents.search import Search


def known_list(path: Path, search: Search, here: Path | None = None) -> Known | None:
    """The list in a file of the shop; of a commit or of what is staged, as it is there.

    None where there is no profile to hold against it. Raises DocumentErrors for a list that cannot be
    read, and UsageError for one that is a link or lies elsewhere.
    """
    if not search.profiles:
        return None
    shops = [one.repository for one in search.profiles]
    files = shops[0].files
    if isinstance(files, WorkingTree):
        repository, inside = place_of_known(path)
    else:
        repository, inside = _in_revision(path, files, here or Path.cwd())
    refuse_other_shops(repository, str(path), shops)
    return read_known(shops[0], inside)


def _in_revision(path: Path, files: object, here: Path) -> tuple[Repository, str]:
    """A file of the commit in which the profiles are, or of what is staged."""
    from ..documents.git_revision import GitRevision  # late: most checks read the disk
    from ..documents.repository import open_revision
    from .revisions import paths_in

    assert isinstance(files, GitRevision)
    (name,) = paths_in(files.commit.top, [path], here)
    place = GitRevision(files.commit)
    if name in files.commit.links:
        raise UsageError(f"{named(place, name)} is a link: expected the list itself.")
    return open_revision(files.commit, place.real(name) or name)
