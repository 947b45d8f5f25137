"""What readings of the bring-up should come to, worked out before they are taken."""

from __future__ import annotations

from .operand import NotWorked
from .worked import worked

SECONDS_PER_MINUTE = 60.0


@worked(
    "readings.expected_electrical_Hz",
    "Hz",
    title="expected electrical frequency",
    rpm="readings.no_load.rpm",
    pole_pairs="motor.pole_pairs",
    formula="pole_pairs * rpm / 60",
    source="Definition: electrical turns are pole pairs times those of the rotor.",
)
def expected_electrical_Hz(rpm: float, pole_pairs: float) -> float:
    """Electrical frequency at the speed of the no-load test.

    >>> expected_electrical_Hz(3000.0, 14)
    700.0
    """
    return pole_pairs * rpm / SECONDS_PER_MINUTE


TURN_DEG = 360.0


@worked(
    "motor.identified_offset_difference_deg",
    "deg",
    title="difference of the sensor offsets",
    forward="readings.identification.found.offset_forward_deg",
    reverse="readings.identification.found.offset_reverse_deg",
    words="the shorter angle between forward and reverse",
    source="Definition: angles repeat after a whole turn.",
)
def identified_offset_difference(forward: float, reverse: float) -> float:
    """Electrical degrees between the sensor's offsets of both directions, 0 to 180.

    A sensor with delay shows one that grows with speed; measured slowly it is small.

    >>> identified_offset_difference(358.0, 3.0)
    5.0
    """
    apart = abs(forward - reverse) % TURN_DEG
    return min(apart, TURN_DEG - apart)


OHM_PER_V = 100.0  # least for a DC circuit
WANTED_OHM_PER_V = 500.0
OHM_PER_KOHM = 1000.0


@worked(
    "readings.least_isolation_kohm",
    "kohm",
    title="least isolation resistance",
    full_V="pack.full_V",
    formula="100 * full_V / 1000",
    source="ISO 6469-3:2018, 6.2.3: 100 Ω/V for a DC circuit, from memory; below 60 V common practice.",
)
def least_isolation(full_V: float) -> float:
    """Isolation resistance below which the frame is a second conductor.

    >>> least_isolation(84.0)
    8.4
    """
    return OHM_PER_V * full_V / OHM_PER_KOHM


@worked(
    "readings.wanted_isolation_kohm",
    "kohm",
    title="wanted isolation resistance",
    full_V="pack.full_V",
    formula="500 * full_V / 1000",
    source="ISO 6469-3:2018, 6.2.3: 500 Ω/V, as for an AC circuit, from memory.",
)
def wanted_isolation(full_V: float) -> float:
    """Isolation resistance that a dry, clean vehicle easily has.

    >>> wanted_isolation(84.0)
    42.0
    """
    return WANTED_OHM_PER_V * full_V / OHM_PER_KOHM


WARM_COMPARED = "readings.temperature.warm.reference_degC"


@worked(
    "motor.warm_comparison_degC",
    "degC",
    title="temperature of the warm comparison",
    reference_degC=WARM_COMPARED,
    least_degC="house.warm_least_degC",
    formula="reference_degC",
    applies_when="reference_degC >= least_degC",
    source="IEC 60539-1, B value, from memory; the least temperature is common practice, no source.",
)
def warm_comparison(reference_degC: float, least_degC: float) -> float:
    """Temperature at which the display was compared with a thermometer, warm enough to tell kinds apart.

    Below the least one all thermistors agree: the comparison is as good as not taken.

    >>> warm_comparison(57.0, 45.0)
    57.0
    """
    if reference_degC < least_degC:
        raise NotWorked("the motor was too cool: the comparison counts as not taken", WARM_COMPARED)
    return reference_degC
