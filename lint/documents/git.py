"""The files of one git revision, read without touching the working tree."""

from __future__ import annotations

import os
import subprocess
import weakref
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from posixpath import basename, dirname, join, normpath

from .error import RevisionError
from .files import BEGINNING, ENDINGS, LARGEST, Listing, leads_out, missing, too_large
from .text import quoted

LINK = "120000"
MOST_LINKS = 16
OF_A_HOOK = ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX")


def git(folder: Path, *arguments: str) -> bytes:
    """What one git command prints; raises RevisionError with the last line of its complaint.

    Arguments never pass a shell; a name that comes from a user stands behind `--end-of-options`.
    """
    try:
        done = subprocess.run(
            ["git", "-C", str(folder), *arguments],
            capture_output=True,
            check=True,
            stdin=subprocess.DEVNULL,
            env=_environment(),
        )
    except FileNotFoundError as broken:
        raise RevisionError("git is not installed, so no revision can be read.") from broken
    except (OSError, ValueError) as broken:
        raise RevisionError(f"git cannot be started in {quoted(str(folder))}.") from broken
    except subprocess.CalledProcessError as broken:
        complaint = broken.stderr.decode("utf-8", "replace").strip().splitlines()
        raise RevisionError(
            f"git refuses: {quoted(complaint[-1] if complaint else 'no reason given')}."
        ) from (broken)
    return done.stdout


def _environment() -> dict[str, str]:
    """The user's environment without what a git hook sets: it speaks of another folder."""
    kept = {name: value for name, value in os.environ.items() if name not in OF_A_HOOK}
    return {**kept, "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0"}


def top_level(folder: Path) -> Path:
    """The top of the git repository that holds a folder."""
    try:
        top = git(folder, "rev-parse", "--show-toplevel")
    except RevisionError as broken:
        if "not a git repository" in str(broken) or not folder.is_dir():
            raise RevisionError(f"{quoted(str(folder))} is in no git repository.") from broken
        raise
    return Path(os.fsdecode(top.removesuffix(b"\n")))


def commit_of(folder: Path, revision: str) -> str:
    """The commit that a revision names, in full."""
    if not revision or revision.startswith("-"):
        raise RevisionError(f"{quoted(revision)} is no revision.")
    try:
        named = git(
            folder, "rev-parse", "--verify", "--quiet", "--end-of-options", revision + "^{commit}"
        )
    except RevisionError as broken:
        top_level(folder)
        raise RevisionError(
            f"{quoted(revision)} is no revision of this repository; expected a branch, a tag or a "
            "commit. A shallow clone holds only its last commits."
        ) from broken
    return named.decode("ascii").strip()


def merge_base(folder: Path, revision: str) -> str:
    """The last commit that HEAD and a revision have in common: where a branch began."""
    other = commit_of(folder, revision)
    try:
        common = git(folder, "merge-base", "--end-of-options", other, "HEAD")
    except RevisionError as broken:
        raise RevisionError(
            f"{quoted(revision)} and HEAD have no commit in common. A shallow clone holds only its "
            "last commits: fetch more of them."
        ) from broken
    return common.decode("ascii").strip()


