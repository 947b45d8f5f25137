"""The ride as a page: its figures with what limits them, force over speed, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from ..expressions.formatting import shown
from ..expressions.names import title_of, with_article
from ..judgement.finding import Judgement
from ..judgement.verdict import ask_of, in_order
from ..riding.course import road_resistance
from ..riding.drive import OperatingPoint
from ..riding.ride_figures import Figure, Ride
from ..riding.vehicle import WINDING_degC
from .check_totals import TONES, VERDICT_WORDS
from .ride import by_words, figure_words, is_exact, missing_of
from .ride_rows import figure_rows
from .ride_verdict import verdict_rows
from .section import Block, Card, Chart, Line, Plot, PlotLine, Report, Row, Section, Table, row

CHARTED = 10  # lines of a chart, about
EVERY = (1, 2, 5, 10)  # of the points, one
ROOMY = 76  # columns that a chart with the names of limits takes
MODELLED = (
    "A steady motor of one inductance, sine-driven, its magnets as kv was taken; without wind, throttle "
    "ramp or the turning mass of wheels and rotor. Force and speed are without iron loss; the range has "
    "what a no-load test shows of it; regen is without the drivetrain's drag, which brakes too. "
    "Worked out, not measured: try speed, hills and heat at low limits first. Local law comes before it."
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

AT_CRUISE = ("range_km", "regen_deceleration_m_per_s2")


def ride_page(
    rides: Sequence[Ride],
    judgement: Judgement,
    drawn: bool = False,
    against: tuple[str, Sequence[Ride]] | None = None,
    width: int = ROOMY,
) -> Report:
    """A card a mode; `drawn` for a format that draws plots, `width` for one of so many columns.

    `judgement` is that of the profile as it is ridden, `against` a revision with the rides of then.
    """
    profile, verdict = judgement.profile, judgement.stages["ride"]
    before = {} if against is None else {ride.mode: ride for ride in against[1]}
    cards = tuple(
        Card(
            verdict=VERDICT_WORDS[verdict],
            tone=TONES[verdict],
            name=profile.name,
            passage="RIDE · ",
            about=((f"{profile.file}{f', mode {ride.mode}' if ride.mode else ''}",),),
            sections=(
                Section("", tuple(verdict_rows(judgement, profile.file))),
                *_sections(ride, drawn, against, before, width),
            ),
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
    yield Section("", tuple(figure_rows(ride)))
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
        tuple(_speed(point.speed_km_h) for point in points),
        tuple(point.force_N for point in points),
        tuple(
            force.rjust(wide) + (f"  {title_of(point.limited_by)}" if roomy else "")
            for force, point in zip(forces, points, strict=True)
        ),
    )


def _speed(km_h: float) -> str:
    """A speed at which a curve is told, to a tenth: its end is no even step."""
    return shown(round(km_h, 1), "km_h")


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
    """Below a plot some of the points as a table, as a chart has them; below a narrow chart the limits."""
    if not drawn and width < ROOMY:
        runs = [list(run) for _, run in groupby(ride.points, lambda point: point.limited_by)]
        words = [
            f"to {_speed(run[-1].speed_km_h)} {with_article(run[0].limited_by)}" for run in runs
        ]
        yield row("limited by", *words)
    if drawn:
        rows: list[tuple[Line, ...]] = [
            (
                (_speed(point.speed_km_h),),
                (f"{point.force_N:.0f} N",),
                (shown(point.phase_A_rms, "A_rms", 3),),
                (shown(point.battery_A, "A", 3),),
                (title_of(point.limited_by),),
            )
            for point in charted_points(ride.points)
        ]
        heads = ("speed", "force", "phase current", "battery current", "limited by")
        yield Table(heads, tuple(rows), labels=False, headed=True)


def _moved(old: Ride | None, new: Ride) -> Row | Table:
    """Each figure then and now."""
    if old is None:
        return row("then", "this mode was not there")
    rows: tuple[tuple[Line, ...], ...] = tuple(
        (
            (_told_at(label, name, new),),
            (figure_words(was, unit) + _other_cycle(name, old, new),),
            (figure_words(now, unit),),
            (_by(was, now, unit, name, old, new),),
        )
        for label, name, unit in MOVED_FIGURES
        for was, now in ((getattr(old, name), getattr(new, name)),)
    )
    heads = ("", "then", "now", "by")
    return Table(heads, rows, labels=False, headed=True)


def _told_at(label: str, name: str, ride: Ride) -> str:
    """A figure's label with the speed or the cycle at which it is told."""
    if name in AT_CRUISE and ride.cruise_km_h is not None:
        return f"{label} at {shown(ride.cruise_km_h, 'km_h', 3)}"
    if name == "stop_and_go_range_km" and ride.schedule:
        return f"{label}, {_short(ride.schedule)}"
    return label


def _other_cycle(name: str, old: Ride, new: Ride) -> str:
    """The former cycle, where the two kept up with none in common."""
    differ = name == "stop_and_go_range_km" and old.schedule and old.schedule != new.schedule
    return f", {_short(old.schedule)}" if differ else ""


def _short(schedule: str) -> str:
    return schedule.removeprefix("SAE J227a ")


def _by(was: Figure, now: Figure, unit: str, name: str, old: Ride, new: Ride) -> str:
    """By how much a figure moved; ranges of two cycles have no difference."""
    return "not comparable" if _other_cycle(name, old, new) else by_words(was, now, unit)


def _grounds(ride: Ride) -> Iterator[Row]:
    """What is missing, and what the figures rest on."""
    asks = [ask_of(name) for name in in_order(missing_of(ride))]
    if asks:
        yield row("to know all", *asks, role="act")
    known = [f"{title_of(name)} {shown(value, _unit(name))}" for name, value in ride.basis.items()]
    if "ride.driven_percent" in ride.basis:
        known.append("as it stands, no load shifted by push, brake or slope")
    known.append(f"winding at {shown(WINDING_degC, 'degC')}")
    yield row("rests on", ", ".join(known))
    yield row("model", MODELLED)


def _unit(name: str) -> str:
    return {"pack.nominal_V": "V", "pack.capacity_Ah": "Ah", "ride.driven_percent": "percent"}.get(
        name, ""
    )
