"""Which sensor is fitted: the true one is found from any display, by curves that we did not make."""

from __future__ import annotations

import math

import gonogo
import pytest
import rtd_sensor.pt100
import rtd_sensor.pt1000
from gonogo.documents.error import UsageError
from gonogo.quantities.display_end import DisplayScale
from gonogo.quantities.sensor import resistance, shown_for
from gonogo.quantities.sensor_curve import curve, kinds
from gonogo.quantities.sensor_fits import (
    SensorReading,
    measured_sensor,
    read_sensor,
    warm_reading,
)
from hypothesis import given
from hypothesis import strategies as st
from thermistor_utils import Beta_converter

KINDS = st.sampled_from(kinds())
AMBIENT = st.floats(-5.0, 40.0)


def names(reading: SensorReading) -> list[str]:
    return [fit.kind for fit in reading.candidates]


@given(fitted=KINDS, set_to=KINDS, ambient=AMBIENT, off=st.floats(-1.0, 1.0))
def test_the_kind_fitted_is_never_left_out(
    fitted: str, set_to: str, ambient: float, off: float
) -> None:
    """Through any display: among those that fit, or beyond its scale; a motor 1 K off is no matter."""
    shows = shown_for(ambient + off, fitted, set_to)
    display = curve(set_to)
    ohm = resistance(fitted, ambient + off)
    assert display is not None and ohm is not None
    if shows is None:
        ends = {True: display.to_degC, False: display.from_degC}
        reading = read_sensor(ends[display.is_past_hot_end(ohm)], set_to, ambient + off)
        assert reading.open != reading.short and fitted in reading.beyond
        return
    reading = read_sensor(round(shows), set_to, ambient)
    ends_near = shows < display.from_degC + 3.5 or shows > display.to_degC - 3.5
    assert fitted in names(reading) or ends_near


THERMISTORS = [kind for kind in kinds() if kind.startswith("ntc-")]


@pytest.mark.parametrize("set_to", THERMISTORS)
@pytest.mark.parametrize("ambient", [8.0, 20.0])
def test_a_display_may_work_with_a_b_value_alone(ambient: float, set_to: str) -> None:
    """thermistor-utils evaluates the B equation of IEC 60539-1, by which many a display is made."""
    _, kilohms, B = set_to.split("-")
    display = Beta_converter(float(B), 1000 * float(kilohms.removesuffix("k")), 25)
    scale = curve(set_to)
    assert scale is not None
    for fitted in kinds():
        shows = float(display.temperature(resistance(fitted, ambient)))
        if scale.from_degC + 4 < shows < scale.to_degC - 4:
            assert fitted in names(read_sensor(round(shows), set_to, ambient)), fitted


@given(fitted=KINDS, ambient=AMBIENT)
def test_a_meter_finds_the_kind_too(fitted: str, ambient: float) -> None:
    ohm = resistance(fitted, ambient)
    assert ohm is not None
    assert fitted in names(measured_sensor(ohm, ambient))


@pytest.mark.parametrize("ambient", [-5, 10, 22, 35])
def test_platinum_of_a_library_is_found_through_a_thermistors_scale(ambient: int) -> None:
    """rtd-sensor evaluates IEC 60751; thermistor-utils the B equation of IEC 60539-1."""
    ohm = rtd_sensor.pt1000.celsius_to_resistance(ambient)
    shows = Beta_converter(3950, 10000, 25).temperature(ohm)
    reading = read_sensor(round(shows), "ntc-10k-3950", ambient)
    assert names(reading)[0] == "pt1000"
    assert reading.implied_ohm == pytest.approx(ohm, rel=0.02)  # half a degree of the display
    hundred = rtd_sensor.pt100.celsius_to_resistance(ambient)
    assert names(measured_sensor(hundred, ambient)) == ["pt100"]


def test_a_thermistor_of_a_library_is_ambiguous_cold_and_settled_warm() -> None:
    """10 kΩ with B 3950 and with B 3435 differ by 10 K at the temperature that is asked for."""
    cold = read_sensor(22.0, "ntc-10k-3950", 22.0)
    assert names(cold)[0] == "ntc-10k-3950" and "ntc-10k-3435" in names(cold)
    warm = cold.settled_by
    assert warm is not None
    shows = {one.kind: one.shown_degC for one in warm.shows}
    scale, other = Beta_converter(3950, 10000, 25), Beta_converter(3435, 10000, 25)
    expected = scale.temperature(other.resistance(warm.at_degC))
    assert shows["ntc-10k-3435"] == pytest.approx(
        expected, abs=2.1
    )  # the B equation against tables
    assert shows["ntc-10k-3950"] == pytest.approx(warm.at_degC)


