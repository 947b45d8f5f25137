"""The plots of a hand-over, read off like paper: by their axes, against values worked out by hand."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from html import unescape
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree as xml

import pytest
from gonogo.commands import sheet

VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"
GRAVITY_m_per_s2 = 9.80665  # by definition
WET_GRIP, DRIVEN_SHARE = (
    0.4,
    0.6,
)  # wet ground, load on the driven wheels; common practice, no source
WARM = 1 + 0.00393 * (80 - 20)  # copper at 80 °C, IEC 60028
CABLE_WARM = 1 + 0.00393 * (60 - 20)
CONTROLLER, MODULATION = 0.96, 0.95  # of the house file, or its defaults
JOINTS_ohm = 0.003  # joints and BMS; common practice, no source
MIDDLE = 1.0  # points of the drawing: half a line's width


class Limits(NamedTuple):
    """What one mode allows."""

    battery_A: float
    phase_A_rms: float
    max_rpm: float


class Build(NamedTuple):
    """A vehicle as its profile and its parts state it."""

    mass_kg: float
    open_V: float
    loop_ohm: float
    kv_rpm_per_V: float
    phase_ohm: float
    phase_H: float
    pole_pairs: int
    ratio: float
    round_m: float
    efficiency: float
    modes: dict[str, Limits]


# 16 cells of 3.6 V, 8 beside each other of 16 mΩ; 2 × 0.8 m of 35 mm², 0.554 mΩ/m (IEC 60228, class 5).
BRACKEN = Build(
    mass_kg=92 + 85,
    open_V=16 * 3.6,
    loop_ohm=16 / 8 * 0.016 + JOINTS_ohm + 2 * 0.8 * 0.000554 * CABLE_WARM,
    kv_rpm_per_V=95,
    phase_ohm=0.006,
    phase_H=40e-6,
    pole_pairs=5,
    ratio=40 / 16 * 42 / 13,
    round_m=1.96,
    efficiency=0.93,
    modes={
        "base settings": Limits(100, 230, 4900),
        "lane": Limits(55, 150, 2400),
        "trail": Limits(80, 190, 4900),
        "wet": Limits(100, 130, 4900),
    },
)
# 16 cells of 3.2 V, 2 beside each other of 1.2 mΩ; 2 × 1.3 m of 16 mm², 1.21 mΩ/m (IEC 60228, class 5).
RAGWORT = Build(
    mass_kg=210 + 85,
    open_V=16 * 3.2,
    loop_ohm=16 / 2 * 0.0012 + JOINTS_ohm + 2 * 1.3 * 0.00121 * CABLE_WARM,
    kv_rpm_per_V=75,
    phase_ohm=0.030 / 2,
    phase_H=120e-6,
    pole_pairs=4,
    ratio=21.6,
    round_m=1.48,
    efficiency=0.86,
    modes={"base settings": Limits(50, 150 / math.sqrt(2), 3000)},
)
BUILDS = {"bracken": BRACKEN, "ragwort": RAGWORT}


def force_N(build: Build, limits: Limits, speed_km_h: float) -> float:
    """The largest force that grip, phase current, battery current and pack voltage leave.

    In peak values of a phase: E = rpm / kv / √3, torque = 3/2 · E · q / ω, power = 3/2 · (E·q + R·q²),
    and |(R·q + E) + jX·q| ≤ modulation · pack voltage under load / √3.
    """
    rpm = speed_km_h / 3.6 / build.round_m * build.ratio * 60
    back_emf_V = rpm / build.kv_rpm_per_V / math.sqrt(3)
    ohm = build.phase_ohm * WARM
    reactance_ohm = rpm / 60 * 2 * math.pi * build.pole_pairs * build.phase_H
    per_A = 1.5 * 60 / (2 * math.pi * build.kv_rpm_per_V * math.sqrt(3))  # Nm for each peak A
    to_wheel = build.ratio * build.efficiency * 2 * math.pi / build.round_m

    def allowed(peak_A: float) -> bool:
        power_W = 1.5 * (back_emf_V * peak_A + ohm * peak_A**2) / CONTROLLER
        root = build.open_V**2 - 4 * build.loop_ohm * power_W
        if root < 0:
            return False
        drawn_A = (build.open_V - math.sqrt(root)) / (2 * build.loop_ohm)
        loaded_V = build.open_V - drawn_A * build.loop_ohm
        needed_V = math.hypot(ohm * peak_A + back_emf_V, reactance_ohm * peak_A)
        return (
            drawn_A <= limits.battery_A and needed_V <= MODULATION * loaded_V / math.sqrt(3) + 1e-9
        )

    low, high = 0.0, limits.phase_A_rms * math.sqrt(2)
    if not allowed(high):
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if allowed(middle) else (low, middle)
        high = low
    grip_N = WET_GRIP * DRIVEN_SHARE * build.mass_kg * GRAVITY_m_per_s2
    return min(per_A * high * to_wheel, grip_N)


# ── reading a drawing ─────────────────────────────────────────────────────────────────────────


@cache
def page(name: str) -> str:
    out = io.StringIO()
    sheet.run(VEHICLES / f"{name}.yaml", form="html", as_of=DAY, out=out)
    return out.getvalue()


def drawn(name: str, title: str) -> tuple[xml.Element, list[list[str]]]:
    """The drawing whose words begin with a title, and the rows of the table behind it."""
    svg, rest = next(
        (xml.fromstring(found[0]), page(name)[found.end() :])
        for found in re.finditer(r"(?s)<svg .*?</svg>", page(name))
        if f'aria-label="{title}' in found[0]
    )
    table = rest[: rest.index("</table>")]
    rows = [re.findall(r"(?s)<td[^>]*>(.*?)</td>", row) for row in table.split("<tr>")]
    return svg, [[plain(cell) for cell in row] for row in rows if row]


def plain(markup: str) -> str:
    return " ".join(unescape(re.sub("<[^>]*>", "", markup)).split())


def texts(svg: xml.Element) -> list[tuple[float, float, str, Mapping[str, str]]]:
    return [
        (float(one.attrib["x"]), float(one.attrib["y"]), one.text or "", one.attrib)
        for one in svg.iter("text")
    ]


def number(text: str) -> float | None:
    return float(text) if re.fullmatch(r"[\d.]+", text) else None


def axis(ticks: Mapping[float, float]) -> Callable[[float], float]:
    """From a place of the drawing to the unit of the axis, through its first and last number."""
    (first, low), *between, (last, high) = sorted(ticks.items())
    assert between and low != high

    def read(place: float) -> float:
        return low + (place - first) / (last - first) * (high - low)

    for place, value in ticks.items():
        assert read(place) == pytest.approx(value, abs=abs(high - low) / 300)
    return read


def axes(svg: xml.Element) -> tuple[Callable[[float], float], Callable[[float], float]]:
    """Both axes of a plot: each number belongs to the line of the grid that is nearest to it."""
    ends = [
        [float(one.attrib[key]) for key in ("x1", "y1", "x2", "y2")] for one in svg.iter("line")
    ]
    upright = {x1 for x1, y1, x2, y2 in ends if x1 == x2 and y1 != y2}
    left = min(upright)
    level = {y1 for x1, y1, x2, y2 in ends if y1 == y2 and x1 == left}
    across: dict[float, float] = {}
    upward: dict[float, float] = {}
    for x, y, text, about in texts(svg):
        value = number(text)
        if value is not None and about["text-anchor"] == "middle":
            across[min(upright, key=lambda place: abs(place - x))] = value
        elif value is not None and about["text-anchor"] == "end":
            upward[min(level, key=lambda place: abs(place - y))] = value
    return axis(across), axis(upward)


def curves(name: str, title: str) -> Iterator[tuple[str, list[tuple[float, float]]]]:
    """The points of each curve in the units of the axes, by its name in the legend."""
    svg, _ = drawn(name, title)
    x_axis, y_axis = axes(svg)
    legend = [text for _, _, text, about in texts(svg) if "text-anchor" not in about]
    for told, line in zip(legend, svg.iter("polyline"), strict=True):
        pairs = [pair.split(",") for pair in line.attrib["points"].split()]
        yield told, [(x_axis(float(x)), y_axis(float(y))) for x, y in pairs]


# ── force and power ───────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize("name", sorted(BUILDS))
def test_each_curve_of_force_is_where_physics_puts_it(name: str) -> None:
    """Who reads the push off the paper at a speed reads what the limits really leave."""
    build = BUILDS[name]
    svg, _ = drawn(name, "Force at the wheel")
    assert [text for *_, text, about in texts(svg) if "in N" in text] == ["force in N"]
    told = dict(curves(name, "Force at the wheel"))
    assert list(told) == list(build.modes)
    for mode, points in told.items():
        most = max(force for _, force in points)
        for speed, force in points:
            expected = force_N(build, build.modes[mode], speed)
            assert force == pytest.approx(expected, abs=0.012 * most), (mode, speed)


@pytest.mark.parametrize("name", sorted(BUILDS))
def test_each_curve_of_power_is_force_times_speed(name: str) -> None:
    build = BUILDS[name]
    for mode, points in curves(name, "Power at the wheel"):
        most = max(power for _, power in points)
        for speed, power in points:
            expected = force_N(build, build.modes[mode], speed) * speed / 3.6 / 1000
            assert power == pytest.approx(expected, abs=0.012 * most), (mode, speed)


@pytest.mark.parametrize(("name", "mode"), [("bracken", "lane"), ("ragwort", "base settings")])
def test_a_curve_ends_at_the_motor_speed_limit(name: str, mode: str) -> None:
    """Where the limit ends the drive before the voltage does."""
    build = BUILDS[name]
    end_km_h = build.modes[mode].max_rpm / build.ratio * build.round_m * 60 / 1000
    points = dict(curves(name, "Force at the wheel"))[mode]
    assert points[0][0] == pytest.approx(0, abs=0.1)
    assert points[-1][0] == pytest.approx(end_km_h, abs=0.1)


def test_a_curve_out_of_place_is_noticed() -> None:
    """Else the tests above could not fail: a tenth less battery current is seen."""
    limits = RAGWORT.modes["base settings"]
    less = limits._replace(battery_A=limits.battery_A * 0.9)
    points = dict(curves("ragwort", "Force at the wheel"))["base settings"]
    off = [abs(force - force_N(RAGWORT, less, speed)) for speed, force in points]
    assert max(off) > 0.05 * max(force for _, force in points)


# ── along a voltage ───────────────────────────────────────────────────────────────────────────

# Each mark and band as profile, parts and readings state it.
THROTTLES = {
    "bracken": (
        {"lost below": 0.5, "rest, read": 0.84, "start": 0.98, "full": 4.04, "full, read": 4.21}
        | {"lost above": 4.5, "supply": 5.0},
        {"fault: signal lost": (0, 0.5), "no drive": (0.5, 0.98), "full": (4.04, 4.5)}
        | {"drive, from start to full": (0.98, 4.04), "fault: signal too high": (4.5, 5.0)},
    ),
    "ragwort": (
        {"lost below": 0.4, "rest, read": 0.81, "start": 0.94, "full": 4.06, "full, read": 4.22}
        | {"lost above": 4.5, "supply": 5.0},
        {"fault: signal lost": (0, 0.4), "no drive": (0.4, 0.94), "full": (4.06, 4.5)}
        | {"drive, from start to full": (0.94, 4.06), "fault: signal too high": (4.5, 5.0)},
    ),
}
PACKS = {
    "bracken": (
        {"minimum": 16 * 2.5, "BMS cutoff": 16 * 2.8, "cutoff": 49.6, "taper from": 52}
        | {"nominal": 16 * 3.6, "full": 16 * 4.2, "pack, read": 66.9},
        {"below cutoff: no drive, down to the minimum": (40, 49.6)}
        | {"taper: less and less current": (49.6, 52), "the whole current": (52, 67.2)},
    ),
    "ragwort": (
        {"minimum": 16 * 2.5, "BMS cutoff": 16 * 2.6, "cutoff": 45.8, "taper from": 47.6}
        | {"nominal": 16 * 3.2, "full": 16 * 3.65, "pack, read": 53.2},
        {"below cutoff: no drive, down to the minimum": (40, 45.8)}
        | {"taper: less and less current": (45.8, 47.6), "the whole current": (47.6, 58.4)},
    ),
}


@pytest.mark.parametrize("name", sorted(BUILDS))
@pytest.mark.parametrize(
    ("title", "expected"), [("Throttle voltage", THROTTLES), ("Pack voltage", PACKS)]
)
def test_each_mark_and_band_is_at_its_voltage(
    name: str, title: str, expected: Mapping[str, tuple[dict[str, float], dict[str, object]]]
) -> None:
    """The table says what a letter or a number means, the numbers below the line where it is."""
    marks, bands = expected[name]
    svg, rows = drawn(name, f"{title}:")
    meanings = dict(row[0].split(" ", 1) for row in rows)
    words = texts(svg)
    foot = max(y for _, y, text, about in words if number(text) is not None)
    volts = axis(
        {x: float(text) for x, y, text, _ in words if y == foot and number(text) is not None}
    )
    room_V = 2 * (volts(MIDDLE) - volts(0))
    stems = {text: x for x, _, text, about in words if "font-weight" in about}
    assert {meanings[mark] for mark in stems} == set(marks)
    for mark, x in stems.items():
        assert volts(x) == pytest.approx(marks[meanings[mark]], abs=room_V), meanings[mark]
    boxes = [(float(one.attrib["x"]), float(one.attrib["width"])) for one in svg.iter("rect")]
    assert len(boxes) == len(bands)
    for letter, (x, wide) in zip("ABCDE", boxes, strict=False):
        ends = (volts(x), volts(x + wide))
        assert ends == pytest.approx(bands[meanings[letter]], abs=room_V), meanings[letter]
    assert any(text == f"{title.lower()} in V" for *_, text, _ in words)


@pytest.mark.parametrize(
    ("name", "setting", "margin"),
    [
        pytest.param("bracken", "regen stop voltage", 16 * 4.2 - 66, id="a full pack of 16 cells"),
        pytest.param("bracken", "regen taper", 66 - 0.1 - 64, id="below the regen stop"),
        # One step of 0.1 V below the start of the taper.
        pytest.param("ragwort", "low-voltage cutoff", 47.6 - 0.1 - 45.8, id="below the taper"),
    ],
)
def test_a_margin_is_what_is_left_to_the_limit(name: str, setting: str, margin: float) -> None:
    text = page(name)
    table = text[text.index("<h3>Tightest margins") :]
    row = next(row for row in table.split("<tr>") if setting in plain(row.partition("</td>")[0]))
    cells = [plain(cell) for cell in re.findall(r"(?s)<td[^>]*>(.*?)</td>", row)]
    assert float(cells[2].split()[0]) == pytest.approx(margin, abs=1e-6)
