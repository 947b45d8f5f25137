"""Results of many profiles, of which those are taken from the store that cannot have changed."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache, partial
from importlib import import_module
from pathlib import Path
from time import perf_counter
from typing import Any, NamedTuple, TypeVar

from .. import __version__
from ..documents.error import DocumentErrors, UsageError
from ..documents.files import WorkingTree
from ..documents.repository import Repository
from ..documents.search import Listed
from ..judgement.catalogue import catalogue
from ..reports.profile_share import Share
from .batch import Order, Result, Worker, in_turn
from .formats import check_format
from .options import STORE_WORDS
from .progress import Done, progress

TAKEN_AT_ONCE = 500  # profiles for a process, of which results are asked for and put away together
WORTH_A_STORE = 20  # profiles; of fewer the answer is there before the store is
SWITCH = "GONOGO_STORE"
# What reads documents and sets reports, beside gonogo itself.
LIBRARIES = ("ruamel.yaml", "ruamel.yaml.clib", "rich", "jinja2", "markupsafe", "jsonschema")
PLAIN_ORDER = ("form", "page", "judged_on", "strict", "within_days", "commits", "stage")

_Come = TypeVar("_Come")
Inspect = Callable[[Order], Worker[Listed, Any]]


class Watched(NamedTuple):
    """A profile's share with what was asked of the files for it."""

    share: Any
    answers: dict[str, str]


def store_use(word: str) -> str:
    """What to do with the store; the environment may turn it off. Raises UsageError."""
    if word not in STORE_WORDS:
        raise UsageError(f"--store {word}: expected one of {', '.join(STORE_WORDS)}.")
    switched = os.environ.get(SWITCH, "use")
    if switched not in ("use", "off"):
        raise UsageError(f"{SWITCH}={switched}: expected use or off.")
    return "off" if word == "use" and switched == "off" else word


def results_with_store(
    items: Sequence[Listed],
    order: Order,
    inspect: Callable[[Order], Worker[Listed, _Come]],
    jobs: int,
    worth_a_process: int,
    use: str,
    kinds: Sequence[type] = (),
) -> Iterator[Result[_Come]]:
    """What each profile comes to, one by one in their order: from the store, or worked out and put there.

    `kinds` are the record that each comes to and those in it; without them it is that of a check. An order with anything else than the files as they are, such as a value that is only tried, is
    neither answered from the store nor kept in it.
    """
    told = {name: getattr(order, name) for name in PLAIN_ORDER}
    is_plain = Order(**told) == order
    worth_it = use == "clear" or len(items) >= WORTH_A_STORE
    with progress(len(items), "profiles", order.page.quiet) as done:
        if use == "off" or not is_plain or not worth_it:
            yield from in_turn(items, order, inspect, jobs, worth_a_process, done)
            return
        records = kinds or (Share, *getattr(check_format(order.form), "BODY_RECORDS", ()))
        stored = _Stored(items, order, inspect, records)
        yield from stored.results(jobs, worth_a_process, use == "clear", done)


class Watching:
    """A worker that notes what is asked of the files for each profile."""

    def __init__(self, inspect: Inspect, order: Order) -> None:
        self.worker = inspect(order)

    def result(self, item: Listed, /) -> Result[Any]:
        """A profile's share, with the answers where it is one that can be kept."""
        from ..documents.watched import WatchedRepository

        repository = item.repository
        if not isinstance(repository, WatchedRepository):
            return self.worker.result(item)
        with repository.files.gathering() as answers:
            with suppress(DocumentErrors):
                repository.house()  # also of a profile that needs none: one might be put there
            come_to = self.worker.result(item)
        if come_to.share is None or come_to.errors:
            return come_to
        kept = {" ".join(asked): answer for asked, answer in answers.items()}
        return Result(come_to.file, Watched(come_to.share, kept))


