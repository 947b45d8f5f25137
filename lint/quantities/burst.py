"""What ends a burst of phase current: the motor's temperature stop, a clock, or the top of the climb."""

from __future__ import annotations

import math

from .motor_burst import HEAT, seconds_until_hot
from .operand import NotWorked
from .sensor import agrees
from .worked import worked

WATCHES = "A stop acts on a reading: the sensor set has to be the one fitted, and be seen to read."
LONGEST_CLIMB_s = 3600.0


@worked(
    "motor.climb_current_A_rms",
    "A_rms",
    title="phase current on the steepest climb",
    hold_A_rms="ride.hold_current_A_rms",
    driven_A_rms="motor.driven_A_rms",
    rises=("hold_A_rms", "driven_A_rms"),
    formula="min(hold_A_rms, driven_A_rms)",
    source="The climb asks for a current, and the limit gives no more than it is set to.",
)
def climb_current(hold_A_rms: float, driven_A_rms: float) -> float:
    """Phase current on the steepest climb.

    >>> climb_current(240.0, 200.0)
    200.0
    """
    return min(hold_A_rms, driven_A_rms)


@worked(
    "motor.climb_s",
    "s",
    title="time limit on the steepest climb",
    burst_s="motor.phase_current_burst_s",
    burst_A_rms="motor.phase_current_burst_A_rms",
    continuous_A_rms="motor.phase_current_A_rms",
    climb_A_rms="motor.climb_current_A_rms",
    falls=("climb_A_rms",),
    formula="burst_s * (burst_A_rms ** 2 - continuous_A_rms ** 2)"
    " / max(climb_A_rms ** 2 - continuous_A_rms ** 2,"
    " burst_s * (burst_A_rms ** 2 - continuous_A_rms ** 2) / 3600)",
    applies_when="burst_A_rms > continuous_A_rms and burst_s > 0",
    source=HEAT,
)
def climb(burst_s: float, burst_A_rms: float, continuous_A_rms: float, climb_A_rms: float) -> float:
    """Time for which the motor withstands the current of the steepest climb.

    From a cold motor; right for seconds, too short for minutes. No climb is longer than an hour, which
    stands for a current that the motor withstands continuously.

    >>> climb(20.0, 300.0, 100.0, 200.0), climb(20.0, 300.0, 100.0, 90.0)
    (53.333333333333336, 3600.0)
    """
    if burst_s <= 0.0:
        raise NotWorked("a burst lasts some time")
    if burst_A_rms > continuous_A_rms >= climb_A_rms:
        return LONGEST_CLIMB_s
    seconds = seconds_until_hot(burst_s, burst_A_rms, continuous_A_rms, climb_A_rms)
    return min(LONGEST_CLIMB_s, seconds)


@worked(
    "motor.temperature_watched",
    "",
    title="working motor temperature stop",
    sensor="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    shown_degC="readings.temperature.motor_degC",
    cold_degC="readings.cold_reference_degC",
    allowed_K="readings.cold_fault_K",
    fitted="motor.temperature_sensor",
    rises=("stop_degC",),  # it is there, or not; how high it is has rules of its own
    returns="boolean",
    words="sensor, stop_degC and the kind fitted agree, and shown_degC is within allowed_K of cold_degC",
    source=WATCHES,
)
def watched(
    sensor: str,
    stop_degC: float,
    shown_degC: float,
    cold_degC: float,
    allowed_K: float,
    fitted: str = "",
) -> bool:
    """Whether a working motor temperature stop is set, the display compared on the cold motor.

    A kind that is only claimed watches nothing: its wire may be off. A motor whose own sensor is not
    given is taken to have the one set.

    >>> watched("pt1000", 120.0, 19.0, 18.0, 8.0)
    True
    """
    if abs(shown_degC - cold_degC) > allowed_K:
        raise NotWorked("the cold motor shows another temperature than the rest of the vehicle")
    return watched_warm(sensor, stop_degC, shown_degC, shown_degC, fitted)


