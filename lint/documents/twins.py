"""Twins: profiles of a shop that nobody asked for, and that have an id which one that was asked for has too."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from posixpath import basename

from .error import DocumentError, DocumentErrors
from .files import HOUSE_FILE, is_yaml_name, lies_in
from .identity import ID_KEY, Identity, identity_of
from .repository import Repository

Owned = tuple[Repository, str, Identity | None]  # a profile by its shop and path, with its id


def with_twins(given: Iterable[Owned]) -> Iterator[tuple[Repository, Identity | None]]:
    """The ids of the profiles asked for, then of the others of their shops that have one of them too.

    A file is read as a profile only where one of the ids is among its words.
    """
    shops: dict[int, tuple[Repository, dict[str, Identity | None]]] = {}
    for repository, path, own in given:
        yield repository, own
        shops.setdefault(id(repository), (repository, {}))[1][path] = own
    for repository, asked in shops.values():
        yield from _twins(repository, asked)


def _twins(
    repository: Repository, asked: Mapping[str, Identity | None]
) -> Iterator[tuple[Repository, Identity | None]]:
    ids = {own.id for own in asked.values() if own is not None}
    words = [name.encode() for name in ids]
    for path in _own_files(repository) if ids else ():
        if path in asked or not _has_one_of(repository, path, words):
            continue
        own = identity_of(repository, path) if _is_profile(repository, path) else None
        if own is not None and own.id in ids and not _is_one_of(repository, path, asked):
            yield repository, own


def ids_of(repository: Repository, among: Iterable[str] = ()) -> frozenset[str]:
    """The ids of all profiles of a shop that can be read; of few ids `among` all that are there."""
    words = [name.encode() for name in among] or [ID_KEY]
    owned = (
        identity_of(repository, path)
        for path in _own_files(repository)
        if _has_one_of(repository, path, words) and _is_profile(repository, path)
    )
    return frozenset(own.id for own in owned if own is not None)


def _own_files(repository: Repository) -> Sequence[str]:
    """The YAML files of a shop; those of a shop inside it are none of its."""
    inner = _inner_shops(repository)
    paths = repository.files.paths().paths
    return [path for path in paths if is_yaml_name(basename(path)) and not lies_in(path, inner)]


def _inner_shops(repository: Repository) -> Sequence[str]:
    """The folders that the house file names as shops of their own, and that have a house file."""
    files = repository.files
    if not files.exists(HOUSE_FILE):
        return ()
    try:
        named = repository.document(HOUSE_FILE, "house").value.get("shops", ())
    except DocumentErrors:
        return ()
    folders = [folder.strip("/") for folder in named if isinstance(folder, str)]
    return [folder for folder in folders if folder and files.exists(f"{folder}/{HOUSE_FILE}")]


def _is_one_of(repository: Repository, path: str, asked: Iterable[str]) -> bool:
    """Whether a path is one of the files asked for, by way of a linked folder.

    A link to a file is a second profile with its id, whichever of the two is asked for.
    """
    from .dependents import lying_at  # late: hardly any shop has twins

    place = lying_at(repository, path)
    return any(place == lying_at(repository, other) for other in asked)


def _has_one_of(repository: Repository, path: str, words: Iterable[bytes]) -> bool:
    try:
        text = repository.files.read(path)
    except DocumentError:
        return False
    return any(word in text for word in words)


def _is_profile(repository: Repository, path: str) -> bool:
    try:
        return repository.kind(path) == "profile"
    except DocumentError:
        return False
