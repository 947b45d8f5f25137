"""The store of results: what profiles came to before, in the user's own cache folder.

It can only spare work. What is broken, unreadable, locked or another's is passed by, and the next run
works all out anew. It holds texts and their digests; nothing in it is run.
"""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from datetime import date
from pathlib import Path
from typing import NamedTuple

from ..documents.watched import digest_of

STORE_EDITION = "1"
FOLDER, FILE = "gonogo", f"results-{STORE_EDITION}.sqlite3"
WAITS_s = 2.0  # for another run that is writing
KEPT_days = 30  # without being asked for
MOST_KEPT = 200_000  # results, some kilobytes each
AT_ONCE = 400  # keys in one question
OTHERS_MAY_WRITE = stat.S_IWGRP | stat.S_IWOTH


class KeptResult(NamedTuple):
    """What was asked of the files for a profile with the answers, and what it came to, as texts."""

    answers: str
    result: str


def cache_folder(environment: Mapping[str, str]) -> Path | None:
    """The folder for what a user's programs may lose: XDG_CACHE_HOME, else `.cache` at home."""
    told, home = environment.get("XDG_CACHE_HOME", ""), environment.get("HOME", "")
    if os.path.isabs(told):
        return Path(told)
    return Path(home) / ".cache" if os.path.isabs(home) else None


def store_folder(environment: Mapping[str, str], tops: Iterable[Path]) -> Path | None:
    """Where the store lies; None where it would lie inside a repository under examination."""
    above = cache_folder(environment)
    if above is None:
        return None
    real = Path(os.path.realpath(above / FOLDER))
    if any(real.is_relative_to(os.path.realpath(top)) for top in tops):
        return None
    return real


class ResultStore:
    """The results in one folder, each under the digest of what was asked."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def found(self, keys: Sequence[str]) -> dict[str, KeptResult]:
        """What is kept under some keys; nothing where the store cannot be read."""
        found: dict[str, KeptResult] = {}
        if not (self.folder / FILE).exists():
            return found
        with suppress(sqlite3.Error, OSError, ValueError), self._open() as store:
            for start in range(0, len(keys), AT_ONCE):
                some = keys[start : start + AT_ONCE]
                asked = f"SELECT key, answers, result, digest FROM results WHERE key IN ({','.join('?' * len(some))})"
                for key, answers, result, digest in store.execute(asked, some):
                    if digest == _digest(key, answers, result):
                        found[key] = KeptResult(answers, result)
            self._used(store, found)
        return found

    def keep(self, results: Mapping[str, KeptResult]) -> None:
        """Put results in the place of what was kept under their keys, if that can be done."""
        if not results:
            return
        try:
            self._make_folder()
            self._write(results)
        except sqlite3.DatabaseError as broken:
            if not isinstance(broken, sqlite3.OperationalError):  # it is no store any more
                self.clear()
        except (OSError, ValueError):
            pass  # a home that cannot be written

    def _write(self, results: Mapping[str, KeptResult]) -> None:
        today = date.today().toordinal()
        rows = [
            (key, one.answers, one.result, _digest(key, *one), today)
            for key, one in results.items()
        ]
        with self._open() as store, store:
            store.execute(
                "CREATE TABLE IF NOT EXISTS results"
                " (key TEXT PRIMARY KEY, answers TEXT, result TEXT, digest TEXT, used INTEGER)"
            )
            store.executemany("INSERT OR REPLACE INTO results VALUES (?, ?, ?, ?, ?)", rows)
            store.execute("DELETE FROM results WHERE used < ?", (today - KEPT_days,))
            store.execute(
                "DELETE FROM results WHERE key IN"
                " (SELECT key FROM results ORDER BY used DESC, rowid DESC LIMIT -1 OFFSET ?)",
                (MOST_KEPT,),
            )

    def clear(self) -> None:
        """Forget everything."""
        for ending in ("", "-journal", "-wal", "-shm"):
            with suppress(OSError):
                (self.folder / f"{FILE}{ending}").unlink()

    def _make_folder(self) -> None:
        self.folder.parent.mkdir(parents=True, exist_ok=True)
        with suppress(FileExistsError):
            self.folder.mkdir(mode=0o700)

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """The store's file; raises OSError where it is not this user's alone to write."""
        for place in (self.folder, self.folder / FILE):
            with suppress(FileNotFoundError):
                found = os.lstat(place)
                is_plain = stat.S_ISDIR(found.st_mode) or stat.S_ISREG(found.st_mode)
                is_own = not hasattr(os, "getuid") or found.st_uid == os.getuid()
                if not (is_plain and is_own) or found.st_mode & OTHERS_MAY_WRITE:
                    raise OSError(f"{place} can be written by others")
        with closing(sqlite3.connect(self.folder / FILE, timeout=WAITS_s)) as store:
            yield store

    def _used(self, store: sqlite3.Connection, found: Iterable[str]) -> None:
        """Note the day for what was asked for, once a day, so that it is kept."""
        today = date.today().toordinal()
        with suppress(sqlite3.Error), store:
            store.executemany(
                "UPDATE results SET used = ? WHERE key = ? AND used < ?",
                [(today, key, today) for key in found],
            )


def _digest(key: str, answers: str, result: str) -> str:
    return digest_of(f"{STORE_EDITION}\0{key}\0{answers}\0{result}".encode())
