"""Units that know this trade: a dimension, a scale, and a kind that keeps rms from DC amperes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

# Exponents of volt, ampere, second, metre, kelvin, turn; a kilogram is V·A·s³/m².
Dimension = tuple[int, int, int, int, int, int]

NONE: Dimension = (0, 0, 0, 0, 0, 0)
VOLT: Dimension = (1, 0, 0, 0, 0, 0)
AMPERE: Dimension = (0, 1, 0, 0, 0, 0)
SECOND: Dimension = (0, 0, 1, 0, 0, 0)
PER_SECOND: Dimension = (0, 0, -1, 0, 0, 0)
METRE: Dimension = (0, 0, 0, 1, 0, 0)
AREA: Dimension = (0, 0, 0, 2, 0, 0)
SPEED: Dimension = (0, 0, -1, 1, 0, 0)
KELVIN: Dimension = (0, 0, 0, 0, 1, 0)
TURN: Dimension = (0, 0, 0, 0, 0, 1)
CHARGE: Dimension = (0, 1, 1, 0, 0, 0)
WATT: Dimension = (1, 1, 0, 0, 0, 0)
JOULE: Dimension = (1, 1, 1, 0, 0, 0)
OHM: Dimension = (1, -1, 0, 0, 0, 0)
OHM_PER_METRE: Dimension = (1, -1, 0, -1, 0, 0)
FARAD: Dimension = (-1, 1, 1, 0, 0, 0)
HENRY: Dimension = (1, -1, 1, 0, 0, 0)
KILOGRAM: Dimension = (1, 1, 3, -2, 0, 0)
PER_VOLT_SECOND: Dimension = (-1, 0, -1, 0, 0, 0)
VOLT_SECOND: Dimension = (1, 0, 1, 0, 0, 0)

DC, RMS, PEAK = "DC", "rms", "peak"
MECHANICAL, ELECTRICAL, HERTZ = "mechanical", "electrical", "Hz"
POINT = "point"


class UnlikeUnits(ValueError):
    """Two quantities that cannot be added, compared or multiplied; the text says which."""


@dataclass(frozen=True, slots=True)
class Unit:
    """`scale` turns a value into volts, amperes, seconds, metres, kelvin and turns."""

    dimension: Dimension
    scale: float = 1.0
    kind: str = ""

    @property
    def is_point(self) -> bool:
        """True for a temperature on the scale, false for a difference of two."""
        return self.kind == POINT


UNITS: Mapping[str, Unit] = MappingProxyType(
    {
        "": Unit(NONE),
        "percent": Unit(NONE, 0.01),
        "V": Unit(VOLT),
        "A": Unit(AMPERE, 1.0, DC),
        "A_rms": Unit(AMPERE, 1.0, RMS),
        "A_peak": Unit(AMPERE, 1.0, PEAK),
        "Ah": Unit(CHARGE, 3600.0),
        "W": Unit(WATT),
        "Wh": Unit(JOULE, 3600.0),
        "J": Unit(JOULE),
        "Nm": Unit(JOULE),
        "Nm_per_A_rms": Unit((1, 0, 1, 0, 0, 0), 1.0, RMS),
        "ohm": Unit(OHM),
        "mohm": Unit(OHM, 1e-3),
        "mohm_per_m": Unit(OHM_PER_METRE, 1e-3),
        "uF": Unit(FARAD, 1e-6),
        "uH": Unit(HENRY, 1e-6),
        "Vs": Unit(VOLT_SECOND),
        "Hz": Unit(PER_SECOND, 1.0, HERTZ),
        "rpm": Unit(PER_SECOND, 1 / 60, MECHANICAL),
        "electrical_rpm": Unit(PER_SECOND, 1 / 60, ELECTRICAL),
        "rpm_per_V": Unit(PER_VOLT_SECOND, 1 / 60, MECHANICAL),
        "per_h": Unit(PER_SECOND, 1 / 3600),
        "degC": Unit(KELVIN, 1.0, POINT),
        "K": Unit(KELVIN),
        "mm": Unit(METRE, 1e-3),
        "m": Unit(METRE),
        "mm2": Unit(AREA, 1e-6),
        "m2": Unit(AREA),
        "kg": Unit(KILOGRAM),
        "km_h": Unit(SPEED, 1 / 3.6),
        "ms": Unit(SECOND, 1e-3),
        "s": Unit(SECOND),
        "h": Unit(SECOND, 3600.0),
        "days": Unit(SECOND, 86400.0),
        "deg": Unit(TURN, 1 / 360),
    }
)


def parse_unit(text: str) -> Unit:
    """The unit that a suffix stands for; KeyError where nobody knows it."""
    return UNITS[text]


def suffix(name: str) -> str:
    """The unit in a quantity's name: the longest known one at the end of its key, else none."""
    parts = name.rsplit(".", 1)[-1].split("_")
    for start in range(len(parts)):
        candidate = "_".join(parts[start:])
        if candidate in UNITS:
            return candidate
    return ""


