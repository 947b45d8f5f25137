"""The cold reading: what the motor's temperature is held against after a long stand."""

from __future__ import annotations

from .worked import worked

AT_REST = "A cold machine has the temperature of its surroundings, IEC 60034-1 8.6.2, from memory."


@worked(
    "readings.cold_reference_degC",
    "degC",
    title="cold reference temperature",
    controller_degC="readings.temperature.controller_degC",
    formula="controller_degC",
    source=AT_REST,
)
def reference(controller_degC: float) -> float:
    """Temperature that a cold motor must show: that of the controller.

    >>> reference(18.0)
    18.0
    """
    return controller_degC


@worked(
    "readings.cold_reference_degC",
    "degC",
    title="cold reference temperature",
    ambient_degC="readings.ambient_degC",
    formula="ambient_degC",
    source=AT_REST,
)
def reference_ambient(ambient_degC: float) -> float:
    """The same if the controller shows none: the air temperature.

    >>> reference_ambient(17.0)
    17.0
    """
    return ambient_degC


@worked(
    "readings.cold_allowed_K",
    "K",
    title="allowed cold reading difference",
    allowed_K="house.cold_difference_K",
    controller_degC="readings.temperature.controller_degC",
    words="allowed_K",
    source="Common practice.",
)
def allowed_difference(allowed_K: float, controller_degC: float) -> float:
    """How far a cold motor's reading may be from the controller's.

    >>> allowed_difference(3.0, 18.0)
    3.0
    """
    return allowed_K


@worked(
    "readings.cold_allowed_K",
    "K",
    title="allowed cold reading difference",
    allowed_K="house.ambient_difference_K",
    ambient_degC="readings.ambient_degC",
    words="allowed_K",
    source="Common practice.",
)
def allowed_ambient(allowed_K: float, ambient_degC: float) -> float:
    """How far a cold motor's reading may be from the air, which changes while the vehicle stands.

    >>> allowed_ambient(8.0, 17.0)
    8.0
    """
    return allowed_K


@worked(
    "readings.cold_fault_K",
    "K",
    title="cold reading difference of a fault",
    fault_K="house.cold_difference_fault_K",
    controller_degC="readings.temperature.controller_degC",
    words="fault_K",
    source="Common practice.",
)
def fault(fault_K: float, controller_degC: float) -> float:
    """Difference from the controller beyond which a cold motor's reading is wrong.

    >>> fault(8.0, 18.0)
    8.0
    """
    return fault_K


@worked(
    "readings.cold_fault_K",
    "K",
    title="cold reading difference of a fault",
    fault_K="house.ambient_difference_fault_K",
    ambient_degC="readings.ambient_degC",
    words="fault_K",
    source="Common practice.",
)
def fault_ambient(fault_K: float, ambient_degC: float) -> float:
    """Difference from the air beyond which a cold motor's reading is wrong.

    >>> fault_ambient(16.0, 17.0)
    16.0
    """
    return fault_K


@worked(
    "motor.cold_reading_remedy",
    "",
    title="remedy for the cold reading",
    fits="motor.cold_reading_fits",
    returns="text",
    words="what to do about a reading that fits",
    source="Common practice.",
)
def remedy(fits: str) -> str:
    """What to do first about a cold reading that is wrong.

    >>> remedy("kty84-130")
    'Check the plug and wires of the sensor; the reading fits kty84-130'
    >>> remedy("no usual kind of sensor")
    'Check the plug and wires of the sensor first: no kind of sensor fits the reading'
    """
    if fits.startswith("no "):
        return "Check the plug and wires of the sensor first: no kind of sensor fits the reading"
    return f"Check the plug and wires of the sensor; the reading fits {fits}"
