"""Published resistance tables of platinum, silicon and thermistor sensors (data 01 to 03)."""

from __future__ import annotations

from typing import Any

import pt100.lookuptable
import pytest
import rtd_sensor.pt100
import rtd_sensor.pt1000
from gonogo.quantities.sensor import resistance, shown_for, temperature
from gonogo.quantities.sensor_curve import b_equation, four_coefficients

from .reference import reference, rows

Row = dict[str, Any]
PLATINUM = "01_platinum_rtd"
THERMISTOR = "02_ntc_thermistor"
SILICON = "03_silicon_ptc_kty"
RESISTANCES = reference(SILICON)["tables"]


@pytest.mark.parametrize("row", rows(PLATINUM, "resistance"))
def test_platinum_is_that_of_iec_60751(row: Row) -> None:
    """Within half of the last digit printed."""
    assert resistance("pt100", row["t_c"]) == pytest.approx(row["pt100_ohm"], abs=0.0051)
    assert resistance("pt1000", row["t_c"]) == pytest.approx(row["pt1000_ohm"], abs=0.051)
    assert temperature("pt1000", row["pt1000_ohm"]) == pytest.approx(row["t_c"], abs=0.02)


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
def test_the_b_equation_gives_the_computed_rows(row: Row) -> None:
    """Within 0.1 %, and through our own kind of sensor where it has this B."""
    ohm = b_equation(row["t_c"], row["r25_ohm"], row["b_k"])
    assert ohm == pytest.approx(row["r_ohm"], rel=1e-3)
    if (row["b_k"], row["b_kind"]) in ((3950, "B25/50"), (4050, "B25/50")):
        kind = f"ntc-{row['r25_ohm'] // 1000}k-{row['b_k']}"
        assert resistance(kind, row["t_c"]) == pytest.approx(row["r_ohm"], rel=1e-3)


@pytest.mark.parametrize(
    ("kind", "row"),
    [
        pytest.param(kind, *param.values, id=param.id)
        for kind, table in (
            ("ntc-10k-3977", "table_10k_b25_85_3977"),
            ("ntc-10k-3435", "table_10k_b25_85_3435"),
            ("ntc-10k-3380", "table_10k_b25_50_3380"),
        )
        for param in rows(THERMISTOR, table)
    ],
)
def test_a_thermistor_follows_its_published_table(kind: str, row: Row) -> None:
    """The table, not the B equation: within 0.1 % of resistance, 0.03 K."""
    assert resistance(kind, row["t_c"]) == pytest.approx(row["table_ohm"], rel=1e-3)
    assert temperature(kind, row["table_ohm"]) == pytest.approx(row["t_c"], abs=0.03)


@pytest.mark.parametrize("row", rows(THERMISTOR, "four_coefficient_3977"))
def test_four_coefficients_give_the_published_curve(row: Row) -> None:
    """Within the digits printed."""
    constants = reference(THERMISTOR)["tables"]["four_coefficient_3977"]["constants"]
    ohm = four_coefficients(row["t_c"], 10000.0, [constants[key] for key in "ABCD"])
    assert ohm == pytest.approx(row["r_ohm"], abs=0.06)
    assert resistance("ntc-10k-3977", row["t_c"]) == pytest.approx(row["r_ohm"], abs=0.06)


@pytest.mark.parametrize("row", rows(THERMISTOR, "steinhart_hart_fit_3977"))
def test_the_curve_agrees_with_a_steinhart_hart_fit(row: Row) -> None:
    """Both within 0.1 K of the table; the fit itself is 0.08 K off at 125 °C."""
    degC = temperature("ntc-10k-3977", row["r_ohm"])
    assert degC == pytest.approx(row["t_table_c"], abs=0.03)
    assert degC == pytest.approx(row["t_sh_c"], abs=0.1)


@pytest.mark.parametrize(
    ("kind", "row"),
    [
        pytest.param(table.replace("_", "-"), *param.values, id=param.id)
        for table in RESISTANCES
        for param in rows(SILICON, table)
    ],
)
def test_silicon_follows_its_data_sheet(kind: str, row: Row) -> None:
    """Every row of the table exactly; the data book's quadratic within its 1 or 2 Ω."""
    ohm = resistance(kind, row["t_c"])
    assert ohm == pytest.approx(row["r_ohm"])
    if row["quad_ohm"] is not None:
        assert ohm == pytest.approx(row["quad_ohm"], abs=2.0 if kind == "kty81-210" else 1.0)


@pytest.mark.parametrize(
    ("fitted", "shown_degC"),
    [("kty84-130", -35.0), ("pt1000", 37.0)],
    ids=["KTY84-130 read as KTY83-110", "Pt1000 read as KTY83-110"],
)
def test_a_wrong_kind_shows_what_the_publication_says(fitted: str, shown_degC: float) -> None:
    """Notes of data 03: about −35 and about 37 °C in a room of 25 °C."""
    assert shown_for(25.0, fitted, "kty83-110") == pytest.approx(shown_degC, abs=1.0)


def test_a_wrong_b_costs_about_ten_kelvin_at_eighty() -> None:
    """Notes of data 02: 1711 Ω (B 3380) read as B 3950 is about 10 K off.

    9.2 K by the two B equations; 8.4 K by the published table of 3380 (1668 Ω), which lies 0.8 K
    below its own B equation there.
    """
    assert temperature("ntc-10k-3950", 1710.9) == pytest.approx(80.0 - 9.2, abs=0.1)
    assert shown_for(80.0, "ntc-10k-3380", "ntc-10k-3950") == pytest.approx(80.0 - 8.4, abs=0.1)