class _Objects:
    """One git process that hands out objects by their names, started when the first is asked for."""

    def __init__(self, top: Path) -> None:
        self.top = top
        self.process: subprocess.Popen[bytes] | None = None

    def __reduce__(self) -> tuple[type[_Objects], tuple[Path]]:
        return _Objects, (self.top,)

    def read(self, name: str) -> bytes | None:
        """An object's bytes, or None where it is too large to be read."""
        process = self.process or self._start()
        assert process.stdin is not None and process.stdout is not None
        try:
            process.stdin.write(name.encode("ascii") + b"\n")
            process.stdin.flush()
            header = process.stdout.readline().split()
            if len(header) != 3:
                raise RevisionError(f"git has no object {name}; the clone may be partial.")
            size = int(header[2])
            kept = process.stdout.read(min(size, LARGEST + 1))
            left = size - len(kept)
            while left > 0:
                left -= len(process.stdout.read(min(left, LARGEST)))
            process.stdout.read(1)
        except OSError as broken:
            raise RevisionError("git stopped unexpectedly.") from broken
        return kept if size <= LARGEST else None

    def _start(self) -> subprocess.Popen[bytes]:
        process = self.process = subprocess.Popen(
            ["git", "-C", str(self.top), "cat-file", "--batch"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=_environment(),
        )
        weakref.finalize(self, _stop, process)
        return process

    def stop(self) -> None:
        if self.process is not None:
            _stop(self.process)
            self.process = None


def _stop(process: subprocess.Popen[bytes]) -> None:
    """Closing its input ends the process by itself."""
    for stream in (process.stdin, process.stdout):
        if stream is not None and not stream.closed:
            stream.close()
    process.wait()


class Commit:
    """One commit of the repository that holds a folder: its paths, and its objects on demand."""

    def __init__(self, folder: Path, revision: str) -> None:
        self.top = top_level(folder)
        self.name = commit_of(self.top, revision)
        self.objects = _Objects(self.top)
        self.files: dict[str, str] = {}
        self.links: dict[str, str] = {}
        for entry in git(self.top, "ls-tree", "-r", "-z", "--full-tree", self.name).split(b"\0"):
            if entry:
                about, path = entry.split(b"\t", 1)
                mode, kind, name = about.decode("ascii").split()
                if kind == "blob":
                    paths = self.links if mode == LINK else self.files
                    paths[os.fsdecode(path)] = name

    def close(self) -> None:
        """End the process that hands out objects; it starts again when it is needed."""
        self.objects.stop()


@dataclass(frozen=True, slots=True)
class GitRevision:
    """The files of a commit below a root, a path from the repository's top; "" is the top."""

    commit: Commit
    root: str = ""
    prefix: str = ""

    def read(self, path: str) -> bytes:
        """The bytes of a file that lies inside the root, links followed."""
        inside = self._real(path)
        if inside is None:
            raise leads_out(self, path)
        name = self.commit.files.get(inside)
        if name is None:
            raise missing(self, path, self._beside(path))
        data = self.commit.objects.read(name)
        if data is None:
            raise too_large(self, path)
        return data

    def begin(self, path: str) -> bytes:
        """The first bytes of such a file."""
        return self.read(path)[:BEGINNING]

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        full = self._full(path)
        return full in self.commit.files or full in self.commit.links

    def paths(self, below: str = "") -> Listing:
        """The YAML files below a folder, hidden and linked folders left out."""
        folder = self._full(below) if below else self.root
        start = join(folder, "") if folder else ""
        cut = len(join(self.root, "")) if self.root else 0
        paths = [path for path in self.commit.files if path.startswith(start)]
        paths += [
            path
            for path in self.commit.links
            if path.startswith(start) and self._real(path[cut:]) in self.commit.files
        ]
        return Listing(
            tuple(
                sorted(
                    path[cut:]
                    for path in paths
                    if path.endswith(ENDINGS) and "/." not in f"/{path[len(start) :]}"
                )
            )
        )

    def _full(self, path: str) -> str:
        return normpath(join(self.root, path))

    def _is_inside(self, full: str) -> bool:
        return full.startswith(join(self.root, "")) if self.root else not full.startswith("..")

    def _real(self, path: str) -> str | None:
        """The path from the top with links followed; None where it leads out of the root."""
        full = self._full(path)
        for _ in range(MOST_LINKS):
            if not self._is_inside(full) or full.startswith("/"):
                return None
            link = self._first_link(full)
            if link is None:
                return full
            target = self.commit.objects.read(self.commit.links[link]) or b""
            full = normpath(join(dirname(link), os.fsdecode(target)) + full[len(link) :])
        return None

    def _first_link(self, full: str) -> str | None:
        if not self.commit.links:
            return None
        parts = full.split("/")
        ways = ("/".join(parts[: length + 1]) for length in range(len(parts)))
        return next((way for way in ways if way in self.commit.links), None)

    def _beside(self, path: str) -> Sequence[str]:
        folder = dirname(self._full(path))
        return [basename(other) for other in self.commit.files if dirname(other) == folder]
