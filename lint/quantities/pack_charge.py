"""Charging the pack: what it takes from charger and regen, up to what voltage and in what cold."""

from __future__ import annotations

import math

from .operand import NotWorked
from .worked import worked


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
    """Charge current that the cells allow, within their charging temperatures.

    >>> cells_charge(6, 4.0)
    24.0
    """
    return parallel * cell_A


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
    """Charge current that both the cells and the BMS allow.

    >>> charge(24.0, 30.0)
    24.0
    """
    return min(cells_A, bms_A)


@worked(
    "pack.regen_charge_A",
    "A",
    title="maximum regen charge current",
    port="pack.bms.port",
    cells_A="pack.cells_charge_A",
    formula="cells_A",
    applies_when="port == 'separate'",
    source="Common practice: a charge port's rating says nothing of the discharge port.",
)
def regen_charge_separate(port: str, cells_A: float) -> float:
    """Regen current of a pack with a separate charge port: what its cells allow.

    Regen flows through the discharge port, which a charge rating of the BMS does not bound.

    >>> regen_charge_separate("separate", 24.0)
    24.0
    """
    if port != "separate":
        raise NotWorked("charging and driving share the leads")
    return cells_A


@worked(
    "pack.regen_charge_A",
    "A",
    title="maximum regen charge current",
    charge_A="pack.charge_A",
    port="pack.bms.port",
    rises=("charge_A",),
    formula="charge_A",
    applies_when="port != 'separate'",
    source="The weakest part in series sets the current.",
)
def regen_charge(charge_A: float, port: str = "common") -> float:
    """Regen current that the pack allows; a port not given counts as common, which allows less.

    >>> regen_charge(20.0)
    20.0
    """
    if port == "separate":
        raise NotWorked("regen does not flow through the charge port")
    return charge_A


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
    source="Common practice: regen ends before a cell is over-full and before the BMS cuts it off.",
)
def max_regen_stop(full_V: float, bms_V: float) -> float:
    """Voltage at which regen must have stopped.

    >>> max_regen_stop(58.4, 60.0)
    58.4
    """
    return min(full_V, bms_V)


@worked(
    "pack.rated_charge_per_h",
    "per_h",
    title="rated charge rate",
    cells_A="pack.cells_charge_A",
    capacity_Ah="pack.capacity_Ah",
    formula="cells_A / capacity_Ah",
    source="Definition of the C-rate.",
)
def rated_charge(cells_A: float, capacity_Ah: float) -> float:
    """Charge current of the cells in capacities an hour; cells in parallel cancel out.

    >>> rated_charge(10.0, 20.0)
    0.5
    """
    return cells_A / capacity_Ah


@worked(
    "pack.regen_c_rate_per_h",
    "per_h",
    title="regen charge rate",
    regen_A="controller.regen_battery_A",
    capacity_Ah="pack.capacity_Ah",
    rises=("regen_A",),
    formula="regen_A / capacity_Ah",
    source="Definition of the C-rate.",
)
def regen_c_rate(regen_A: float, capacity_Ah: float) -> float:
    """Regen into the pack in capacities an hour.

    >>> regen_c_rate(10.0, 40.0)
    0.25
    """
    return regen_A / capacity_Ah


@worked(
    "pack.min_degC",
    "degC",
    title="coldest pack temperature",
    min_ambient_degC="vehicle.min_ambient_degC",
    ambient_degC="readings.ambient_degC",
    formula="min(min_ambient_degC, ambient_degC)",
    source="Definition; a pack that has stood outdoors is as cold as the air.",
)
def coldest(min_ambient_degC: float, ambient_degC: float = math.inf) -> float:
    """The coldest that the pack is charged at by regen: of the weather entered and of the readings.

    A pack that is kept warm is warmer than this.

    >>> coldest(-5.0, 12.0)
    -5.0
    """
    return min(min_ambient_degC, ambient_degC)


@worked(
    "pack.min_degC",
    "degC",
    title="coldest pack temperature",
    ambient_degC="readings.ambient_degC",
    formula="ambient_degC",
    source="Definition; a pack that has stood outdoors is as cold as the air.",
)
def min_charging_read(ambient_degC: float) -> float:
    """The same while no ambient range is given: the temperature on the day of the readings.

    >>> min_charging_read(-3.0)
    -3.0
    """
    return ambient_degC


@worked(
    "pack.charge_bound_V",
    "V",
    title="charge voltage bound",
    full_V="pack.full_V",
    over_percent="house.charger_over_percent",
    series="pack.series",
    gassing_V="pack.chemistry_gassing_V",
    rises=("full_V",),
    formula="max(full_V * (1 + over_percent / 100), series * gassing_V)",
    source="A lead-acid battery is charged above full to equalise its cells: table of chemistries.",
)
def charge_bound_lead(full_V: float, over_percent: float, series: float, gassing_V: float) -> float:
    """Charger voltage above which a charge is a danger, of lead-acid.

    >>> round(charge_bound_lead(57.6, 0.5, 24, 2.6), 3)
    62.4
    """
    return max(full_V * (1.0 + over_percent / 100.0), series * gassing_V)


@worked(
    "pack.charge_bound_V",
    "V",
    title="charge voltage bound",
    full_V="pack.full_V",
    over_percent="house.charger_over_percent",
    rises=("full_V",),
    formula="full_V * (1 + over_percent / 100)",
    source="The tolerance of a charger above the full pack.",
)
def charge_bound(full_V: float, over_percent: float) -> float:
    """The same of all other cells, which withstand no more than full.

    >>> round(charge_bound(50.0, 0.5), 3)
    50.25
    """
    return full_V * (1.0 + over_percent / 100.0)
