"""Changes in chapters: settings, each mode, the build, readings, and the papers."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from ..comparison.change import Change
from ..comparison.statement import SET
from ..comparison.subsystem import Sort
from ..documents.dataclass import dataclass

TITLES: dict[Sort, str] = {
    "setting": "Settings",
    "build": "The build",
    "reading": "Readings",
    "paper": "House file and waivers",
}


@dataclass(frozen=True, slots=True)
class Chapter:
    """Changes under one title, in the order of the subsystems."""

    title: str
    changes: tuple[Change, ...]


def chapters(changes: Iterable[Change]) -> list[Chapter]:
    """All changes that are more than spelling, under their titles; a new mode says so in its own."""
    real = [change for change in changes if change.kind != "respelt"]
    found = []
    for (sort, mode), group in groupby(real, lambda change: (change.sort, change.mode)):
        held = tuple(group)
        if sort == "setting" and mode:
            found.append(_of_mode(mode, held))
        else:
            found.append(Chapter(TITLES[sort], held))
    return found


def _of_mode(mode: str, changes: tuple[Change, ...]) -> Chapter:
    whole = next((change for change in changes if change.quantity == f"modes.{mode}"), None)
    rest = tuple(change for change in changes if change is not whole)
    if whole is None:
        return Chapter(f"Mode {mode}", rest)
    return Chapter(f"Mode {mode}, {'new' if whole.new == SET else 'gone'}", rest)
