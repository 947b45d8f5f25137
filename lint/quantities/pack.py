"""The pack: voltage, charge and resistance of its cells, and what cells and BMS allow."""

from __future__ import annotations

from ..tables.table import column
from .operand import NotWorked
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
    "pack.cells_charge_A",
    "A",
    title="maximum charge current of all cells",
    parallel="pack.parallel",
    cell_A="pack.cell.charge_A",
    formula="parallel * cell_A",
    source="Cells in parallel share the current.",
)
def cells_charge(parallel: float, cell_A: float) -> float:
    """Charging current of the cells, inside their temperature range for charging.

    >>> cells_charge(6, 4.0)
    24.0
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
    "pack.peak_A",
    "A",
    title="peak pack current",
    cells_A="pack.cells_peak_A",
    bms_A="pack.bms.trip_A",
    combine="least",
    source="The weakest part in series sets the current.",
)
def peak(cells_A: float, bms_A: float) -> float:
    """Peak current, before the cells suffer or the BMS trips.

    >>> peak(210.0, 250.0)
    210.0
    """
    return min(cells_A, bms_A)


@worked(
    "pack.charge_A",
    "A",
    title="maximum pack charge current",
    cells_A="pack.cells_charge_A",
    bms_A="pack.bms.charge_A",
    combine="least",
    source="The weakest part in series sets the current.",
)
def charge(cells_A: float, bms_A: float) -> float:
    """Charging current that cells and BMS both allow.

    >>> charge(24.0, 30.0)
    24.0
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
    "pack.bms_over_voltage_V",
    "V",
    title="BMS charge cutoff",
    series="pack.series",
    cell_V="pack.bms.cell_high_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def bms_over_voltage(series: float, cell_V: float) -> float:
    """Pack voltage at which the BMS stops the charge, if all cells are equally full.

    >>> bms_over_voltage(16, 3.75)
    60.0
    """
    return series * cell_V


@worked(
    "pack.bms_over_voltage_fullest_V",
    "V",
    title="BMS charge cutoff with the fullest cell",
    series="pack.series",
    cell_V="pack.bms.cell_high_V",
    spread_V="house.cell_spread_V",
    formula="series * (cell_V - spread_V)",
    source="Cells in series add their voltages; the spread between cells is common practice.",
)
def bms_over_voltage_fullest(series: float, cell_V: float, spread_V: float) -> float:
    """Pack voltage at which the fullest cell already makes the BMS stop the charge.

    >>> bms_over_voltage_fullest(16, 3.8, 0.05)
    60.0
    """
    return series * (cell_V - spread_V)


@worked(
    "pack.max_regen_stop_V",
    "V",
    title="highest regen stop voltage",
    full_V="pack.full_V",
    bms_V="pack.bms_over_voltage_fullest_V",
    combine="least",
    source="Common practice: regen ends before a cell is overcharged and before the BMS disconnects.",
)
def max_regen_stop(full_V: float, bms_V: float) -> float:
    """Highest voltage at which regen must have stopped.

    >>> max_regen_stop(58.4, 60.0)
    58.4
    """
    return min(full_V, bms_V)


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
    "pack.working_minimum_V",
    "V",
    title="working minimum pack voltage",
    series="pack.series",
    cell_V="pack.cell.working_minimum_V",
    formula="series * cell_V",
    source="Cells in series add their voltages.",
)
def working_minimum(series: float, cell_V: float) -> float:
    """Pack voltage under load at which the builder wants to stop, above the damaging one.

    >>> working_minimum(10, 3.1)
    31.0
    """
    return series * cell_V


@worked(
    "pack.chemistry_max_cell_V",
    "V",
    title="maximum cell voltage of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the highest full voltage of its cells.",
)
def chemistry_max_cell(chemistry: str) -> float:
    """Voltage above which no cell of this chemistry is charged.

    >>> chemistry_max_cell("lfp")
    3.65
    """
    return _of_chemistry(chemistry, "max_charge_V")


@worked(
    "pack.chemistry_min_cell_V",
    "V",
    title="minimum cell voltage of the chemistry",
    chemistry="pack.cell.chemistry",
    words="table value for chemistry",
    source="Table of chemistries: the lowest minimum voltage of its cells.",
)
def chemistry_min_cell(chemistry: str) -> float:
    """Voltage below which no cell of this chemistry is discharged.

    >>> chemistry_min_cell("nmc")
    2.5
    """
    return _of_chemistry(chemistry, "min_discharge_V")


def _of_chemistry(chemistry: str, key: str) -> float:
    value = column("chemistries", "chemistry", key).get(chemistry)
    if value is None:
        raise NotWorked(f"no voltages are known for the chemistry {chemistry}")
    return float(value)


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
    """Charge of the full pack, new and warm; age and frost take from it.

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
