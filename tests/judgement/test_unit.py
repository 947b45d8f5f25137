"""Units that know this trade: what may be added, compared and multiplied, and what comes of it."""

from __future__ import annotations

import pytest
from gonogo.judgement.unit import (
    UNITS,
    UnlikeUnits,
    common,
    difference,
    parse_unit,
    product,
    quotient,
    shown_kind,
    suffix,
    total,
)


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("settings.battery_current_A", "A"),
        ("settings.phase_current_A_rms", "A_rms"),
        ("motor.phase_current_A_peak", "A_peak"),
        ("motor.kv_rpm_per_V", "rpm_per_V"),
        ("motor.torque_constant_Nm_per_A_rms", "Nm_per_A_rms"),
        ("motor.flux_linkage_Vs", "Vs"),
        ("pack.c_rate_per_h", "per_h"),
        ("wiring.battery_cable_mm2", "mm2"),
        ("vehicle.speed_limit_km_h", "km_h"),
        ("wiring.battery_cable_m", "m"),
        ("pack.resistance_mohm", "mohm"),
        ("motor.pole_pairs", ""),
        ("readings.wheel_turned", ""),
    ],
)
def test_a_key_says_its_unit(name: str, unit: str) -> None:
    """The longest ending counts: `_A_rms` is not amperes with something behind them."""
    assert suffix(name) == unit


@pytest.mark.parametrize(
    ("one", "other", "factor"),
    [
        ("V", "A", None),
        ("A", "A_rms", None),
        ("A_rms", "A_peak", None),
        ("rpm", "Hz", None),
        ("rpm", "electrical_rpm", None),
        ("degC", "K", None),
        ("mm2", "mm", None),
        ("mm", "m", 1000.0),
        ("mohm", "ohm", 1000.0),
        ("ms", "h", 3_600_000.0),
        ("s", "days", 86_400.0),
        ("Wh", "J", 1 / 3600),
        ("percent", "", 100.0),
        ("mm2", "m2", 1_000_000.0),
        ("degC", "degC", 1.0),
    ],
)
def test_only_like_is_compared_with_like(one: str, other: str, factor: float | None) -> None:
    """A limit of 200 A rms is no answer to a pack that gives 200 A."""
    if factor is None:
        with pytest.raises(UnlikeUnits):
            common(parse_unit(one), parse_unit(other), "compared with")
    else:
        unit = common(parse_unit(one), parse_unit(other), "compared with")
        assert parse_unit(other).scale / unit.scale == pytest.approx(factor, rel=1e-12)


@pytest.mark.parametrize(
    ("one", "other", "wanted"),
    [
        ("V", "A", "W"),
        ("A", "ohm", "V"),
        ("W", "s", "J"),
        ("Vs", "A", "J"),
        ("uF", "ohm", "s"),
        ("uH", "Hz", "ohm"),
        ("m", "m", "m2"),
        ("mohm_per_m", "m", "mohm"),
    ],
)
def test_a_product_has_the_dimension_of_the_handbook(one: str, other: str, wanted: str) -> None:
    """Volts times amperes are watts."""
    found = product(parse_unit(one), parse_unit(other))
    assert found.dimension == parse_unit(wanted).dimension


@pytest.mark.parametrize(
    ("one", "other", "scale"),
    [
        pytest.param("A", "mohm", 1e-3, id="A × mΩ are millivolts"),
        pytest.param("uF", "ohm", 1e-6, id="µF × Ω are microseconds"),
        pytest.param("V", "percent", 1e-2, id="a percent of a volt is a hundredth"),
        pytest.param("Ah", "V", 3600.0, id="Ah × V are hours of joules"),
    ],
)
def test_a_product_keeps_its_scale(one: str, other: str, scale: float) -> None:
    """Nobody divides by a thousand by hand, so nobody forgets to."""
    assert product(parse_unit(one), parse_unit(other)).scale == pytest.approx(scale, rel=1e-12)


@pytest.mark.parametrize(
    ("act", "one", "other", "kind"),
    [
        pytest.param(product, "A_rms", "ohm", "rms", id="rms survives a resistance"),
        pytest.param(product, "rpm_per_V", "V", "mechanical", id="kv × V is mechanical speed"),
        pytest.param(product, "A_rms", "A_rms", "", id="two kinds: neither"),
        pytest.param(quotient, "A_rms", "A", "", id="like by like is a plain number"),
        pytest.param(quotient, "rpm", "rpm_per_V", "", id="speed by kv is volts"),
    ],
)
def test_a_kind_lives_on_where_only_one_side_has_one(
    act: object, one: str, other: str, kind: str
) -> None:
    """Otherwise rms amperes would pass for battery amperes after one multiplication."""
    assert act(parse_unit(one), parse_unit(other)).kind == kind  # type: ignore[operator]


def test_kv_times_volts_is_rpm_exactly() -> None:
    """Without this every speed limit would be off by sixty."""
    assert product(parse_unit("V"), parse_unit("rpm_per_V")) == parse_unit("rpm")


def test_temperatures_part_by_kelvins() -> None:
    """98 °C is 78 K above 20 °C, and no difference is a temperature."""
    point, kelvin = parse_unit("degC"), parse_unit("K")
    assert difference(point, point) == kelvin
    assert difference(point, kelvin) == point == total(point, kelvin) == total(kelvin, point)


@pytest.mark.parametrize(
    ("act", "one", "other"),
    [
        (total, "degC", "degC"),
        (total, "degC", "V"),
        (difference, "K", "degC"),
        (difference, "V", "degC"),
        (difference, "degC", "V"),
        (product, "degC", ""),
        (quotient, "degC", "K"),
        (quotient, "V", "degC"),
    ],
)
def test_temperatures_are_not_reckoned_with_like_amounts(act: object, one: str, other: str) -> None:
    """Twice 40 °C means nothing."""
    with pytest.raises(UnlikeUnits):
        act(parse_unit(one), parse_unit(other))  # type: ignore[operator]


def test_every_unit_has_its_own_words() -> None:
    """A message that two units do not fit names both, and not the same word twice."""
    words = [shown_kind(unit) for text, unit in UNITS.items() if text]
    assert "a compound unit" not in words
    with pytest.raises(UnlikeUnits, match="A cannot be compared with A rms"):
        common(parse_unit("A"), parse_unit("A_rms"), "compared with")
