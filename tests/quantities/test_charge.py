"""Charging the pack, by charger and by regen."""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.quantities import pack_charge
from gonogo.quantities.book import Book
from gonogo.quantities.operand import EXACT, NO_MORE, Operand, Side

HOUSE = {name: allowance.default for name, allowance in allowances().items()}
NOWHERE = Place("bench.yaml", 1, 1)
CELLS = {"pack.cells_charge_A": 40.0}
BMS = {"pack.bms.charge_A": 10.0}


def worked(name: str, told: dict[str, Any], absent: tuple[str, ...] = ()) -> Operand:
    given = {key: Given(key, value, key, value, 1.0, NOWHERE) for key, value in told.items()}
    return Book(given, HOUSE, "2026-11-25", absent).operand(name)


@pytest.mark.parametrize(
    ("told", "absent", "value", "side"),
    [
        pytest.param({**CELLS, **BMS, "pack.bms.port": "common"}, (), 10.0, EXACT, id="one port"),
        pytest.param({**CELLS, **BMS}, (), 10.0, EXACT, id="ports not told: as if one"),
        pytest.param({**CELLS, **BMS, "pack.bms.port": "separate"}, (), 40.0, EXACT, id="two"),
        pytest.param({**BMS, "pack.bms.port": "separate"}, (), None, EXACT, id="two, no cells"),
        pytest.param(CELLS, ("pack.bms",), 40.0, EXACT, id="no BMS"),
        pytest.param(CELLS, (), 40.0, NO_MORE, id="a BMS that nobody told of"),
    ],
)
def test_regen_is_bounded_by_the_port_that_it_flows_through(
    told: dict[str, Any], absent: tuple[str, ...], value: float | None, side: Side
) -> None:
    """A charge port for 10 A refused sound regen of 30 A, which never flows through it."""
    operand = worked("pack.regen_charge_A", told, absent)
    assert (operand.value, operand.side) == (value, side)


@pytest.mark.parametrize(
    ("told", "coldest"),
    [
        ({"vehicle.min_ambient_degC": -5.0, "readings.ambient_degC": 12.0}, -5.0),
        ({"vehicle.min_ambient_degC": 5.0, "readings.ambient_degC": -2.0}, -2.0),
        ({"vehicle.min_ambient_degC": -5.0}, -5.0),
        ({"readings.ambient_degC": -2.0}, -2.0),
        ({}, None),
    ],
)
def test_the_coldest_of_what_is_told_counts(told: dict[str, Any], coldest: float | None) -> None:
    """A day of frost at the bench is one on the road."""
    operand = worked("pack.min_degC", told)
    assert (operand.value, operand.side) == (coldest, EXACT)


def test_regen_is_counted_in_capacities() -> None:
    """5 A into 20 Ah take four hours."""
    assert pack_charge.regen_c_rate(5.0, 20.0) == 0.25
    assert pack_charge.rated_charge(5.0, 20.0) == 0.25
