"""Which revisions a call of `gonogo diff` puts side by side."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ..documents.error import UsageError
from .output import shown_from
from .pair import Pair, Pairing
from .pairing import against_revision
from .range_pairing import compared_range, compared_staged
from .revisions import revision_range
from .sides import both_sides, by_path_alone, last_commit, side_of

FORMS_OF_CALL = (
    "`gonogo diff OLD NEW`, `gonogo diff PROFILE`, `gonogo diff --against REV [PATH…]`, "
    "`gonogo diff REV..REV [PATH…]` or `gonogo diff --staged [PATH…]`"
)
PLACES_ALONE = ("sarif", "lines")  # formats whose readers know no revision before a path


class AskedSides(NamedTuple):
    """What a call asks for: sides or, in a tree, paths; `is_trial` where values are tried on the new one."""

    sides: Sequence[str]
    against: str | None
    staged: bool
    is_trial: bool
    here: Path
    form: str


def pairing_of(asked: AskedSides, judged_on: str) -> Pairing:
    """The revisions that stand side by side, by the form of the call; raises UsageError."""
    if asked.staged:
        _refuse_beside_staged(asked)
        paths = list(map(Path, asked.sides or (".",)))
        return compared_staged(paths, asked.here, judged_on, asked.form in PLACES_ALONE)
    if asked.is_trial:
        return _to_try(asked)
    if asked.against is not None:
        paths = [asked.here / side for side in asked.sides or (".",)]
        start = shown_from(paths, asked.form, asked.here)
        return against_revision(asked.against, paths, judged_on, start)
    span = revision_range(asked.sides[0], asked.here) if asked.sides else None
    if span is not None:
        paths = list(map(Path, asked.sides[1:] or (".",)))
        return compared_range(span, paths, asked.here, judged_on, asked.form in PLACES_ALONE)
    return Pairing((_one_pair(asked),))


def _refuse_beside_staged(asked: AskedSides) -> None:
    """Raise UsageError where what is staged is to be held against anything but the last commit."""
    if asked.against is not None:
        raise UsageError("--staged compares with the last commit: expected it without --against.")
    if asked.is_trial:
        raise UsageError("--staged compares files as they are: expected it without --set.")
    for side in asked.sides:
        if revision_range(side, asked.here) is not None:
            raise UsageError(f"--staged compares with the last commit: expected it without {side}.")


def _one_pair(asked: AskedSides) -> Pair:
    """One vehicle, of two files or of one and the last commit."""
    sides, here, form = asked.sides, asked.here, asked.form
    if len(sides) == 1:
        name = sides[0]
        path = here / name
        if ":" in name and not os.path.exists(path):
            raise UsageError(f"{name} is one side alone; expected {FORMS_OF_CALL}.")
        return Pair(*last_commit(path, shown_from([path], form, here)))
    if len(sides) == 2:
        before, after = both_sides(sides[0], sides[1], here, _start(asked))
        return Pair(before, by_path_alone(after) if form in PLACES_ALONE else after)
    raise UsageError(f"{len(sides)} sides: expected {FORMS_OF_CALL}.")


def _start(asked: AskedSides) -> Path | None:
    """Where names of the sides' files start: for machines git's top of the new side, else of the old one."""
    there = [asked.here / side for side in asked.sides if os.path.lexists(asked.here / side)]
    starts = (shown_from([path], asked.form, asked.here) for path in reversed(there))
    return next((start for start in starts if start is not None), None)


def _to_try(asked: AskedSides) -> Pairing:
    """The sides where values are tried on the new one; of a file alone, itself without them."""
    sides, here = asked.sides, asked.here
    if asked.against is None and len(sides) == 1 and revision_range(sides[0], here) is None:
        side = side_of(sides[0], here, _start(asked))
        return Pairing((Pair(side, side),))
    if asked.against is None and len(sides) == 2:
        return Pairing((Pair(*both_sides(sides[0], sides[1], here, _start(asked))),))
    raise UsageError("--set tries values on one profile: expected a PROFILE, or OLD and NEW.")
