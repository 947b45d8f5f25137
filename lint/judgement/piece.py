"""Pieces of a setting's range, in entry steps: what several rules allow together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations

# From the first to the last step of a run, both allowed.
Piece = tuple[int, int]
SMALL = 3  # sets of rules up to this size are tried one by one


def overlap(sets: Iterable[Sequence[Piece]], whole: Piece) -> list[Piece]:
    """The steps that all sets of pieces share.

    >>> overlap([[(1, 5), (8, 9)], [(4, 8)]], (0, 10))
    [(4, 5), (8, 8)]
    """
    shared = [whole]
    for pieces in sets:
        shared = [
            (max(a, c), min(b, d)) for a, b in shared for c, d in pieces if max(a, c) <= min(b, d)
        ]
    return shared


def clash(allowed: Mapping[str, Sequence[Piece]], whole: Piece) -> tuple[str, ...]:
    """The smallest set of rules that leave no step between them; empty where all can hold.

    >>> clash({"high": [(0, 4)], "wide": [(0, 9)], "low": [(5, 9)]}, (0, 9))
    ('high', 'low')
    """
    if overlap(allowed.values(), whole):
        return ()
    for size in range(1, SMALL + 1):
        for names in combinations(allowed, size):
            if not overlap([allowed[name] for name in names], whole):
                return names
    needed = dict(allowed)
    for name in allowed:
        fewer = {kept: pieces for kept, pieces in needed.items() if kept != name}
        if not overlap(fewer.values(), whole):
            needed = fewer
    return tuple(needed)
