"""How far a long work is, for somebody who waits at a terminal; nobody else sees anything of it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

WORTH_SHOWING = 50  # items, from which on somebody would wait

Done = Callable[[int], None]


def unseen(_count: int) -> None:
    """Nobody watches."""


@contextmanager
def progress(whole: int, items: str, quiet: bool = False) -> Iterator[Done]:
    """A line on the error stream that says how many of the `items` are done, gone when all are.

    It is there only on a terminal, where there are enough to wait for: not in a file, a pipe or a
    build's log, and not where `quiet` was asked for.
    """
    if quiet or whole < WORTH_SHOWING or not _is_watched():
        yield unseen
        return
    from rich.console import Console  # late: most work is done at once
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (TextColumn(" {task.description}"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as line:
        task = line.add_task(items, total=whole)
        yield lambda count: line.advance(task, count)


def _is_watched() -> bool:
    stream = sys.stderr
    return stream is not None and stream.isatty() and os.environ.get("TERM") != "dumb"
