"""What to do about what is missing: an instruction for each quantity that a stage waits for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from ..documents.schema import canonical
from ..expressions.names import with_article
from .finding import Judgement, NotChecked
from .rule import Stage
from .verdict import reached

READINGS = "readings."


@lru_cache(maxsize=512)
def ask_of(name: str) -> str:
    """An instruction, and the key under which the answer is entered.

    >>> ask_of("settings.battery_current_A")
    'enter the battery current limit (settings.battery_current_A)'
    """
    entry = canonical().get(name)
    what = entry.ask if entry is not None else ""
    return f"{what or f'enter {with_article(name)}'} ({name})"


def in_order(names: Iterable[str]) -> list[str]:
    """Names as the schema has them, which is the order in which a vehicle is brought up."""
    order = {name: number for number, name in enumerate(canonical())}
    return sorted(set(names), key=lambda name: (order.get(name, len(order)), name))


def open_gates(waiting: Iterable[NotChecked], stage: Stage) -> list[NotChecked]:
    """The rules that keep a stage from its verdict."""
    return [entry for entry in waiting if reached(entry.gate, stage)]


def short_of(waiting: Iterable[NotChecked], stage: Stage) -> list[str]:
    """The quantities that a stage still waits for."""
    return in_order(name for gate in open_gates(waiting, stage) for name in gate.missing)


def fitness(judgement: Judgement) -> str:
    """What the vehicle is fit for, and how far it is from what it is not, in one line."""
    stand, ride = judgement.stages["stand"], judgement.stages["ride"]
    if stand == "no-go":
        return "not fit for the stand"
    if stand == "incomplete":
        words = f"{_amounts(judgement, 'stand')} short of the stand"
        return f"{words}, not fit for a ride" if ride == "no-go" else words
    if ride == "no-go":
        return "fit for the stand, not for a ride"
    if ride == "incomplete":
        return f"fit for the stand; {_amounts(judgement, 'ride')} short of a ride"
    return "fit for the stand and the ride"


def _amounts(judgement: Judgement, stage: Stage) -> str:
    """How many readings and entries are missing: `6 readings and 1 entry`."""
    names = short_of(judgement.not_checked, stage)
    readings = sum(name.startswith(READINGS) for name in names)
    amounts = [(readings, "reading", "readings"), (len(names) - readings, "entry", "entries")]
    words = [f"{count} {one if count == 1 else many}" for count, one, many in amounts if count]
    return " and ".join(words) or "one check"
