"""Numbers and units as they are read at the bench, and sentences filled with them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from gonogo.documents.units import UNITS, unit_symbol
from gonogo.expressions.formatting import apart, filled, inwards, number, shown
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        (0.0, "0"),
        (-0.0, "0"),
        (120, "120"),
        (120.0, "120"),
        (0.96 - 0.83, "0.13"),
        (66.666666, "66.67"),
        (999.96, "1000"),
        (1234.0, "1234"),
        (1234.56, "1234.6"),
        (70000, "70000"),
        (-60, "−60"),
        (-0.07, "−0.07"),
        (0.0012346, "0.001235"),
        (1e-12, "0"),
    ],
)
def test_a_number_has_four_digits_that_count(value: float, text: str) -> None:
    """Nobody enters 66.666666 V, and nobody reads 7e4."""
    assert number(value) == text


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (120, "A_rms", "120 A rms"),
        (3, "percent", "3%"),
        (45.5, "deg", "45.5°"),
        (2, "per_h", "2/h"),
        (98, "degC", "98 °C"),
        (7, "mohm", "7 mΩ"),
        (10, "", "10"),
        (True, "", "yes"),
        (False, "", "no"),
        ("hall", "", "hall"),
        (None, "V", "not given"),
        ((0.83, 0.84), "V", "0.83 V, 0.84 V"),
        ((), "V", "none"),
        ((20, 21), "", "20, 21"),
        ((24, 25, 26, 27), "", "24 to 27"),
        ((24, 26, 27), "", "24, 26, 27"),
        ((1.0, 2.0, 3.0), "V", "1 V, 2 V, 3 V"),
        (("pt100", "pt1000"), "", "pt100, pt1000"),
    ],
)
def test_a_value_is_shown_with_its_unit(value: object, unit: str, text: str) -> None:
    """As the trade writes it."""
    assert shown(value, unit) == text


def test_no_unit_is_shown_as_a_key_spells_it() -> None:
    """`mm2` and `km_h` belong in a file, not in a sentence."""
    for unit in UNITS:
        assert "_" not in unit_symbol(unit)
        assert not any(letter in "0123456789" for letter in unit_symbol(unit))


@given(
    st.floats(-1e6, 1e6, allow_nan=False).filter(lambda value: abs(value) > 1e-6),
    st.integers(4, 9),
)
def test_a_number_reads_back_as_itself(value: float, digits: int) -> None:
    """What a reader types from the screen is what was meant, to the digits shown."""
    back = float(number(value, digits).replace("−", "-"))
    assert back == pytest.approx(value, rel=6 * 10.0**-digits, abs=6e-10 if value < 1000 else 0.05)


@pytest.mark.parametrize(("one", "other"), [(120.0, 120.004), (3.6, 3.60001), (4000, 4000.3)])
def test_two_numbers_that_differ_look_different(one: float, other: float) -> None:
    """A limit of 120 A broken by 120 A would read like a defect of ours."""
    digits = apart(one, other)
    assert number(one, digits) != number(other, digits)


@pytest.mark.parametrize(
    ("value", "step", "upwards", "entered"),
    [
        pytest.param(120.7, 1.0, False, 120.0, id="an upper limit, down"),
        pytest.param(120.2, 1.0, True, 121.0, id="a lower limit, up"),
        pytest.param(0.89 + 1e-17, 0.01, False, 0.89, id="on the step, but for noise"),
        pytest.param(0.1 + 0.2, 0.1, False, 0.3, id="noise above"),
        pytest.param(0.1 + 0.2, 0.1, True, 0.3, id="noise is not rounded up a step"),
        pytest.param(46.2, 0.1, True, 46.2, id="already on it"),
        pytest.param(3.7, None, True, 3.7, id="no step"),
        pytest.param(-4.5, 1.0, False, -5.0, id="below zero"),
    ],
)
def test_a_remedy_can_be_entered_and_is_inside(
    value: float, step: float | None, upwards: bool, entered: float
) -> None:
    """The number to enter is on the allowed side, in the steps that the app takes."""
    assert inwards(value, step, upwards) == pytest.approx(entered, abs=1e-12)


@pytest.mark.parametrize(
    ("sentence", "text"),
    [
        ("It is {of}.", "It is <of>."),
        ("{pack.full_V} and {of}", "<pack.full_V> and <of>"),
        ("A {} and a { of } stay.", "A {} and a { of } stay."),
        ("{of!r} {of:>9} {0} {{of}}", "{of!r} {of:>9} {0} {<of>}"),
        ("{of.__class__}", "<of.__class__>"),
    ],
)
def test_only_names_in_braces_are_filled(sentence: str, text: str) -> None:
    """A shop's sentence is text, never a format that reaches into our objects."""
    word: Callable[[str], str] = lambda name: f"<{name}>"
    assert filled(sentence, word) == text


def test_a_filled_word_is_not_filled_again() -> None:
    """A vehicle named {of} stays named so."""
    assert filled("{vehicle.name}", lambda name: "{of}") == "{of}"
