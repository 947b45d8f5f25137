"""Temperature sensors: their curves, and a display set to the wrong one."""

from __future__ import annotations

import pytest
from gonogo.quantities import sensor, sensor_fits
from gonogo.quantities.operand import NoLessThan, NoMoreThan, NotWorked
from gonogo.quantities.sensor_curve import curve, kinds

TEN_KILOHM = ("ntc-10k-3380", "ntc-10k-3435", "ntc-10k-3950", "ntc-10k-3977")


def test_a_kind_that_nobody_has_tabled_is_unknown() -> None:
    """It has no resistance, shows nothing and fits nothing."""
    assert sensor.resistance("hair", 20.0) is None
    assert sensor.temperature("hair", 100.0) is None
    assert sensor_fits.kinds_that_fit(20.0, "hair", 20.0, 3.0) == []
    assert sensor.broken_wire(-40.0, "hair") is None
    with pytest.raises(NotWorked, match="hair"):
        sensor_fits.cold_sensor_kinds(20.0, "hair", 20.0, 3.0)


@pytest.mark.parametrize("kind", kinds())
def test_the_right_kind_shows_the_truth(kind: str) -> None:
    """Set to what is fitted, the display is right at every temperature, and there is no error."""
    assert sensor.shown_for(60.0, kind, kind) == pytest.approx(60.0, abs=1e-6)
    assert sensor.error_at_stop(kind, 120.0, kind) == 0.0
    assert sensor.max_true_at_stop(kind, 120.0, kind) == 120.0


@pytest.mark.parametrize("kind", TEN_KILOHM)
def test_thermistors_of_ten_kilohm_cannot_be_told_apart_cold(kind: str) -> None:
    """All four are 10 kΩ at 25 °C, so a cold reading fits every one of them."""
    assert set(sensor_fits.cold_sensor_kinds(25.0, kind, 25.0, 3.0)) == set(TEN_KILOHM)


def test_thermistors_that_agree_cold_part_at_the_stop() -> None:
    """3950 set and 3435 fitted: 20 °C cold, and nearly 20 K hotter than shown at 120 °C.

    1 / T = 1 / T_shown · 3950 / 3435 − 1 / 298.15 · (3950 / 3435 − 1), by the B equation alone,
    is 140 °C; the published curve of 3435 bends away from its B by two or three kelvin there.
    """
    assert "ntc-10k-3435" in sensor_fits.cold_sensor_kinds(20.0, "ntc-10k-3950", 20.0, 3.0)
    assert sensor.error_at_stop("ntc-10k-3950", 120.0, "ntc-10k-3435") == pytest.approx(20, abs=3)
    assert sensor.max_true_at_stop("ntc-10k-3950", 120.0, "ntc-10k-3435") == pytest.approx(
        140, abs=3
    )


def test_the_error_is_the_largest_over_the_kinds_that_fit() -> None:
    """One of them is fitted, and it may be the worst."""
    cold = ("ntc-10k-3950", "ntc-10k-3977", "ntc-10k-3435")
    alone = [sensor.error_at_stop("ntc-10k-3950", 110.0, kind) for kind in cold]
    assert sensor.error_at_stop_unsure("ntc-10k-3950", 110.0, cold) == max(alone)
    true = [sensor.max_true_at_stop("ntc-10k-3950", 110.0, kind) for kind in cold]
    assert sensor.max_true_at_stop_unsure("ntc-10k-3950", 110.0, cold) == max(true)


def test_a_cold_reading_that_fits_no_kind_leaves_the_error_unknown() -> None:
    """Then the wiring or the reading wants another look first."""
    assert sensor_fits.cold_sensor_kinds(55.0, "pt1000", 20.0, 3.0) == []
    with pytest.raises(NotWorked, match="fits the cold reading"):
        sensor.error_at_stop_unsure("pt1000", 120.0, [])


def test_a_stop_outside_a_curve_leaves_the_error_unknown() -> None:
    """A display set to that kind never shows it."""
    with pytest.raises(NotWorked, match="outside the curve"):
        sensor.error_at_stop("kty81-110", 160.0, "kty81-110")


def test_past_the_hot_end_of_the_fitted_kind_the_motor_is_no_cooler_than_that_end() -> None:
    """At 149 °C shown a B 3380 thermistor is past 150 °C, whatever it is exactly."""
    hottest = sensor.max_true_at_stop("ntc-10k-3977", 149.0, "ntc-10k-3380")
    assert (type(hottest), hottest) == (NoLessThan, 150.0)
    error = sensor.error_at_stop("ntc-10k-3977", 149.0, "ntc-10k-3380")
    assert (type(error), error) == (NoLessThan, 1.0)
    unsure = sensor.max_true_at_stop_unsure("ntc-10k-3977", 149.0, ["ntc-10k-3977", "ntc-10k-3380"])
    assert (type(unsure), unsure) == (NoLessThan, 150.0)


