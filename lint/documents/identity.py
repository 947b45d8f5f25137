"""A vehicle's identity: `vehicle.id`, which no two profiles of a repository share, retired ones too."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from .error import DocumentError, DocumentErrors, WrongValue
from .location import Place
from .profile import Profile
from .repository import Repository
from .text import decode, line_of
from .yaml_tree import grow

ID_KEY = b"id"
OWN_ID = "an id that no other vehicle has"
NOT_RETIRED = (
    "a vehicle of the shop: remove the entry under `retired` in its house file, or the profile"
)


class Identity(NamedTuple):
    """The id that a profile gives, and where."""

    id: str
    place: Place
    text: str


def identity_of(repository: Repository, path: str) -> Identity | None:
    """The id of a profile; None where it gives none, or cannot be read."""
    try:
        document = repository.document(path, "profile")
    except DocumentErrors:
        return None
    given = document.value["vehicle"].get("id")
    if given is None:
        return None
    at = document.place("vehicle", "id")
    return Identity(given, at, document.line(at.line))


def id_of(repository: Repository, path: str) -> str | None:
    """The id that a file gives, of a profile with errors too as far as it can be told."""
    try:
        document = repository.document(path, "profile")
    except DocumentErrors:
        try:
            return id_in(repository.files.read(path))
        except DocumentError:
            return None
    given: str | None = document.value["vehicle"].get("id")
    return given


def identity_in(profile: Profile) -> Identity | None:
    """The id of a profile that was loaded."""
    given = profile.givens.get("vehicle.id")
    if given is None or not isinstance(given.value, str):
        return None
    return Identity(
        given.value, given.place, line_of(profile.texts[given.place.file], given.place.line)
    )


def id_in(data: bytes) -> str | None:
    """The id in the bytes of a profile, whether they fit its schema or not; None where there is none."""
    if ID_KEY not in data:
        return None
    try:
        root = grow(decode(data, ""), "").root
    except DocumentError:
        return None
    whole = root.value if root is not None else None
    vehicle = whole.get("vehicle") if isinstance(whole, dict) else None
    given = vehicle.get("id") if isinstance(vehicle, dict) else None
    return given if isinstance(given, str) else None


def retired(repository: Repository, judged_on: str) -> frozenset[str]:
    """The ids of the vehicles that a shop no longer has on a day; none by a broken house file."""
    told = retired_since(repository).items()
    return frozenset(name for name, since in told if since <= judged_on)


def retired_since(repository: Repository) -> Mapping[str, str]:
    """The ids that a shop's house file names as retired, each with its day; none of a broken one."""
    try:
        return repository.house().retired
    except DocumentErrors:
        return {}


def wrong_with_ids(
    given: Iterable[tuple[Repository, Identity | None]], judged_on: str
) -> list[DocumentError]:
    """Each id that two profiles of a shop share, at both places, and each that is said to be retired."""
    met: dict[tuple[int, str], Identity] = {}
    errors: list[DocumentError] = []
    for repository, own in given:
        if own is None:
            continue
        other = met.setdefault((id(repository), own.id), own)
        if other is not own:
            errors += (_shared(own, other), _shared(other, own))
        if own.id in retired(repository, judged_on):
            errors.append(
                _wrong(own, f"the id `{own.id}` of a vehicle that is retired", NOT_RETIRED)
            )
    return errors


def _shared(own: Identity, twin: Identity) -> DocumentError:
    return _wrong(own, f"the id `{own.id}`, which {twin.place} has too", OWN_ID)


def _wrong(own: Identity, found: str, wanted: str) -> DocumentError:
    at = own.place
    return WrongValue(at.file, at.line, at.column, found, wanted, None, own.text)
