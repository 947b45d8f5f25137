"""Published limits of cells, conductors, fuses, insulation, magnets and precharge."""

from __future__ import annotations

import math
from typing import Any

import pytest
from gonogo.quantities import motor, pack, pack_load, precharge, wiring
from gonogo.quantities.book import typical
from gonogo.quantities.conductor import copper_mohm_per_m, standard_mohm_per_m, warming
from gonogo.tables.table import column, table

from .reference import rows

Row = dict[str, Any]
CELLS = "04_cells"
CONDUCTORS = "05_conductors"
FUSES = "06_fuses"
HEAT = "09_insulation_magnets"
PRECHARGE = "11_precharge"
LAW = "12_legal_limits"
OURS = {"NMC": "nmc", "LFP": "lfp", "LCO": "lco", "lead-acid": "lead_acid"}


def _chemistry(name: str, key: str) -> float:
    return float(column("chemistries", "chemistry", key)[OURS[name]])


def _span(value: Any) -> tuple[float, float]:
    return (value[0], value[1]) if isinstance(value, list) else (value, value)


@pytest.mark.parametrize("row", rows(CELLS, "chemistry_defaults"))
def test_typical_cells_lie_in_the_published_windows(row: Row) -> None:
    """Full, nominal, minimum and the charging window of the handbook's chemistries."""
    low_V, high_V = _span(row["max_v"])
    assert low_V <= _chemistry(row["chemistry"], "full_V") <= high_V
    assert _chemistry(row["chemistry"], "highest_full_V") == high_V
    low_V, high_V = _span(row["nominal_v"])
    assert low_V <= _chemistry(row["chemistry"], "nominal_V") <= high_V
    low_V, high_V = _span(row["min_v"])
    assert low_V <= _chemistry(row["chemistry"], "minimum_V") <= high_V
    assert _chemistry(row["chemistry"], "lowest_minimum_V") == low_V
    charge = [_chemistry(row["chemistry"], f"charge_{end}_degC") for end in ("from", "to")]
    assert charge == row["charge_c"]


@pytest.mark.parametrize("row", rows(CELLS, "pack_examples"))
def test_a_pack_of_typical_cells_has_the_published_volts(row: Row) -> None:
    """Where only the chemistry is told."""
    chemistry, series = OURS[row["chemistry"]], row["series"]
    full_V, minimum_V = (typical(f"pack.cell.{key}", chemistry) for key in ("full_V", "minimum_V"))
    assert full_V is not None and minimum_V is not None
    assert pack.full(series, full_V) == pytest.approx(row["max_pack_v"], abs=0.01)
    assert pack.minimum(series, minimum_V) == pytest.approx(row["min_pack_v"], abs=0.01)


@pytest.mark.parametrize("row", rows(LAW, "pack_against_60_v"))
def test_full_volts_stand_on_the_published_side_of_sixty(row: Row) -> None:
    """ISO 6469-3, voltage class A ends at 60 V DC; the full pack counts, not the nominal."""
    full_V = pack.full(row["series"], _chemistry(row["chemistry"], "full_V"))
    assert full_V == pytest.approx(row["full_v"], abs=0.005)
    assert (full_V > 60.0) is row["above_60_v"]


@pytest.mark.parametrize("row", rows(FUSES, "voltage_check_examples"))
def test_full_volts_fit_the_published_fuse_links(row: Row) -> None:
    """ISO 8820 links for 32 and 58 V against the full pack."""
    full_V = pack.full(row["series"], _chemistry(row["chemistry"], "full_V"))
    assert full_V == pytest.approx(row["pack_full_v"], abs=0.005)
    assert (full_V <= 32.0, full_V <= 58.0) == (row["fits_32_v"], row["fits_58_v"])


@pytest.mark.parametrize("row", rows(CONDUCTORS, "class5_max_resistance"))
def test_class_5_resistance_is_that_of_iec_60228(row: Row) -> None:
    """To the digit."""
    assert standard_mohm_per_m(row["area_mm2"]) == row["plain_ohm_per_km"]


