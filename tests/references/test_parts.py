"""Limits of cells, conductors, insulation, magnets and precharge (data 04, 05, 09, 11)."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest
from gonogo.quantities import motor, pack, pack_strain, precharge, wiring
from gonogo.quantities.book import typical
from gonogo.quantities.cable import cable_section_usual
from gonogo.quantities.conductor import (
    copper_mohm_per_m,
    insulation_factor,
    standard_mohm_per_m,
    warming,
)
from gonogo.quantities.registry import WORKED
from gonogo.tables.table import column, table

from .reference import rows

Row = dict[str, Any]
CELLS = "04_cells"
CONDUCTORS = "05_conductors"
HEAT = "09_insulation_magnets"
PRECHARGE = "11_precharge"
UNITS = pint.UnitRegistry()


def _chemistry(name: str, key: str) -> float:
    return float(column("chemistries", "chemistry", key)[name])


# By how much our nominal volts miss the page's, and why.
NOMINAL_MISSES = {"lto": (-0.1, "2.3 V is what makers of titanate cells print, from memory")}

# By how much our least volts lie under the page's, and why.
LEAST_MISSES = {
    "nca": (0.5, "2.0 V is what power cells print, from memory of data sheets"),
    "lead_acid": (0.15, "the page's is the 10 h figure; 1.60 V at the rates of a vehicle"),
}


@pytest.mark.parametrize("row", rows(CELLS, "chemistry_windows"))
def test_typical_cells_lie_in_the_chemistrys_window(row: Row) -> None:
    """Ours is never wider than the page's, and its nominal volts are one of the page's."""
    chemistry = row["chemistry"]
    assert _chemistry(chemistry, "full_V") <= _chemistry(chemistry, "max_charge_V")
    assert _chemistry(chemistry, "max_charge_V") <= row["max_v"]
    assert _chemistry(chemistry, "minimum_V") >= row["empty_v"]
    under_V, _ = LEAST_MISSES.get(chemistry, (0.0, ""))
    assert _chemistry(chemistry, "min_discharge_V") >= round(row["min_v"] - under_V, 6)
    missed_V, _ = NOMINAL_MISSES.get(chemistry, (0.0, ""))
    assert pytest.approx(_chemistry(chemistry, "nominal_V") - missed_V) in row["nominal_v"]


@pytest.mark.parametrize("row", rows(CELLS, "charging_temperature"))
def test_cells_are_charged_in_the_chemistrys_temperatures(row: Row) -> None:
    """Lithium-ion to the degree; lead-acid more carefully than the page has it."""
    low_degC, high_degC = row["charge_c"]
    ours = [_chemistry(row["chemistry"], f"charge_{end}_degC") for end in ("from", "to")]
    assert low_degC <= ours[0] and ours[1] <= high_degC
    assert ours == row["charge_c"] or row["chemistry"] == "lead_acid"


@pytest.mark.parametrize("row", rows(CELLS, "pack_examples"))
def test_a_pack_of_typical_cells_has_the_charts_volts(row: Row) -> None:
    """Where only the chemistry is told."""
    chemistry, series = row["chemistry"], row["series"]
    full_V, minimum_V = (typical(f"pack.cell.{key}", chemistry) for key in ("full_V", "minimum_V"))
    assert full_V is not None and minimum_V is not None
    assert pack.full(series, full_V) == pytest.approx(row["max_pack_v"], abs=0.01)
    assert pack.minimum(series, minimum_V) == pytest.approx(row["min_pack_v"], abs=0.01)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "class5_max_resistance"))
def test_class_5_resistance_is_that_of_iec_60228(row: Row) -> None:
    """To the digit."""
    assert standard_mohm_per_m(row["area_mm2"]) == row["plain_ohm_per_km"]


@pytest.mark.parametrize("row", rows(CONDUCTORS, "awg"))
def test_wire_gauges_resist_as_their_copper(row: Row) -> None:
    """ASTM B258 sections of solid copper, 0.1 %; the units of the page turned by a library."""
    section_mm2 = (row["area_cmil"] * UNITS.circular_mil).m_as("mm^2")
    printed = row["ohm_per_kft"] * UNITS.ohm / (1000.0 * UNITS.foot)
    assert copper_mohm_per_m(section_mm2) == pytest.approx(printed.m_as("mohm/m"), rel=1e-3)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "copper_constants"))
def test_copper_is_that_of_the_handbook(row: Row) -> None:
    """IEC 60028: 58 MS/m, and 0.393 % for each kelvin."""
    assert copper_mohm_per_m(1.0) == pytest.approx(1000.0 / row["conductivity_MS_per_m"])
    assert warming(21.0) - warming(20.0) == pytest.approx(row["per_K"])


@pytest.mark.parametrize("row", rows(CONDUCTORS, "copper_to_20_degC"))
def test_copper_warms_as_the_standard_corrects_for(row: Row) -> None:
    """0.5 %: the standard rounds the coefficient to 0.004, so at 80 °C ours is 0.4 % less."""
    assert warming(row["t_c"]) * row["factor"] == pytest.approx(1.0, rel=5e-3)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "ampacity_single_core_free_air"))
def test_ampacity_is_that_of_din_vde_0298_4(row: Row) -> None:
    """To the ampere, for battery and phase cables alike."""
    for cable in ("battery", "phase"):
        (spec,) = WORKED[f"wiring.{cable}_cable_table_A"]
        assert spec.inputs["section_mm2"] == f"wiring.{cable}_cable_mm2"
        assert spec.function(row["area_mm2"], 30.0, 1.0) == row["ampacity_a"]


@pytest.mark.parametrize("row", rows(CONDUCTORS, "awg"))
def test_a_gauge_has_the_standards_area(row: Row) -> None:
    """ASTM B258 by the circular mil, turned by a library: 0.1 %."""
    area_mm2 = (row["area_cmil"] * UNITS.circular_mil).m_as("mm^2")
    assert column("wire_gauges", "awg", "area_mm2")[row["awg"]] == pytest.approx(area_mm2, rel=1e-3)
    assert cable_section_usual(area_mm2)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "class5_max_resistance"))
def test_a_section_of_iec_60228_is_usual(row: Row) -> None:
    """None of them is taken for a gauge number typed as square millimetres."""
    assert cable_section_usual(row["area_mm2"])


@pytest.mark.parametrize("row", rows(CONDUCTORS, "ambient_factors"))
def test_warm_air_takes_what_the_standard_takes(row: Row) -> None:
    """Steady heat against the printed factors."""
    insulation_degC = row["insulation_c"]
    ours = insulation_factor(insulation_degC, row["air_c"]) / insulation_factor(insulation_degC, 30)
    assert ours == pytest.approx(row["factor"], rel=0.01, abs=0.005)


@pytest.mark.parametrize("row", rows(CONDUCTORS, "insulation_70_and_90"))
def test_hotter_insulation_carries_no_more_than_the_standard_allows(row: Row) -> None:
    """XLPE against PVC in the same place."""
    theirs = row["xlpe_a"] / row["pvc_a"]
    assert 0.95 * theirs <= insulation_factor(90.0, 30.0) <= theirs


def test_the_ampacity_table_says_what_it_holds_for() -> None:
    """A number of amperes without laying and insulation is not a rating."""
    content = table("ampacity")
    assert content["ambient_degC"] == 30
    assert content["conductor_degC"] == 70
    assert "free in air" in content["laying"]


@pytest.mark.parametrize("row", rows(CONDUCTORS, "voltage_drop_examples"))
def test_cable_drops_are_a_circuit_simulators(row: Row) -> None:
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
    assert motor.magnet(row["suffix"]) == row["max_c"]


@pytest.mark.parametrize("row", rows(HEAT, "other_magnets"))
def test_other_magnets_bear_no_more_than_published(row: Row) -> None:
    """The pages do not agree on ferrite; ours lies between."""
    assert motor.magnet(row["grade"]) <= max(row["max_c"])
    assert motor.magnet(row["grade"]) >= min(row["max_c"]) or row["grade"] == "smco"


@pytest.mark.parametrize("row", rows(PRECHARGE, "precharge"))
def test_precharge_is_a_circuit_simulators(row: Row) -> None:
    """Circuit theory, 0.2 %: three time constants stand for the 2.9957 of exactly 95 %."""
    seconds = precharge.time(row["r_ohm"], row["c_uf"])
    assert 1000.0 * seconds == pytest.approx(row["t95_ms"], rel=2e-3)
    assert 1000.0 * seconds / 3.0 == pytest.approx(row["tau_ms"], rel=2e-3)
    assert precharge.energy(row["c_uf"], row["v"]) == pytest.approx(row["e_resistor_j"], rel=2e-3)
    assert precharge.peak_power(row["v"], row["r_ohm"]) == pytest.approx(row["p_peak_w"], rel=2e-3)
    peak_A = precharge.peak_power(row["v"], row["r_ohm"]) / row["v"]
    assert peak_A == pytest.approx(row["i_peak_a"], rel=2e-3, abs=6e-4)


@pytest.mark.parametrize("row", rows(PRECHARGE, "precharge"))
def test_what_is_left_to_rush_in_follows_the_simulators_charge(row: Row) -> None:
    """At the simulator's 95 % and 99 % a twentieth and a hundredth of the volts are missing."""
    whole_J = row["e_resistor_j"]
    for key, missing in (("t95_ms", 0.05), ("t99_ms", 0.01)):
        left_J = precharge.left(row["c_uf"], row["v"], row["r_ohm"], row[key] / 1000.0)
        assert left_J == pytest.approx(missing**2 * whole_J, rel=2e-2)


@pytest.mark.parametrize("row", rows(PRECHARGE, "inrush_without_precharge"))
def test_inrush_is_the_short_circuit_of_the_loop(row: Row) -> None:
    """An empty capacitor is a short circuit for its first moment."""
    amperes = pack_strain.sustained_short_circuit(row["v"], row["r_loop_mohm"])
    assert amperes == pytest.approx(row["i_peak_a"], rel=5e-3)


@pytest.mark.parametrize("row", rows(PRECHARGE, "precharge"))
def test_after_the_precharge_time_95_percent_are_there(row: Row) -> None:
    """Solved from the differential equation, not from the rule of thumb."""
    tau_s = row["r_ohm"] * row["c_uf"] / 1e6
    share = 1.0 - math.exp(-precharge.time(row["r_ohm"], row["c_uf"]) / tau_s)
    assert share == pytest.approx(0.95, abs=5e-4)
