"""Pieces: what several rules allow together, and the smallest set of them that allows nothing."""

from __future__ import annotations

import pytest
from gonogo.judgement.sweep import Piece, conflict_of, overlap

WHOLE = (0, 100)


@pytest.mark.parametrize(
    ("sets", "shared"),
    [
        pytest.param([], [(0, 100)], id="no rule allows the whole range"),
        pytest.param([[(0, 50)], [(50, 100)]], [(50, 50)], id="one step is enough"),
        pytest.param([[(0, 50)], [(51, 100)]], [], id="neighbours share nothing"),
        pytest.param([[(0, 20), (40, 60)], [(10, 50)]], [(10, 20), (40, 50)], id="two pieces"),
    ],
)
def test_rules_share_the_steps_that_each_allows(
    sets: list[list[Piece]], shared: list[Piece]
) -> None:
    """A window is what is left when everybody has spoken."""
    assert overlap(sets, WHOLE) == shared


@pytest.mark.parametrize(
    ("allowed", "names"),
    [
        pytest.param({"a": [(0, 60)], "b": [(40, 100)]}, (), id="all can hold"),
        pytest.param(
            {"a": [(0, 9)], "b": [(0, 90)], "c": [(10, 100)]}, ("a", "c"), id="a pair of three"
        ),
        pytest.param(
            {
                "a": [(0, 9), (20, 29)],
                "b": [(0, 9), (30, 39)],
                "c": [(20, 29), (30, 39)],
                "d": [(0, 100)],
            },
            ("a", "b", "c"),
            id="three, of which any two can hold",
        ),
        pytest.param({"a": []}, ("a",), id="one that nothing satisfies"),
        pytest.param(
            {
                "wide": [(0, 100)],
                "a": [(10, 100)],
                "b": [(0, 9), (20, 100)],
                "also wide": [(0, 100)],
                "c": [(0, 19), (30, 100)],
                "d": [(0, 29)],
            },
            ("a", "b", "c", "d"),
            id="four, of which any three can hold",
        ),
    ],
)
def test_the_smallest_clash_is_named(
    allowed: dict[str, list[Piece]], names: tuple[str, ...]
) -> None:
    """Two rules to argue about, not ten."""
    assert conflict_of(allowed, WHOLE) == names
