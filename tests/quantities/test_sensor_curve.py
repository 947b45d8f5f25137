"""Curves of temperature sensors."""

from __future__ import annotations

import pytest
from gonogo.quantities.sensor import resistance, temperature
from gonogo.quantities.sensor_curve import between, curve, kinds
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize("kind", kinds())
@given(share=st.floats(0.0, 1.0))
def test_a_curve_read_backwards_gives_the_temperature_back(kind: str, share: float) -> None:
    """The display turns ohms into degrees; both ways have to agree."""
    known = curve(kind)
    assert known is not None
    degC = known.from_degC + share * (known.to_degC - known.from_degC)
    ohm = resistance(kind, degC)
    assert ohm is not None
    assert temperature(kind, ohm) == pytest.approx(degC, abs=1e-6)


@pytest.mark.parametrize("kind", kinds())
def test_outside_its_curve_a_sensor_is_unknown(kind: str) -> None:
    """No extrapolation: a burnt motor is not given a made-up number."""
    known = curve(kind)
    assert known is not None
    assert resistance(kind, known.to_degC + 0.1) is None
    assert resistance(kind, known.from_degC - 0.1) is None
    assert temperature(kind, 0.0) is None
    assert temperature(kind, 1e9) is None


def test_a_straight_table_is_read_by_straight_lines() -> None:
    """Between two rows, and through each."""
    ohm = between([(0.0, 100.0), (10.0, 110.0), (20.0, 130.0)], straight=True)
    assert [ohm(degC) for degC in (0.0, 5.0, 10.0, 15.0, 20.0)] == [100, 105, 110, 120, 130]


def test_a_thermistor_falls_and_a_metal_rises() -> None:
    """So that a broken wire can be told from a shorted one."""
    assert [kind for kind in kinds() if (found := curve(kind)) is not None and found.falls] == [
        kind for kind in kinds() if kind.startswith("ntc-")
    ]


def test_a_thermistors_table_is_read_by_its_b_between_two_rows() -> None:
    """Halfway in 1/T the resistance is the rows' geometric mean."""
    middle = 2.0 / (1.0 / 273.15 + 1.0 / 323.15) - 273.15
    ohm = between([(0.0, 30000.0), (50.0, 4000.0)], straight=False)
    assert ohm(middle) == pytest.approx((30000.0 * 4000.0) ** 0.5)
