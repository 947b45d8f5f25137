"""The motor's speed: what the pack, the limit and the road turn it to, and its voltage there."""

from __future__ import annotations

import math

from .operand import NO_MORE, NotWorked
from .worked import worked

DEFINITION_OF_KV = "Definition of kv: rpm per volt of peak line-to-line back-EMF."


@worked(
    "motor.no_load_rpm",
    "rpm",
    title="no-load motor speed",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    full_V="pack.full_V",
    formula="modulation * kv * full_V",
    source="Definition of kv; the share of the voltage that the controller can use is common practice.",
)
def no_load(modulation: float, kv: float, full_V: float) -> float:
    """Speed of the unloaded motor on the full pack, field weakening off.

    >>> no_load(0.95, 60.0, 60.0)
    3420.0
    """
    return modulation * kv * full_V


@worked(
    "motor.reachable_rpm",
    "rpm",
    title="reachable motor speed",
    no_load_rpm="motor.no_load_rpm",
    weakening_A_rms="settings.field_weakening_A_rms",
    max_rpm="settings.max_rpm",
    rises=("no_load_rpm",),
    formula="min(max_rpm, no_load_rpm)",
    applies_when="weakening_A_rms <= 0",
    source="Without field weakening the pack's voltage ends the speed.",
)
def reachable(no_load_rpm: float, weakening_A_rms: float, max_rpm: float = math.inf) -> float:
    """Highest speed to which the drive can turn the motor: its limit, or what the pack gives.

    On the level and without the road's help; a hill turns it faster.

    >>> reachable(4788.0, 0.0, 6000.0), reachable(4788.0, 0.0)
    (4788.0, 4788.0)
    """
    if weakening_A_rms > 0.0:
        raise NotWorked("field weakening raises the speed above what the pack's voltage gives")
    return min(max_rpm, no_load_rpm)


@worked(
    "motor.reachable_rpm",
    "rpm",
    title="reachable motor speed",
    max_rpm="settings.max_rpm",
    weakening_A_rms="settings.field_weakening_A_rms",
    formula="max_rpm",
    applies_when="weakening_A_rms > 0",
    source="With field weakening only the limit ends the speed.",
)
def reachable_weakened(max_rpm: float, weakening_A_rms: float) -> float:
    """The same with field weakening: the speed limit.

    >>> reachable_weakened(6000.0, 60.0)
    6000.0
    """
    if weakening_A_rms <= 0.0:
        raise NotWorked("field weakening is off: the pack's voltage may end the speed sooner")
    return max_rpm


@worked(
    "motor.reachable_rpm",
    "rpm",
    title="reachable motor speed",
    max_rpm="settings.max_rpm",
    side=NO_MORE,
    formula="max_rpm",
    source="The limit holds, whatever the pack's voltage or field weakening would allow.",
)
def reachable_at_most(max_rpm: float) -> float:
    """The same while kv or field weakening is not known: no more than the speed limit.

    >>> reachable_at_most(4800.0)
    4800.0
    """
    return max_rpm


@worked(
    "motor.downhill_rpm",
    "rpm",
    title="motor speed downhill",
    downhill_km_h="ride.downhill_km_h",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    clutch="motor.one_way_clutch",
    rises=("downhill_km_h",),
    formula="1000 / 60 * downhill_km_h / circumference_m * ratio",
    applies_when="not clutch",
    source="Definition of speed: the road turns every motor that has no one-way clutch.",
)
def turned_downhill(
    downhill_km_h: float, ratio: float, circumference_m: float, clutch: bool = False
) -> float:
    """Motor speed downhill, whatever its controller allows.

    A clutch that is not given counts as none.

    >>> round(turned_downhill(60.0, 1.0, 2.0))
    500
    """
    if clutch:
        raise NotWorked("behind a one-way clutch the road does not turn the motor")
    return 1000.0 / 60.0 * downhill_km_h / circumference_m * ratio


@worked(
    "motor.max_turned_rpm",
    "rpm",
    title="highest motor speed in use",
    reachable_rpm="motor.reachable_rpm",
    downhill_rpm="motor.downhill_rpm",
    rises=("reachable_rpm", "downhill_rpm"),
    formula="max(reachable_rpm, downhill_rpm)",
    source="Drive and road both turn the motor.",
)
def max_turned(reachable_rpm: float, downhill_rpm: float = 0.0) -> float:
    """Speed to which the drive or a hill turns the motor.

    >>> max_turned(4788.0, 5520.0), max_turned(4788.0)
    (5520.0, 4788.0)
    """
    return max(reachable_rpm, downhill_rpm)


@worked(
    "motor.back_emf_V",
    "V",
    title="back-EMF",
    rpm="motor.max_turned_rpm",
    kv="motor.kv_rpm_per_V",
    rises=("rpm",),
    formula="rpm / kv",
    source=DEFINITION_OF_KV,
)
def back_emf(rpm: float, kv: float) -> float:
    """Voltage, peak line to line, that the spinning motor generates if the controller trips.

    For magnets at room temperature: colder ones give a few percent more, hot ones less.

    >>> back_emf(5400.0, 60.0)
    90.0
    """
    return rpm / kv


@worked(
    "motor.electrical_rpm",
    "electrical_rpm",
    title="electrical motor speed",
    rpm="motor.reachable_rpm",
    pole_pairs="settings.pole_pairs",
    rises=("rpm",),
    formula="rpm * pole_pairs",
    source="Definition of a pole pair: one electrical turn for each in a mechanical one.",
)
def electrical(rpm: float, pole_pairs: float) -> float:
    """Electrical speed that the controller has to follow at the highest motor speed.

    It counts with the pole pairs that are set.

    >>> electrical(8000.0, 7)
    56000.0
    """
    return rpm * pole_pairs


@worked(
    "motor.electrical_rpm",
    "electrical_rpm",
    title="electrical motor speed",
    rpm="motor.reachable_rpm",
    pole_pairs="motor.pole_pairs",
    rises=("rpm",),
    formula="rpm * pole_pairs",
    source="Definition of a pole pair: one electrical turn for each in a mechanical one.",
)
def electrical_of_motor(rpm: float, pole_pairs: float) -> float:
    """The same while the pole pairs set are not given: with the motor's own.

    >>> electrical_of_motor(8000.0, 7)
    56000.0
    """
    return rpm * pole_pairs


@worked(
    "motor.tested_weakening_A_rms",
    "A_rms",
    title="field weakening while kv was tested",
    tested_A_rms="readings.no_load.field_weakening_A_rms",
    formula="tested_A_rms",
    source="The reading.",
)
def tested_weakening(tested_A_rms: float) -> float:
    """Field-weakening current during the no-load test, where it was another than is set.

    >>> tested_weakening(0.0)
    0.0
    """
    return tested_A_rms


@worked(
    "motor.tested_weakening_A_rms",
    "A_rms",
    title="field weakening while kv was tested",
    set_A_rms="settings.field_weakening_A_rms",
    formula="set_A_rms",
    source="A test is taken in the settings, where it does not say otherwise.",
)
def tested_weakening_as_set(set_A_rms: float) -> float:
    """The same where the readings do not give it: what is set.

    >>> tested_weakening_as_set(30.0)
    30.0
    """
    return set_A_rms
