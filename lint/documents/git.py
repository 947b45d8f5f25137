"""The one place where git is started.

It runs in a private folder, with none of the settings, hooks
and attributes of the repository that it reads, and with nothing that it could fetch from.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import threading
import weakref
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import IO, Self

from .error import RevisionError
from .files import BEGINNING, LARGEST
from .git_folder import RECEIVED, PrivateFolder, git_folder
from .text import quoted

MOST_PRINTED = 64 << 20
LONGEST_S = 60
# None of these touches an index, a working tree or another computer.
READING = frozenset(
    ("rev-parse", "merge-base", "rev-list", "log", "ls-tree", "diff-tree", "cat-file")
)
STAGED = ("ls-files", "--stage", "-z")  # of a copy of the index; with other words it reads files
MARKED_INDEX = (
    "ls-files",
    "--stage",
    "-t",
    "-z",
)  # the same, with a mark for what the disk need not have
# Nothing sets these in a private folder; they hold even if a later git looked elsewhere too.
FIXED_SETTINGS = (
    "safe.bareRepository=explicit",
    f"core.hooksPath={os.devnull}",
    f"core.attributesFile={os.devnull}",
    "core.fsmonitor=false",
    "core.commitGraph=false",
    "core.multiPackIndex=false",
    "core.bigFileThreshold=1m",
    "core.pager=cat",
    "protocol.allow=never",
    "gc.auto=0",
    "maintenance.auto=false",
    "log.showRoot=true",
)
OPTIONS = (
    *(word for setting in FIXED_SETTINGS for word in ("-c", setting)),
    "--no-optional-locks",
    "--no-replace-objects",
    "--literal-pathspecs",
    "--no-pager",
)


class GitRefusal(RevisionError):
    """Git ran and said no."""


def git(folder: Path, *words: str) -> bytes:
    """What one git command prints about the repository that holds a folder.

    Words never pass a shell; a name that comes from a user stands behind `--end-of-options`. Raises
    RevisionError with the last line of git's complaint.
    """
    private = _private_folder(folder)
    try:
        return _printed(private, words)
    finally:
        private.remove()


def staged_entries(folder: Path) -> bytes:
    """What `git ls-files --stage` prints of a copy of the index."""
    return _of_index(folder, STAGED)


def marked_entries(folder: Path) -> bytes:
    """The same, with a letter before each entry: `S` where the disk need not have the file."""
    return _of_index(folder, MARKED_INDEX)


def _of_index(folder: Path, words: Sequence[str]) -> bytes:
    private = _private_folder(folder)
    try:
        private.hold_index()
        return _printed(private, words)
    finally:
        private.remove()


def no_repository(folder: Path) -> RevisionError:
    """A folder whose files have no commits, and what can be done there."""
    return RevisionError(
        f"{quoted(str(folder))} is in no git repository, so there are no commits to compare. "
        "`gonogo diff OLD NEW` compares two files without git; "
        "`git init`, `git add` and `git commit` keep the revisions from now on."
    )


def _private_folder(folder: Path) -> PrivateFolder:
    """A private folder for the repository that holds a folder; raises RevisionError."""
    repository = git_folder(folder)
    _program(folder if repository is None else repository.top)
    if repository is None:
        raise no_repository(folder)
    try:
        return PrivateFolder(repository)
    except OSError as broken:
        raise RevisionError("No folder for temporary files can be made for git.") from broken


def _printed(private: PrivateFolder, words: Sequence[str]) -> bytes:
    with open(private.path / "complaint", "w+b") as complaint:
        with _started(private, words, complaint) as process:
            assert process.stdout is not None
            with _Limit(process) as limit:
                printed = process.stdout.read(MOST_PRINTED + 1)
                if len(printed) > MOST_PRINTED:
                    process.kill()
                status = process.wait()
        limit.check()
        if len(printed) > MOST_PRINTED:
            raise RevisionError(f"git {words[0]} tells more than 64 MiB: that is no workshop.")
        if status:
            complaint.seek(0)
            told = complaint.read(BEGINNING).decode("utf-8", "replace").strip().splitlines()
            raise GitRefusal(f"git refuses: {quoted(told[-1] if told else 'no reason given')}.")
    return printed


class _Limit:
    """Ends a process that lets its reader wait."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self.timer = threading.Timer(LONGEST_S, self._end)
        self.timer.daemon = True
        self.is_passed = False

    def _end(self) -> None:
        self.is_passed = True
        self.process.kill()

    def __enter__(self) -> Self:
        self.timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.timer.cancel()

    def check(self) -> None:
        """Raise RevisionError where the time was up."""
        if self.is_passed:
            raise RevisionError(f"git gave no answer within {LONGEST_S} seconds.")