class _Stored:
    """One run with the store."""

    def __init__(
        self, items: Sequence[Listed], order: Order, inspect: Inspect, kinds: Sequence[type]
    ) -> None:
        from ..documents.watched import WatchedRepository, under_watch
        from .kept_record import records_of
        from .result_store import ResultStore, store_folder

        self.items, self.order, self.inspect = items, order, inspect
        self.kind, self.records = kinds[0], records_of(*kinds)
        others: dict[int, tuple[Repository, WatchedRepository | None]] = {}
        for item in items:
            if id(item.repository) not in others:
                others[id(item.repository)] = (item.repository, under_watch(item.repository))
        self.watched = [others[id(item.repository)][1] for item in items]
        tops = [one.files.root for _, one in others.values() if one is not None]
        folder = store_folder(os.environ, tops)
        self.store = ResultStore(folder) if folder is not None else None

    def results(
        self, jobs: int, worth_a_process: int, anew: bool, done: Done
    ) -> Iterator[Result[Any]]:
        """The results in the order of the profiles."""
        if self.store is None:
            yield from in_turn(self.items, self.order, self.inspect, jobs, worth_a_process, done)
            return
        if anew:
            self.store.clear()
        keys = self._keys()
        workers = self._workers(jobs)
        at_once = TAKEN_AT_ONCE * jobs
        for start in range(0, len(keys), at_once):
            numbers = range(start, min(start + at_once, len(keys)))
            known = {} if anew else self._known(numbers, keys)
            done(len(known))
            fresh = [number for number in numbers if number not in known]
            items = [self._item(number) for number in fresh]
            found = in_turn(items, self.order, workers, jobs, worth_a_process, done)
            worked = dict(zip(fresh, found, strict=True))
            self._keep({keys[number]: one for number, one in worked.items()})
            yield from (known[n] if n in known else _plain(worked[n]) for n in numbers)

    def _workers(self, jobs: int) -> Callable[[Order], Worker[Listed, Any]]:
        """What makes a worker: alone one for all, which keeps what the profiles have in common."""
        if jobs > 1:
            return partial(Watching, self.inspect)
        worker = Watching(self.inspect, self.order)
        return lambda order: worker

    def _item(self, number: int) -> Listed:
        repository = self.watched[number]
        item = self.items[number]
        return item if repository is None else item._replace(repository=repository)

    def _keys(self) -> list[str]:
        """What each profile's result is kept under: all that it depends on but the files' content."""
        from ..documents.watched import digest_of

        order = {name: getattr(self.order, name) for name in PLAIN_ORDER}
        order["page"] = self.order.page._asdict()
        common = json.dumps([*_tool(), order], sort_keys=True)
        keys = []
        for item in self.items:
            files = item.repository.files
            where = (
                [str(files.root), files.prefix, files.start]
                if isinstance(files, WorkingTree)
                else []
            )
            told = json.dumps([common, where, item.repository.strays, item.path])
            keys.append(digest_of(told.encode()))
        return keys

    def _known(self, numbers: Sequence[int], keys: Sequence[str]) -> dict[int, Result[Any]]:
        """Of those profiles whose files answer as they did, what they came to."""
        from .kept_record import kept_value

        assert self.store is not None
        found = self.store.found([keys[number] for number in numbers if self.watched[number]])
        known: dict[int, Result[Any]] = {}
        for number in numbers:
            kept, repository = found.get(keys[number]), self.watched[number]
            if kept is None or repository is None:
                continue
            began = perf_counter()
            try:
                answers: Mapping[str, str] = json.loads(kept.answers)
                holds = all(
                    repository.files.answer((ask, path)) == answer
                    for (ask, _, path), answer in (
                        (asked.partition(" "), answer) for asked, answer in answers.items()
                    )
                )
                share = kept_value(kept.result, self.records) if holds else None
            except (ValueError, KeyError, AttributeError, TypeError):
                continue
            if not (isinstance(share, self.kind) and answers):
                continue
            if isinstance(share, Share):
                share = share._replace(seconds=perf_counter() - began)
            known[number] = Result(self.items[number].file, share)
        return known

    def _keep(self, worked: Mapping[str, Result[Any]]) -> None:
        from .kept_record import NotPlain, kept_text
        from .result_store import KeptResult

        assert self.store is not None
        kept = {}
        for key, one in worked.items():
            if isinstance(one.share, Watched):
                try:
                    text = kept_text(one.share.share, self.records)
                except NotPlain:
                    continue
                kept[key] = KeptResult(json.dumps(one.share.answers), text)
        self.store.keep(kept)


def _plain(result: Result[Any]) -> Result[Any]:
    return (
        result._replace(share=result.share.share) if isinstance(result.share, Watched) else result
    )


def _tool() -> list[str]:
    """All that answers beside the documents: gonogo's own files, its rules, libraries and Python."""
    return [__version__, catalogue().digest, _code_digest(), sys.version, *map(_version, LIBRARIES)]


def _version(library: str) -> str:
    from importlib.metadata import PackageNotFoundError, version  # heavy, and for a store alone

    try:
        return version(library)
    except PackageNotFoundError:
        return ""


@lru_cache(maxsize=1)
def _code_digest() -> str:
    """What tells this code from any other: the content of every file that comes with gonogo."""
    from hashlib import blake2b

    digest = blake2b(digest_size=20)
    own = str(Path(__file__).parents[1])
    data_of = [import_module(name).__path__ for name in ("gonogo.rules", "gonogo.schemas")]
    for package in (own, *(place for places in data_of for place in places)):
        for folder, below, files in os.walk(package):
            below[:] = sorted(name for name in below if name != "__pycache__")
            for name in sorted(files):
                with open(os.path.join(folder, name), "rb") as file:
                    data = file.read()
                digest.update(b"%d\0%b%d\0" % (len(name), name.encode(), len(data)))
                digest.update(data)
    return digest.hexdigest()