@worked(
    "motor.temperature_watched",
    "",
    title="working motor temperature stop",
    sensor="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    shown_degC="readings.temperature.warm.motor_shown_degC",
    reference_degC="motor.warm_comparison_degC",
    fitted="motor.temperature_sensor",
    rises=("stop_degC",),  # it is there, or not; how high it is has rules of its own
    returns="boolean",
    words="sensor, stop_degC and the kind fitted agree, and shown_degC was compared warm",
    source=WATCHES,
)
def watched_warm(
    sensor: str, stop_degC: float, shown_degC: float, reference_degC: float, fitted: str = ""
) -> bool:
    """The same, the display compared with a thermometer on the warm motor.

    >>> watched_warm("pt1000", 120.0, 71.0, 70.0), watched_warm("pt1000", 120.0, 71.0, 70.0, "pt100")
    (True, False)
    """
    return sensor != "none" and (not fitted or agrees(sensor, fitted))


@worked(
    "motor.temperature_watched",
    "",
    title="working motor temperature stop",
    sensor="settings.temperature.motor.sensor",
    fitted="motor.temperature_sensor",
    returns="boolean",
    words="false where sensor is another kind than the one fitted",
    source=WATCHES,
)
def unwatched_by_another(sensor: str, fitted: str) -> bool:
    """The same where the kind set is another than the one that is fitted.

    >>> unwatched_by_another("pt1000", "kty84-130")
    False
    """
    if agrees(sensor, fitted):
        raise NotWorked("the motor's temperature stop is compared with no reading")
    return False


@worked(
    "motor.temperature_watched",
    "",
    title="working motor temperature stop",
    limit="settings.temperature.motor",
    returns="boolean",
    words="false where there is no limit",
    source=WATCHES,
)
def unwatched_without_limit(limit: str) -> bool:
    """The same where the controller has no motor temperature limit.

    >>> unwatched_without_limit("none")
    False
    """
    return _never(limit)


@worked(
    "motor.temperature_watched",
    "",
    title="working motor temperature stop",
    sensor="settings.temperature.motor.sensor",
    returns="boolean",
    words="false where no sensor is set",
    source=WATCHES,
)
def unwatched_without_kind(sensor: str) -> bool:
    """The same where the controller is set to no sensor.

    >>> unwatched_without_kind("none")
    False
    """
    return _never(sensor)


@worked(
    "motor.temperature_watched",
    "",
    title="working motor temperature stop",
    fitted="motor.temperature_sensor",
    returns="boolean",
    words="false where no sensor is fitted",
    source=WATCHES,
)
def unwatched_without_sensor(fitted: str) -> bool:
    """The same where the motor has no sensor.

    >>> unwatched_without_sensor("none")
    False
    """
    return _never(fitted)


def _never(entered: str) -> bool:
    if entered != "none":
        raise NotWorked("whether the motor's temperature stop can act is not known")
    return False


@worked(
    "motor.burst_ends",
    "",
    title="overload ended in time",
    watched="motor.temperature_watched",
    lowered_s="settings.phase_current_burst_s",
    allowed_s="motor.allowed_burst_s",
    returns="boolean",
    formula="watched or lowered_s <= allowed_s",
    words="watched, or lowered_s no more than allowed_s",
    source="Heat ends a burst, or the controller's clock before the heat does harm.",
)
def burst_ends(watched: bool, lowered_s: float = math.inf, allowed_s: float = 0.0) -> bool:
    """Whether a phase current above the motor's continuous rating is ended in time.

    >>> burst_ends(False), burst_ends(False, 10.0, 30.0), burst_ends(True)
    (False, True, True)
    """
    return watched or lowered_s <= allowed_s


@worked(
    "motor.burst_ends",
    "",
    title="overload ended in time",
    allowed_s="motor.allowed_burst_s",
    lowered_s="settings.phase_current_burst_s",
    returns="boolean",
    formula="lowered_s <= allowed_s",
    applies_when="lowered_s <= allowed_s",
    source="The controller's clock ends the burst before the heat does harm.",
)
def burst_ends_in_time(allowed_s: float, lowered_s: float = math.inf) -> bool:
    """The same while nothing is known of the motor's temperature limit.

    Not every controller has the time, so it is the temperature that is asked for.

    >>> burst_ends_in_time(30.0, 10.0)
    True
    """
    if lowered_s > allowed_s:
        raise NotWorked("the burst lasts longer than the motor withstands it")
    return True
