"""Which temperature sensor is fitted, by one reading of a motor as cold as the air around it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import combinations
from typing import NamedTuple

from .display_end import DisplayScale, curve_on_display, display_end, may_be_switching
from .operand import NotWorked
from .sensor import NEAR_END_K, resistance, shown_for, temperature
from .sensor_curve import Curve, b_equation, curve, kinds, nominal_values
from .worked import worked

DISPLAY_STEP_K = 1.0  # most displays show whole degrees
NEAR_COLD_K = 3.0  # meter, sensor class and a motor not quite as cold as the air
WARM_OFF_K = (
    4.0  # by how much a warm reading may miss its kind: the same, and a step of the display
)
LOOSE_K = 6.0  # by how much a part of wide tolerance in a motor not quite cold may be off
APART_K = 9.0  # three times that: no two displays so far apart are mistaken for each other
WARMER_K = 20.0  # the least by which a second reading is warmer
HOTTEST_DEGC = 90.0  # a motor run warm on a stand, or its sensor in hot water
WARM_STEP_K = 5.0
SHORT_OHM, OPEN_OHM = 5.0, 5e6
USUAL_B_K = (3380.0, 4050.0)  # thermistors of motors, from memory


class Fitting(NamedTuple):
    """A kind that may be fitted: what a display set to it would show, and how far from the ambient."""

    kind: str
    temperature_degC: float
    off_K: float


class WarmDisplay(NamedTuple):
    """What the display, set as it is, shows of a warm motor with one kind fitted; None off its scale."""

    kind: str
    shown_degC: float | None


class WarmReading(NamedTuple):
    """The second reading that tells kinds apart: at which temperature, and what each then shows.

    `alike` are kinds that no reading up to there tells apart.
    """

    at_degC: float
    shows: tuple[WarmDisplay, ...]
    alike: tuple[tuple[str, ...], ...]


class SensorReading(NamedTuple):
    """What one cold reading says of the sensor.

    At the end of the display's scale the wire may be open or shorted, or one of the kinds `beyond`
    fitted; `implied_ohm` is None past the end, and `sure_end` False where displays only often stop.
    `nearest` is the kind that comes closest where none fits, `close` the kinds that then are no more
    off than a part of wide tolerance. `switching`: a thermistor of motor protection is possible.
    """

    implied_ohm: float | None
    open: bool
    short: bool
    candidates: tuple[Fitting, ...]
    beyond: tuple[str, ...]
    nearest: Fitting | None
    settled_by: WarmReading | None
    close: tuple[str, ...] = ()
    switching: bool = False
    sure_end: bool = True


NO_READING = SensorReading(None, False, False, (), (), None, None)


def read_sensor(
    shown_degC: float,
    set_to: str,
    ambient_degC: float,
    cold_K: float = NEAR_COLD_K,
    scale: DisplayScale | None = None,
) -> SensorReading:
    """What a display says of the sensor in a motor that has stood until it is as cold as the air.

    `shown_degC` stands on the display, set to the kind `set_to`, one whose curve is known;
    `cold_K` is how far an honest reading may be from the ambient, in K. `scale` is that of the display;
    where it is missing, a reading at or beyond a usual end may be the end of it.

    >>> reading = read_sensor(85.0, "ntc-10k-3950", 22.0)
    >>> round(reading.implied_ohm), [fit.kind for fit in reading.candidates]
    (1087, ['pt1000'])
    """
    display = curve_on_display(set_to, scale)
    if display is None:
        raise ValueError(f"no curve is known for the sensor kind {set_to}")
    end = display_end(shown_degC, set_to, scale)
    ohm = display.resistance(shown_degC)
    told = NO_READING
    if ohm is not None:
        told = _told(_by_display(display, shown_degC, set_to), ambient_degC, cold_K, set_to)
    if end is None:
        return told
    beyond = tuple(_beyond(display, end.hot, ambient_degC, shown_degC))
    told = told._replace(open=end.open, short=not end.open, sure_end=end.sure)
    return told._replace(beyond=beyond, nearest=None, close=())


def measured_sensor(
    ohm: float, ambient_degC: float, accuracy_percent: float = 1.0, cold_K: float = NEAR_COLD_K
) -> SensorReading:
    """The same of a resistance measured at the sensor's wires, unplugged, in ohms.

    Below 5 Ω it is a short circuit, above 5 MΩ an open one: no known kind comes near either.

    >>> [fit.kind for fit in measured_sensor(576.0, 22.0).candidates]
    ['kty84-130']
    """
    if not SHORT_OHM <= ohm <= OPEN_OHM:
        return NO_READING._replace(open=ohm > OPEN_OHM, short=ohm < SHORT_OHM)
    error = ohm * accuracy_percent / 100.0
    return _told(Resistance((ohm,), ohm - error, ohm + error), ambient_degC, cold_K, None)


def kinds_that_fit(shown_degC: float, set_to: str, ambient_degC: float, cold_K: float) -> list[str]:
    """The kinds that a display allows, nearest first; none where it is set to an unknown kind.

    For a motor that has stood until it is as cold as the air. Several kinds of thermistor can agree
    cold; only a warm reading tells them apart.

    >>> kinds_that_fit(-35.0, "kty83-110", 25.0, 3.0)
    ['kty84-130']
    """
    display = curve(set_to)
    ohm = None if display is None else display.resistance(shown_degC)
    if display is None or ohm is None:
        return []
    every = _all(_by_display(display, shown_degC, set_to), ambient_degC, set_to)
    return [fit.kind for fit, least_K in every if least_K <= cold_K]


@worked(
    "motor.cold_sensor_kinds",
    "",
    title="sensor types that fit the cold reading",
    shown_degC="readings.temperature.motor_degC",
    set_to="settings.temperature.motor.sensor",
    ambient_degC="readings.ambient_degC",
    within_K="house.cold_difference_K",
    returns="texts",
    words="kinds that have at ambient_degC ± within_K the resistance of set_to at shown_degC ± 1 K",
    source="Published curves of platinum, silicon and thermistor sensors.",
)
def cold_sensor_kinds(
    shown_degC: float, set_to: str, ambient_degC: float, within_K: float
) -> list[str]:
    """The kinds that the cold reading allows, nearest first; none where it fits no kind.

    For a motor that has stood long enough to be as cold as the air.

    >>> cold_sensor_kinds(-35.0, "kty83-110", 25.0, 3.0)
    ['kty84-130']
    """
    if curve(set_to) is None:
        raise NotWorked(f"no curve is known for the sensor kind {set_to}")
    return kinds_that_fit(shown_degC, set_to, ambient_degC, within_K)


def as_thermistor(ohm: float, degC: float) -> tuple[float, float]:
    """Least and most resistance at 25 °C of a thermistor that has `ohm` at a temperature.

    For kinds without a table: over the usual B values, 3380 to 4050 K.

    >>> [round(ohm) for ohm in as_thermistor(10400.0, 21.0)]
    [8646, 8914]
    """
    ends = sorted(ohm / b_equation(degC, 1.0, B) for B in USUAL_B_K)
    return ends[0], ends[1]


class Resistance(NamedTuple):
    """What a reading says of the sensor's resistance: likely `ohms`, the first of the kind's table,
    within `low` and `high`."""

    ohms: tuple[float, ...]
    low: float
    high: float


def _by_display(display: Curve, shown_degC: float, set_to: str) -> Resistance:
    """The resistance within a step of what is displayed, or to the end of its scale.

    A display of a thermistor follows the maker's table, or works with no more than its B value.
    """
    low = max(shown_degC - DISPLAY_STEP_K, display.from_degC)
    high = min(shown_degC + DISPLAY_STEP_K, display.to_degC)
    laws = [display.ohm]
    nominal = nominal_values(set_to)
    if nominal is not None:
        laws.append(partial(b_equation, ohm_at_25=nominal[0], B=nominal[1]))
    ends = [law(degC) for law in laws for degC in (low, high)]
    return Resistance(tuple(law(shown_degC) for law in laws), min(ends), max(ends))


def _told(
    measured: Resistance, ambient_degC: float, cold_K: float, set_to: str | None
) -> SensorReading:
    every = _all(measured, ambient_degC, set_to)
    candidates = tuple(fit for fit, least_K in every if least_K <= cold_K)
    nearest = None if candidates or not every else every[0][0]
    close = () if candidates else tuple(fit.kind for fit, _ in every if fit.off_K <= LOOSE_K)
    names = [fit.kind for fit in candidates]
    settled = warm_reading(names, set_to, ambient_degC) if names else None
    ohm = measured.ohms[0]
    told = SensorReading(ohm, False, False, candidates, (), nearest, settled, close)
    return told._replace(switching=may_be_switching(ohm))


def _all(
    measured: Resistance, ambient_degC: float, set_to: str | None
) -> list[tuple[Fitting, float]]:
    """Every kind by its temperature at a resistance, with the least it is off within its ends.

    Nearest the ambient first, to 0.1 K; of equals the kind that is set.
    """
    fits = []
    for kind in kinds():
        at = [degC for ohm in measured.ohms if (degC := temperature(kind, ohm)) is not None]
        if not at:
            continue
        degC = min(at, key=lambda each: abs(each - ambient_degC))
        ends = (temperature(kind, ohm) for ohm in (measured.low, measured.high))
        span = [*at, *(end for end in ends if end is not None)]
        least_K = max(min(span) - ambient_degC, ambient_degC - max(span), 0.0)
        fits.append((Fitting(kind, degC, abs(degC - ambient_degC)), least_K))
    return sorted(
        fits, key=lambda fit: (round(fit[0].off_K, 1), fit[0].kind != set_to, fit[0].off_K)
    )


def _beyond(display: Curve, hot: bool, ambient_degC: float, shown_degC: float) -> Iterator[str]:
    """The kinds whose resistance at the ambient lies past the end at which the display stands."""
    first, last = display.from_degC, display.to_degC
    inside = first + NEAR_END_K < shown_degC < last - NEAR_END_K
    end = display.ohm(shown_degC if inside else last if hot else first)
    above = hot != display.falls
    for kind in kinds():
        ohm = resistance(kind, ambient_degC)
        if ohm is not None and (ohm > end if above else ohm < end):
            yield kind


def warm_reading(
    names: Sequence[str], set_to: str | None, ambient_degC: float
) -> WarmReading | None:
    """The warm reading that tells the kinds apart, or as many of them as one can.

    Of these the warmest on the display's scale, since a kind that is not known here can agree long.
    The display stays set to `set_to`; None stands for a meter at the sensor's wires, whose reading
    is turned into degrees of the first kind. None where the motor cannot be made warm enough.

    >>> warm_reading(["ntc-10k-3435", "ntc-10k-3950"], "ntc-10k-3950", 20.0).at_degC
    90.0
    """
    scale = set_to or names[0]
    first = math.ceil((ambient_degC + WARMER_K) / WARM_STEP_K)
    warm = [step * WARM_STEP_K for step in range(first, round(HOTTEST_DEGC / WARM_STEP_K) + 1)]
    if not warm:
        return None
    best = min(
        warm,
        key=lambda degC: (
            len(_mistaken(names, scale, degC)),
            sum(shown_for(degC, name, scale) is None for name in names),
            -degC,
        ),
    )
    pairs = _mistaken(names, scale, best)
    shows = tuple(WarmDisplay(name, shown_for(best, name, scale)) for name in names)
    return WarmReading(best, shows, tuple(pairs))


def _mistaken(names: Iterable[str], scale: str, degC: float) -> list[tuple[str, str]]:
    """The pairs of kinds that a display does not tell apart at a temperature."""
    shows = [(name, shown_for(degC, name, scale)) for name in names]
    return [
        (one, other)
        for (one, at), (other, too) in combinations(shows, 2)
        if (at is None and too is None)
        or (at is not None and too is not None and abs(at - too) < APART_K)
    ]
