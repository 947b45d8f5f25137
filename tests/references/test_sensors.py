"""Resistance of platinum, silicon and thermistor sensors (data 01 to 03)."""

from __future__ import annotations

from typing import Any

import pt100.lookuptable
import pytest
import rtd_sensor.pt100
import rtd_sensor.pt1000
from gonogo.quantities.sensor import resistance, shown_for, temperature
from gonogo.quantities.sensor_curve import b_equation, curve
from gonogo.tables.table import table
from thermistor_utils import Beta_converter, SH_converter

from .reference import rows

Row = dict[str, Any]
PLATINUM = "01_platinum_rtd"
THERMISTOR = "02_ntc_thermistor"
SILICON = "03_silicon_ptc_kty"
SILICON_KINDS = ("kty84_130", "kty83_110", "kty81_110", "kty81_210")


@pytest.mark.parametrize("row", rows(PLATINUM, "resistance"))
def test_platinum_is_that_of_iec_60751(row: Row) -> None:
    """Within half of the last digit printed."""
    assert resistance("pt100", row["t_c"]) == pytest.approx(row["pt100_ohm"], abs=0.0051)
    assert resistance("pt1000", row["t_c"]) == pytest.approx(row["pt1000_ohm"], abs=0.051)
    assert temperature("pt1000", row["pt1000_ohm"]) == pytest.approx(row["t_c"], abs=0.02)


@pytest.mark.parametrize("row", rows(PLATINUM, "resistance"))
def test_platinum_rows_are_still_the_librarys(row: Row) -> None:
    """What is kept here is what rtd-sensor gives, rounded to the standard's digits."""
    hundred = rtd_sensor.pt100.celsius_to_resistance(row["t_c"])
    thousand = rtd_sensor.pt1000.celsius_to_resistance(row["t_c"])
    assert hundred == pytest.approx(row["pt100_ohm"], abs=0.0051)
    assert thousand == pytest.approx(row["pt1000_ohm"], abs=0.051)


@pytest.mark.parametrize("degC", range(-200, 851, 10))
def test_platinum_agrees_with_a_sensor_library(degC: int) -> None:
    """rtd-sensor evaluates the same standard by its own code."""
    ours = resistance("pt100", degC)
    assert ours == pytest.approx(rtd_sensor.pt100.celsius_to_resistance(degC), abs=1e-6)
    thousand = resistance("pt1000", degC)
    assert thousand == pytest.approx(rtd_sensor.pt1000.celsius_to_resistance(degC), abs=1e-5)


@pytest.mark.parametrize("degC", range(-200, 851, 10))
def test_platinum_agrees_with_a_printed_table(degC: int) -> None:
    """The pt100 library holds the standard's table as printed.

    It is off by up to 0.04 Ω at some whole degrees between the tens (132.81 for 132.80 at 85 °C), so
    only every tenth is compared, to the 0.01 Ω of its digits.
    """
    printed = dict(
        zip(pt100.lookuptable.temperature_vals, pt100.lookuptable.resistance_vals, strict=True)
    )
    assert resistance("pt100", degC) == pytest.approx(printed[degC], abs=0.0101)


@pytest.mark.parametrize("row", rows(THERMISTOR, "b_equation"))
def test_the_b_equation_gives_the_librarys_rows(row: Row) -> None:
    """Within 0.1 %, and through our own kind of sensor where it has this B."""
    ohm = b_equation(row["t_c"], row["r25_ohm"], row["b_k"])
    assert ohm == pytest.approx(row["r_ohm"], rel=1e-3)
    if (row["b_k"], row["b_kind"]) in ((3950, "B25/50"), (4050, "B25/50")):
        kind = f"ntc-{row['r25_ohm'] // 1000}k-{row['b_k']}"
        assert resistance(kind, row["t_c"]) == pytest.approx(row["r_ohm"], rel=1e-3)


@pytest.mark.parametrize("row", rows(THERMISTOR, "b_equation"))
def test_b_equation_rows_are_still_the_librarys(row: Row) -> None:
    """To the digit that is kept here."""
    library = Beta_converter(row["b_k"], row["r25_ohm"], 25)
    assert library.resistance(row["t_c"]) == pytest.approx(row["r_ohm"], abs=0.06)


