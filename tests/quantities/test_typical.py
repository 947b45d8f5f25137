"""What is typical of a chemistry stands in for a cell value, and only for a known chemistry."""

from __future__ import annotations

import pytest
from gonogo.documents.schema import canonical
from gonogo.quantities.book import typical
from gonogo.quantities.registry import TYPICAL

CHEMISTRIES = [name for name in canonical()["pack.cell.chemistry"].choices if name != "other"]


@pytest.mark.parametrize(
    ("chemistry", "full_V"),
    [("nmc", 4.20), ("lfp", 3.65), ("lead_acid", 2.40), ("lto", 2.70)],
)
def test_a_full_cell_has_its_chemistrys_volts(chemistry: str, full_V: float) -> None:
    """Textbook values; charging iron phosphate to 4.2 V would ruin it."""
    assert typical("pack.cell.full_V", chemistry) == full_V


def test_nothing_is_typical_of_an_unknown_cell() -> None:
    """A guess at volts would be worse than none."""
    assert all(typical(name, None) is None for name in TYPICAL)
    assert all(typical(name, "unobtainium") is None for name in TYPICAL)


def test_only_what_the_table_holds_is_typical() -> None:
    """No table knows how many amperes a cell gives."""
    assert typical("pack.cell.continuous_A", "nmc") is None
    assert "pack.cell.continuous_A" not in TYPICAL


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_the_volts_of_a_chemistry_are_in_order(chemistry: str) -> None:
    """Minimum, working minimum, nominal, full; one turned round would pass a flat cell."""
    keys = ("minimum_V", "working_minimum_V", "nominal_V", "full_V")
    volts = [typical(f"pack.cell.{key}", chemistry) for key in keys]
    known = [value for value in volts if value is not None]
    assert len(known) == len(keys)
    assert known == sorted(set(known))


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_a_cell_is_charged_between_its_temperatures(chemistry: str) -> None:
    """From a lower one to a higher one."""
    low, high = (typical(f"pack.cell.charge_{end}_degC", chemistry) for end in ("from", "to"))
    assert low is not None
    assert high is not None
    assert low < high


def test_typical_values_are_entries_of_a_cell() -> None:
    """Each can be overruled by the datasheet."""
    assert set(canonical()) >= TYPICAL
