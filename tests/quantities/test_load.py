"""The pack under load."""

from __future__ import annotations

import pytest
from gonogo.quantities import pack_load


def test_a_load_sags_the_pack_by_its_whole_loop() -> None:
    """80 A through 100 mΩ of pack and 25 mΩ of cable cost 10 V."""
    assert pack_load.loop(100.0, 25.0) == 125.0
    assert pack_load.sag(80.0, 125.0) == pytest.approx(10.0)
    assert pack_load.loaded(46.8, 10.0) == pytest.approx(36.8)


def test_power_fades_at_a_rested_cell_voltage_that_includes_the_sag() -> None:
    """A rider who looks at rest volts wants to know when the pull goes: (36 + 3) / 13 = 3 V."""
    assert pack_load.rested_cell_at_taper(36.0, 3.0, 13) == pytest.approx(3.0)
    assert pack_load.cell_at_cutoff(39.0, 13) == pytest.approx(3.0)


def test_the_c_rate_counts_packs_an_hour() -> None:
    """A 20 Ah pack at 1 C gives 20 A."""
    assert pack_load.c_rate(20.0, 20.0) == 1.0


def test_a_short_circuit_draws_full_volts_over_the_loop() -> None:
    """54.6 V over 27.3 mΩ are 2000 A, more than many fuses can break."""
    assert pack_load.short_circuit(54.6, 27.3) == pytest.approx(2000.0)
