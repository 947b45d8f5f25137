"""Sensors that no table of ours holds: never taken for a known kind once they were read warm."""

from __future__ import annotations

import io
import math
from collections.abc import Callable

import pytest
from gonogo.commands import sensor
from gonogo.documents.error import UsageError
from gonogo.quantities.sensor import resistance, shown_for, temperature
from gonogo.quantities.sensor_curve import kinds
from gonogo.quantities.sensor_fits import WARM_OFF_K, SensorReading, measured_sensor, read_sensor
from hypothesis import assume, given
from hypothesis import strategies as st

Curve = Callable[[float], float]
HOT_DEGC = 120.0  # where a motor is usually stopped
TOO_FAR_K = 15.0  # insulation classes lie 25 K apart


def thermistor(ohm_at_25: float, B_K: float) -> Curve:
    """IEC 60539-1: R = R25 exp(B (1/T - 1/T25))."""
    return lambda degC: ohm_at_25 * math.exp(B_K / (degC + 273.15) - B_K / 298.15)


def rising(ohm_at_25: float, per_K: float, per_K2: float) -> Curve:
    """Silicon and metal: R = R25 (1 + a dT + b dT^2); coefficients from memory of data sheets."""
    return lambda degC: ohm_at_25 * (1.0 + per_K * (degC - 25.0) + per_K2 * (degC - 25.0) ** 2)


def platinum(ohm_at_0: float) -> Curve:
    """IEC 60751 above 0 °C."""
    return lambda degC: ohm_at_0 * (1.0 + 3.9083e-3 * degC - 5.775e-7 * degC**2)


def protecting(ohm_cold: float) -> Curve:
    """A positive thermistor for motor protection (IEC 60034-11): flat, and steep only at its trip."""
    return lambda degC: ohm_cold * (1.0 + math.exp((degC - 140.0) / 4.0))


UNKNOWN: dict[str, Curve] = {
    "thermistor 5 k, B 3950": thermistor(5000, 3950),
    "thermistor 47 k, B 3740": thermistor(47_000, 3740),
    "thermistor 50 k, B 3950": thermistor(50_000, 3950),
    "thermistor 100 k, B 4600": thermistor(100_000, 4600),
    "thermistor 10 k, B 4300": thermistor(10_000, 4300),
    "thermistor 10 k, B 3000": thermistor(10_000, 3000),
    "thermistor 2 k, B 3500": thermistor(2000, 3500),
    "platinum 500": platinum(500),
    "nickel 1000": rising(1143, 5.2e-3, 5.8e-6),
    "silicon 2 k, of another type": rising(2000, 7.95e-3, 1.95e-5),
    "silicon 500": rising(500, 7.8e-3, 1.8e-5),
    "protection 100": protecting(100),
    "protection 300": protecting(300),
}
AMBIENT = st.floats(-5.0, 40.0)


def refused_warm(reading: SensorReading, curve: Curve, set_to: str | None, kind: str) -> bool:
    """Whether somebody who reads the sensor warm sees that it is not this kind."""
    warm = reading.settled_by
    assert warm is not None, "a kind was named, and no warm reading asked for"
    told = next(one.shown_degC for one in warm.shows if one.kind == kind)
    scale = set_to or warm.shows[0].kind
    shows = temperature(scale, curve(warm.at_degC))
    if told is None or shows is None:
        return told is not shows
    return abs(told - shows) > WARM_OFF_K


def error_hot_K(curve: Curve, kind: str) -> float:
    """By how much a display set to a kind is wrong where the motor should be stopped."""
    shows = temperature(kind, curve(HOT_DEGC))
    return math.inf if shows is None else abs(shows - HOT_DEGC)


def held(reading: SensorReading, curve: Curve, set_to: str | None) -> None:
    for fit in reading.candidates:
        if error_hot_K(curve, fit.kind) > TOO_FAR_K:
            assert refused_warm(reading, curve, set_to, fit.kind), (fit.kind, reading.settled_by)


@given(name=st.sampled_from(sorted(UNKNOWN)), ambient=AMBIENT)
def test_a_meter_never_takes_an_unknown_sensor_for_a_known_one(name: str, ambient: float) -> None:
    """Each kind that agrees cold, and would be far off when hot, is refused by the warm reading."""
    curve = UNKNOWN[name]
    held(measured_sensor(curve(ambient), ambient), curve, None)


@given(name=st.sampled_from(sorted(UNKNOWN)), set_to=st.sampled_from(kinds()), ambient=AMBIENT)
def test_nor_does_a_display(name: str, set_to: str, ambient: float) -> None:
    curve = UNKNOWN[name]
    shows = temperature(set_to, curve(ambient))
    assume(shows is not None)
    assert shows is not None
    held(read_sensor(round(shows), set_to, ambient), curve, set_to)


@given(ohm=st.floats(1000.0, 200_000.0), B=st.floats(3000.0, 4700.0), ambient=AMBIENT)
def test_nor_is_a_thermistor_of_any_other_value(ohm: float, B: float, ambient: float) -> None:
    curve = thermistor(ohm, B)
    held(measured_sensor(curve(ambient), ambient), curve, None)


@given(kind=st.sampled_from(kinds()), ambient=st.floats(0.0, 40.0))
def test_the_known_one_is_confirmed_warm(kind: str, ambient: float) -> None:
    """The same check passes the sensor that is fitted."""
    ohm = resistance(kind, ambient)
    assert ohm is not None
    reading = measured_sensor(ohm, ambient)
    warm = reading.settled_by
    assert warm is not None
    told = next(one.shown_degC for one in warm.shows if one.kind == kind)
    assert told == shown_for(warm.at_degC, kind, warm.shows[0].kind)


def said(ohm: str, ambient: str = "25") -> str:
    out = io.StringIO()
    sensor.run(ohm=ohm, ambient=ambient, out=out)
    return " ".join(out.getvalue().split())


def test_what_fits_nothing_is_said_to_be_none_and_what_it_would_be() -> None:
    """With the resistance that a seller's list is searched by."""
    words = said("5k")
    assert "NO KIND FITS" in words
    assert "none of the kinds known here; as a thermistor 5000 Ω at 25 °C" in words


def test_what_fits_cold_is_not_said_to_fit() -> None:
    """47 kΩ can have several B values: the one known here is a candidate, and the warm span is told."""
    words = said("47k")
    assert "FITS COLD" in words and " FITS ntc" not in words
    assert "a kind that is not known here and agrees cold: as a thermistor 47000 Ω" in words
    assert "outside every row is of none of them" in words


@pytest.mark.parametrize("voltage", ["220 mV", "0.22 V"])
def test_a_sensor_with_a_voltage_is_refused(voltage: str) -> None:
    """Some give 10 mV a degree: no resistance to compare."""
    with pytest.raises(UsageError, match="gives a voltage is none of the kinds"):
        sensor.run(ohm=voltage, ambient="22")