def _started(
    private: PrivateFolder, words: Sequence[str], complaint: IO[bytes] | int
) -> subprocess.Popen[bytes]:
    if words[0] not in READING and tuple(words) not in (STAGED, MARKED_INDEX):
        raise ValueError(f"git {words[0]} is not among the commands that only read objects")
    try:
        return subprocess.Popen(
            [_program(private.repository.top), *OPTIONS, *words],
            stdin=subprocess.PIPE if words[0] == "cat-file" else subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=complaint,
            cwd=private.path,
            env=_environment(private),
        )
    except (OSError, ValueError) as broken:
        raise RevisionError(
            f"git cannot be started for {quoted(str(private.repository.top))}."
        ) from broken


def _search_path(top: Path) -> list[str]:
    """The folders in which programs are looked for, none of them in a tree that is read."""
    folders = os.environ.get("PATH", os.defpath).split(os.pathsep)
    real = os.path.realpath(top)
    if os.path.dirname(real) == real:  # whoever commits to the whole disk commits its programs
        return [folder for folder in folders if os.path.isabs(folder)]
    inside = os.path.join(real, "")
    return [
        folder
        for folder in folders
        if os.path.isabs(folder)
        and not os.path.join(os.path.realpath(folder), "").startswith(inside)
    ]


def _program(top: Path) -> str:
    for folder in _search_path(top):
        found = shutil.which("git", path=folder)
        if found is not None and os.path.isabs(found):
            return found
    raise RevisionError("git is not installed, so no revision can be read.")


def _environment(private: PrivateFolder) -> dict[str, str]:
    """The user's environment without any word about git, which a hook or a shell may have set."""
    here, received = str(private.path), private.path / RECEIVED
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    return kept | {
        "PATH": os.pathsep.join(_search_path(private.repository.top)),
        "HOME": here,
        "XDG_CONFIG_HOME": here,
        "LC_ALL": "C",
        "GIT_DIR": here,
        "GIT_OBJECT_DIRECTORY": str(private.repository.objects),
        **({"GIT_ALTERNATE_OBJECT_DIRECTORIES": str(received)} if received.exists() else {}),
        "GIT_CEILING_DIRECTORIES": os.path.dirname(here),
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_ATTR_NOSYSTEM": "1",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_TERMINAL_PROMPT": "0",
        "GIT_ALLOW_PROTOCOL": "",
        "GIT_PROTOCOL_FROM_USER": "0",
        "GIT_ASKPASS": "true",
    }


class ObjectReader:
    """One git process that hands out files by their names, started when the first is asked for."""

    def __init__(self, top: Path) -> None:
        self.top = top
        self.process: subprocess.Popen[bytes] | None = None

    def __reduce__(self) -> tuple[type[ObjectReader], tuple[Path]]:
        return ObjectReader, (self.top,)

    def read(self, name: str) -> bytes | None:
        """A file's bytes, or None where it is too large to be read."""
        process = self.process or self._start()
        with _Limit(process) as limit:
            try:
                size, data = _answer(process, name)
            except OSError as broken:
                limit.check()
                raise RevisionError("git stopped unexpectedly.") from broken
        if size <= LARGEST:
            return data
        process.kill()  # rather than wait for all of it
        self.stop()
        return None

    def _start(self) -> subprocess.Popen[bytes]:
        private = _private_folder(self.top)
        process = self.process = _started(private, ["cat-file", "--batch"], subprocess.DEVNULL)
        weakref.finalize(self, _stop, process, private)
        self._private = private
        return process

    def stop(self) -> None:
        """End the process; the next file that is asked for starts another."""
        if self.process is not None:
            _stop(self.process, self._private)
            self.process = None


def _answer(process: subprocess.Popen[bytes], name: str) -> tuple[int, bytes]:
    """The size of a file, and its bytes unless it is too large."""
    assert process.stdin is not None and process.stdout is not None
    process.stdin.write(name.encode("ascii") + b"\n")
    process.stdin.flush()
    header = process.stdout.readline().split()
    if not header:
        raise BrokenPipeError
    if len(header) != 3 or header[1] != b"blob":
        raise RevisionError(f"git has no file {name}; the clone may be partial.")
    size = int(header[2])
    if size > LARGEST:
        return size, b""
    data = process.stdout.read(size + 1)
    if len(data) != size + 1:
        raise BrokenPipeError
    return size, data[:size]


def _stop(process: subprocess.Popen[bytes], private: PrivateFolder) -> None:
    """Closing its input ends the process by itself."""
    for stream in (process.stdin, process.stdout):
        if stream is not None and not stream.closed:
            with suppress(OSError):
                stream.close()
    process.wait()
    private.remove()
