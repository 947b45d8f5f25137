"""The groups of a pack, read one by one."""

from __future__ import annotations

import pytest
from gonogo.quantities import cell_groups
from gonogo.quantities.operand import NotWorked

GROUPS_V = (3.31, 3.3, 2.9, 3.31)


def test_groups_are_counted_and_added_up() -> None:
    """Their sum is what the pack reads, and their count that of the cells in series."""
    assert cell_groups.cell_group_count(GROUPS_V) == 4
    assert cell_groups.cell_groups_sum(GROUPS_V) == pytest.approx(12.82)


def test_the_spread_is_from_the_emptiest_to_the_fullest() -> None:
    """One group that lags is enough, wherever it lies."""
    ends = cell_groups.max_cell_group(GROUPS_V), cell_groups.min_cell_group(GROUPS_V)
    assert ends == (3.31, 2.9)
    assert cell_groups.cell_group_spread(*ends) == pytest.approx(0.41)


def test_groups_are_named_from_the_negative_end() -> None:
    """Who opens the pack looks for the group by its number."""
    assert cell_groups.emptiest_cell_group(GROUPS_V) == "group 3"
    assert cell_groups.fullest_cell_group(GROUPS_V) == "groups 1 and 4"
    assert (
        cell_groups.cell_groups_below_minimum((2.0,) * 6, 2.5, 1.0)
        == "groups 1, 2, 3, 4 and 2 more"
    )
    assert cell_groups.cell_groups_below_minimum(GROUPS_V, 2.5, 1.0) == "no group"


def test_a_block_of_six_cells_may_differ_by_six_times_as_much() -> None:
    """A 12 V block adds up what its cells differ by."""
    block_V = cell_groups.allowed_spread("lead_acid", cell_groups.cells_per_group(24, 4))
    assert block_V == pytest.approx(6 * cell_groups.allowed_spread("lead_acid", 1.0))


def test_lfp_is_allowed_more_just_off_the_charger() -> None:
    """Its voltage is steep near full, and flat below."""
    full_V = cell_groups.allowed_spread("lfp", 1.0, "full")
    assert full_V > cell_groups.allowed_spread("lfp", 1.0, "part")


def test_a_chemistry_that_nobody_knows_allows_nothing() -> None:
    """It stays open instead."""
    with pytest.raises(NotWorked):
        cell_groups.allowed_spread("unheard_of", 1.0)
