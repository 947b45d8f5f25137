"""Reference tables are typed in by hand, so each is held by its count, its order and its sum."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from gonogo.tables.table import column, names, table

# Table, key of the first column, key of the second, rows, and the sums of both columns. The sums of
# cables, sensors and tyre speeds were added up from public reproductions, not from our files.
LEDGER = [
    ("ampacity", "section_mm2", "ampacity_A", 18, 1311.75, 3698.0),
    ("bead_seats", "bead_seat_mm", None, 60, 24271.0, None),
    ("chemistries", "full_V", "minimum_V", 9, 31.95, 21.8),
    ("conductors", "section_mm2", "resistance_mohm_per_m", 19, 1312.25, 119.8882),
    ("display_ends", "degC", None, 14, 2180.0, None),
    ("equal_motors", "percent", "apart", 13, 127.0, 98.0),
    ("fuse_ratings", "rated_A", None, 26, 6098.0, None),
    ("insulation_classes", None, "max_degC", 8, None, 1200.0),
    ("kty81_110", "degC", "ohm", 24, 1145.0, 30176.0),
    ("kty81_210", "degC", "ohm", 24, 1145.0, 60049.0),
    ("kty83_110", "degC", "ohm", 27, 1650.0, 37357.0),
    ("kty84_130", "degC", "ohm", 36, 4575.0, 46242.0),
    ("kv_bases", "basis", None, 8, 8.339, None),
    ("magnet_grades", None, "max_degC", 9, None, 1550.0),
    ("ntc_10k_3380", "degC", "ohm", 35, 1595.0, 900597.0),
    ("ntc_10k_3435", "degC", "ohm", 20, 770.0, 836847.0),
    ("ntc_b_values", "ohm_at_25_degC", "B_K", 3, 157000.0, 11950.0),
    ("ntc_four_coefficients", "ohm_at_25_degC", "B_K", 1, 10000.0, 4791.842),
    ("other_units", "factor", None, 33, 7044.004, None),
    ("other_words", None, None, 73, None, None),
    ("platinum", "ohm_at_0_degC", None, 2, 1100.0, None),
    ("rim_codes", "rim_code", "diameter_mm", 20, 270.0, 6858.0),
    ("sensor_kinds", None, None, 12, None, None),
    ("tyre_loads", "load_index", "load_kg", 105, 7140.0, 47371.5),
    ("tyre_speeds", None, "speed_km_h", 21, None, 3085.0),
    ("wire_gauges", None, "area_mm2", 28, None, 517.2562),
]


def _rows(name: str) -> list[Mapping[str, Any]]:
    rows: list[Mapping[str, Any]] = table(name)["rows"]
    return rows


def test_every_table_is_in_the_ledger() -> None:
    """A table that nobody counts can lose a line without anybody noticing."""
    assert list(names()) == [entry[0] for entry in LEDGER]


@pytest.mark.parametrize(
    ("name", "first", "second", "count", "first_sum", "second_sum"), LEDGER, ids=lambda v: str(v)
)
def test_a_table_has_its_rows_and_its_sums(
    name: str,
    first: str | None,
    second: str | None,
    count: int,
    first_sum: float | None,
    second_sum: float | None,
) -> None:
    """A digit typed wrong moves the sum."""
    rows = _rows(name)
    assert len(rows) == count
    for key, total in ((first, first_sum), (second, second_sum)):
        if key is not None:
            assert sum(row[key] for row in rows) == pytest.approx(total)


@pytest.mark.parametrize("name", list(names()))
def test_a_table_names_its_source(name: str) -> None:
    """A number without a source cannot be checked by the next reader."""
    source = table(name)["source"]
    assert set(source) == {"title", "edition", "clause", "how"}
    assert all(isinstance(words, str) and words.strip() for words in source.values())


@pytest.mark.parametrize(
    ("name", "key", "sign"),
    [
        *[(entry[0], entry[1], 1) for entry in LEDGER if entry[1] in ("degC", "section_mm2")],
        ("ampacity", "ampacity_A", 1),
        ("fuse_ratings", "rated_A", 1),
        ("conductors", "resistance_mohm_per_m", -1),
        ("insulation_classes", "max_degC", 1),
        ("magnet_grades", "max_degC", 1),
        ("bead_seats", "bead_seat_mm", 1),
        ("rim_codes", "diameter_mm", 1),
        ("tyre_loads", "load_kg", 1),
        ("tyre_speeds", "speed_km_h", 1),
        *[(f"kty{kind}", "ohm", 1) for kind in ("81_110", "81_210", "83_110", "84_130")],
        ("ntc_10k_3380", "ohm", -1),
        ("ntc_10k_3435", "ohm", -1),
    ],
)
def test_a_column_only_rises_or_only_falls(name: str, key: str, sign: int) -> None:
    """Two rows exchanged would send a curve backwards; equal steps are allowed to grades only."""
    values = [sign * row[key] for row in _rows(name)]
    assert values == sorted(values)
    if name != "magnet_grades":
        assert len(set(values)) == len(values)


@pytest.mark.parametrize("row", _rows("chemistries"), ids=lambda row: str(row["chemistry"]))
def test_a_chemistry_has_its_volts_in_order(row: Mapping[str, Any]) -> None:
    """A typical cell out of order would flag every build that relies on it."""
    assert row["min_discharge_V"] <= row["minimum_V"] < row["working_minimum_V"]
    assert row["working_minimum_V"] < row["nominal_V"] < row["full_V"] <= row["max_charge_V"]
    assert row["max_charge_V"] < row["max_sold_full_V"]
    assert row["charge_from_degC"] < row["charge_to_degC"]


@pytest.mark.parametrize("row", _rows("chemistries"), ids=lambda row: str(row["chemistry"]))
def test_a_chemistry_grows_graver_outward(row: Mapping[str, Any]) -> None:
    """What no cell bears lies beyond what most do not."""
    assert row["usual_c_rate_per_h"] < row["most_c_rate_per_h"]
    assert row["usual_charge_per_h"] < row["most_charge_per_h"]
    assert row["usual_charge_per_h"] <= row["usual_c_rate_per_h"]
    assert row.get("bms_over_V", 0.1) < row.get("bms_far_over_V", 0.2)
    assert (
        ("bms_over_V" in row)
        == ("bms_far_over_V" in row)
        == (not row["chemistry"].startswith("lead_acid"))
    )


@pytest.mark.parametrize(
    ("chemistry", "full_V"),
    [("nmc", 4.35), ("lco", 4.45), ("lto", 2.85), ("sodium_ion", 4.20), ("lead_acid", 2.583)],
)
def test_a_cell_of_a_published_sheet_is_sold(chemistry: str, full_V: float) -> None:
    """Data sheets of a traction cell, two pouches, a titanate and a sodium pack, a flooded block."""
    assert full_V <= column("chemistries", "chemistry", "max_sold_full_V")[chemistry]


def test_rim_codes_are_inches_to_the_whole_millimetre() -> None:
    """UN R75 prints the code times 25.4, rounded; a slip would move every tyre on that rim."""
    for code, diameter_mm in column("rim_codes", "rim_code", "diameter_mm").items():
        assert diameter_mm == round(code * 25.4)


def test_a_table_is_read_once() -> None:
    """One check must not pay twice for a table."""
    assert table("ampacity") is table("ampacity")


def test_a_table_cannot_be_changed_from_outside() -> None:
    """The tables are constants."""
    with pytest.raises(TypeError):
        table("ampacity")["laying"] = "under water"  # type: ignore[index]
