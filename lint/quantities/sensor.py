"""Temperature sensors: which kind is fitted, by what a display shows, and how wrong it can be."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from .operand import NoLessThan, NoMoreThan, NotWorked
from .sensor_curve import curve, kinds
from .worked import worked

NEAR_END_K = 3.0  # a display stops at, or just before, the end of its curve

Broken = Literal["open circuit", "short circuit"]


def resistance(kind: str, degC: float) -> float | None:
    """Ohms of a kind of sensor at a temperature; None outside its curve or for an unknown kind.

    >>> resistance("kty84-130", 100.0)
    1000.0
    """
    known = curve(kind)
    return None if known is None else known.resistance(degC)


@lru_cache(maxsize=4096)
def temperature(kind: str, ohm: float) -> float | None:
    """Temperature of a kind of sensor by its ohms; None outside its curve or for an unknown kind.

    >>> round(temperature("kty83-110", 1097.3), 1)
    37.4
    """
    known = curve(kind)
    return None if known is None else known.temperature(ohm)


def shown_for(true_degC: float, fitted: str, set_to: str) -> float | None:
    """What a display set to one kind shows while another is fitted.

    It shows the temperature at which the kind it is set to would have the fitted one's resistance.
    None where one of the two has no such value.

    >>> round(shown_for(25.0, "kty84-130", "kty83-110"))
    -35
    """
    ohm = resistance(fitted, true_degC)
    return None if ohm is None else temperature(set_to, ohm)


def broken_wire(shown_degC: float, set_to: str) -> Broken | None:
    """The fault that a display at the end of its scale points to; None for an ordinary value.

    A thermistor without a wire reads as cold as the scale goes, and hot when shorted; platinum and
    silicon the opposite. Displays that stop well inside the curve are not recognised.

    >>> broken_wire(-40.0, "ntc-10k-3977"), broken_wire(150.0, "ntc-10k-3977")
    ('open circuit', 'short circuit')
    """
    known = curve(set_to)
    if known is None:
        return None
    if shown_degC <= known.from_degC + NEAR_END_K:
        return "open circuit" if known.falls else "short circuit"
    if shown_degC >= known.to_degC - NEAR_END_K:
        return "short circuit" if known.falls else "open circuit"
    return None


UNKNOWN_B = "ntc-10k"  # a thermistor of 10 kΩ at 25 °C of which no B value is known


def kinds_of(fitted: str) -> tuple[str, ...]:
    """The kinds that the sensor fitted can be: one, or all the thermistors of 10 kΩ at 25 °C.

    >>> kinds_of("pt1000"), len(kinds_of("ntc-10k"))
    (('pt1000',), 4)
    """
    if fitted != UNKNOWN_B:
        return (fitted,)
    return tuple(kind for kind in kinds() if kind.startswith(f"{UNKNOWN_B}-"))


def agrees(set_to: str, fitted: str) -> bool:
    """Whether the kind set can be the one fitted.

    >>> agrees("ntc-10k-3435", "ntc-10k"), agrees("pt1000", "ntc-10k")
    (True, False)
    """
    return set_to in kinds_of(fitted)


@worked(
    "motor.sensor_kind_agrees",
    "",
    title="sensor type set is the one fitted",
    set_to="settings.temperature.motor.sensor",
    fitted="motor.temperature_sensor",
    returns="boolean",
    words="set_to is fitted, or a thermistor of 10 kΩ where no more is known of the one fitted",
    source="The entries.",
)
def kind_agrees(set_to: str, fitted: str) -> bool:
    """Whether the kind set can be the one fitted.

    >>> kind_agrees("ntc-10k-3435", "ntc-10k"), kind_agrees("pt1000", "ntc-10k")
    (True, False)
    """
    return agrees(set_to, fitted)


CURVES = "Published curves: the display shows where the kind set has the fitted kind's resistance."


@worked(
    "motor.temperature_error_at_stop_K",
    "K",
    title="error of the motor temperature at its stop",
    set_to="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    fitted="motor.temperature_sensor",
    words="difference of stop_degC and the true temperature with the kind fitted, the worst it can be",
    source=CURVES,
)
def error_at_stop(set_to: str, stop_degC: float, fitted: str) -> float:
    """How far the motor's true temperature is from the stop when the display shows it.

    >>> error_at_stop("kty84-130", 120.0, "kty84-130")
    0.0
    """
    return error_at_stop_unsure(set_to, stop_degC, kinds_of(fitted))


@worked(
    "motor.temperature_error_at_stop_K",
    "K",
    title="error of the motor temperature at its stop",
    set_to="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    cold="motor.cold_sensor_kinds",
    words="largest difference of stop_degC and the true temperature over the cold kinds",
    source=CURVES,
)
def error_at_stop_unsure(set_to: str, stop_degC: float, cold: Iterable[str]) -> float:
    """The same over all kinds that the cold reading allows, while the fitted one is not given.

    Where the curve of one of them ends before that, it is no less than to the curve's end.

    >>> round(error_at_stop_unsure("ntc-10k-3950", 100.0, ["ntc-10k-3950", "ntc-10k-3435"]))
    13
    """
    trues = _true_at(set_to, stop_degC, cold)
    error_K = max(_least_error(true, stop_degC) for true in trues)
    sure = not any(isinstance(true, NoLessThan | NoMoreThan) for true in trues)
    return error_K if sure else NoLessThan(error_K)


@worked(
    "motor.max_true_at_stop_degC",
    "degC",
    title="true motor temperature at its stop",
    set_to="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    fitted="motor.temperature_sensor",
    words="true temperature when the display shows stop_degC, with the worst kind that can be fitted",
    source=CURVES,
)
def max_true_at_stop(set_to: str, stop_degC: float, fitted: str) -> float:
    """The motor's true temperature when the display shows the stop.

    >>> round(max_true_at_stop("ntc-10k-3950", 100.0, "ntc-10k-3435"))
    113
    """
    return max_true_at_stop_unsure(set_to, stop_degC, kinds_of(fitted))


@worked(
    "motor.max_true_at_stop_degC",
    "degC",
    title="true motor temperature at its stop",
    set_to="settings.temperature.motor.sensor",
    stop_degC="settings.temperature.motor.stop_degC",
    cold="motor.cold_sensor_kinds",
    words="highest true temperature over the cold kinds when the display shows stop_degC",
    source=CURVES,
)
def max_true_at_stop_unsure(set_to: str, stop_degC: float, cold: Iterable[str]) -> float:
    """The highest true motor temperature at the stop, while the fitted kind is not given.

    Where the curve of one of them ends before that, it is no less than the curve's end.

    >>> round(max_true_at_stop_unsure("ntc-10k-3950", 100.0, ["ntc-10k-3950", "ntc-10k-3435"]))
    113
    """
    trues = _true_at(set_to, stop_degC, cold)
    hottest = max(trues)
    return NoLessThan(hottest) if any(isinstance(true, NoLessThan) for true in trues) else hottest


def _least_error(true_degC: float, stop_degC: float) -> float:
    """How far a true temperature is from the stop, at the least where it is only a bound."""
    if isinstance(true_degC, NoLessThan):
        return max(true_degC - stop_degC, 0.0)
    if isinstance(true_degC, NoMoreThan):
        return max(stop_degC - true_degC, 0.0)
    return abs(true_degC - stop_degC)


def _true_at(set_to: str, stop_degC: float, fitted: Iterable[str]) -> list[float]:
    """True temperatures when the display shows the stop, one for each kind."""
    ohm = resistance(set_to, stop_degC)
    if ohm is None:
        raise NotWorked(f"{stop_degC:g} °C lies outside the curve of {set_to}")
    temperatures = [stop_degC if kind == set_to else _true(kind, ohm) for kind in fitted]
    if not temperatures:
        raise NotWorked("no known kind of sensor fits the cold reading")
    return temperatures


def _true(kind: str, ohm: float) -> float:
    """Temperature of a kind by its resistance; past the end of its curve only that it is past it."""
    known = curve(kind)
    if known is None:
        raise NotWorked(f"no curve is known for the sensor kind {kind}")
    true = temperature(kind, ohm)
    if true is not None:
        return true
    if known.is_past_hot_end(ohm):
        return NoLessThan(known.to_degC)
    return NoMoreThan(known.from_degC)
