"""The throttle's bands: clearance that the start should have, and travel in which nothing happens."""

from __future__ import annotations

from .operand import NotWorked
from .worked import worked


@worked(
    "throttle.wanted_clearance_V",
    "V",
    title="recommended throttle clearance",
    house_min_V="house.throttle_clearance_min_V",
    house_max_V="house.throttle_clearance_max_V",
    min_clearance_V="throttle.min_clearance_V",
    formula="max(house_min_V, min(house_max_V, min_clearance_V))",
    source="Derived clearance; the ends between which it is held are common practice, no source.",
)
def wanted_clearance(house_min_V: float, house_max_V: float, min_clearance_V: float = 0.0) -> float:
    """Recommended clearance of the start: by the readings, within the limits of the house file.

    Where the drift is not known, as of a potentiometer, the lower end of the house; a shop that wants
    more than its upper end gets it.

    >>> wanted_clearance(0.1, 0.16, 0.13), wanted_clearance(0.1, 0.16), wanted_clearance(0.2, 0.16)
    (0.13, 0.1, 0.2)
    """
    return max(house_min_V, min(house_max_V, min_clearance_V))


@worked(
    "throttle.ample_clearance_V",
    "V",
    title="ample throttle clearance",
    house_min_V="house.throttle_clearance_min_V",
    house_max_V="house.throttle_clearance_max_V",
    max_clearance_V="throttle.max_clearance_V",
    formula="max(house_min_V, house_max_V, max_clearance_V)",
    source="Derived clearance; the least that it comes to is common practice, no source.",
)
def ample_clearance(house_min_V: float, house_max_V: float, max_clearance_V: float = 0.0) -> float:
    """Clearance that covers all that may move the rest voltage; more is only a dead band.

    >>> ample_clearance(0.1, 0.16, 0.19), ample_clearance(0.1, 0.16), ample_clearance(0.2, 0.16)
    (0.19, 0.16, 0.2)
    """
    return max(house_min_V, house_max_V, max_clearance_V)


@worked(
    "throttle.unreached_percent",
    "percent",
    title="unreached share of the throttle range",
    top_clearance_V="throttle.top_clearance_V",
    span_V="throttle.span_V",
    formula="100 * max(0, -top_clearance_V) / span_V",
    applies_when="span_V > 0",
    source="Definition.",
)
def unreached(top_clearance_V: float, span_V: float) -> float:
    """Share of the span that the fully open throttle does not reach.

    >>> unreached(-0.06, 3.0), unreached(0.1, 3.0)
    (2.0, 0.0)
    """
    if span_V <= 0:
        raise NotWorked("full power lies on the wrong side of the start")
    return 100.0 * max(0.0, -top_clearance_V) / span_V


@worked(
    "throttle.range_V",
    "V",
    title="throttle range",
    full_reading_V="throttle.full_reading_V",
    max_rest_V="throttle.max_rest_V",
    min_rest_V="throttle.min_rest_V",
    inverted="throttle.inverted",
    formula="min_rest_V - full_reading_V if inverted else full_reading_V - max_rest_V",
    source="Definition.",
)
def signal_range(
    full_reading_V: float, max_rest_V: float, min_rest_V: float, inverted: bool = False
) -> float:
    """Voltage from the rest reading nearest to the start, to the fully open throttle.

    >>> round(signal_range(3.65, 0.85, 0.83), 2), round(signal_range(0.9, 4.2, 4.1, True), 2)
    (2.8, 3.2)
    """
    return min_rest_V - full_reading_V if inverted else full_reading_V - max_rest_V
