"""The pack: voltage, charge and resistance of its cells, and what cells and BMS allow."""

from __future__ import annotations

import math

from .worked import worked


@worked(
    "pack.cells_continuous_A",
    "A",
    title="continuous current of all cells",
    parallel="pack.parallel",
    cell_A="pack.cell.continuous_A",
    formula="parallel * cell_A",
    source="Cells in parallel share the current.",
)
def cells_continuous(parallel: float, cell_A: float) -> float:
    """Continuous current of the cells, shared evenly.

    >>> cells_continuous(6, 20.0)
    120.0
    """
    return parallel * cell_A


@worked(
    "pack.cells_peak_A",
    "A",
    title="peak current of all cells",
    parallel="pack.parallel",
    cell_A="pack.cell.peak_A",
    formula="parallel * cell_A",
    source="Cells in parallel share the current.",
)
def cells_peak(parallel: float, cell_A: float) -> float:
    """Peak current of the cells, for the time in their datasheet.

    >>> cells_peak(6, 35.0)
    210.0
    """
    return parallel * cell_A


@worked(
    "pack.continuous_A",
    "A",
    title="continuous pack current",
    cells_A="pack.cells_continuous_A",
    bms_A="pack.bms.continuous_A",
    combine="least",
    source="The weakest part in series sets the current.",
)
def continuous(cells_A: float, bms_A: float) -> float:
    """Continuous current that cells and BMS both allow.

    >>> continuous(120.0, 100.0)
    100.0
    """
    return min(cells_A, bms_A)


