"""The throttle's signal: its supply, what it gives without a wire, and what it may give unmeasured."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from .worked import Formula, worked

BEYOND = (
    "the largest of lost_below_V less reading_V, reading_V less lost_above_V, and start_V less "
    "reading_V (turned over where the voltage falls)"
)
BEYOND_FORMULA = (
    "max(lost_below_V - reading_V, reading_V - lost_above_V,"
    " reading_V - start_V if inverted else start_V - reading_V)"
)

TWO_WAYS = (
    "the largest of lost_below_V less reading_V, reading_V less lost_above_V, and how far reading_V "
    "is between the starts of both directions"
)
TWO_WAYS_FORMULA = (
    "max(lost_below_V - reading_V, reading_V - lost_above_V, min(max(start_V, reverse_start_V)"
    " - reading_V, reading_V - min(start_V, reverse_start_V)))"
)


@worked(
    "throttle.supply_least_V",
    "V",
    title="lowest throttle supply voltage",
    reading_V="readings.throttle.supply_V",
    formula="reading_V",
    source="The reading.",
)
def supply_read(reading_V: float) -> float:
    """The supply as it is measured.

    >>> supply_read(4.98)
    4.98
    """
    return reading_V


@worked(
    "throttle.supply_least_V",
    "V",
    title="lowest throttle supply voltage",
    supply_V="throttle.supply_V",
    tolerance_percent="house.supply_tolerance_percent",
    formula="supply_V * (1 - tolerance_percent / 100)",
    source="Common practice, no source: regulators of controllers keep within a few percent.",
)
def supply_least(supply_V: float, tolerance_percent: float) -> float:
    """The supply as its label says, less what a regulator may be off.

    >>> round(supply_least(5.0, 3.0), 2)
    4.85
    """
    return supply_V * (1.0 - tolerance_percent / 100.0)


@worked(
    "throttle.ground_loss_drop_V",
    "V",
    title="signal drop of this throttle after ground loss",
    kind="throttle.kind",
    hall_V="house.throttle_ground_loss_drop_V",
    track_V="house.track_ground_loss_drop_V",
    words="track_V for a potentiometer, else hall_V",
    source="Divider of the track and the pull-down of the input; Kirchhoff's laws.",
)
def ground_loss_drop(kind: str, hall_V: float, track_V: float) -> float:
    """How far below its supply the signal settles at most when the ground wire is lost.

    A hall sensor is pulled up to its supply; the wiper of a potentiometer depends on the supply by
    the track, against the pull-down of the input.

    >>> ground_loss_drop("hall", 0.3, 0.6), ground_loss_drop("potentiometer", 0.3, 0.6)
    (0.3, 0.6)
    """
    return track_V if kind == "potentiometer" else hall_V


@worked(
    "throttle.fault_above_max_V",
    "V",
    title="highest useful upper signal fault limit",
    supply_V="throttle.supply_least_V",
    drop_V="throttle.ground_loss_drop_V",
    formula="supply_V - drop_V",
    source="Kirchhoff's laws.",
)
def fault_above_max(supply_V: float, drop_V: float) -> float:
    """The lowest voltage that the signal settles at without its ground wire.

    >>> round(fault_above_max(4.85, 0.3), 2)
    4.55
    """
    return supply_V - drop_V


@worked(
    "throttle.assumed_rest_V",
    "V",
    title="assumed throttle rest voltage",
    supply_V="throttle.supply_V",
    rest_percent="house.throttle_rest_max_percent",
    inverted="throttle.inverted",
    formula="supply_V * (1 - rest_percent / 100 if inverted else rest_percent / 100)",
    source="Common practice, no source: hall throttles on 5 V rest at 0.8 to 1.0 V.",
)
def assumed_rest(supply_V: float, rest_percent: float, inverted: bool = False) -> float:
    """The rest voltage nearest to the start that a throttle not yet measured may have.

    >>> assumed_rest(5.0, 20.0), assumed_rest(5.0, 20.0, True)
    (1.0, 4.0)
    """
    share = rest_percent / 100.0
    return supply_V * (1.0 - share if inverted else share)


@worked(
    "throttle.assumed_clearance_V",
    "V",
    title="assumed throttle clearance",
    start_V="settings.throttle.start_V",
    rest_V="throttle.assumed_rest_V",
    inverted="throttle.inverted",
    formula="rest_V - start_V if inverted else start_V - rest_V",
    source="Definition.",
)
def assumed_clearance(start_V: float, rest_V: float, inverted: bool = False) -> float:
    """Voltage from the rest voltage that the throttle may have to the start of the drive.

    >>> round(assumed_clearance(1.05, 1.0), 2)
    0.05
    """
    return rest_V - start_V if inverted else start_V - rest_V


LOST = {
    "lost_below_V": "settings.throttle.lost_below_V",
    "lost_above_V": "settings.throttle.lost_above_V",
}


def of_each_wire(**told: Any) -> Callable[[Formula], Formula]:
    """Declare a formula for the ground, the signal and the supply wire of the throttle."""

    def declared(function: Formula) -> Formula:
        for wire in ("ground", "signal", "supply"):
            worked(
                f"throttle.open_{wire}_margin_V",
                "V",
                title=f"open {wire} wire margin",
                reading_V=f"readings.throttle.open_{wire}_V",
                start_V="settings.throttle.start_V",
                **told,
            )(function)
        return function

    return declared


@of_each_wire(
    reverse_start_V="settings.throttle.reverse_start_V",
    **LOST,
    formula=TWO_WAYS_FORMULA,
    words=TWO_WAYS,
    source="Definition; between the two starts a signal drives nothing.",
)
def open_margin_of_two_ways(
    reading_V: float,
    start_V: float,
    reverse_start_V: float,
    lost_below_V: float = -math.inf,
    lost_above_V: float = math.inf,
) -> float:
    """How far past a signal fault limit, or between both starts, the signal is without the wire.

    >>> round(open_margin_of_two_ways(0.02, 2.7, 2.3, 0.5, 4.5), 2)
    0.48
    >>> round(open_margin_of_two_ways(0.02, 2.7, 2.3), 2)
    -2.28
    """
    upper_V, lower_V = max(start_V, reverse_start_V), min(start_V, reverse_start_V)
    between_V = min(upper_V - reading_V, reading_V - lower_V)
    return max(lost_below_V - reading_V, reading_V - lost_above_V, between_V)


@of_each_wire(
    **LOST,
    inverted="throttle.inverted",
    formula=BEYOND_FORMULA,
    words=BEYOND,
    source="Definition; a signal on the side of rest drives nothing.",
)
def open_margin(
    reading_V: float,
    start_V: float,
    lost_below_V: float = -math.inf,
    lost_above_V: float = math.inf,
    inverted: bool = False,
) -> float:
    """How far past a signal fault limit, or short of the start, the signal is without the wire.

    At zero and below nothing stops the drive.

    >>> round(open_margin(4.96, 1.0, 0.5, 4.5), 2), round(open_margin(2.4, 1.0, 0.5, 4.5), 2)
    (0.46, -1.4)
    """
    short_V = reading_V - start_V if inverted else start_V - reading_V
    return max(lost_below_V - reading_V, reading_V - lost_above_V, short_V)


@worked(
    "throttle.open_wire_margin_V",
    "V",
    title="smallest margin of the open throttle wires",
    ground_V="throttle.open_ground_margin_V",
    signal_V="throttle.open_signal_margin_V",
    supply_V="throttle.open_supply_margin_V",
    combine="least",
    source="Definition.",
)
def open_wire_margin(ground_V: float, signal_V: float, supply_V: float) -> float:
    """The least of the margins of those wires that were pulled.

    >>> open_wire_margin(0.46, 0.95, 0.93)
    0.46
    """
    return min(ground_V, signal_V, supply_V)
