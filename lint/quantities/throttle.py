"""The throttle: its readings, and where start, full and signal fault limits lie between them."""

from __future__ import annotations

from collections.abc import Sequence

from .operand import NotWorked
from .worked import worked


@worked(
    "throttle.max_rest_V",
    "V",
    title="highest throttle rest reading",
    rest_V="readings.throttle.rest_V",
    formula="max(rest_V)",
    source="Common practice: a throttle does not return to the same voltage each time.",
)
def rest(rest_V: float | Sequence[float]) -> float:
    """The highest of the readings taken with the throttle released.

    >>> rest([0.83, 0.85, 0.84])
    0.85
    """
    return max(_each(rest_V))


@worked(
    "throttle.min_rest_V",
    "V",
    title="lowest throttle rest reading",
    rest_V="readings.throttle.rest_V",
    formula="min(rest_V)",
    source="Common practice: a throttle does not return to the same voltage each time.",
)
def rest_low(rest_V: float | Sequence[float]) -> float:
    """The lowest of the readings taken with the throttle released.

    >>> rest_low([0.83, 0.85, 0.84])
    0.83
    """
    return min(_each(rest_V))


def _each(readings_V: float | Sequence[float]) -> Sequence[float]:
    return readings_V if isinstance(readings_V, Sequence) else (readings_V,)


@worked(
    "throttle.full_reading_V",
    "V",
    title="throttle voltage fully open",
    full_V="readings.throttle.full_V",
    formula="full_V",
    source="The reading.",
)
def full_reading(full_V: float) -> float:
    """Voltage read with the throttle held fully open.

    >>> full_reading(3.6)
    3.6
    """
    return full_V


@worked(
    "throttle.inverted",
    "",
    title="inverted throttle signal",
    max_rest_V="throttle.max_rest_V",
    full_V="throttle.full_reading_V",
    returns="boolean",
    formula="full_V < max_rest_V",
    source="Definition.",
)
def inverted(max_rest_V: float, full_V: float) -> bool:
    """True where the voltage falls as the throttle opens.

    >>> inverted(4.1, 0.9)
    True
    """
    return full_V < max_rest_V


@worked(
    "throttle.inverted",
    "",
    title="inverted throttle signal",
    start_V="settings.throttle.start_V",
    full_V="settings.throttle.full_V",
    returns="boolean",
    formula="full_V < start_V",
    source="Definition, by the settings while no readings are taken.",
)
def inverted_by_settings(start_V: float, full_V: float) -> bool:
    """True where the settings expect the voltage to fall as the throttle opens.

    >>> inverted_by_settings(1.0, 3.4)
    False
    """
    return full_V < start_V


@worked(
    "throttle.clearance_V",
    "V",
    title="throttle clearance",
    start_V="settings.throttle.start_V",
    max_rest_V="throttle.max_rest_V",
    min_rest_V="throttle.min_rest_V",
    inverted="throttle.inverted",
    formula="min_rest_V - start_V if inverted else start_V - max_rest_V",
    source="Definition.",
)
def clearance(
    start_V: float, max_rest_V: float, min_rest_V: float, inverted: bool = False
) -> float:
    """Voltage from the worst rest reading to the start of the drive; below zero the vehicle creeps.

    >>> round(clearance(1.0, 0.85, 0.83), 2)
    0.15
    """
    return min_rest_V - start_V if inverted else start_V - max_rest_V


@worked(
    "throttle.heat_drift_V",
    "V",
    title="throttle drift over temperature",
    max_rest_V="throttle.max_rest_V",
    supply_V="throttle.supply_V",
    kind="throttle.kind",
    formula="40 * 0.0012 * abs(supply_V / 2 - max_rest_V)",
    applies_when="kind == 'hall' or kind == 'dual_hall'",
    source="Derived: a ratiometric linear Hall part rests at half its supply without a field, and "
    "the field of a sintered NdFeB magnet falls by 0.12 % per kelvin (class of the datasheets).",
)
def heat_drift(max_rest_V: float, supply_V: float, kind: str) -> float:
    """How far the rest voltage moves towards full throttle when the grip gets 40 K warmer.

    For a sensor that does not offset its magnet; most offset a part of it.

    >>> round(heat_drift(0.83, 5.0, "hall"), 4)
    0.0802
    """
    if kind not in ("hall", "dual_hall"):
        raise NotWorked("only a hall sensor has a magnet")
    return 40 * 0.0012 * abs(supply_V / 2 - max_rest_V)


