"""The plots of a hand-over: force and power over speed, throttle, pack, and the tightest margins."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ..documents.profile import BASE
from ..documents.units import unit_apart
from ..expressions.formatting import shown
from ..expressions.names import title_of
from ..judgement.hand_over import HandOver, exact_number
from ..judgement.window import Window
from ..quantities.book import Book
from ..riding.ride_figures import Ride
from .ride import is_exact
from .ride_page import charted_points
from .scale import letter_of
from .section import (
    Block,
    Code,
    Line,
    Passage,
    Plot,
    PlotLine,
    Scale,
    ScaleBand,
    Section,
    Table,
    Tone,
    row,
)
from .window import near_end, tightness

MOST_TIGHT = 8
NO_CURVE = "Single points only: how the voltage falls between them depends on the cells, the load and the cold."
AT_MOST = "At most: something is missing, and there may be less."
UNKNOWN_RIDE = "Not known: `gonogo ride` says what is missing."
NOT_DRAWN = "Not known, so not drawn"
# The points of a scale: how each is called beside its number, and the quantity that it shows.
THROTTLE_MARKS = {
    "rest, read": "throttle.max_rest_V",
    "start": "settings.throttle.start_V",
    "full": "settings.throttle.full_V",
    "full, read": "throttle.full_reading_V",
    "lost below": "settings.throttle.lost_below_V",
    "lost above": "settings.throttle.lost_above_V",
    "supply": "throttle.supply_V",
}
PACK_MARKS = {
    "minimum": "pack.minimum_V",
    "BMS cutoff": "pack.bms_under_voltage_V",
    "cutoff": "settings.low_voltage.cutoff_V",
    "taper from": "settings.low_voltage.taper_from_V",
    "nominal": "pack.nominal_V",
    "full": "pack.full_V",
    "pack, read": "readings.pack_V",
}
Values = Mapping[str, float | None]


def plot_sections(over: HandOver, drawn: bool) -> Iterator[Section]:
    """What can be drawn of a vehicle, each plot with its numbers; `drawn` for a format that draws."""
    if over.rides:
        yield from _speed_sections(over.rides, drawn)
    for motor, books in over.books.items():
        for mode, values in _changing(books, THROTTLE_MARKS):
            title = _titled("Throttle voltage", motor, mode)
            yield _scale_section(title, values, _throttle_bands(values), THROTTLE_MARKS, drawn)
    for mode, values in _changing(next(iter(over.books.values())), PACK_MARKS):
        title = _titled("Pack voltage", "", mode)
        section = _scale_section(title, values, _pack_bands(values), PACK_MARKS, drawn)
        yield section._replace(blocks=(*section.blocks, row("note", NO_CURVE)))


def _changing(books: Mapping[str, Book], keys: Mapping[str, str]) -> Iterator[tuple[str, Values]]:
    """The values of the first mode, and of each other that has others."""
    told: list[Values] = []
    for mode, book in books.items():
        values = {name: exact_number(book, key) for name, key in keys.items()}
        if values not in told:
            told.append(values)
            yield mode, values


def _titled(what: str, motor: str, mode: str) -> str:
    where = [f"motor {motor}"] * bool(motor) + [f"mode {mode}"] * (mode != BASE)
    return ", ".join([what, *where])


# ── over speed ────────────────────────────────────────────────────────────────────────────────


def wheel_power_kW(speed_km_h: float, force_N: float) -> float:
    """Power at the wheel: force × speed.

    >>> wheel_power_kW(36.0, 200.0)
    2.0
    """
    return force_N * speed_km_h / 3.6 / 1000.0


def _speed_sections(rides: Sequence[Ride], drawn: bool) -> Iterator[Section]:
    known = [ride for ride in rides if ride.points]
    notes = [row("note", AT_MOST)] if not all(map(is_exact, known)) else []
    if not known:
        yield Section(
            "Force and power over speed",
            (Passage((UNKNOWN_RIDE,)),),
        )
        return
    forces = [
        PlotLine(_mode(ride), tuple((p.speed_km_h, p.force_N) for p in ride.points))
        for ride in known
    ]
    powers = [
        PlotLine(
            _mode(ride),
            tuple((p.speed_km_h, wheel_power_kW(p.speed_km_h, p.force_N)) for p in ride.points),
        )
        for ride in known
    ]
    plots: tuple[tuple[str, str, Sequence[PlotLine], str], ...] = (
        ("Force at the wheel over speed, full throttle", "force in N", forces, "N"),
        ("Power at the wheel over speed, full throttle", "power in kW", powers, "kW"),
    )
    for title, upward, lines, unit in plots:
        blocks: list[Block] = []
        if drawn:
            told = f"{title}. {_told(lines, unit)}"
            blocks.append(Plot("road speed in km/h", upward, tuple(lines), told))
        else:
            blocks += [row(_label(line), _most(line, unit)) for line in lines]
        yield Section(title, (*blocks, *notes), "whole")
    for ride in () if drawn else known:  # a drawing needs no table beside it
        yield Section(_titled("Force and power in numbers", "", ride.mode), (_numbers(ride),))


def _mode(ride: Ride) -> str:
    return ride.mode or "base settings"


def _label(line: PlotLine) -> str:
    return line.name if len(line.name) < 14 else f"{line.name[:13]}…"


def _most(line: PlotLine, unit: str) -> str:
    speed, most = max(line.points, key=lambda point: point[1])
    end = line.points[-1][0]
    return (
        f"most {shown(most, unit, 3)} at {shown(speed, 'km_h', 3)}, ends at {shown(end, 'km_h', 3)}"
    )


def _told(lines: Iterable[PlotLine], unit: str) -> str:
    return ". ".join(f"{line.name}: {_most(line, unit)}" for line in lines) + "."


def _numbers(ride: Ride) -> Table:
    rows: tuple[tuple[Line, ...], ...] = tuple(
        (
            (shown(point.speed_km_h, "km_h", 3),),
            (shown(point.force_N, "N", 3),),
            (f"{shown(wheel_power_kW(point.speed_km_h, point.force_N), '', 3)} kW",),
            (title_of(point.limited_by),),
        )
        for point in charted_points(ride.points)
    )
    return Table(("speed", "force", "power", "limited by"), rows, labels=False, headed=True)


# ── along a voltage ───────────────────────────────────────────────────────────────────────────


def _throttle_bands(values: Values) -> Iterator[ScaleBand]:
    """What the controller makes of each voltage: a fault, no drive, drive, full."""
    start, full = values["start"], values["full"]
    lost, high = values["lost below"], values["lost above"]
    supply = values["supply"]
    if start is None or full is None:
        return
    low, top = min(start, full), max(start, full)
    below, above = ("no drive", "full") if start <= full else ("full", "no drive")
    yield from _band("fault: signal lost", 0.0, lost, "danger")
    yield from _band(below, 0.0 if lost is None else lost, low)
    yield from _band("drive, from start to full", low, top, "go")
    yield from _band(above, top, supply if high is None else high)
    yield from _band("fault: signal too high", high, supply, "danger")


def _pack_bands(values: Values) -> Iterator[ScaleBand]:
    """What the controller gives at each pack voltage: nothing, less and less, all."""
    cutoff, taper = values["cutoff"], values["taper from"]
    least, full = values["minimum"], values["full"]
    yield from _band("below cutoff: no drive, down to the minimum", least, cutoff, "danger")
    yield from _band("taper: less and less current", cutoff, taper, "advice")
    yield from _band("the whole current", cutoff if taper is None else taper, full, "go")


def _band(
    name: str, low: float | None, high: float | None, tone: Tone = "faint"
) -> Iterator[ScaleBand]:
    if low is not None and high is not None and low < high:
        yield ScaleBand(name, low, high, tone)


def _scale_section(
    title: str,
    values: Values,
    bands: Iterable[ScaleBand],
    keys: Mapping[str, str],
    drawn: bool,
) -> Section:
    """The scale, and the table of what its letters and numbers stand for."""
    kept = tuple(bands)
    known = sorted((value, name) for name, value in values.items() if value is not None)
    marks = tuple((name, value) for value, name in known)
    rows: list[tuple[Line, ...]] = [
        (
            (f"{letter_of(place)}  {band.name}",),
            (f"{shown(band.low)} to {shown(band.high, 'V')}",),
            (),
        )
        for place, band in enumerate(kept)
    ]
    rows += [
        ((f"{number}  {name}",), (shown(value, "V"),), (Code(keys[name]),))
        for number, (name, value) in enumerate(marks, 1)
    ]
    blocks: list[Block] = []
    if drawn and marks:
        told = ", ".join(f"{name} {shown(value, 'V')}" for name, value in marks)
        across = f"{title.partition(',')[0].lower()} in V"
        blocks.append(Scale(across, kept, marks, f"{title}: {told}.", title.startswith("Throttle")))
    if rows:
        blocks.append(
            Table(("band or mark", "voltage", "entry"), tuple(rows), labels=False, headed=True)
        )
    lacking = [name for name, value in values.items() if value is None]
    if lacking:
        blocks.append(row("open", f"{NOT_DRAWN}: {', '.join(lacking)}."))
    return Section(title, tuple(blocks), "whole")


# ── margins ───────────────────────────────────────────────────────────────────────────────────


def margin_section(windows: Iterable[Window]) -> Section:
    """The settings that are nearest to an end of their windows, or past it."""
    bound = sorted((one for one in windows if tightness(one)[0] < 3), key=_by_share)
    rows = tuple(map(_tight, bound[:MOST_TIGHT]))
    if not rows:
        return Section("Tightest margins", (Passage(("No window is known.",)),))
    heads = ("setting", "now", "margin", "rule at that end")
    table = Table(heads, rows, labels=False, right=(1,), headed=True)
    return Section("Tightest margins", (table,), "whole")


def _by_share(window: Window) -> tuple[int, float, str]:
    """What fits nowhere or is outside first, then by the share that is left to the limit alone."""
    state, _, share, name = tightness(window)
    return state, share, name


def _tight(window: Window) -> tuple[Line, ...]:
    name = title_of(window.quantity) + (f", mode {window.mode}" if window.mode else "")
    if window.motors:
        name += f", {'motors' if len(window.motors) > 1 else 'motor'} {', '.join(window.motors)}"
    now = shown(window.today, window.unit)
    if window.hard is None or window.margin is None:
        return (name,), (now,), ("none: nothing fits",), (Code(", ".join(window.conflict)),)
    margin = shown(abs(window.margin), unit_apart(window.unit))
    rule = near_end(window, window.hard).rule or ""
    past = f"past it by {margin}" if window.margin < 0 else margin
    return (name,), (now,), (past,), (Code(rule),)
