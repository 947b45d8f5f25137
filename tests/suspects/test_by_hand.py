"""Slips as a workshop makes them, none of them made from the table: named first, or at least nobody else."""

from __future__ import annotations

from pathlib import Path

from .by_hand import asked_about, hand_slips, told_of

EVERY = list(hand_slips())
# Of each class the first two that make a finding, of the batch that was kept back.
CHOSEN = [
    one
    for sort in dict.fromkeys(each.sort for each in EVERY)
    for one in [each for each in EVERY if each.sort == sort and each.batch == 2][:2]
]


def test_the_entry_that_is_wrong_is_named_first(tmp_path: Path) -> None:
    """A builder who trusts the page looks at the entry that he mistyped, and is sent to no other."""
    told = {one: told_of(one, asked_about(one, tmp_path)) for one in CHOSEN}
    found = [one for one, place in told.items() if place not in ("no finding", "refused")]
    missed = [one for one in found if told[one] != "first"]
    assert len(found) >= 20 and len(missed) <= 0.1 * len(found), missed
    assert "misleading" not in told.values(), told


def test_there_are_enough_of_each_class() -> None:
    """Sixty and more, thirteen classes of them, each in three vehicles or more."""
    assert len(EVERY) >= 60
    for sort in {one.sort for one in EVERY}:
        assert len({one.vehicle for one in EVERY if one.sort == sort}) >= 3, sort
