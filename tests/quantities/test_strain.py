"""What strains the pack."""

from __future__ import annotations

import pytest
from gonogo.quantities import pack_strain


def test_the_c_rate_counts_packs_an_hour() -> None:
    """A 20 Ah pack at 1 C gives 20 A."""
    assert pack_strain.c_rate(20.0, 20.0) == 1.0


@pytest.mark.parametrize(("amperes", "rate"), [(10.0, 2.0), (100.0, 20.0)])
def test_a_cell_is_rated_in_its_own_capacities(amperes: float, rate: float) -> None:
    """100 A for a cell of 5 Ah empty it in three minutes: that was the pack's figure."""
    assert pack_strain.rated_c_rate(amperes, 5.0) == rate


def test_sag_is_a_share_of_the_nominal_volts() -> None:
    """Ohm: 80 A through 90 mΩ are 7.2 V, a fifth of 36 V."""
    assert pack_strain.sag_percent(7.2, 36.0) == pytest.approx(20.0)
    assert pack_strain.rated_sag(80.0, 90.0, 36.0) == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("amperes", "cutoff_V", "watts"),
    [
        pytest.param(50.0, 39.0, 250.0, id="Joule: 50 A through 100 mΩ"),
        pytest.param(156.0, 39.0, 2433.6, id="15.6 V of sag reach the cutoff at 156 A"),
        pytest.param(200.0, 39.0, 2433.6, id="more does not flow"),
        pytest.param(200.0, 0.0, 4000.0, id="no cutoff ends it"),
        pytest.param(200.0, 60.0, 0.0, id="a cutoff above the full pack lets nothing flow"),
    ],
)
def test_the_pack_is_heated_by_the_current_that_the_cutoff_lets_flow(
    amperes: float, cutoff_V: float, watts: float
) -> None:
    """A limit that the pack cannot give does not heat it further."""
    assert pack_strain.heat(amperes, 100.0, 54.6, cutoff_V) == pytest.approx(watts)


def test_heat_is_held_against_the_energy_that_stands_for_the_mass() -> None:
    """The docstring's 12 K a minute: 200 Wh/kg · 1/h = 200 W/kg, over 1000 J/(kg K), for 60 s."""
    assert pack_strain.heat_per_energy(1.0, 1.0) * 200.0 / 1000.0 * 60.0 == pytest.approx(12.0)
    assert pack_strain.heat_per_energy(600.0, 1200.0) == 0.5


def test_a_short_circuit_is_estimated_from_both_sides() -> None:
    """54.6 V over 27.3 mΩ are 2000 A at last, and at first up to twice that."""
    assert pack_strain.sustained_short_circuit(54.6, 27.3) == pytest.approx(2000.0)
    assert pack_strain.short_circuit_of_pack(54.6, 27.3) == pytest.approx(3000.0)
    assert pack_strain.short_circuit(54.6, 13, 10, 21.0) == pytest.approx(4000.0)
    assert pack_strain.short_circuit(54.6, 13, 10, 21.0, 13.65) == pytest.approx(8000.0)


def test_usual_cells_give_the_same_however_they_are_arranged() -> None:
    """8 in parallel of 18 mΩ at 2.5 Ah, half of a cell's volts lost nowhere: 4.2 V / (18 mΩ / 8)."""
    assert pack_strain.usual_short_circuit(4.2, 8 * 2.5, "nmc") == pytest.approx(4.2 / 0.018 * 8)
    assert pack_strain.usual_short_circuit_as_known(1800.0) == 1800.0
