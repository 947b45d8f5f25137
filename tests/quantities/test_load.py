"""The pack under load."""

from __future__ import annotations

import pytest
from gonogo.quantities import pack_load


def test_a_load_sags_the_pack_by_its_whole_loop() -> None:
    """80 A through 100 mΩ of pack and 25 mΩ of cable cost 10 V."""
    assert pack_load.loop(100.0, 25.0) == 125.0
    assert pack_load.sag(80.0, 125.0) == pytest.approx(10.0)
    assert pack_load.loaded(46.8, 10.0) == pytest.approx(36.8)


def test_the_cutoff_is_shared_by_the_cells() -> None:
    """Thirteen cells that stop at 39 V stop at 3 V each."""
    assert pack_load.cell_at_cutoff(39.0, 13) == pytest.approx(3.0)


def test_the_cold_multiplies_the_resistance_of_the_cells_and_not_of_the_cable() -> None:
    """45 A through 92 mΩ of cells 2.2 times and 8 mΩ of cable once: 9.108 V and 0.36 V."""
    told = pack_load.cold_sag(45.0 * 0.1, 45.0, 92.0, 2.2)
    assert told == pytest.approx(9.108 + 0.36)
    assert pack_load.cold_sag(45.0 * 0.1, 45.0, 92.0, 1.0) == pytest.approx(4.5)