@worked(
    "pack.bms_under_voltage_V",
    "V",
    title="BMS discharge cutoff",
    series="pack.series",
    cell_V="pack.bms.cell_low_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def bms_under_voltage(series: float, cell_V: float) -> float:
    """Pack voltage at which the BMS disconnects, if all cells are equally empty.

    >>> bms_under_voltage(14, 2.8)
    39.199999999999996
    """
    return series * cell_V


@worked(
    "pack.bms_under_voltage_weakest_V",
    "V",
    title="BMS discharge cutoff with the weakest cell",
    series="pack.series",
    cell_V="pack.bms.cell_low_V",
    spread_V="house.cell_spread_V",
    formula="series * (cell_V + spread_V)",
    source="Cells in series add their voltages; the spread between cells is common practice.",
)
def bms_under_voltage_weakest(series: float, cell_V: float, spread_V: float) -> float:
    """Pack voltage at which the weakest cell already makes the BMS disconnect.

    >>> bms_under_voltage_weakest(20, 2.75, 0.05)
    56.0
    """
    return series * (cell_V + spread_V)


@worked(
    "pack.full_V",
    "V",
    title="full pack voltage",
    series="pack.series",
    cell_V="pack.cell.full_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def full(series: float, cell_V: float) -> float:
    """Voltage of the full pack at rest, where the charger stops.

    >>> full(14, 4.2)
    58.800000000000004
    """
    return series * cell_V


@worked(
    "pack.nominal_V",
    "V",
    title="nominal pack voltage",
    series="pack.series",
    cell_V="pack.cell.nominal_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def nominal(series: float, cell_V: float) -> float:
    """Nominal pack voltage.

    >>> nominal(16, 3.2)
    51.2
    """
    return series * cell_V


@worked(
    "pack.minimum_V",
    "V",
    title="minimum pack voltage",
    series="pack.series",
    cell_V="pack.cell.minimum_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def minimum(series: float, cell_V: float) -> float:
    """Pack voltage below which the cells are damaged, if all of them are equally empty.

    >>> minimum(14, 3.0)
    42.0
    """
    return series * cell_V


@worked(
    "pack.cell_full_V",
    "V",
    title="full cell voltage in use",
    pack_V="pack.full_V",
    series="pack.series",
    cell_V="pack.cell.full_V",
    formula="max(pack_V / series, cell_V)",
    source="Cells in series share the voltage.",
)
def cell_full(pack_V: float, series: float, cell_V: float = 0.0) -> float:
    """Voltage of one full cell: the cell's own, or its share of a ready-made pack's, if more.

    >>> cell_full(84.0, 20, 4.15)
    4.2
    """
    return max(pack_V / series, cell_V)


@worked(
    "pack.cell_full_V",
    "V",
    title="full cell voltage in use",
    cell_V="pack.cell.full_V",
    formula="cell_V",
    source="The entry, or what is typical of the chemistry.",
)
def cell_full_alone(cell_V: float) -> float:
    """The same while the pack or its count of cells is not given.

    >>> cell_full_alone(4.2)
    4.2
    """
    return cell_V


@worked(
    "pack.cell_minimum_V",
    "V",
    title="minimum cell voltage in use",
    pack_V="pack.minimum_V",
    series="pack.series",
    cell_V="pack.cell.minimum_V",
    formula="min(pack_V / series, cell_V)",
    source="Cells in series share the voltage.",
)
def cell_minimum(pack_V: float, series: float, cell_V: float = math.inf) -> float:
    """Voltage of one empty cell: the cell's own, or its share of a ready-made pack's, if less.

    >>> cell_minimum(35.0, 14, 3.0)
    2.5
    """
    return min(pack_V / series, cell_V)


@worked(
    "pack.cell_minimum_V",
    "V",
    title="minimum cell voltage in use",
    cell_V="pack.cell.minimum_V",
    formula="cell_V",
    source="The entry, or what is typical of the chemistry.",
)
def cell_minimum_alone(cell_V: float) -> float:
    """The same while the pack or its count of cells is not given.

    >>> cell_minimum_alone(2.5)
    2.5
    """
    return cell_V


@worked(
    "pack.working_minimum_V",
    "V",
    title="working minimum pack voltage",
    series="pack.series",
    cell_V="pack.cell.working_minimum_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def working_minimum(series: float, cell_V: float) -> float:
    """Pack voltage under load at which the builder wants to stop, above the minimum.

    >>> working_minimum(10, 3.1)
    31.0
    """
    return series * cell_V


@worked(
    "pack.capacity_Ah",
    "Ah",
    title="pack capacity",
    parallel="pack.parallel",
    cell_Ah="pack.cell.capacity_Ah",
    formula="parallel * cell_Ah",
    source="Cells in parallel add their charge.",
)
def capacity(parallel: float, cell_Ah: float) -> float:
    """Capacity of the pack, new and warm; age and cold reduce it.

    >>> capacity(6, 5.0)
    30.0
    """
    return parallel * cell_Ah


@worked(
    "pack.energy_Wh",
    "Wh",
    title="pack energy",
    capacity_Ah="pack.capacity_Ah",
    nominal_V="pack.nominal_V",
    formula="capacity_Ah * nominal_V",
    source="Definition of energy: charge times voltage.",
)
def stored_energy(capacity_Ah: float, nominal_V: float) -> float:
    """Energy of the full pack at its nominal voltage; a heavy load gives less.

    >>> stored_energy(30.0, 50.4)
    1512.0
    """
    return capacity_Ah * nominal_V


@worked(
    "pack.resistance_mohm",
    "mohm",
    title="pack resistance",
    series="pack.series",
    parallel="pack.parallel",
    cell_mohm="pack.cell.resistance_mohm",
    extra_mohm="house.pack_extra_mohm",
    formula="series / parallel * cell_mohm + extra_mohm",
    source="Resistors in series and in parallel; the extra for joints and BMS is common practice.",
)
def pack_resistance(series: float, parallel: float, cell_mohm: float, extra_mohm: float) -> float:
    """Resistance of the warm pack between its terminals.

    Takes the cell's 10 s DC resistance; the 1 kHz value on many datasheets is about half of it, and
    a cold cell has twice as much or more.

    >>> pack_resistance(14, 7, 28.0, 3.0)
    59.0
    """
    return series / parallel * cell_mohm + extra_mohm
