"""The long texts of many results, put away in a temporary file until the report is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import IO, NamedTuple

from ..reports.profile_share import Share
from .batch import Result


class Spooled(NamedTuple):
    """A text that lies in a file, from a byte on; as `str` it is read."""

    file: IO[bytes]
    start: int
    length: int

    def __str__(self) -> str:
        self.file.seek(self.start)
        return self.file.read(self.length).decode("utf-8", "surrogatepass")


@contextmanager
def put_away(results: Iterable[Result[Share]], is_worth: bool) -> Iterator[list[Result[Share]]]:
    """The results in a list; where it `is_worth` it, their bodies lie in a file as long as they are asked for.

    Where no such file can be made or filled, they stay in memory.
    """
    if not is_worth:
        yield list(results)
        return
    from tempfile import TemporaryFile  # late: it takes long to load

    try:
        file = TemporaryFile(buffering=0, prefix="gonogo-")  # noqa: SIM115
    except OSError:
        yield list(results)
        return
    with file:
        yield [_slim(result, file) for result in results]


def _slim(result: Result[Share], file: IO[bytes]) -> Result[Share]:
    share = result.share
    if share is None:
        return result
    data = str(share.body).encode("utf-8", "surrogatepass")
    try:
        start = file.seek(0, 2)
        if file.write(data) < len(data):
            return result
    except OSError:
        return result
    return result._replace(share=share._replace(body=Spooled(file, start, len(data))))
