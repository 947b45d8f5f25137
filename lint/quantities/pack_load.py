"""The pack under load: what is lost on the way to the controller, and what is left of its voltage."""

from __future__ import annotations

from .operand import NO_LESS
from .worked import worked


@worked(
    "pack.loop_mohm",
    "mohm",
    title="resistance of pack and battery cable",
    pack_mohm="pack.resistance_mohm",
    cable_mohm="wiring.battery_cable_mohm",
    formula="pack_mohm + cable_mohm",
    source="Resistors in series.",
)
def loop(pack_mohm: float, cable_mohm: float) -> float:
    """Resistance from the cells to the controller and back: pack and battery cable.

    >>> loop(59.0, 3.0)
    62.0
    """
    return pack_mohm + cable_mohm


@worked(
    "pack.loop_mohm",
    "mohm",
    title="resistance of pack and battery cable",
    pack_mohm="pack.resistance_mohm",
    side=NO_LESS,
    formula="pack_mohm",
    source="Resistors in series, the cable left out because it is not given.",
)
def loop_without_cable(pack_mohm: float) -> float:
    """What the pack alone brings into the loop; the cable only adds to it.

    >>> loop_without_cable(59.0)
    59.0
    """
    return pack_mohm


@worked(
    "pack.sag_V",
    "V",
    title="voltage sag",
    battery_A="settings.battery_current_A",
    loop_mohm="pack.loop_mohm",
    rises=("loop_mohm",),
    formula="battery_A * loop_mohm / 1000",
    source="Ohm's law.",
)
def sag(battery_A: float, loop_mohm: float) -> float:
    """Voltage sag at the controller at the battery current limit.

    For a warm pack in its middle; nearly empty or cold it sags more.

    >>> sag(100.0, 62.0)
    6.2
    """
    return battery_A * loop_mohm / 1000.0


@worked(
    "pack.cold_sag_V",
    "V",
    title="voltage sag in the cold",
    sag_V="pack.sag_V",
    battery_A="settings.battery_current_A",
    pack_mohm="pack.resistance_mohm",
    cold_factor="house.cold_sag_factor",
    rises=("sag_V", "battery_A", "pack_mohm"),
    formula="sag_V + (max(1, cold_factor) - 1) * battery_A * pack_mohm / 1000",
    source="Ohm's law; Handbook of Batteries, 4th edition 2011, discharge at low temperature, from memory.",
)
def cold_sag(sag_V: float, battery_A: float, pack_mohm: float, cold_factor: float) -> float:
    """The same with cells that are cold, and so have a multiple of their resistance.

    The cable counts once: copper conducts better in the cold, by 0.4 % a kelvin.

    >>> cold_sag(5.0, 100.0, 40.0, 2.0)  # 40 mΩ of cells twice and 10 mΩ of cable once
    9.0
    """
    return sag_V + (max(1.0, cold_factor) - 1.0) * battery_A * pack_mohm / 1000.0


@worked(
    "pack.loaded_V",
    "V",
    title="pack voltage under load",
    nominal_V="pack.nominal_V",
    sag_V="pack.sag_V",
    falls=("sag_V",),
    formula="nominal_V - sag_V",
    source="Ohm's law.",
)
def loaded(nominal_V: float, sag_V: float) -> float:
    """Voltage at the controller of a half-full pack at the battery current limit.

    >>> loaded(50.4, 6.4)
    44.0
    """
    return nominal_V - sag_V


@worked(
    "pack.cell_at_cutoff_V",
    "V",
    title="cell voltage at the low-voltage cutoff",
    cutoff_V="settings.low_voltage.cutoff_V",
    series="pack.series",
    formula="cutoff_V / series",
    source="Cells in series share the voltage.",
)
def cell_at_cutoff(cutoff_V: float, series: float) -> float:
    """Cell voltage, under load, at the low-voltage cutoff.

    >>> cell_at_cutoff(44.8, 14)
    3.1999999999999997
    """
    return cutoff_V / series
