"""A campaign: cases by chance until the time is over, what each breaks, kept and made smaller."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

from .git_states import environment, lay_commits, of_git
from .inputs import MAKERS, Case
from .promises import Breach, ask, breaches, not_counted

KINDS: dict[str, Callable[[Random], Case]] = {**MAKERS, "git": of_git}
MOST_ATTEMPTS, MOST_SECONDS = 150, 60.0


@dataclass
class Tally:
    """What a campaign came to: cases a kind, calls a command and status, and what broke."""

    cases: Counter[str] = field(default_factory=Counter)
    calls: Counter[tuple[str, int]] = field(default_factory=Counter)
    broken: Counter[tuple[str, str]] = field(default_factory=Counter)

    def lines(self) -> Iterator[str]:
        """The counts, one a line."""
        for kind, number in self.cases.items():
            yield f"{kind}: {number} cases"
        by_command: dict[str, dict[int, int]] = {}
        for (command, status), number in sorted(self.calls.items()):
            by_command.setdefault(command, {})[status] = number
        for command, statuses in by_command.items():
            told = ", ".join(f"{status}: {number}" for status, number in statuses.items())
            yield f"  {command}: {sum(statuses.values())} calls ({told})"
        for (kind, sign), number in self.broken.most_common():
            yield f"BROKEN {kind}: {sign} ({number} times)"
        yield f"{sum(self.cases.values())} cases, {sum(self.broken.values())} breaches"


@contextmanager
def laid(case: Case) -> Iterator[Path]:
    """The case as a folder on the disk."""
    memory = Path("/dev/shm")
    above = memory if memory.is_dir() and os.access(memory, os.W_OK) else None
    with tempfile.TemporaryDirectory(dir=above) as name:
        folder = Path(name) / "shop"
        folder.mkdir()
        if case.commits:
            lay_commits(folder, case)
        for path, data in case.files.items():
            target = folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
        for path, target_text in case.links.items():
            link = folder / path
            link.parent.mkdir(parents=True, exist_ok=True)
            if not link.exists() and not link.is_symlink():
                link.symlink_to(target_text)
        yield folder


def everything(folder: Path) -> dict[str, str]:
    """What lies in a folder: each file's bytes, each link's end."""
    found = {}
    for above, folders, files in os.walk(folder):
        for name in (*folders, *files):
            path = os.path.join(above, name)
            if os.path.islink(path):
                found[path] = os.readlink(path)
            elif os.path.isfile(path):
                found[path] = hashlib.sha256(Path(path).read_bytes()).hexdigest()
            else:
                found[path] = "folder"
    return found


def trial(case: Case, tally: Tally | None = None) -> list[Breach]:
    """Every promise that the answers about a case break."""
    with laid(case) as folder:
        before = everything(folder)
        answers = [ask(folder, call) for call in case.calls]
        if tally is not None:
            tally.calls.update((answer.call[0], answer.status) for answer in answers)
        found = list(breaches(answers))
        if everything(folder) != before:
            found.append(Breach("a file was changed", case.calls[-1], "by a call that only reads"))
        yaml = [path for path in case.files if path.lower().endswith((".yaml", ".yml"))]
        sure = case.kind in ("profiles", "house", "rules")
        profiles = [path for path in yaml if sure and path.rsplit("/", 1)[-1][0] in "vw"]
        found += [
            breach
            for answer in answers
            if answer.call[:4] == ("check", ".", "--format", "json")
            for breach in not_counted(answer, profiles, yaml)
        ]
    return found


def smaller(case: Case, sign: str) -> Case:
    """The case with whole files, calls and lines left out as long as the same still breaks."""
    left = MOST_ATTEMPTS
    end = time.monotonic() + MOST_SECONDS

    def still(one: Case) -> bool:
        nonlocal left
        left -= 1
        if left < 0 or time.monotonic() > end:
            return False
        return any(breach.sign == sign for breach in trial(one))

    for call in list(case.calls):
        one = replace(case, calls=[other for other in case.calls if other != call])
        if one.calls and still(one):
            case = one
    for path in list(case.files):
        one = replace(case, files={k: v for k, v in case.files.items() if k != path})
        if still(one):
            case = one
    for path in list(case.files):
        lines = case.files[path].splitlines(keepends=True)
        size = max(1, len(lines) // 2)
        while size:
            at = 0
            while at < len(lines):
                fewer = lines[:at] + lines[at + size :]
                one = replace(case, files={**case.files, path: b"".join(fewer)})
                if still(one):
                    case, lines = one, fewer
                else:
                    at += size
            size //= 2
    return case


def keep(case: Case, breach: Breach, folder: Path, seed: str) -> None:
    """Write a case that breaks something into a folder of its own, as it lies on the disk."""
    name = "".join(sign if sign.isalnum() else "-" for sign in f"{case.kind}-{breach.sign}")[:80]
    target = folder / name
    if target.exists():
        return
    with laid(case) as made:
        shutil.copytree(made, target / "shop", symlinks=True)
    told = {"seed": seed, "sign": breach.sign, "call": breach.call, "detail": breach.detail}
    (target / "breach.json").write_text(json.dumps(told, indent=1), "utf-8")


def campaign(
    kinds: Sequence[str],
    seed: int,
    until: Callable[[Tally], bool],
    kept: Path | None = None,
    say: Callable[[str], object] = print,
) -> Tally:
    """Try cases of each kind in turn until it is time; the same seed tries the same ones."""
    tally = Tally()
    os.environ.update(environment())
    number = 0
    spoke = time.monotonic()
    while not until(tally):
        kind = kinds[number % len(kinds)]
        name = f"{seed}/{kind}/{number // len(kinds)}"
        case = KINDS[kind](Random(name))
        tally.cases[kind] += 1
        found = trial(case, tally)
        for sign in dict.fromkeys(breach.sign for breach in found):
            tally.broken[kind, sign] += 1
            if kept is not None and tally.broken[kind, sign] == 1:
                small = smaller(case, sign) if not case.commits else case
                first = next(breach for breach in found if breach.sign == sign)
                keep(small, first, kept, name)
                say(f"{name}: {sign}: {' '.join(first.call)}")
        number += 1
        if time.monotonic() - spoke > 60:
            spoke = time.monotonic()
            say(f"{sum(tally.cases.values())} cases, {sum(tally.broken.values())} breaches")
    return tally
