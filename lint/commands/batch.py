"""The batch: many items worked on by one process or several, and all that they came to gathered."""

from __future__ import annotations

import gc
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from typing import Generic, NamedTuple, Protocol, TypeVar

from ..documents.error import DocumentError
from ..documents.known import Known
from ..documents.repository import Repository
from ..documents.trial_values import TrialEntry
from ..judgement.catalogue import catalogue
from ..judgement.rule import Stage
from ..judgement.site_rules import Shop, shop_of
from ..reports.check_totals import Unread
from ..reports.layout import Page
from .progress import Done, progress, unseen

SAFE_PATH = "PYTHONSAFEPATH"
MOST_IN_STRETCH = 500  # items that a process hands over at once
STRETCHES = 4  # a process, so that there is something to show before the end

Item_contra = TypeVar("Item_contra", contravariant=True)
Kept_co = TypeVar("Kept_co", covariant=True)
Work = TypeVar("Work")
Kept = TypeVar("Kept")


class Order(NamedTuple):
    """What is asked about each item, whichever process works on it; `against` for a whole tree.

    With `trials` the answer is none about the files as they are. `known` is the list of known findings
    that each is held against; for the page of a shop `within_days` says what is due soon, and `commits`
    how many the trend has.
    """

    form: str
    page: Page
    judged_on: str
    strict: bool
    against: str | None = None
    stage: Stage = "ride"
    trials: tuple[TrialEntry, ...] = ()
    known: Known | None = None
    within_days: int = 0
    commits: int = 0


class Result(NamedTuple, Generic[Kept_co]):
    """What an item came to: its share of the report, if it has one, and what could not be read.

    `file` is the profile's name, for the errors to say which profiles wait for them.
    """

    file: str
    share: Kept_co | None
    errors: tuple[DocumentError, ...] = ()


class Worker(Protocol[Item_contra, Kept_co]):
    """Works on items one after the other, and keeps what they have in common."""

    def result(self, item: Item_contra, /) -> Result[Kept_co]: ...


COLLECTED_AFTER = (
    150_000  # objects, as in a process of the command's own; one of several may be none
)


class Shops:
    """Each shop's rules, gathered once."""

    def __init__(self) -> None:
        self._shops: dict[int, tuple[Repository, Shop]] = {}

    def of(self, repository: Repository) -> Shop:
        """The rules by which the profiles of a repository are judged."""
        known = self._shops.get(id(repository))
        if known is None:
            known = self._shops[id(repository)] = (repository, shop_of(repository))
        return known[1]


def results(
    items: Sequence[Work],
    order: Order,
    worker: Callable[[Order], Worker[Work, Kept]],
    jobs: int,
    worth_a_process: int,
) -> list[Result[Kept]]:
    """What each item comes to, in their order, by as many processes as pay for themselves.

    A process takes longer to start than fewer than `worth_a_process` items take. `worker` makes
    one for an order; it goes to another process by its name.
    """
    with progress(len(items), "profiles", order.page.quiet) as done:
        return list(in_turn(items, order, worker, jobs, worth_a_process, done))


def in_turn(
    items: Sequence[Work],
    order: Order,
    worker: Callable[[Order], Worker[Work, Kept]],
    jobs: int,
    worth_a_process: int,
    done: Done,
) -> Iterator[Result[Kept]]:
    """The same one by one, none of them kept here; `done` is told how many there were more."""
    workers = min(jobs, len(items) // worth_a_process)
    if workers < 2:
        yield from _one_by_one(items, worker(order), done)
        return
    from concurrent.futures import ProcessPoolExecutor

    catalogue()  # once, before the processes part
    parts = workers * STRETCHES if done is not unseen else workers
    parts = max(parts, -(-len(items) // MOST_IN_STRETCH))
    ends = [len(items) * number // parts for number in range(parts + 1)]
    with _nothing_imported_from_here(), ProcessPoolExecutor(workers) as pool:
        waiting = deque(
            pool.submit(_stretch, items[start:end], order, worker) for start, end in pairwise(ends)
        )
        while waiting:
            yield from _counted(waiting.popleft().result(), done)


@contextmanager
def _nothing_imported_from_here() -> Iterator[None]:
    """Keeps a process that starts anew from importing what lies in the working folder, a stranger's."""
    before = os.environ.get(SAFE_PATH)
    os.environ[SAFE_PATH] = "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[SAFE_PATH]
        else:
            os.environ[SAFE_PATH] = before


def _stretch(
    items: Sequence[Work], order: Order, worker: Callable[[Order], Worker[Work, Kept]]
) -> list[Result[Kept]]:
    return list(_one_by_one(items, worker(order), unseen))


def _one_by_one(
    items: Iterable[Work], worker: Worker[Work, Kept], done: Callable[[int], None]
) -> Iterator[Result[Kept]]:
    with _seldom_collecting():
        for item in items:
            yield worker.result(item)
            done(1)


@contextmanager
def _seldom_collecting() -> Iterator[None]:
    """Looks for circles of objects as seldom as the command does; all the time it costs a tenth."""
    before = gc.get_threshold()
    gc.set_threshold(max(before[0], COLLECTED_AFTER), *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)


def _counted(results: list[Result[Kept]], done: Callable[[int], None]) -> list[Result[Kept]]:
    done(len(results))
    return results


def unread(met: Iterable[tuple[DocumentError, str | None]]) -> tuple[Unread, ...]:
    """Each error once, by its place, with the profiles that met it."""
    errors: dict[tuple[str, int, int, str], DocumentError] = {}
    affected: dict[tuple[str, int, int, str], list[str]] = {}
    for error, file in met:
        key = (error.file, error.line, error.column, error.message)
        errors.setdefault(key, error)
        names = affected.setdefault(key, [])
        if file is not None and file not in names:
            names.append(file)
    return tuple(
        Unread(
            file=error.file,
            line=error.line,
            column=error.column,
            found=error.found,
            wanted=error.wanted,
            message=error.message,
            affects=tuple(affected[key]),
            nearest=error.nearest,
            text=error.text,
            became=getattr(error, "became", ""),
        )
        for key, error in sorted(errors.items(), key=lambda entry: entry[0])
    )
