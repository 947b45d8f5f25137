"""The cell groups of a pack as they were read one by one: how many, how low, how high, how far apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from ..tables.table import column
from .operand import NotWorked
from .worked import worked

SERIES = "Cells in series add their voltages."
SAME_V = 0.0005  # two groups that a meter shows alike


@worked(
    "readings.cell_group_count",
    "",
    title="count of cell groups read",
    groups_V="readings.cell_groups_V",
    words="how many of groups_V there are",
    source="The readings.",
)
def cell_group_count(groups_V: Sequence[float]) -> int:
    """Number of groups that were read.

    >>> cell_group_count([4.1, 4.1, 4.09])
    3
    """
    return len(groups_V)


@worked(
    "readings.cells_per_group",
    "",
    title="cells in series in each group read",
    series="pack.series",
    count="readings.cell_group_count",
    formula="series / count",
    source="A lead-acid block has several cells in series; any other group is one cell.",
)
def cells_per_group(series: float, count: float) -> float:
    """Cells in series in each group that was read: 1, or of a 12 V block 6.

    >>> cells_per_group(24, 4)
    6.0
    """
    return series / count


@worked(
    "readings.cell_groups_sum_V",
    "V",
    title="sum of the cell group readings",
    groups_V="readings.cell_groups_V",
    words="the groups_V added up",
    source=SERIES,
)
def cell_groups_sum(groups_V: Sequence[float]) -> float:
    """Voltage of the whole pack, if every group was read.

    >>> round(cell_groups_sum([4.1, 4.1, 4.0]), 3)
    12.2
    """
    return float(sum(groups_V))


@worked(
    "readings.min_cell_group_V",
    "V",
    title="lowest cell group reading",
    groups_V="readings.cell_groups_V",
    formula="min(groups_V)",
    source="The readings.",
)
def min_cell_group(groups_V: Sequence[float]) -> float:
    """Voltage of the emptiest group.

    >>> min_cell_group([4.1, 3.2, 4.0])
    3.2
    """
    return min(groups_V)


@worked(
    "readings.max_cell_group_V",
    "V",
    title="highest cell group reading",
    groups_V="readings.cell_groups_V",
    formula="max(groups_V)",
    source="The readings.",
)
def max_cell_group(groups_V: Sequence[float]) -> float:
    """Voltage of the fullest group.

    >>> max_cell_group([4.1, 3.2, 4.0])
    4.1
    """
    return max(groups_V)


@worked(
    "readings.cell_group_spread_V",
    "V",
    title="spread of the cell groups",
    max_V="readings.max_cell_group_V",
    min_V="readings.min_cell_group_V",
    formula="max_V - min_V",
    source="Definition.",
)
def cell_group_spread(max_V: float, min_V: float) -> float:
    """How far the groups are apart at rest; of lfp in the middle of its charge it hides what they hold.

    >>> round(cell_group_spread(4.1, 4.05), 3)
    0.05
    """
    return max_V - min_V


@worked(
    "readings.cell_group_allowed_spread_V",
    "V",
    title="allowed spread of the cell groups",
    chemistry="pack.cell.chemistry",
    cells="readings.cells_per_group",
    state="readings.pack_state",
    words="table value for chemistry, just off the charger where state is full, times cells",
    source="Table of chemistries: common practice, no source.",
)
def allowed_spread(chemistry: str, cells: float, state: str = "part") -> float:
    """How far the groups of a sound pack differ, at rest or just off the charger.

    >>> allowed_spread("lfp", 1), allowed_spread("lfp", 1, "full")
    (0.05, 0.15)
    """
    key = "full_spread_V" if state == "full" else "rest_spread_V"
    value = column("chemistries", "chemistry", key).get(chemistry)
    if value is None:
        raise NotWorked(f"the chemistry {chemistry} has no such figure")
    return float(value) * cells


@worked(
    "readings.emptiest_cell_group",
    "",
    title="emptiest cell group",
    groups_V="readings.cell_groups_V",
    returns="text",
    words="which of groups_V have the least voltage, counted from the negative end",
    source="The readings.",
)
def emptiest_cell_group(groups_V: Sequence[float]) -> str:
    """The emptiest group, or groups, by number.

    >>> emptiest_cell_group([4.1, 3.2, 4.0, 3.2])
    'groups 2 and 4'
    """
    return _numbered(groups_V, min(groups_V))


@worked(
    "readings.fullest_cell_group",
    "",
    title="fullest cell group",
    groups_V="readings.cell_groups_V",
    returns="text",
    words="which of groups_V have the greatest voltage, counted from the negative end",
    source="The readings.",
)
def fullest_cell_group(groups_V: Sequence[float]) -> str:
    """The fullest group, or groups, by number.

    >>> fullest_cell_group([4.1, 3.2, 4.0, 3.2])
    'group 1'
    """
    return _numbered(groups_V, max(groups_V))


@worked(
    "readings.cell_groups_below_minimum",
    "",
    title="cell groups below their minimum",
    groups_V="readings.cell_groups_V",
    cell_V="pack.cell_minimum_V",
    cells="readings.cells_per_group",
    returns="text",
    words="which of groups_V are below cell_V × cells, counted from the negative end",
    source=SERIES,
)
def cell_groups_below_minimum(groups_V: Sequence[float], cell_V: float, cells: float) -> str:
    """The groups that are emptier than their cells withstand, by number.

    >>> cell_groups_below_minimum([3.4, 2.1, 3.4, 2.2], 2.8, 1.0)
    'groups 2 and 4'
    """
    below = [at for at, group_V in enumerate(groups_V, start=1) if group_V < cell_V * cells]
    return _worded(below) if below else "no group"


@worked(
    "readings.open_sense_wire",
    "",
    title="cell groups around a wire that may be open",
    groups_V="readings.cell_groups_V",
    spread_V="readings.cell_group_allowed_spread_V",
    returns="text",
    words=(
        "the first neighbours of groups_V of which one is above and one below the middle value of all by "
        "more than spread_V, and whose mean is within spread_V of it"
    ),
    source="Two groups in series share the wire between them: where it is open, only their sum is read.",
)
def open_sense_wire(groups_V: Sequence[float], spread_V: float) -> str:
    """The two neighbours whose sum is right though each reads wrong; `none` without such.

    A single group that is low has no neighbour as much too high.

    >>> open_sense_wire([3.35, 3.35, 0.0, 6.7, 3.35, 3.35], 0.05)
    'groups 3 and 4'
    >>> open_sense_wire([3.35, 3.35, 2.1, 3.35, 3.35, 3.35], 0.05)
    'none'
    """
    from statistics import median  # a heavy import, for a reading that few have

    middle_V = median(groups_V)
    off = [group_V - middle_V for group_V in groups_V]
    for at, (one, other) in enumerate(pairwise(off), start=1):
        apart = min(abs(one), abs(other)) > spread_V and (one > 0.0) != (other > 0.0)
        if apart and abs(one + other) / 2.0 <= spread_V:
            return _worded((at, at + 1))
    return "none"


def _numbered(groups_V: Sequence[float], wanted_V: float) -> str:
    return _worded(
        at for at, group_V in enumerate(groups_V, start=1) if abs(group_V - wanted_V) < SAME_V
    )


def _worded(numbers: Iterable[int]) -> str:
    """Numbers of groups as a sentence has them; of more than five the first four and how many more."""
    several = [str(one) for one in numbers]
    if len(several) == 1:
        return f"group {several[0]}"
    if len(several) > 5:
        return f"groups {', '.join(several[:4])} and {len(several) - 4} more"
    return f"groups {', '.join(several[:-1])} and {several[-1]}"
