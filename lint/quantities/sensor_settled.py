"""Which of the sensor kinds that agree cold is fitted, by a second reading of the warm motor."""

from __future__ import annotations

from collections.abc import Iterator

from .sensor import broken_wire, resistance, shown_for
from .sensor_fits import WARM_OFF_K, SensorReading


def settled_by_display(
    reading: SensorReading,
    set_to: str,
    warm_degC: float,
    shown_degC: float,
    moved: bool = True,
) -> tuple[str, ...]:
    """The kinds of a cold reading with which the display, set to `set_to`, shows `shown_degC` too.

    `warm_degC` is the motor's temperature by a thermometer; a display may be 4 K off. At the end of
    its scale, where it has not `moved` since the motor was cold, all are left.

    >>> from .sensor_fits import read_sensor
    >>> cold = read_sensor(22.0, "ntc-10k-3950", 22.0)
    >>> settled_by_display(cold, "ntc-10k-3950", 90.0, 80.0)
    ('ntc-10k-3435', 'ntc-10k-3380')
    """
    if not moved and (reading.open or reading.short):
        return tuple(in_question(reading))
    at_its_end = broken_wire(shown_degC, set_to) is not None

    def fits(kind: str) -> bool:
        wanted = shown_for(warm_degC, kind, set_to)
        return at_its_end if wanted is None else abs(wanted - shown_degC) <= WARM_OFF_K

    return tuple(filter(fits, in_question(reading)))


def settled_by_meter(reading: SensorReading, warm_degC: float, ohm: float) -> tuple[str, ...]:
    """The same of a resistance measured at the sensor's wires, in ohms.

    >>> from .sensor_fits import measured_sensor
    >>> settled_by_meter(measured_sensor(576.0, 22.0), 90.0, 934.0)
    ('kty84-130',)
    """

    def fits(kind: str) -> bool:
        ends = [resistance(kind, warm_degC + off) for off in (-WARM_OFF_K, WARM_OFF_K)]
        known = [end for end in ends if end is not None]
        return len(known) == len(ends) and min(known) <= ohm <= max(known)

    return tuple(filter(fits, in_question(reading)))


def in_question(reading: SensorReading) -> Iterator[str]:
    """The kinds that a cold reading allows, those past the end of the display's scale with them."""
    yield from dict.fromkeys([*(fit.kind for fit in reading.candidates), *reading.beyond])
