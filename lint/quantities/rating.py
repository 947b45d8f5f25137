"""What the pack bears: amperes out and in, of cells and protection board together."""

from __future__ import annotations

from .worked import worked


@worked(
    "pack.cells_continuous_A",
    "A",
    parallel="pack.parallel",
    cell_A="pack.cell.continuous_A",
    source="Cells in parallel share the current.",
)
def cells_continuous(parallel: float, cell_A: float) -> float:
    """Amperes that the cells give for as long as they last, shared evenly.

    >>> cells_continuous(6, 20.0)
    120.0
    """
    return parallel * cell_A


@worked(
    "pack.cells_peak_A",
    "A",
    parallel="pack.parallel",
    cell_A="pack.cell.peak_A",
    source="Cells in parallel share the current.",
)
def cells_peak(parallel: float, cell_A: float) -> float:
    """Amperes that the cells give for the seconds their datasheet allows.

    >>> cells_peak(6, 35.0)
    210.0
    """
    return parallel * cell_A


@worked(
    "pack.cells_charge_A",
    "A",
    parallel="pack.parallel",
    cell_A="pack.cell.charge_A",
    source="Cells in parallel share the current.",
)
def cells_charge(parallel: float, cell_A: float) -> float:
    """Amperes that the cells take while they are charged, inside their charging window.

    >>> cells_charge(6, 4.0)
    24.0
    """
    return parallel * cell_A


@worked(
    "pack.continuous_A",
    "A",
    cells_A="pack.cells_continuous_A",
    board_A="pack.bms.continuous_A",
    combine="least",
    source="The weakest part in series sets the current.",
)
def continuous(cells_A: float, board_A: float) -> float:
    """Amperes that cells and protection board both bear continuously.

    >>> continuous(120.0, 100.0)
    100.0
    """
    return min(cells_A, board_A)


@worked(
    "pack.peak_A",
    "A",
    cells_A="pack.cells_peak_A",
    board_A="pack.bms.trip_A",
    combine="least",
    source="The weakest part in series sets the current.",
)
def peak(cells_A: float, board_A: float) -> float:
    """Amperes for seconds, before the cells suffer or the board opens.

    >>> peak(210.0, 250.0)
    210.0
    """
    return min(cells_A, board_A)


@worked(
    "pack.charge_A",
    "A",
    cells_A="pack.cells_charge_A",
    board_A="pack.bms.charge_A",
    combine="least",
    source="The weakest part in series sets the current.",
)
def charge(cells_A: float, board_A: float) -> float:
    """Amperes into the pack that cells and board both bear.

    >>> charge(24.0, 30.0)
    24.0
    """
    return min(cells_A, board_A)
