"""Units that know this trade: one row a unit, with what it measures and how it is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import lru_cache
from types import MappingProxyType

from .frozen import frozen


@frozen
class Dimension:
    """Powers of volt, ampere, second, metre, kelvin and turn; a kilogram is V·A·s³/m²."""

    powers: tuple[int, ...]

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a + b for a, b in zip(self.powers, other.powers, strict=True)))

    def __truediv__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a - b for a, b in zip(self.powers, other.powers, strict=True)))


DIMENSIONLESS = Dimension((0, 0, 0, 0, 0, 0))
VOLT = Dimension((1, 0, 0, 0, 0, 0))
AMPERE = Dimension((0, 1, 0, 0, 0, 0))
SECOND = Dimension((0, 0, 1, 0, 0, 0))
METRE = Dimension((0, 0, 0, 1, 0, 0))
KELVIN = Dimension((0, 0, 0, 0, 1, 0))
TURN = Dimension((0, 0, 0, 0, 0, 1))
PER_SECOND = DIMENSIONLESS / SECOND
AREA = METRE * METRE
SPEED = METRE / SECOND
CHARGE = AMPERE * SECOND
WATT = VOLT * AMPERE
WORK = WATT * SECOND
OHM = VOLT / AMPERE
FARAD = SECOND / OHM
HENRY = OHM * SECOND
VOLT_SECOND = VOLT * SECOND
KILOGRAM = WORK / SPEED / SPEED
FORCE = WORK / METRE

# Kinds keep apart what has one dimension and is not the same thing.
DC, RMS, PEAK = "DC", "rms", "peak"
MECHANICAL, ELECTRICAL, HERTZ, RATE = "mechanical", "electrical", "Hz", "rate"
ENERGY, TORQUE = "energy", "torque"
POINT = "point"
GAUGE = "gauge"


@frozen
class Unit:
    """`scale` turns a value into volts, amperes, seconds, metres, kelvin and turns.

    `symbol` is the unit as the trade writes it, `spoken` as a sentence says it; `least` is the
    smallest number of it, nought apart, that a document may hold: less nobody measures, and what is
    divided by it would lose all meaning. None of the three is part of what a unit is, and what was
    multiplied together has none.
    """

    dimension: Dimension
    scale: float = 1.0
    kind: str = ""
    symbol: str = field(default="", compare=False)
    spoken: str = field(default="", compare=False)
    least: float = field(default=1e-3, compare=False)

    @property
    def is_point(self) -> bool:
        """True for a temperature on the scale, false for a difference of two."""
        return self.kind == POINT


# Exact by the international agreement on the yard and the pound of 1959 (one yard is 0.9144 m, one
# pound 0.45359237 kg; a foot is a third of a yard, an inch a twelfth of a foot, a mile 1760 yards);
# a degree Fahrenheit is 5/9 K, and water freezes at 32 °F.
INCH_MM = 25.4
FOOT_M = 0.3048
MILE_KM = 1.609344
POUND_KG = 0.45359237
FAHRENHEIT_K = 5 / 9
FREEZING_DEGF = 32.0

# By the ending of a key. Of several units of one kind the first stands for all in a message.
UNITS: Mapping[str, Unit] = MappingProxyType(
    {
        "": Unit(DIMENSIONLESS, least=1e-6),
        "percent": Unit(DIMENSIONLESS, 0.01, "", "%", "percent"),
        "V": Unit(VOLT, 1.0, "", "V", "volts"),
        "A": Unit(AMPERE, 1.0, DC, "A", "amperes"),
        "A_rms": Unit(AMPERE, 1.0, RMS, "A rms", "amperes rms"),
        "A_peak": Unit(AMPERE, 1.0, PEAK, "A peak", "amperes peak"),
        "Ah": Unit(CHARGE, 3600.0, "", "Ah", "ampere-hours"),
        "W": Unit(WATT, 1.0, "", "W", "watts"),
        "Wh": Unit(WORK, 3600.0, ENERGY, "Wh", "watt-hours"),
        "J": Unit(WORK, 1.0, ENERGY, "J", "joules"),
        "Nm": Unit(WORK, 1.0, TORQUE, "Nm", "newton metres"),
        "Nm_per_A_rms": Unit(VOLT_SECOND, 1.0, RMS, "Nm/A rms", "newton metres per ampere rms"),
        "ohm": Unit(OHM, 1.0, "", "Ω", "ohms", 1e-6),
        "kohm": Unit(OHM, 1e3, "", "kΩ", "kilohms", 1e-6),
        "mohm": Unit(OHM, 1e-3, "", "mΩ", "milliohms"),
        "mohm_per_m": Unit(OHM / METRE, 1e-3, "", "mΩ/m", "milliohms per metre"),
        "uF": Unit(FARAD, 1e-6, "", "µF", "microfarads"),
        "uH": Unit(HENRY, 1e-6, "", "µH", "microhenries"),
        "Vs": Unit(VOLT_SECOND, 1.0, "", "Vs", "volt-seconds", 1e-6),
        "mVs": Unit(VOLT_SECOND, 1e-3, "", "mVs", "millivolt-seconds"),
        "Hz": Unit(PER_SECOND, 1.0, HERTZ, "Hz", "hertz"),
        "rpm": Unit(PER_SECOND, 1 / 60, MECHANICAL, "rpm", "revolutions per minute"),
        "electrical_rpm": Unit(
            PER_SECOND, 1 / 60, ELECTRICAL, "rpm electrical", "electrical revolutions per minute"
        ),
        "rpm_per_V": Unit(
            PER_SECOND / VOLT, 1 / 60, MECHANICAL, "rpm/V", "revolutions per minute per volt"
        ),
        "per_h": Unit(PER_SECOND, 1 / 3600, RATE, "/h", "times per hour"),
        "degC": Unit(KELVIN, 1.0, POINT, "°C", "degrees Celsius"),
        "K": Unit(KELVIN, 1.0, "", "K", "kelvins"),
        "mm": Unit(METRE, 1e-3, "", "mm", "millimetres"),
        "m": Unit(METRE, 1.0, "", "m", "metres"),
        "mm2": Unit(AREA, 1e-6, "", "mm²", "square millimetres"),
        "m2": Unit(AREA, 1.0, "", "m²", "square metres"),
        "kg": Unit(KILOGRAM, 1.0, "", "kg", "kilograms"),
        "N": Unit(FORCE, 1.0, "", "N", "newtons"),
        "km_h": Unit(SPEED, 1 / 3.6, "", "km/h", "kilometres per hour"),
        "m_per_s2": Unit(SPEED / SECOND, 1.0, "", "m/s²", "metres per second squared"),
        "ms": Unit(SECOND, 1e-3, "", "ms", "milliseconds"),
        "s": Unit(SECOND, 1.0, "", "s", "seconds", 1e-6),
        "h": Unit(SECOND, 3600.0, "", "h", "hours"),
        "days": Unit(SECOND, 86400.0, "", "days", "days"),
        "deg": Unit(TURN, 1 / 360, "", "°", "degrees"),
        "in": Unit(METRE, INCH_MM * 1e-3, "", "in", "inches"),
        "ft": Unit(METRE, FOOT_M, "", "ft", "feet"),
        "mph": Unit(SPEED, MILE_KM / 3.6, "", "mph", "miles per hour"),
        "degF": Unit(KELVIN, FAHRENHEIT_K, POINT, "°F", "degrees Fahrenheit"),
        "degF_apart": Unit(KELVIN, FAHRENHEIT_K, "", "°F", "degrees Fahrenheit"),
        "lb": Unit(KILOGRAM, POUND_KG, "", "lb", "pounds"),
        "awg": Unit(AREA, 1.0, GAUGE, "AWG", "wire gauge"),
    }
)


@lru_cache(maxsize=1024)
def unit_of_key(name: str) -> str:
    """The unit that a key, or the last key of a dotted name, ends with: the longest that fits.

    >>> unit_of_key("settings.phase_current_A_rms"), unit_of_key("rpm"), unit_of_key("series")
    ('A_rms', 'rpm', '')
    """
    words = name.rsplit(".", 1)[-1].split("_")
    tails = ("_".join(words[start:]) for start in range(len(words)))
    return next((tail for tail in tails if tail in UNITS), "")


def unit_symbol(unit: str) -> str:
    """A unit as the trade writes it.

    >>> unit_symbol("rpm_per_V"), unit_symbol("mohm")
    ('rpm/V', 'mΩ')
    """
    return UNITS[unit].symbol if unit in UNITS else unit


def unit_apart(unit: str) -> str:
    """The unit in which two values lie apart: of a temperature kelvins, or degrees without their zero.

    >>> unit_apart("degC"), unit_apart("degF"), unit_apart("mph")
    ('K', 'degF_apart', 'mph')
    """
    return {"degC": "K", "degF": "degF_apart"}.get(unit, unit)
