"""Files that are watched while they are read: what was asked of them and what they answered.

What a profile comes to depends on nothing else of the disk. Whoever asks the same again, and gets the
same answers, has a result that still holds: a file that was looked for and not found is such an answer,
and so is where a link leads.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from hashlib import blake2b
from pathlib import Path
from typing import Any, TypeVar

from .document import Document, DocumentKind
from .error import UnreadableFile
from .files import Listing, WorkingTree
from .house import House
from .repository import Repository

Asked = tuple[str, str]  # what was asked, such as `read`, and the path
FileAnswers = dict[Asked, str]  # the digest of each answer
_Answer = TypeVar("_Answer")
LOG = "log"
CHANGED = "changed while it was read"  # a digest that no answer has


def digest_of(data: bytes) -> str:
    """What tells two texts apart."""
    return blake2b(data, digest_size=20).hexdigest()


class WatchedTree(WorkingTree):
    """The files below a folder; each answer is noted for whoever gathers."""

    __slots__ = ("_frames", "_told")
    _frames: list[FileAnswers]
    _told: FileAnswers

    def __init__(self, root: Path, prefix: str = "", start: str = "") -> None:
        super().__init__(root, prefix, start)
        object.__setattr__(self, "_frames", [])
        object.__setattr__(self, "_told", {})

    def __reduce__(self) -> tuple[Any, ...]:
        return WatchedTree, (self.root, self.prefix, self.start)

    def read(self, path: str) -> bytes:
        """The bytes of one file; raises UnreadableFile."""
        return self._noted(("read", path), lambda: super(WatchedTree, self).read(path))

    def begin(self, path: str) -> bytes:
        """The first bytes of one file; raises UnreadableFile."""
        return self._noted(("begin", path), lambda: super(WatchedTree, self).begin(path))

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        return self._noted(("exists", path), lambda: super(WatchedTree, self).exists(path))

    def paths(self, below: str = "") -> Listing:
        """Every YAML file below a folder."""
        return self._noted(("paths", below), lambda: super(WatchedTree, self).paths(below))

    def note_log(self, folder: str, commits: int, told: bytes | None) -> None:
        """Note the last commits of a folder's repository, as they were `told`; without that nothing holds."""
        self.add({(LOG, f"{commits} {folder}"): CHANGED if told is None else digest_of(told)})

    def _log(self, path: str) -> str:
        """The last commits of a folder's repository, with their parents, which a shallow clone cuts off."""
        from .git_history import last_commits  # late: a check asks nothing of git

        number, _, folder = path.partition(" ")
        told = last_commits(Path(os.path.join(self.root, folder)), int(number))
        self.add({(LOG, path): digest_of(told)})
        return path

    def _noted(self, asked: Asked, answer: Callable[[], _Answer]) -> _Answer:
        try:
            given = answer()
        except UnreadableFile as broken:
            self.add({asked: _digest_of_error(broken)})
            raise
        self.add({asked: _digest(given)})
        return given

    def add(self, answers: FileAnswers) -> None:
        """Note answers that were given before; of two that differ neither can be relied on."""
        if self._frames:
            frame = self._frames[-1]
            for asked, told in answers.items():
                frame[asked] = told if frame.get(asked, told) == told else CHANGED

    @contextmanager
    def gathering(self) -> Iterator[FileAnswers]:
        """Gathers all that is asked meanwhile; whoever gathers around it gets it too."""
        answers: FileAnswers = {}
        self._frames.append(answers)
        try:
            yield answers
        finally:
            self._frames.pop()
            self.add(answers)

    def answer(self, asked: Asked) -> str:
        """What is answered now, asked once however many want to know."""
        told = self._told.get(asked)
        if told is None:
            with self.gathering() as answers, suppress(UnreadableFile):  # an answer too
                self._ask(*asked)
            told = self._told[asked] = answers[asked]
        return told

    def _ask(self, what: str, path: str) -> object:
        if what == LOG:
            return self._log(path)
        if what == "read":
            return self.read(path)
        if what == "begin":
            return self.begin(path)
        return self.exists(path) if what == "exists" else self.paths(path)


def _digest(given: object) -> str:
    if isinstance(given, bytes):
        return digest_of(given)
    if isinstance(given, Listing):
        errors = [_digest_of_error(error) for error in given.errors]
        return digest_of(repr((given.paths, errors, given.others)).encode(errors="surrogatepass"))
    return repr(given)


def _digest_of_error(error: UnreadableFile) -> str:
    told = (error.file, error.found, error.wanted, error.nearest)
    return digest_of(repr(told).encode(errors="surrogatepass"))


class WatchedRepository(Repository):
    """A repository that notes, of each document, what was asked of the files for it."""

    files: WatchedTree

    def __init__(self, files: WatchedTree, strays: tuple[str, ...] = ()) -> None:
        super().__init__(files, strays)
        self._answers: dict[Asked, FileAnswers] = {}

    def __reduce__(self) -> tuple[Any, ...]:
        return WatchedRepository, (self.files, self.strays)

    def kind(self, path: str, unclear: DocumentKind | None = None) -> DocumentKind | None:
        """What a file is, even of one that was read already."""

        def kind() -> DocumentKind | None:
            self.files.add({("read", path): self.files.answer(("read", path))})
            return super(WatchedRepository, self).kind(path, unclear)

        return self._gathered(("kind", path), kind)

    def document(self, path: str, kind: DocumentKind | None = None) -> Document:
        """A shared file, read once."""
        return self._gathered(
            ("document", path), lambda: super(WatchedRepository, self).document(path, kind)
        )

    def house(self) -> House:
        """The house file at the top, read once."""
        return self._gathered(("house", ""), super().house)

    def _gathered(self, what: Asked, work: Callable[[], _Answer]) -> _Answer:
        known = self._answers.get(what)
        if known is not None:
            self.files.add(known)
            return work()
        with self.files.gathering() as answers:
            try:
                return work()
            finally:
                self._answers[what] = answers


def under_watch(repository: Repository) -> WatchedRepository | None:
    """A repository of the same files, read anew; None of files that do not lie on the disk."""
    files = repository.files
    if type(repository) is not Repository or type(files) is not WorkingTree:
        return None
    return WatchedRepository(WatchedTree(files.root, files.prefix, files.start), repository.strays)