def shown_kind(unit: Unit) -> str:
    """A unit in words, for a message that two do not fit."""
    if unit.dimension == NONE:
        return "percent" if unit.scale == UNITS["percent"].scale else "a plain number"
    for text, known in UNITS.items():
        if known.dimension == unit.dimension and known.kind == unit.kind:
            return text.replace("_", " ")
    return "a compound unit"


def common(one: Unit, other: Unit, doing: str) -> Unit:
    """The unit in which two like quantities are added or compared: the first one's.

    Raises UnlikeUnits where the dimensions or the kinds differ.
    """
    if one.dimension != other.dimension or (one.kind and other.kind and one.kind != other.kind):
        raise UnlikeUnits(f"{shown_kind(one)} cannot be {doing} {shown_kind(other)}")
    if one.is_point != other.is_point:
        raise UnlikeUnits(f"a temperature cannot be {doing} a difference of temperatures")
    return one if one.kind or not other.kind else Unit(one.dimension, one.scale, other.kind)


def total(one: Unit, other: Unit) -> Unit:
    """The unit of a sum; a difference of temperatures may be added to a temperature."""
    if one.is_point and other.is_point:
        raise UnlikeUnits("two temperatures cannot be added")
    if one.is_point or other.is_point:
        if one.dimension != other.dimension:
            raise UnlikeUnits(f"{shown_kind(one)} cannot be added to {shown_kind(other)}")
        return one if one.is_point else other
    return common(one, other, "added to")


def difference(one: Unit, other: Unit) -> Unit:
    """The unit of a difference; two temperatures part by kelvins."""
    if one.is_point and other.dimension == one.dimension:
        return Unit(KELVIN) if other.is_point else one
    if other.is_point:
        raise UnlikeUnits("a temperature cannot be taken from anything but a temperature")
    return common(one, other, "lessened by")


def _kind(one: Unit, other: Unit) -> str:
    return one.kind or other.kind if not (one.kind and other.kind) else ""


def product(one: Unit, other: Unit) -> Unit:
    """The unit of a product; a kind lives on where only one side has one."""
    if one.is_point or other.is_point:
        raise UnlikeUnits("a temperature cannot be multiplied")
    dimension = tuple(a + b for a, b in zip(one.dimension, other.dimension, strict=True))
    return Unit(dimension, one.scale * other.scale, _kind(one, other))  # type: ignore[arg-type]


def quotient(one: Unit, other: Unit) -> Unit:
    """The unit of a quotient; like by like is a plain number."""
    if one.is_point or other.is_point:
        raise UnlikeUnits("a temperature cannot be divided")
    dimension = tuple(a - b for a, b in zip(one.dimension, other.dimension, strict=True))
    kind = "" if dimension == NONE else _kind(one, other)
    return Unit(dimension, one.scale / other.scale, kind)  # type: ignore[arg-type]
