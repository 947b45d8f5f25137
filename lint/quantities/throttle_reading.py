"""What a throttle reading can be at all: no signal rises above the supply that it is made of."""

from __future__ import annotations

from .worked import worked

METER = 1.03  # two readings of one meter, taken one after the other


@worked(
    "throttle.max_signal_V",
    "V",
    title="highest possible throttle signal",
    reading_V="readings.throttle.supply_V",
    supply_V="throttle.supply_V",
    formula="1.03 * max(reading_V, supply_V)",
    source="A divider gives out no more than it takes in; 3 % for the meter is common practice, no source.",
)
def max_signal(reading_V: float, supply_V: float = 0.0) -> float:
    """Voltage above which a throttle reading is an error, once the supply is measured.

    The throttle's supply may be lower than the rail to which an open signal wire is pulled, by a
    diode; so the higher of both counts.

    >>> round(max_signal(4.6, 5.0), 2)
    5.15
    """
    return METER * max(reading_V, supply_V)


@worked(
    "throttle.max_signal_V",
    "V",
    title="highest possible throttle signal",
    supply_V="throttle.supply_V",
    off_percent="house.supply_off_percent",
    formula="supply_V * (1 + off_percent / 100)",
    source="A divider gives out no more than it takes in; the tolerance is that of a regulated supply.",
)
def max_signal_unmeasured(supply_V: float, off_percent: float) -> float:
    """The same while nobody has measured the supply.

    >>> max_signal_unmeasured(5.0, 10.0)
    5.5
    """
    return supply_V * (1.0 + off_percent / 100.0)
