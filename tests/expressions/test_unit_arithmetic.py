"""Units that know this trade: what may be added, compared and multiplied, and what comes of it."""

from __future__ import annotations

import pytest
from gonogo.documents.units import UNITS, Unit
from gonogo.expressions.unit_arithmetic import (
    UnlikeUnits,
    common,
    difference,
    product,
    quotient,
    shown_kind,
    total,
)


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
        ("Nm", "Wh", None),
        ("J", "Nm", None),
        ("per_h", "rpm", None),
        ("per_h", "Hz", None),
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
            common(UNITS[one], UNITS[other], "compared with")
    else:
        unit = common(UNITS[one], UNITS[other], "compared with")
        assert UNITS[other].scale / unit.scale == pytest.approx(factor, rel=1e-12)


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
    found = product(UNITS[one], UNITS[other])
    assert found.dimension == UNITS[wanted].dimension


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
    assert product(UNITS[one], UNITS[other]).scale == pytest.approx(scale, rel=1e-12)


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
    assert act(UNITS[one], UNITS[other]).kind == kind  # type: ignore[operator]


def test_kv_times_volts_is_rpm_exactly() -> None:
    """Without this every speed limit would be off by sixty."""
    assert product(UNITS["V"], UNITS["rpm_per_V"]) == UNITS["rpm"]


def test_temperatures_part_by_kelvins() -> None:
    """98 °C is 78 K above 20 °C, and no difference is a temperature."""
    point, kelvin = UNITS["degC"], UNITS["K"]
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
        act(UNITS[one], UNITS[other])  # type: ignore[operator]


def test_every_unit_has_its_own_words() -> None:
    """A message that two units do not fit names both, and not the same word twice."""
    words = [shown_kind(unit) for text, unit in UNITS.items() if text]
    assert "a compound unit" not in words
    with pytest.raises(UnlikeUnits, match="A cannot be compared with A rms"):
        common(UNITS["A"], UNITS["A_rms"], "compared with")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        pytest.param(
            product(UNITS["V"], product(UNITS["A"], UNITS["h"])), "Wh", id="V × A × h are Wh"
        ),
        pytest.param(product(UNITS["Ah"], UNITS["V"]), "Wh", id="Ah × V are Wh"),
        pytest.param(product(UNITS["W"], UNITS["s"]), "J", id="W × s are J"),
        pytest.param(
            product(UNITS["Nm_per_A_rms"], UNITS["A_rms"]), "Nm", id="torque constant × A rms"
        ),
        pytest.param(product(UNITS["Vs"], UNITS["A_rms"]), "Nm", id="flux × A rms is torque"),
        pytest.param(product(UNITS["percent"], UNITS["Nm"]), "Nm", id="a share of a torque"),
        pytest.param(quotient(UNITS["Wh"], UNITS["h"]), "W", id="Wh in an hour are W"),
        pytest.param(quotient(UNITS["Nm"], UNITS["Nm_per_A_rms"]), "A_rms", id="Nm by kt"),
        pytest.param(quotient(UNITS["A"], UNITS["Ah"]), "per_h", id="A by Ah are times an hour"),
        pytest.param(product(UNITS["per_h"], UNITS["Ah"]), "A", id="a C-rate times Ah are A"),
        pytest.param(quotient(UNITS["km_h"], UNITS["mm"]), "rpm", id="speed by girth is rpm"),
    ],
)
def test_what_is_multiplied_together_is_still_what_it_is(one: Unit, other: str) -> None:
    """Energy and torque are kept apart, and nothing that a handbook writes is refused for it."""
    assert common(one, UNITS[other], "compared with").dimension == UNITS[other].dimension


@pytest.mark.parametrize(
    ("one", "other"),
    [
        pytest.param(quotient(UNITS["A"], UNITS["Ah"]), "rpm", id="a C-rate is no speed"),
        pytest.param(product(UNITS["percent"], UNITS["Nm"]), "Wh", id="nor a torque an energy"),
        pytest.param(
            quotient(UNITS["Nm"], UNITS["Nm_per_A_rms"]), "A", id="nor A rms the battery's"
        ),
    ],
)
def test_kinds_are_not_lost_on_the_way(one: Unit, other: str) -> None:
    """After a product or two it is still no battery current."""
    with pytest.raises(UnlikeUnits):
        common(one, UNITS[other], "compared with")


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        (UNITS["J"], "Wh"),
        (UNITS["Nm"], "Nm"),
        (product(UNITS["V"], UNITS["Ah"]), "Wh"),
        (product(UNITS["V"], UNITS["A"]), "W"),
        (product(UNITS["V"], UNITS["V"]), "a compound unit"),
    ],
)
def test_a_message_speaks_of_energies_in_watt_hours(unit: Unit, words: str) -> None:
    """And of torque in newton metres, whatever the two were worked out from."""
    assert shown_kind(unit) == words
