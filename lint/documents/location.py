"""A place in a document, for the reader to turn to."""

from __future__ import annotations

from .frozen import frozen


@frozen
class Place:
    """A line and column of a file, both counted from 1; columns count characters.

    >>> print(Place("vehicles/larch.yaml", 41, 22))
    vehicles/larch.yaml, line 41, column 22
    """

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}, line {self.line}, column {self.column}"


NOWHERE = Place("", 1, 1)  # of a value that no document gives
