"""Repositories made by chance: commits that rename, delete, link and name other repositories."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Mapping
from pathlib import Path
from random import Random

from .chance import as_yaml, damaged
from .inputs import DAY, Call, Case, random_profile

NAMES = (
    "v.yaml",
    "w.yaml",
    "vehicles/v.yaml",
    "vehicles/ü b.yaml",
    "parts/p.yaml",
    "house.yaml",
    "v.yml",
)
MODES = {"file": "100644", "program": "100755", "link": "120000", "repository": "160000"}
Snapshot = dict[str, tuple[str, bytes]]  # by path: what it is, and its bytes or where it leads
NO_SETTINGS = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_TERMINAL_PROMPT": "0",
}


def of_git(chance: Random) -> Case:
    """A few commits, what lies on the disk after them, and questions about both."""
    now: Snapshot = {"v.yaml": ("file", _document(chance))}
    stream: list[bytes] = []
    commits = chance.randrange(1, 5)
    for number in range(1, commits + 1):
        stream.append(_commit(number, now))
        now = _moved(chance, now)
    if chance.random() < 0.3:
        now = _moved(chance, now)
    files = {path: data for path, (what, data) in now.items() if what in ("file", "program")}
    links = {path: data.decode() for path, (what, data) in now.items() if what == "link"}
    path = chance.choice(list(now) or ["v.yaml"])
    return Case("git", files, _questions(chance, path, commits), links, stream)


def _document(chance: Random) -> bytes:
    data = as_yaml(random_profile(chance), chance).encode()
    return damaged(chance, data) if chance.random() < 0.15 else data


def _moved(chance: Random, before: Snapshot) -> Snapshot:
    """The next state: something written, renamed, deleted, linked, or another repository put in."""
    now = dict(before)
    for _ in range(chance.randrange(1, 4)):
        name = chance.choice(NAMES)
        way = chance.randrange(7)
        known = chance.choice(sorted(now)) if now else None
        if way <= 1 or known is None:
            _put(
                now,
                name,
                "file",
                b"gonogo: house/1\n" if name == "house.yaml" else _document(chance),
            )
        elif way == 2:
            _put(now, name, *now.pop(known))
        elif way == 3:
            del now[known]
        elif way == 4:
            _put(
                now, name, "link", chance.choice((known, "/etc/hostname", "nowhere", "..")).encode()
            )
        elif way == 5:
            _put(now, chance.choice((name, "vehicles", "other")), "repository", b"")
        else:
            data = now[known][1]
            _put(now, known, chance.choice(("file", "program")), damaged(chance, data))
    return now


def _put(now: Snapshot, path: str, what: str, data: bytes) -> None:
    """Lay it there; what is a folder and a file at once goes."""
    for other in list(now):
        if other.startswith(f"{path}/") or path.startswith(f"{other}/"):
            del now[other]
    now[path] = (what, data)


def _commit(number: int, snapshot: Snapshot) -> bytes:
    """A commit of exactly these files, as `git fast-import` reads it."""
    at = f"Chance <chance@example.org> {1_700_000_000 + number * 86_400} +0000"
    message = f"state {number}\x1b[31m".encode()
    head = f"commit refs/heads/main\nmark :{number}\ncommitter {at}\ndata {len(message)}\n".encode()
    parts = [head, message, b"\n"]
    if number > 1:
        parts.append(f"from :{number - 1}\n".encode())
    parts.append(b"deleteall\n")
    for path, (what, data) in snapshot.items():
        name = '"' + path.replace('"', '\\"') + '"'
        if what == "repository":
            parts.append(f"M 160000 {'1' * 40} {name}\n".encode())
        else:
            parts.append(
                f"M {MODES[what]} inline {name}\ndata {len(data)}\n".encode() + data + b"\n"
            )
    return b"".join(parts)


def lay_commits(folder: Path, case: Case) -> None:
    """Make the folder a repository that has the case's commits."""
    env = {**os.environ, **NO_SETTINGS}
    for words, data in (
        (("git", "init", "--quiet", "--initial-branch=main"), b""),
        (("git", "fast-import", "--quiet", "--force"), b"".join(case.commits)),
    ):
        subprocess.run(words, cwd=folder, input=data, check=True, capture_output=True, env=env)


def _questions(chance: Random, path: str, commits: int) -> list[Call]:
    back = "main" + "~" * chance.randrange(commits + 1)
    day = ("--as-of", DAY)
    questions: tuple[Call, ...] = (
        ("diff", "--against", back, *day),
        ("diff", "--against", back, "--format", "json", *day),
        ("diff", path, *day),
        ("diff", f"{back}:{path}", path, *day),
        ("diff", f"main:{path}", f"{back}:{path}", "--format", "markdown", *day),
        ("history", path, *day),
        ("history", path, "--format", "json", *day),
    )
    return [("check", ".", "--format", "json", *day), *chance.sample(questions, 3)]


def environment() -> Mapping[str, str]:
    """What keeps the settings of whoever runs this out of it."""
    return NO_SETTINGS
