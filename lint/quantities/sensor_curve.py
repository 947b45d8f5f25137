"""Curves of temperature sensors: resistance by temperature, and back."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from itertools import pairwise
from typing import Any, NamedTuple

from ..tables.table import column, table
from .number import near

ZERO_CELSIUS_K = 273.15
HALVINGS = 48  # of a range of 1050 K: far below a millionth of a kelvin


class Curve(NamedTuple):
    """One kind's resistance between two temperatures; it only rises or only falls."""

    from_degC: float
    to_degC: float
    ohm: Callable[[float], float]

    @property
    def falls(self) -> bool:
        """True for a thermistor, whose resistance falls as it warms."""
        return self.ohm(self.to_degC) < self.ohm(self.from_degC)

    def resistance(self, degC: float) -> float | None:
        """Ohms at a temperature; None outside the curve, where nothing is known."""
        return self.ohm(degC) if self.from_degC <= degC <= self.to_degC else None

    def is_past_hot_end(self, ohm: float) -> bool:
        """Whether a resistance belongs to a temperature above the curve's hottest."""
        hottest = self.ohm(self.to_degC)
        return ohm < hottest if self.falls else ohm > hottest

    def temperature(self, ohm: float) -> float | None:
        """Temperature that belongs to a resistance; None outside the curve."""
        low, high = self.from_degC, self.to_degC
        ends = self.ohm(low), self.ohm(high)
        for degC, end in zip((low, high), ends, strict=True):
            if near(ohm, end):
                return degC
        if not min(ends) <= ohm <= max(ends):
            return None
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            if (self.ohm(middle) < ohm) == (ends[0] < ends[1]):
                low = middle
            else:
                high = middle
        return (low + high) / 2.0


def platinum(degC: float, ohm_at_0: float, A: float, B: float, C: float) -> float:
    """Platinum by IEC 60751; the last term counts below 0 °C only.

    >>> round(platinum(100.0, 100.0, 3.9083e-3, -5.775e-7, -4.183e-12), 2)
    138.51
    """
    cold = C * (degC - 100.0) * degC**3 if degC < 0.0 else 0.0
    return ohm_at_0 * (1.0 + A * degC + B * degC**2 + cold)


def b_equation(degC: float, ohm_at_25: float, B: float) -> float:
    """Thermistor by its B value (IEC 60539-1).

    With the B of the temperature pair it was stated for, within 2.1 K of makers' tables from 0 to
    100 °C and within 6.6 K up to 150 °C, where the true sensor is the cooler one.

    >>> round(b_equation(50.0, 10000.0, 3950.0), 1)
    3588.2
    """
    return ohm_at_25 * math.exp(B * (1.0 / (degC + ZERO_CELSIUS_K) - 1.0 / (25.0 + ZERO_CELSIUS_K)))


def nominal_values(kind: str) -> tuple[float, float] | None:
    """Ohms at 25 °C and B value in kelvin by which a kind of thermistor is called; None of others.

    >>> nominal_values("ntc-100k-3950"), nominal_values("pt1000")
    ((100000.0, 3950.0), None)
    """
    match kind.split("-"):
        case ["ntc", kilohms, B]:
            return 1000.0 * float(kilohms.removesuffix("k")), float(B)
    return None


def four_coefficients(degC: float, ohm_at_25: float, coefficients: Sequence[float]) -> float:
    """Thermistor by the makers' four coefficients.

    >>> round(four_coefficients(100.0, 10000.0, (-14.6337, 4791.842, -115334, -3730535)), 1)
    677.3
    """
    kelvin = degC + ZERO_CELSIUS_K
    return ohm_at_25 * math.exp(sum(c / kelvin**n for n, c in enumerate(coefficients)))


def between(rows: Sequence[tuple[float, float]], straight: bool) -> Callable[[float], float]:
    """The curve through a table's points: a straight line from row to row.

    With `straight` false the line is drawn in the logarithm of the resistance over 1/T, in which a
    thermistor is nearly straight.

    >>> between([(0.0, 100.0), (10.0, 104.0)], straight=True)(5.0)
    102.0
    """
    if straight:
        temperatures = [degC for degC, _ in rows]
        lines = [_line(a, b) for a, b in pairwise(rows)]
        return lambda degC: _on_line(lines[_segment(temperatures, degC)], degC)
    inverse = [(-1.0 / (degC + ZERO_CELSIUS_K), math.log(ohm)) for degC, ohm in rows]
    places = [place for place, _ in inverse]
    curved = [_line(a, b) for a, b in pairwise(inverse)]

    def through(degC: float) -> float:
        place = -1.0 / (degC + ZERO_CELSIUS_K)
        return math.exp(_on_line(curved[_segment(places, place)], place))

    return through


def _segment(places: Sequence[float], place: float) -> int:
    return min(max(bisect_right(places, place) - 1, 0), len(places) - 2)


def _line(start: tuple[float, float], end: tuple[float, float]) -> tuple[float, float, float]:
    return start[0], start[1], (end[1] - start[1]) / (end[0] - start[0])


def _on_line(line: tuple[float, float, float], place: float) -> float:
    start, height, slope = line
    return height + slope * (place - start)


def _from_platinum(content: Mapping[str, Any], row: Mapping[str, Any]) -> Curve:
    constants = (content["A_per_K"], content["B_per_K2"], content["C_per_K4"])
    ohm = float(row["ohm_at_0_degC"])
    return _over(content, lambda degC: platinum(degC, ohm, *constants))


def _from_b_value(content: Mapping[str, Any], row: Mapping[str, Any]) -> Curve:
    ohm, B = float(row["ohm_at_25_degC"]), float(row["B_K"])
    return _over(content, lambda degC: b_equation(degC, ohm, B))


def _from_four(content: Mapping[str, Any], row: Mapping[str, Any]) -> Curve:
    ohm = float(row["ohm_at_25_degC"])
    coefficients = tuple(float(row[key]) for key in ("A", "B_K", "C_K2", "D_K3"))
    return _over(content, lambda degC: four_coefficients(degC, ohm, coefficients))


def _over(content: Mapping[str, Any], ohm: Callable[[float], float]) -> Curve:
    return Curve(float(content["from_degC"]), float(content["to_degC"]), ohm)


def _from_points(content: Mapping[str, Any], row: Mapping[str, Any]) -> Curve:
    points = [(float(r["degC"]), float(r["ohm"])) for r in content["rows"]]
    ohm = between(points, straight=content["between_rows"] == "straight")
    return Curve(points[0][0], points[-1][0], ohm)


CURVE_FORMS: Mapping[str, Callable[[Mapping[str, Any], Mapping[str, Any]], Curve]] = {
    "platinum": _from_platinum,
    "b_value": _from_b_value,
    "four_coefficients": _from_four,
    "points": _from_points,
}


def kinds() -> tuple[str, ...]:
    """Every kind of sensor whose curve is known, in the table's order."""
    return tuple(column("sensor_kinds", "kind", "table"))


@cache
def curve(kind: str) -> Curve | None:
    """The curve of a kind of sensor; None for a kind that nobody has tabled."""
    index = next((row for row in table("sensor_kinds")["rows"] if row["kind"] == kind), None)
    if index is None:
        return None
    content = table(index["table"])
    row: Mapping[str, Any] = next((r for r in content["rows"] if r.get("kind") == kind), {})
    return CURVE_FORMS[index["curve"]](content, row)