def test_past_the_cold_end_of_the_fitted_kind_the_motor_is_no_warmer_than_that_end() -> None:
    """603 Ω of platinum is below -200 °C for a thermistor's megohms: the stop never acts."""
    coldest = sensor.max_true_at_stop("ntc-100k-3950", 20.0, "kty84-130")
    assert isinstance(coldest, NoLessThan)
    freezing = sensor.max_true_at_stop("pt100", 120.0, "kty84-130")
    assert isinstance(freezing, NoMoreThan)
    assert sensor.error_at_stop("pt100", 120.0, "kty84-130") == pytest.approx(120.0 - freezing)


def test_a_kind_that_nobody_has_tabled_has_no_true_temperature() -> None:
    """Of such a kind not even a bound is known."""
    with pytest.raises(NotWorked, match="hair"):
        sensor.error_at_stop("pt100", 120.0, "hair")


@pytest.mark.parametrize("kind", kinds())
def test_the_very_ends_of_a_curve_are_on_it(kind: str) -> None:
    """The last row of a printed table is a row like the others."""
    known = curve(kind)
    assert known is not None
    for degC in (known.from_degC, known.to_degC):
        assert sensor.temperature(kind, known.ohm(degC)) == degC


def test_a_wrong_family_is_named_by_the_cold_reading() -> None:
    """603 Ω at 25 °C, shown by a display set for 1000 Ω at 25 °C, reads as deep frost."""
    shows = sensor.shown_for(25.0, "kty84-130", "kty83-110")
    assert shows is not None
    assert sensor_fits.kinds_that_fit(round(shows), "kty83-110", 25.0, 3.0)[0] == "kty84-130"


def test_candidates_come_nearest_first() -> None:
    """The likeliest kind is the one that explains the display best."""
    found = sensor_fits.kinds_that_fit(9.7, "ntc-10k-3977", 10.0, 3.0)
    assert found[0] == "ntc-10k-3950"  # 20182 Ω at 10 °C, where 3977 has 19873


@pytest.mark.parametrize("set_to", kinds())
@pytest.mark.parametrize("fitted", kinds())
def test_a_rule_and_the_command_name_the_same_kinds(set_to: str, fitted: str) -> None:
    """Both read one display, and nobody should have two answers from it."""
    shows = sensor.shown_for(20.0, fitted, set_to)
    if shows is None:
        return
    named = sensor_fits.kinds_that_fit(round(shows), set_to, 20.0, 3.0)
    told = sensor_fits.read_sensor(round(shows), set_to, 20.0, 3.0)
    assert named == [fit.kind for fit in told.candidates]
    assert fitted in named


@pytest.mark.parametrize(
    ("shown_degC", "set_to", "fault"),
    [
        pytest.param(-40.0, "ntc-10k-3977", "open circuit", id="a thermistor's wire is off"),
        pytest.param(150.0, "ntc-10k-3977", "short circuit", id="a thermistor is shorted"),
        pytest.param(300.0, "kty84-130", "open circuit", id="a silicon sensor's wire is off"),
        pytest.param(-40.0, "kty84-130", "short circuit", id="a silicon sensor is shorted"),
        pytest.param(-300.0, "pt100", "short circuit", id="below any temperature"),
        pytest.param(25.0, "kty84-130", None, id="an ordinary room"),
    ],
)
def test_the_ends_of_the_scale_are_a_broken_or_a_shorted_wire(
    shown_degC: float, set_to: str, fault: str | None
) -> None:
    """No motor on a bench is at −40 °C."""
    assert sensor.broken_wire(shown_degC, set_to) == fault


@pytest.mark.parametrize(
    ("fitted", "set_to"),
    [
        pytest.param("hair", "kty83-110", id="nobody knows the one fitted"),
        pytest.param("kty83-110", "hair", id="nor the one set"),
        pytest.param("pt1000", "pt100", id="ohms that the one set never has"),
    ],
)
def test_a_display_shows_nothing_where_a_curve_ends(fitted: str, set_to: str) -> None:
    """A guess beyond a curve would be a false warmth."""
    assert sensor.shown_for(25.0, fitted, set_to) is None
