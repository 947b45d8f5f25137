"""Arithmetic of units: what may be added, compared and multiplied, and what comes of it."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.units import (
    DC,
    DIMENSIONLESS,
    ENERGY,
    KELVIN,
    PEAK,
    PER_SECOND,
    RATE,
    RMS,
    TORQUE,
    UNITS,
    WORK,
    Dimension,
    Unit,
)

# Kinds that only tell quantities of one dimension apart; multiplied out of it they are gone.
CONFINED: Mapping[str, Dimension] = {ENERGY: WORK, TORQUE: WORK, RATE: PER_SECOND}
CURRENTS = (DC, RMS, PEAK)


class UnlikeUnits(ValueError):
    """Two quantities that cannot be added, compared or multiplied; the text says which."""


def shown_kind(unit: Unit) -> str:
    """A unit in words, for a message that two do not fit: watt-hours also where joules stand."""
    if unit.dimension == DIMENSIONLESS:
        return "percent" if unit.scale == UNITS["percent"].scale else "a plain number"
    alike = {text: row.kind for text, row in UNITS.items() if row.dimension == unit.dimension}
    of_kind = [text for text, kind in alike.items() if kind == unit.kind]
    without = [text for text, kind in alike.items() if not (kind and unit.kind)]
    words = next(iter([*of_kind, *without]), "a compound unit")
    return words.replace("_", " ")


def common(left: Unit, right: Unit, doing: str) -> Unit:
    """The unit in which two like quantities are added or compared: the first one's.

    Raises UnlikeUnits where the dimensions or the kinds differ.
    """
    if left.dimension != right.dimension or (left.kind and right.kind and left.kind != right.kind):
        raise UnlikeUnits(f"{shown_kind(left)} cannot be {doing} {shown_kind(right)}")
    if left.is_point != right.is_point:
        raise UnlikeUnits(f"a temperature cannot be {doing} a difference of temperatures")
    return left if left.kind or not right.kind else Unit(left.dimension, left.scale, right.kind)


def total(left: Unit, right: Unit) -> Unit:
    """The unit of a sum; a difference of temperatures may be added to a temperature."""
    if left.is_point and right.is_point:
        raise UnlikeUnits("two temperatures cannot be added")
    if left.is_point or right.is_point:
        if left.dimension != right.dimension:
            raise UnlikeUnits(f"{shown_kind(left)} cannot be added to {shown_kind(right)}")
        return left if left.is_point else right
    return common(left, right, "added to")


def difference(left: Unit, right: Unit) -> Unit:
    """The unit of a difference; two temperatures part by kelvins."""
    if left.is_point and right.dimension == left.dimension:
        return Unit(KELVIN) if right.is_point else left
    if right.is_point:
        raise UnlikeUnits("a temperature cannot be taken from anything but a temperature")
    return common(left, right, "lessened by")


def product(left: Unit, right: Unit) -> Unit:
    """The unit of a product; a kind lives on where only one side has one."""
    if left.is_point or right.is_point:
        raise UnlikeUnits("a temperature cannot be multiplied")
    dimension = left.dimension * right.dimension
    return Unit(dimension, left.scale * right.scale, _kind(left, right, dimension))


def quotient(left: Unit, right: Unit) -> Unit:
    """The unit of a quotient; like by like is a plain number."""
    if left.is_point or right.is_point:
        raise UnlikeUnits("a temperature cannot be divided")
    dimension = left.dimension / right.dimension
    return Unit(dimension, left.scale / right.scale, _kind(left, right, dimension))


def _kind(left: Unit, right: Unit, dimension: Dimension) -> str:
    """The kind of what is multiplied or divided, so far as it says something of the result.

    Volts times amperes times seconds are energy and torque alike; amperes by ampere-hours are so
    many times an hour, whichever amperes they are.
    """
    kinds = [kind for kind in (left.kind, right.kind) if kind and _stays(kind, dimension)]
    kind = kinds[0] if len(kinds) == 1 else ""
    return RATE if dimension == PER_SECOND and kind in CURRENTS else kind


def _stays(kind: str, dimension: Dimension) -> bool:
    if dimension in (DIMENSIONLESS, WORK):
        return CONFINED.get(kind) == dimension
    return CONFINED.get(kind, dimension) == dimension
