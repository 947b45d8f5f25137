"""The cache: what the YAML files that come with gonogo hold, kept as JSON, which reads faster."""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Mapping
from contextlib import suppress
from importlib.util import source_hash
from typing import Any, NamedTuple

CACHE_EDITION = b"gonogo-cache/1"
DIGEST = 64  # hexadecimal digits
OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH


class Contents(NamedTuple):
    """What some YAML files hold, by their names, and the SHA-256 digest of names and texts."""

    digest: str
    data: Mapping[str, Any]


def contents(name: str, texts: Mapping[str, bytes]) -> Contents:
    """What the texts hold: from the cache of that name if it is theirs, else read as YAML.

    The cache lies beside the user's other caches, under a name made from the texts, so that
    changed texts never meet an old one. One that is damaged, incomplete or writable by others is
    passed over; one that cannot be written costs time and nothing else.
    """
    key = source_hash(_mixed(texts)).hex()
    path = _path(f"{name}-{key}.json")
    kept = _kept(path) if path is not None else None
    if kept is not None and kept.data.keys() == texts.keys():
        return kept
    read = _read(texts)
    if path is not None:
        _keep(path, read)
    return read


def _mixed(texts: Mapping[str, bytes]) -> bytes:
    """All names and texts as one, so that none can be moved to its neighbour unseen."""
    parts = (part for name, text in texts.items() for part in (name.encode(), text))
    return b"".join(b"%d\0%b" % (len(part), part) for part in parts)


def _read(texts: Mapping[str, bytes]) -> Contents:
    from hashlib import sha256  # late, as the YAML reader is: with a cache neither is needed

    from ruamel.yaml import YAML

    reader = YAML(typ="safe")
    data = {name: reader.load(text) for name, text in texts.items()}
    return Contents(sha256(_mixed(texts)).hexdigest(), data)


def _path(name: str) -> str | None:
    """Where a cache lies; nowhere if the user has no folder of their own."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    if not os.path.isabs(home):
        home = os.path.expanduser("~/.cache")
    return os.path.join(home, "gonogo", name) if os.path.isabs(home) else None


def _kept(path: str) -> Contents | None:
    """What a cache holds, or None where it is not as `_keep` left it."""
    try:
        with open(path, "rb") as file:
            if not _is_ours(os.fstat(file.fileno())):
                return None
            edition, sum_, digest, body = file.read().split(b"\n", 3)
        if (
            edition != CACHE_EDITION
            or len(digest) != DIGEST
            or source_hash(body).hex().encode() != sum_
        ):
            return None
        data = json.loads(body)
        whole = isinstance(data, dict) and all(isinstance(entry, dict) for entry in data.values())
        return Contents(digest.decode("ascii"), data) if whole else None
    except (OSError, ValueError, RecursionError):
        return None


def _is_ours(status: os.stat_result) -> bool:
    """True where nobody else could have written the file, as far as the system can tell."""
    user = getattr(os, "geteuid", None)
    return user is None or (status.st_uid == user() and not status.st_mode & OTHERS_WRITE)


def _keep(path: str, read: Contents) -> None:
    """Write a cache whole or not at all."""
    body = json.dumps(read.data).encode()
    fresh = f"{path}.{os.getpid()}"
    try:
        os.makedirs(os.path.dirname(path), mode=0o700, exist_ok=True)
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with open(handle, "wb") as file:
            sum_ = source_hash(body).hex().encode()
            file.write(b"\n".join((CACHE_EDITION, sum_, read.digest.encode(), body)))
        os.replace(fresh, path)
    except OSError:
        with suppress(OSError):
            os.unlink(fresh)