@given(fitted=KINDS, set_to=KINDS, ambient=AMBIENT)
def test_the_warm_reading_settles_what_it_says_it_does(
    fitted: str, set_to: str, ambient: float
) -> None:
    """With each kind fitted the warm display is nearest to its own row, but for those alike."""
    shows = shown_for(ambient, fitted, set_to)
    if shows is None:
        return
    warm = read_sensor(shows, set_to, ambient).settled_by
    if warm is None:
        return
    seen = [one for one in warm.shows if one.kind == fitted]
    for one in seen:
        for other in warm.shows:
            if other.kind == one.kind or one.shown_degC is None or other.shown_degC is None:
                continue
            alike = {one.kind, other.kind} in map(set, warm.alike)
            assert alike == (abs(one.shown_degC - other.shown_degC) < 9.0)


def test_no_motor_is_warmed_beyond_what_a_stand_can_do() -> None:
    assert warm_reading(["ntc-10k-3435", "ntc-10k-3950"], "ntc-10k-3950", 75.0) is None


@pytest.mark.parametrize(
    ("shown", "set_to", "is_open"),
    [
        (-40.0, "ntc-10k-3977", True),
        (-273.0, "ntc-10k-3977", True),
        (150.0, "ntc-10k-3977", False),
        (999.0, "ntc-10k-3435", False),
        (850.0, "pt1000", True),
        (-200.0, "pt1000", False),
        (300.0, "kty84-130", True),
    ],
)
def test_the_end_of_the_scale_is_a_wire(shown: float, set_to: str, is_open: bool) -> None:
    """Resistance of a thermistor falls as it warms, that of platinum and silicon rises."""
    reading = read_sensor(shown, set_to, 20.0)
    assert (reading.open, reading.short) == (is_open, not is_open)
    assert reading.candidates == ()


@pytest.mark.parametrize(("ohm", "is_open", "is_short"), [(0.3, False, True), (2e7, True, False)])
def test_a_meter_sees_a_wire_too(ohm: float, is_open: bool, is_short: bool) -> None:
    reading = measured_sensor(ohm, 20.0)
    assert (reading.open, reading.short, reading.candidates) == (is_open, is_short, ())


def test_a_kind_that_nobody_tabled_fits_none() -> None:
    """A thermistor of 5 kΩ at 25 °C; the nearest is told, and how far off it is."""
    reading = measured_sensor(Beta_converter(3950, 5000, 25).resistance(18), 18.0)
    assert reading.candidates == () and reading.nearest is not None
    assert reading.nearest.off_K > 10.0


def test_python_is_answered_as_a_call_is() -> None:
    reading = gonogo.sensor(shown_degC=85, set_to="ntc-10k-3950", ambient_degC=22)
    assert names(reading) == ["pt1000"]
    for wrong in ((85.0, "ntc-10k", 22.0), (float("nan"), "pt100", 22.0)):
        with pytest.raises(UsageError, match="expected"):
            gonogo.sensor(*wrong)


@pytest.mark.parametrize(
    ("shown_degC", "ohm_at_25", "B_K", "kind"),
    [
        pytest.param(
            -21.0, 100_000.0, 3950.0, "ntc-100k-3950", id="100 kOhm on a display of 10 kOhm"
        ),
        pytest.param(-12.0, 47_000.0, 4050.0, "ntc-47k-4050", id="47 kOhm, within the curve"),
    ],
)
def test_a_display_works_by_its_b_value_to_the_ends_of_its_scale(
    shown_degC: float, ohm_at_25: float, B_K: float, kind: str
) -> None:
    """IEC 60539-1: R = R25 exp(B/T - B/T25), as the display of 10 kOhm, B 3950 turns it round."""
    reading = read_sensor(shown_degC, "ntc-10k-3950", 22.0, scale=DisplayScale(-40.0, 150.0))
    by_hand = 10_000.0 * math.exp(3950.0 / (shown_degC + 273.15) - 3950.0 / 298.15)
    assert reading.implied_ohm == pytest.approx(by_hand)
    assert not reading.open and not reading.short
    assert [one.kind for one in reading.candidates] == [kind]
    fitted = 1.0 / (1.0 / 298.15 + math.log(by_hand / ohm_at_25) / B_K) - 273.15
    assert reading.candidates[0].temperature_degC == pytest.approx(fitted, abs=0.01)


def test_the_ends_of_a_scale_are_ends_still() -> None:
    """At the end that was told the wire is broken, and no scale is too wide to be asked about."""
    assert read_sensor(-40.0, "ntc-10k-3950", 22.0, scale=DisplayScale(-40.0, 150.0)).open
    wide = read_sensor(-273.15, "ntc-10k-3950", 22.0, scale=DisplayScale(-300.0, 3000.0))
    assert wide.implied_ohm is None