@pytest.mark.parametrize(
    ("kind", "row"),
    [
        pytest.param(kind, *param.values, id=param.id)
        for kind, name in (
            ("ntc-10k-3977", "table_10k_b25_85_3977"),
            ("ntc-10k-3435", "table_10k_b25_85_3435"),
            ("ntc-10k-3380", "table_10k_b25_50_3380"),
        )
        for param in rows(THERMISTOR, name)
    ],
)
def test_a_thermistor_follows_its_published_table(kind: str, row: Row) -> None:
    """The table, not the B equation: within 0.1 % of resistance, 0.03 K."""
    assert resistance(kind, row["t_c"]) == pytest.approx(row["r_ohm"], rel=1e-3)
    ends = curve(kind)
    assert ends is not None
    if ends.from_degC < row["t_c"] < ends.to_degC:
        assert temperature(kind, row["r_ohm"]) == pytest.approx(row["t_c"], abs=0.03)


@pytest.mark.parametrize("row", rows(THERMISTOR, "coefficients_3977"))
def test_the_coefficients_of_the_curve_are_the_printed_ones(row: Row) -> None:
    """To the digit; the table above asks the curve itself."""
    (ours,) = table("ntc_four_coefficients")["rows"]
    assert {key: ours[key] for key in ("A", "B_K", "C_K2", "D_K3")} == {
        key: row[key] for key in ("A", "B_K", "C_K2", "D_K3")
    }


@pytest.mark.parametrize("row", rows(THERMISTOR, "table_47k_b25_50_4050"))
def test_the_b_equation_of_47_kilohm_is_near_a_component_table(row: Row) -> None:
    """A true sensor bends away from its B value, from 0 to 60 °C by no more than 0.6 K."""
    assert temperature("ntc-47k-4050", row["r_ohm"]) == pytest.approx(row["t_c"], abs=0.6)


@pytest.mark.parametrize("row", rows(THERMISTOR, "table_100k_b25_50_3950"))
def test_the_b_equation_of_100_kilohm_is_near_a_component_table(row: Row) -> None:
    """2.5 K up to 120 °C; 3.2 K at 130, where the true sensor is the cooler one."""
    allowed_K = 2.5 if row["t_c"] <= 120 else 3.5
    degC = temperature("ntc-100k-3950", row["r_ohm"])
    assert degC == pytest.approx(row["t_c"], abs=allowed_K)


@pytest.mark.parametrize("row", rows(THERMISTOR, "steinhart_hart_fit_3977"))
def test_the_curve_agrees_with_a_steinhart_hart_fit(row: Row) -> None:
    """Both within 0.1 K of the table; the fit itself is 0.08 K off at 125 °C."""
    degC = temperature("ntc-10k-3977", row["r_ohm"])
    assert degC == pytest.approx(row["t_table_c"], abs=0.03)
    assert degC == pytest.approx(row["t_sh_c"], abs=0.1)


@pytest.mark.parametrize("row", rows(THERMISTOR, "steinhart_hart_fit_3977"))
def test_fitted_rows_are_still_the_librarys(row: Row) -> None:
    """Fitted through the rows at 0, 25 and 85 °C."""
    library = SH_converter.from_points([(0, 32554), (25, 10000), (85, 1070)])
    assert library.temperature(row["r_ohm"]) == pytest.approx(row["t_sh_c"], abs=0.006)


@pytest.mark.parametrize(
    ("kind", "row"),
    [
        pytest.param(name.replace("_", "-"), *param.values, id=param.id)
        for name in SILICON_KINDS
        for param in rows(SILICON, name)
    ],
)
def test_silicon_follows_its_data_sheet(kind: str, row: Row) -> None:
    """Every row of the table exactly."""
    assert resistance(kind, row["t_c"]) == row["r_ohm"]


@pytest.mark.parametrize("row", rows(SILICON, "wrong_kind"))
def test_a_wrong_kind_shows_what_the_tables_say(row: Row) -> None:
    """The fitted kind's resistance, looked up by hand in the table of the other."""
    shown = shown_for(row["true_c"], row["fitted"], row["read_as"])
    assert shown == pytest.approx(row["shown_c"], abs=1.0)


@pytest.mark.parametrize("row", rows(THERMISTOR, "wrong_b"))
def test_a_wrong_b_costs_about_ten_kelvin_at_eighty(row: Row) -> None:
    """9.2 K by the two B equations; 8.4 K by the component table of 3380, 0.8 K below its own."""
    assert temperature(row["read_as"], row["r_ohm"]) == pytest.approx(row["shown_c"], abs=0.1)
    if row["r_ohm"] != 1710.9:  # the table, which is how our kind is held
        shown = shown_for(row["true_c"], row["fitted"], row["read_as"])
        assert shown == pytest.approx(row["shown_c"], abs=0.1)
