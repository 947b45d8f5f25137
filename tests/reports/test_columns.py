"""Tables on a screen: columns stay in line, names whole, and paths can be told apart."""

from __future__ import annotations

import re

import pytest
from gonogo.reports.columns import table_lines
from gonogo.reports.layout import Page
from gonogo.reports.prose import names_apart, printed
from gonogo.reports.section import Table
from rich.cells import cell_len

QUANTITIES = (
    ("pack.full_V", "87.6 V", "full pack voltage"),
    ("pack.voltages_given", "minimum 60 V, nominal 76.8 V, full 87.6 V", "pack voltages entered"),
    ("motor.torque_constant_Nm_per_A_rms", "0.2437 Nm/A rms", "torque constant"),
    ("wiring.phase_cable_section_most_A", "328.6 A rms", "largest current of the section"),
    ("motor.kv_basis_fits", "V peak line-to-line", "likely basis of the speed constant"),
)
CHANGES = (
    ("", "downhill-back-emf", "1516.5 → −1243.5 rpm", "at most 6116.5 rpm"),
    ("", "low-voltage-taper-at-half-full", "2.58 → 1.642 V", "less than 53.14 V"),
    ("", "battery-current-above-fuse", "5 → −15 A", "at most 80 A"),
    ("", "max_rpm", "4000 → 6400 rpm electrical", "+2400, 240 steps, +60%"),
)
PATHS = [
    f"revisions/{change}/{side}.yaml"
    for change in ("bigger-pack", "hotter-tune", "motor-exchanged", "throttle-exchanged")
    for side in ("before", "after")
]
WIDTHS = (50, 80, 120)


def set_out(table: Table, width: int) -> list[str]:
    """The lines of a table on a page."""
    page = Page(width=min(width, 80), full=width, seen=True)
    return printed(table_lines(table, 13, page), page)


def quantities() -> Table:
    """A headed table with words at its end."""
    rows = tuple(((name,), (value,), (words,)) for name, value, words in QUANTITIES)
    heads = ("quantity", "value", "what it is")
    return Table(heads, rows, labels=False, right=(1,), headed=True)


@pytest.mark.parametrize("width", WIDTHS)
def test_words_at_the_end_begin_in_one_column(width: int) -> None:
    """A row that leaves its columns is read as another kind of row."""
    head, *lines = set_out(quantities(), width)
    column = head.index("what it is")
    firsts = [words.split()[0] for _, _, words in QUANTITIES]
    begun = [re.search(rf"(?<= ){first}(?= |$)", line) for line in lines for first in firsts]
    assert len([found for found in begun if found and found.start() == column]) == len(firsts)


@pytest.mark.parametrize("width", WIDTHS)
def test_no_name_is_broken_that_fits_a_line(width: int) -> None:
    """Half a name can neither be searched for nor copied."""
    for names, table in ((QUANTITIES, quantities()), (CHANGES, changes())):
        lines = set_out(table, width)
        assert max(map(cell_len, lines)) <= width
        for row in names:
            name = row[0] or row[1]
            assert any(name in line.split() for line in lines), (width, name)


def changes() -> Table:
    """A table without heads, its labels in the margin."""
    rows = tuple(tuple((cell,) for cell in cells) for cells in CHANGES)
    return Table(("way", "rule", "margin", "limit"), rows)


def test_cells_that_go_on_below_stay_in_their_columns() -> None:
    """A value that hangs below its name is found where the others are."""
    lines = set_out(changes(), 80)
    starts = {line.index(cells[2]) for cells in CHANGES[:3] for line in lines if cells[2] in line}
    assert len(starts) == 1


@pytest.mark.parametrize("most", [16, 20, 28, 40])
def test_no_two_paths_are_cut_to_the_same(most: int) -> None:
    """Two rows of one name leave the reader to guess which vehicle may ride."""
    cut = names_apart(PATHS, 12, most)
    assert len(set(cut)) == len(PATHS)
    assert max(map(cell_len, cut)) <= most


def test_names_of_vehicles_that_begin_alike_are_told_apart() -> None:
    """The end of a name is often what differs."""
    names = ["Workshop delivery trike, front", "Workshop delivery trike, rear"]
    cut = names_apart(names, 12, 14)
    assert len(set(cut)) == 2 and max(map(cell_len, cut)) <= 14
