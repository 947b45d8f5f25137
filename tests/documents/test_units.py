"""The units: what a key says of its own, and how the trade writes and says it."""

from __future__ import annotations

import pytest
from gonogo.documents.schema import allowances, properties
from gonogo.documents.units import UNITS, unit_of_key, unit_symbol


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("settings.battery_current_A", "A"),
        ("settings.phase_current_A_rms", "A_rms"),
        ("motor.phase_current_A_peak", "A_peak"),
        ("motor.kv_rpm_per_V", "rpm_per_V"),
        ("motor.torque_constant_Nm_per_A_rms", "Nm_per_A_rms"),
        ("motor.flux_linkage_Vs", "Vs"),
        ("pack.c_rate_per_h", "per_h"),
        ("wiring.battery_cable_mm2", "mm2"),
        ("vehicle.speed_limit_km_h", "km_h"),
        ("wiring.battery_cable_m", "m"),
        ("pack.resistance_mohm", "mohm"),
        ("motor.pole_pairs", ""),
        ("readings.wheel_turned", ""),
    ],
)
def test_a_key_says_its_unit(name: str, unit: str) -> None:
    """The longest ending counts: `_A_rms` is not amperes with something behind them."""
    assert unit_of_key(name) == unit


def test_every_unit_has_a_symbol_and_a_spoken_word_of_its_own() -> None:
    """Two units that read alike would hide a factor of a thousand."""
    rows = [row for text, row in UNITS.items() if text]
    assert all(row.symbol and row.spoken for row in rows)
    alone = [row for row in rows if row is not UNITS["degF_apart"]]  # read as a point is
    assert len({row.symbol for row in alone}) == len({row.spoken for row in alone}) == len(alone)


def test_what_is_no_unit_of_ours_is_shown_as_it_is() -> None:
    """A value without a unit has no word behind it."""
    assert unit_symbol("") == ""
    assert unit_symbol("furlong") == "furlong"


def test_the_schemas_name_only_units_that_have_a_row() -> None:
    """A key's unit is in the one table, or nothing could be reckoned with it."""
    entries = [*properties().values(), *allowances().values()]
    assert {entry.unit for entry in entries} <= UNITS.keys()
