"""The pack under load: what is lost on the way to the controller, and what a reading says."""

from __future__ import annotations

from .number import ceiling, floor, nearest_whole
from .operand import NO_LESS, NotWorked
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


@worked(
    "pack.rested_cell_at_taper_V",
    "V",
    title="resting cell voltage at the low-voltage taper",
    taper_from_V="settings.low_voltage.taper_from_V",
    sag_V="pack.sag_V",
    series="pack.series",
    rises=("sag_V",),
    formula="(taper_from_V + sag_V) / series",
    source="Ohm's law; cells in series share the voltage.",
)
def rested_cell_at_taper(taper_from_V: float, sag_V: float, series: float) -> float:
    """Cell voltage at rest below which full power is no longer there.

    >>> rested_cell_at_taper(44.0, 5.0, 14)
    3.5
    """
    return (taper_from_V + sag_V) / series


@worked(
    "pack.c_rate_per_h",
    "per_h",
    title="discharge rate",
    battery_A="settings.battery_current_A",
    capacity_Ah="pack.capacity_Ah",
    formula="battery_A / capacity_Ah",
    source="Definition of the C-rate.",
)
def c_rate(battery_A: float, capacity_Ah: float) -> float:
    """C-rate of the battery current limit.

    >>> c_rate(90.0, 30.0)
    3.0
    """
    return battery_A / capacity_Ah


@worked(
    "pack.short_circuit_A",
    "A",
    title="short-circuit current",
    full_V="pack.full_V",
    loop_mohm="pack.loop_mohm",
    falls=("loop_mohm",),
    formula="full_V * 1000 / loop_mohm",
    source="Ohm's law.",
)
def short_circuit(full_V: float, loop_mohm: float) -> float:
    """Short-circuit current at the controller's terminals, from the full pack.

    With the cells' 10 s resistance and a warm cable; the first milliseconds can bring half again as
    much, so a fuse wants a breaking current well above it.

    >>> short_circuit(58.8, 60.0)
    980.0
    """
    return full_V * 1000.0 / loop_mohm


WHOLE_WITHIN = 0.2  # of a cell: a full pack's reading this near to a whole number fits it


@worked(
    "pack.cell_from_full_reading_V",
    "V",
    title="cell voltage from the full reading",
    reading_V="readings.pack_V",
    state="readings.pack_state",
    series="pack.series",
    formula="reading_V / series",
    applies_when="state == 'full'",
    source="Cells in series share the voltage.",
)
def cell_from_full_reading(reading_V: float, state: str, series: float) -> float:
    """Cell voltage as read on a full pack.

    >>> cell_from_full_reading(58.8, "full", 14)
    4.2
    """
    _want_full(state)
    return reading_V / series


@worked(
    "pack.series_from_full_reading",
    "",
    title="series count from the full reading",
    reading_V="readings.pack_V",
    state="readings.pack_state",
    full_V="pack.cell.full_V",
    formula="reading_V / full_V",
    applies_when="state == 'full'",
    source="Cells in series add their voltages.",
)
def series_from_full_reading(reading_V: float, state: str, full_V: float) -> float:
    """Cells in series that a full pack's reading stands for, not rounded.

    >>> round(series_from_full_reading(58.8, "full", 4.2), 6)
    14.0
    """
    _want_full(state)
    return reading_V / full_V


def _want_full(state: str) -> None:
    if state != "full":
        raise NotWorked("the pack was not full when its voltage was read")


@worked(
    "pack.series_from_reading",
    "",
    title="series counts that fit the pack reading",
    reading_V="readings.pack_V",
    minimum_V="pack.cell.minimum_V",
    full_V="pack.cell.full_V",
    over_percent="house.reading_over_percent",
    state="readings.pack_state",
    returns="numbers",
    words="whole numbers from reading_V / full_V to reading_V / minimum_V",
    source="Cells in series share the voltage, each between its minimum and full.",
)
def series_from_reading(
    reading_V: float, minimum_V: float, full_V: float, over_percent: float, state: str = "part"
) -> list[int]:
    """The series counts for which the reading lies between empty and full.

    A full pack's reading fits one count, or none when it lies between two.

    >>> series_from_reading(58.8, 3.0, 4.2, 1.0, "full")
    [14]
    >>> series_from_reading(42.0, 3.0, 4.2, 1.0)
    [10, 11, 12, 13, 14]
    """
    if state == "full":
        cells = reading_V / full_V
        return [nearest_whole(cells)] if abs(cells - nearest_whole(cells)) <= WHOLE_WITHIN else []
    max_V = full_V * (1.0 + over_percent / 100.0)
    fewest, most = reading_V / max_V, reading_V / minimum_V
    return list(range(max(1, ceiling(fewest)), floor(most) + 1))
