"""A draft: files as they lie on the disk, save one that is not written yet."""

from __future__ import annotations

from dataclasses import dataclass

from .files import BEGINNING, Files, Listing


@dataclass(frozen=True, slots=True)
class Draft:
    """A tree of files in which the file at `path` reads as `data`."""

    files: Files
    path: str
    data: bytes

    @property
    def prefix(self) -> str:
        """What stands before a path of this tree when it is shown."""
        return self.files.prefix

    def read(self, path: str) -> bytes:
        """The bytes of one file; raises UnreadableFile."""
        return self.data if path == self.path else self.files.read(path)

    def begin(self, path: str) -> bytes:
        """The first bytes of one file, enough to tell what it is; raises UnreadableFile."""
        return self.data[:BEGINNING] if path == self.path else self.files.begin(path)

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        return path == self.path or self.files.exists(path)

    def paths(self, below: str = "") -> Listing:
        """The YAML files below a folder."""
        return self.files.paths(below)
