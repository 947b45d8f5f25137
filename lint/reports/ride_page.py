"""The ride as a page: its figures with what limits them, force over speed, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from ..documents.profile import Profile
from ..expressions.formatting import shown
from ..expressions.names import title_of, with_article
from ..judgement.verdict import ask_of, in_order
from ..riding.course import road_resistance
from ..riding.drive import OperatingPoint
from ..riding.ride_figures import Figure, Ride
from ..riding.vehicle import WINDING_degC
from .ride import by_words, figure_words, is_exact, missing_of, side_words
from .section import Block, Card, Chart, Line, Plot, PlotLine, Report, Row, Section, Table, row

CHARTED = 10  # lines of a chart, about
EVERY = (1, 2, 5, 10)  # of the points, one
ROOMY = 76  # columns that a chart with the names of limits takes
MODELLED = (
    "A steady motor of one inductance, sine-driven, its magnets as kv was taken; without iron loss, "
    "wind, throttle ramp or the turning mass of wheels and rotor. Worked out, not measured: try speed, "
    "hills and heat at low limits first. Local law comes before it."
)
MOVED_FIGURES = (
    ("top speed", "top_speed_km_h", "km_h"),
    ("push", "peak_force_N", "N"),
    ("start", "steepest_start_percent", "percent"),
    ("0 to 50 km/h", "zero_to_50_s", "s"),
    ("range", "range_km", "km"),
    ("stop and go", "stop_and_go_range_km", "km"),
    ("regen", "regen_deceleration_m_per_s2", "m_per_s2"),
    ("motor taper", "minutes_to_taper", "min"),
    ("motor stop", "minutes_to_stop", "min"),
    ("controller taper", "controller_minutes_to_taper", "min"),
    ("controller stop", "controller_minutes_to_stop", "min"),
)


def ride_page(
    rides: Sequence[Ride],
    profile: Profile,
    drawn: bool = False,
    against: tuple[str, Sequence[Ride]] | None = None,
    width: int = ROOMY,
) -> Report:
    """A card a mode; `drawn` for a format that draws plots, `width` for one of so many columns.

    `against` is a revision with the rides of then.
    """
    before = {} if against is None else {ride.mode: ride for ride in against[1]}
    cards = tuple(
        Card(
            verdict="RIDE",
            tone="bold",
            name=profile.name,
            about=((f"{profile.file}{f', mode {ride.mode}' if ride.mode else ''}",),),
            sections=tuple(_sections(ride, drawn, against, before, width)),
            stamped=False,
        )
        for ride in rides
    )
    return Report("gonogo ride", cards)


def _sections(
    ride: Ride,
    drawn: bool,
    against: tuple[str, Sequence[Ride]] | None,
    before: Mapping[str, Ride],
    width: int,
) -> Iterator[Section]:
    yield Section("", tuple(_figures(ride)))
    if against is not None:
        yield Section(f"against {against[0]}", (_moved(before.get(ride.mode), ride),))
    if ride.points:
        most = "" if is_exact(ride) else ", at most"
        title = f"force at the wheel over speed, full throttle{most}"
        yield Section(
            title,
            (_plot(ride) if drawn else _chart(ride, width >= ROOMY), *_names(ride, drawn, width)),
        )
    yield Section("", tuple(_grounds(ride)))


def _figures(ride: Ride) -> Iterator[Row]:
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
    yield row("0 to 50", _value(ride.zero_to_50_s, "s", where if grade else ""))
    yield row("range", *_ranges(ride))
    yield row("regen", _value(ride.regen_deceleration_m_per_s2, "m_per_s2", " on the flat"))
    yield from _heat(ride)


def _ranges(ride: Ride) -> Iterator[str]:
    """Both ranges with the energy that each takes, by which a rider knows whether to believe them."""
    cruise = "" if ride.cruise_km_h is None else f" at a steady {shown(ride.cruise_km_h, 'km_h')}"
    cycle = f" of {ride.schedule}" if ride.schedule else " in stop and go"
    given_back = "without regen"
    yield _value(ride.range_km, "km", cruise + _energy(ride, ride.range_km))
    real = ride.range_with_no_load_km
    if real.value is not None:
        yield _value(real, "km", f"{_energy(ride, real)}, with the no-load losses measured")
    yield _value(
        ride.stop_and_go_range_km,
        "km",
        f"{cycle}{_energy(ride, ride.stop_and_go_range_km)}, {given_back}",
    )
    capacity_Ah = ride.basis.get("pack.capacity_Ah")
    if capacity_Ah is not None and ride.range_km.value is not None:
        yield f"until the whole {shown(capacity_Ah, 'Ah', 3)} are used"


def _energy(ride: Ride, figure: Figure) -> str:
    """Energy from the pack for a km of a range that is exact: voltage × charge over distance."""
    volts, charge = (ride.basis.get(name) for name in ("pack.nominal_V", "pack.capacity_Ah"))
    if not figure.value or volts is None or charge is None:
        return ""
    return f", {shown(volts * charge / figure.value, '', 3)} Wh/km"


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


def charted_points(points: Sequence[OperatingPoint]) -> list[OperatingPoint]:
    """Some of the points, evenly, and the last."""
    step = next((one for one in EVERY if len(points) <= CHARTED * one), EVERY[-1])
    some = list(points[:-1:step])
    width_km_h = step * points[-1].speed_km_h / len(points)
    if len(some) > 1 and points[-1].speed_km_h - some[-1].speed_km_h < width_km_h / 2.0:
        some.pop()
    return [*some, points[-1]]


def _chart(ride: Ride, roomy: bool) -> Chart:
    """A bead a speed, with the force behind it, and where there is room the limit."""
    points = charted_points(ride.points)
    forces = [f"{point.force_N:.0f} N" for point in points]
    wide = max(map(len, forces))
    return Chart(
        tuple(shown(point.speed_km_h, "km_h", 3) for point in points),
        tuple(point.force_N for point in points),
        tuple(
            force.rjust(wide) + (f"  {title_of(point.limited_by)}" if roomy else "")
            for force, point in zip(forces, points, strict=True)
        ),
    )


def _plot(ride: Ride) -> Plot:
    """Force over speed, and what the road takes of it."""
    curves = [PlotLine("drive", tuple((p.speed_km_h, p.force_N) for p in ride.points))]
    if ride.road is not None:
        for name, grade in (("flat", 0.0), (f"{ride.grade_percent:g} %", ride.grade_percent)):
            if grade or name == "flat":
                road = ride.road._replace(grade_percent=grade)
                taken = [(p.speed_km_h, road_resistance(road, p.speed_km_h)) for p in ride.points]
                curves.append(PlotLine(f"road, {name}", tuple(taken), True))
    told = f"Force at the wheel falls from {ride.points[0].force_N:.0f} N at a standstill to "
    told += f"{ride.points[-1].force_N:.0f} N at {ride.points[-1].speed_km_h:.0f} km/h."
    return Plot("road speed in km/h", "force in N", tuple(curves), told)


def _names(ride: Ride, drawn: bool, width: int) -> Iterator[Block]:
    """Below a plot the points as a table; below a narrow chart the limits."""
    if not drawn and width < ROOMY:
        runs = [list(run) for _, run in groupby(ride.points, lambda point: point.limited_by)]
        words = [
            f"to {shown(run[-1].speed_km_h, 'km_h', 3)} {with_article(run[0].limited_by)}"
            for run in runs
        ]
        yield row("limited by", *words)
    if drawn:
        rows: list[tuple[Line, ...]] = [
            (
                (shown(point.speed_km_h, "km_h", 3),),
                (f"{point.force_N:.0f} N",),
                (shown(point.phase_A_rms, "A_rms", 3),),
                (shown(point.battery_A, "A", 3),),
                (title_of(point.limited_by),),
            )
            for point in ride.points
        ]
        heads = ("speed", "force", "phase current", "battery current", "limited by")
        yield Table(heads, tuple(rows), labels=False, headed=True)


def _moved(old: Ride | None, new: Ride) -> Row | Table:
    """Each figure then and now."""
    if old is None:
        return row("then", "this mode was not there")
    rows: tuple[tuple[Line, ...], ...] = tuple(
        (
            (label,),
            (figure_words(was, unit),),
            (figure_words(now, unit),),
            (by_words(was, now, unit),),
        )
        for label, name, unit in MOVED_FIGURES
        for was, now in ((getattr(old, name), getattr(new, name)),)
    )
    heads = ("", "then", "now", "by")
    return Table(heads, rows, labels=False, headed=True)


def _grounds(ride: Ride) -> Iterator[Row]:
    """What is missing, and what the figures rest on."""
    asks = [ask_of(name) for name in in_order(missing_of(ride))]
    if asks:
        yield row("to know all", *asks, role="act")
    known = [f"{title_of(name)} {shown(value, _unit(name))}" for name, value in ride.basis.items()]
    known.append(f"winding at {shown(WINDING_degC, 'degC')}")
    yield row("rests on", ", ".join(known))
    yield row("model", MODELLED)


def _unit(name: str) -> str:
    return {"pack.nominal_V": "V", "pack.capacity_Ah": "Ah", "ride.driven_percent": "percent"}.get(
        name, ""
    )
