"""A value turned into another unit stays the same amount on the same side."""

from __future__ import annotations

import pytest
from gonogo.documents.units import UNITS
from gonogo.expressions.expression import Constant, constant, converted
from gonogo.expressions.types import Type
from gonogo.quantities.operand import NO_MORE, NOT_THERE, Operand


def turned(operand: Operand, unit: str, into: str) -> Operand:
    """An operand in `unit`, turned into another one."""
    node = Constant(Type("number", UNITS[unit]), operand)
    return converted(node, UNITS[into]).evaluate(lambda name: operand)


@pytest.mark.parametrize(
    ("value", "unit", "into", "wanted"),
    [
        (120.0, "mm", "m", 0.12),
        (3.0, "percent", "", 0.03),
        (1.5, "h", "s", 5400.0),
        (90.0, "deg", "deg", 90.0),
        (36.0, "km_h", "km_h", 36.0),
    ],
)
def test_an_amount_stays_the_same(value: float, unit: str, into: str, wanted: float) -> None:
    """A cable of 120 mm is 0.12 m long."""
    assert turned(Operand(value), unit, into).value == pytest.approx(wanted, rel=1e-12)


def test_a_bound_stays_a_bound() -> None:
    """No more than 2000 mΩ is no more than 2 Ω, and still lacks what it lacked."""
    bound = Operand(2000.0, NO_MORE, frozenset({"pack.resistance_mohm"}))
    found = turned(bound, "mohm", "ohm")
    assert found == Operand(2.0, NO_MORE, frozenset({"pack.resistance_mohm"}))


@pytest.mark.parametrize("operand", [Operand(None, missing=frozenset({"x"})), NOT_THERE])
def test_nothing_stays_nothing(operand: Operand) -> None:
    """An unknown has no amount to turn."""
    assert turned(operand, "mm", "m") == operand


def test_a_bare_number_takes_the_unit_as_it_is() -> None:
    """`at_most: 3` beside a percent means 3 %."""
    node = constant(3)
    assert converted(node, UNITS["percent"]).evaluate(lambda name: Operand(None)).value == 3
