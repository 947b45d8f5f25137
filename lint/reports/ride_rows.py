"""The figures of a ride as rows: each with its unit and what limits it."""

from __future__ import annotations

from collections.abc import Iterator

from ..expressions.formatting import shown
from ..expressions.names import with_article
from ..riding.ride_figures import Figure, Ride
from .ride import is_exact, is_no_load, side_words
from .section import Row, row


def figure_rows(ride: Ride) -> Iterator[Row]:
    """Each figure with its unit and what limits it."""
    grade = ride.grade_percent
    where = f" on a grade of {shown(grade, 'percent')}" if grade else " on the flat"
    top = _value(ride.top_speed_km_h, "km_h", where) + _limit(ride.limited_by)
    flat = _value(ride.flat_top_speed_km_h, "km_h", " on the flat") if grade else ""
    full = _value(ride.full_top_speed_km_h, "km_h", " on the flat with the full pack")
    same = ride.full_top_speed_km_h == ride.flat_top_speed_km_h
    yield row("top speed", top, flat, "" if same else full)
    yield from _beyond(ride)
    steady = _value(ride.continuous_force_N, "N", " at the motor's continuous rating")
    yield row("push", _value(ride.peak_force_N, "N") + _limit(ride.peak_limited_by), steady)
    yield row("steepest", _value(ride.steepest_start_percent, "percent", " at a start"))
    sprint = ride.zero_to_50_s
    slope = where if grade else ""
    yield row("0 to 50 km/h", _value(sprint, "s", slope) + (slope if sprint.reason else ""))
    yield row("range", *_ranges(ride))
    yield row("regen", *_regen(ride))
    yield from _heat(ride)


def _ranges(ride: Ride) -> Iterator[str]:
    """Both ranges with the energy that each takes, by which a rider knows whether to believe them."""
    flat = " on the flat" if ride.grade_percent else ""
    cruise = flat
    if ride.cruise_km_h is not None:
        cruise = f" at a steady {shown(ride.cruise_km_h, 'km_h')}{flat}"
    cycle = f" of {ride.schedule}" if ride.schedule else " in stop and go"
    stop_and_go = ride.stop_and_go_range_km
    yield _value(ride.range_km, "km", cruise + _energy(ride, ride.range_km))
    yield _value(stop_and_go, "km", f"{cycle}{_energy(ride, stop_and_go)}, without regen")
    if ride.range_km.high is None and stop_and_go.high is None:
        return
    capacity_Ah = ride.basis.get("pack.capacity_Ah")
    if capacity_Ah is not None:
        yield f"until the whole {shown(capacity_Ah, 'Ah', 3)} are used, cells new and warm"
    figure = ride.range_km if ride.range_km.high is not None else stop_and_go
    if figure.value is None:
        yield figure.reason
    if any(map(is_no_load, figure.missing)):
        yield "no-load losses are not counted: no no-load test is entered"


def _energy(ride: Ride, figure: Figure) -> str:
    """Energy from the pack for a km of a range: voltage × charge over distance; at least for one at most."""
    volts, charge = (ride.basis.get(name) for name in ("pack.nominal_V", "pack.capacity_Ah"))
    if not figure.high or volts is None or charge is None:
        return ""
    least = "" if figure.value else "at least "
    return f", {least}{shown(volts * charge / figure.high, '', 3)} Wh/km"


def _regen(ride: Ride) -> Iterator[str]:
    """The most with the speed up to which it holds, what is left when fast, and where it ends."""
    regen, cruise = ride.regen, ride.cruise_km_h
    if regen.most.high is not None:
        until = regen.most_to_km_h
        below = " at every speed" if until is None else f" below {shown(until, 'km_h', 2)}"
        yield f"up to {_value(Figure(regen.most.high, regen.most.high), 'm_per_s2', below)}"
    at = "" if cruise is None else f" at {shown(cruise, 'km_h', 3)}"
    if regen.most.high is None or regen.most_to_km_h is not None:
        yield _value(regen.at_cruise, "m_per_s2", at)
        for top_km_h, figure in regen.curve[-1:]:
            yield _value(figure, "m_per_s2", f" at the top speed of {shown(top_km_h, 'km_h', 3)}")
    if regen.none_from_V is not None:
        yield f"none once the pack is at {shown(regen.none_from_V, 'V')}"