@pytest.mark.parametrize("row", rows(CONDUCTORS, "awg"))
def test_wire_gauges_resist_as_their_copper(row: Row) -> None:
    """ASTM B258 sections of solid copper, 0.5 %."""
    assert copper_mohm_per_m(row["area_mm2"]) == pytest.approx(row["r20_mohm_per_m"], rel=5e-3)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "copper_temperature_factor"))
def test_copper_warms_as_published(row: Row) -> None:
    """IEC 60028."""
    assert warming(row["t_c"]) == pytest.approx(row["factor"], abs=5e-4)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "ampacity_single_core_free_air"))
def test_ampacity_is_that_of_din_vde_0298_4(row: Row) -> None:
    """To the ampere, for battery and phase cables alike."""
    assert wiring.battery_cable_current(row["area_mm2"]) == row["ampacity_a"]
    assert wiring.phase_cable_current(row["area_mm2"]) == row["ampacity_a"]


def test_the_ampacity_table_says_what_it_holds_for() -> None:
    """A number of amperes without laying and insulation is not a rating."""
    content = table("ampacity")
    assert content["ambient_degC"] == 30
    assert content["conductor_degC"] == 70
    assert "free in air" in content["laying"]


@pytest.mark.parametrize("row", rows(CONDUCTORS, "voltage_drop_examples"))
def test_cable_drops_are_the_published_ones(row: Row) -> None:
    """Both leads, 20 °C, 1 %."""
    mohm = wiring.battery_cable(row["area_mm2"], row["length_m"], 20.0)
    drop_V = wiring.drop(row["current_a"], mohm)
    assert drop_V == pytest.approx(row["drop_v"], rel=0.01)
    assert drop_V * row["current_a"] == pytest.approx(row["loss_w"], rel=0.01)


@pytest.mark.parametrize("row", rows(HEAT, "thermal_class"))
def test_insulation_classes_are_the_published_ones(row: Row) -> None:
    """IEC 60085."""
    assert motor.insulation(row["thermal_class"]) == row["max_c"]


@pytest.mark.parametrize("row", rows(HEAT, "ndfeb_suffix"))
def test_magnet_suffixes_are_the_published_ones(row: Row) -> None:
    """Trade convention; a magnet without a suffix is our N."""
    suffix = "N" if row["suffix"] == "none" else row["suffix"]
    assert motor.magnet(suffix) == row["max_c"]


@pytest.mark.parametrize("row", rows(PRECHARGE, "precharge"))
def test_precharge_is_the_published_arithmetic(row: Row) -> None:
    """Circuit theory, 0.2 %: three time constants stand for the 2.9957 of exactly 95 %."""
    seconds = precharge.time(row["r_ohm"], row["c_uf"])
    assert 1000.0 * seconds == pytest.approx(row["t95_ms"], rel=2e-3)
    assert 1000.0 * seconds / 3.0 == pytest.approx(row["tau_ms"], rel=2e-3)
    assert precharge.energy(row["c_uf"], row["v"]) == pytest.approx(row["e_resistor_j"], rel=2e-3)
    assert precharge.peak_power(row["v"], row["r_ohm"]) == pytest.approx(row["p_peak_w"], rel=2e-3)
    peak_A = precharge.peak_current(row["v"], row["r_ohm"])
    assert peak_A == pytest.approx(row["i_peak_a"], rel=2e-3, abs=6e-4)


@pytest.mark.parametrize("row", rows(PRECHARGE, "inrush_without_precharge"))
def test_inrush_is_the_short_circuit_of_the_loop(row: Row) -> None:
    """An empty capacitor is a short circuit for its first moment."""
    amperes = pack_load.short_circuit(row["v"], row["r_loop_mohm"])
    assert amperes == pytest.approx(row["i_peak_a"], rel=5e-3)


@pytest.mark.parametrize("row", rows(PRECHARGE, "precharge"))
def test_after_the_precharge_time_95_percent_are_there(row: Row) -> None:
    """Solved from the differential equation, not from the rule of thumb."""
    tau_s = row["r_ohm"] * row["c_uf"] / 1e6
    share = 1.0 - math.exp(-precharge.time(row["r_ohm"], row["c_uf"]) / tau_s)
    assert share == pytest.approx(0.95, abs=5e-4)