@worked(
    "throttle.min_clearance_V",
    "V",
    title="smallest safe throttle clearance",
    max_rest_V="throttle.max_rest_V",
    min_rest_V="throttle.min_rest_V",
    heat_drift_V="throttle.heat_drift_V",
    formula="max_rest_V - min_rest_V + heat_drift_V + 0.01",
    source="Derived: scatter of the releases, drift of the magnet and one entry step of 0.01 V.",
)
def min_clearance(max_rest_V: float, min_rest_V: float, heat_drift_V: float) -> float:
    """Smallest safe clearance by the readings: covers what is sure to move the rest voltage.

    >>> round(min_clearance(0.83, 0.82, 0.0802), 4)
    0.1002
    """
    return max_rest_V - min_rest_V + heat_drift_V + 0.01


@worked(
    "throttle.max_clearance_V",
    "V",
    title="largest useful throttle clearance",
    min_clearance_V="throttle.min_clearance_V",
    supply_V="throttle.supply_V",
    formula="min_clearance_V + 40 * 0.0006 * supply_V / 2",
    source="Derived: the zero drift of a linear Hall part on top, 0.06 % of half the supply per "
    "kelvin (standard class, from memory of the datasheets).",
)
def max_clearance(min_clearance_V: float, supply_V: float) -> float:
    """Largest useful clearance by the readings: covers all that may move the rest voltage.

    >>> round(max_clearance(0.1002, 5.0), 4)
    0.1602
    """
    return min_clearance_V + 40 * 0.0006 * supply_V / 2


@worked(
    "throttle.top_clearance_V",
    "V",
    title="throttle clearance at full power",
    full_reading_V="throttle.full_reading_V",
    full_V="settings.throttle.full_V",
    inverted="throttle.inverted",
    formula="full_V - full_reading_V if inverted else full_reading_V - full_V",
    source="Definition.",
)
def top_clearance(full_reading_V: float, full_V: float, inverted: bool = False) -> float:
    """Voltage left after full power is reached; below zero full power is never reached.

    >>> round(top_clearance(3.6, 3.4), 2)
    0.2
    """
    return full_V - full_reading_V if inverted else full_reading_V - full_V


@worked(
    "throttle.span_V",
    "V",
    title="throttle span",
    start_V="settings.throttle.start_V",
    full_V="settings.throttle.full_V",
    inverted="throttle.inverted",
    formula="start_V - full_V if inverted else full_V - start_V",
    source="Definition.",
)
def span(start_V: float, full_V: float, inverted: bool = False) -> float:
    """Voltage between the start of the drive and full power; below zero they are in the wrong order.

    >>> round(span(1.0, 3.4), 2)
    2.4
    """
    return start_V - full_V if inverted else full_V - start_V


@worked(
    "throttle.reverse_clearance_V",
    "V",
    title="throttle clearance in reverse",
    start_V="settings.throttle.reverse_start_V",
    max_rest_V="throttle.max_rest_V",
    min_rest_V="throttle.min_rest_V",
    inverted="throttle.inverted",
    formula="start_V - max_rest_V if inverted else min_rest_V - start_V",
    source="Definition.",
)
def reverse_clearance(
    start_V: float, max_rest_V: float, min_rest_V: float, inverted: bool = False
) -> float:
    """Voltage from the worst rest reading down to the start in reverse; below zero it creeps back.

    >>> round(reverse_clearance(2.3, 2.52, 2.48), 2)
    0.18
    """
    return start_V - max_rest_V if inverted else min_rest_V - start_V


@worked(
    "throttle.second_span_V",
    "V",
    title="signal of the second throttle track",
    rest_V="readings.throttle.second_rest_V",
    full_V="readings.throttle.second_full_V",
    formula="abs(full_V - rest_V)",
    source="Definition.",
)
def second_span(rest_V: float, full_V: float) -> float:
    """How far the second track's voltage moves from rest to fully open.

    >>> round(second_span(4.2, 0.9), 2)
    3.3
    """
    return abs(full_V - rest_V)


@worked(
    "throttle.tracks_same_V",
    "V",
    title="voltage between the throttle tracks",
    rest_V="throttle.max_rest_V",
    full_V="throttle.full_reading_V",
    second_rest_V="readings.throttle.second_rest_V",
    second_full_V="readings.throttle.second_full_V",
    formula="max(abs(second_rest_V - rest_V), abs(second_full_V - full_V))",
    source="Definition.",
)
def tracks_same(rest_V: float, full_V: float, second_rest_V: float, second_full_V: float) -> float:
    """The larger of the differences between the tracks at rest and fully open.

    >>> round(tracks_same(0.84, 4.2, 0.42, 2.1), 2)
    2.1
    """
    return max(abs(second_rest_V - rest_V), abs(second_full_V - full_V))