def _beyond(ride: Ride) -> Iterator[Row]:
    """The vehicle's own limits, where the drive goes past them: the controller knows nothing of them."""
    words = []
    limit_km_h = ride.own_limits.get("vehicle.speed_limit_km_h")
    top = ride.full_top_speed_km_h.value or ride.top_speed_km_h.value
    if limit_km_h is not None and top is not None and top > limit_km_h:
        words.append(f"the drive goes past the vehicle speed limit of {shown(limit_km_h, 'km_h')}")
    limit_W, power_W = ride.own_limits.get("vehicle.power_limit_W"), ride.peak_power_W
    if limit_W is not None and power_W is not None and is_exact(ride) and power_W > limit_W:
        words.append(
            f"{shown(power_W, 'W', 3)} at the shaft are past the vehicle power limit of "
            f"{shown(limit_W, 'W')}, if it means peak power"
        )
    if words:
        yield row("beyond", *words, tone="advice")


def _heat(ride: Ride) -> Iterator[Row]:
    """The hill with the current that it takes, and how soon motor and controller reduce power on it."""
    hill = ride.hill
    if hill.grade_percent is None:
        yield row("hill", _unknown(ride.minutes_to_stop))
        return
    grade = f"a grade of {shown(hill.grade_percent, 'percent')}"
    if hill.phase_A_rms is None or hill.speed_km_h is None:
        yield row("hill", f"{grade}: {_unknown(ride.minutes_to_stop)}")
        return
    air = f", in air of {shown(hill.air_degC, 'degC')}" if hill.air_degC is not None else ""
    speed, current = shown(hill.speed_km_h, "km_h", 3), shown(hill.phase_A_rms, "A_rms", 3)
    first = f"the {hill.tapers_first} tapers first" if hill.tapers_first else ""
    yield row("hill", f"{grade} at {speed} takes {current}{air}", first)
    yield row("motor", *_minutes(ride.minutes_to_taper, ride.minutes_to_stop))
    yield row(
        "controller", *_minutes(ride.controller_minutes_to_taper, ride.controller_minutes_to_stop)
    )


def _minutes(taper: Figure, stop: Figure) -> Iterator[str]:
    """Until a temperature taper and stop, or in one line why neither is known."""
    if (taper.low, taper.high) == (stop.low, stop.high) == (None, None):
        yield f"temperature taper and stop: {_unknown(stop)}"
        return
    for figure, end in ((taper, "taper"), (stop, "stop")):
        is_open = (figure.low, figure.high) == (None, None)
        until = f"temperature {end}: {_unknown(figure)}"
        yield until if is_open else _value(figure, "min", f" until its temperature {end}")


def _value(figure: Figure, unit: str, behind: str = "") -> str:
    """A figure in words: exact, a span, a bound, or why there is none."""
    if figure.low is None and figure.high is None:
        return figure.reason or f"{behind.strip()}: not known".removeprefix(": ")
    if figure.low is None or figure.high is None:
        known = figure.low if figure.high is None else figure.high
        return f"{side_words(figure)}{shown(known, unit, 3)}{behind}"
    if figure.value is None:
        return f"{shown(figure.low, '', 2)} to {shown(figure.high, unit, 2)}{behind}"
    return f"{shown(figure.value, unit, 3)}{behind}"


def _unknown(figure: Figure) -> str:
    """The reason, or that entries are missing, which are asked for once below."""
    return figure.reason or "not known"


def _limit(name: str) -> str:
    return f", limited by {with_article(name)}" if name else ""
