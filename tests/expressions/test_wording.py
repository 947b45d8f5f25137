"""Expressions of rules in plain words: what a reader understands who does not write rules."""

from __future__ import annotations

import re

import pytest
from gonogo.documents.units import UNITS
from gonogo.expressions.compiler import compile_expression
from gonogo.expressions.grammar import LONGEST
from gonogo.expressions.names import vocabulary
from gonogo.expressions.wording import condition_words, fixed_words, limit_words
from hypothesis import assume, given
from hypothesis import strategies as st

CODE = re.compile(
    r"\w_\w|[a-z]\.[a-z]|given\(|\b(if|else|min|max|abs|round|True|False|None)\b|[*<>={}\[\]]| / "
)


def said(text: str) -> str:
    """A text of the rule language in words."""
    expression = compile_expression(text, vocabulary())
    if expression.type.sort == "boolean":
        return condition_words(expression, {})
    return limit_words(expression, {}, None)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wiring.fuse.rated_A", "the fuse rating"),
        ("pack.sag_V + 2", "2 V above the voltage sag"),
        ("motor.insulation_degC - 10", "10 K below the insulation temperature limit"),
        ("pack.full_V - pack.sag_V", "the full pack voltage minus the voltage sag"),
        ("pack.sag_V * 2", "2 times the voltage sag"),
        ("house.drop_percent * pack.nominal_V", "3% of the nominal pack voltage"),
        (
            "pack.full_V + house.charger_over_percent * pack.full_V",
            "0.5% above the full pack voltage",
        ),
        ("house.throttle_clearance_min_V / 2", "0.05 V"),
        (
            "min(wiring.fuse.rated_A, pack.continuous_A)",
            "the smaller of the fuse rating and the continuous pack current",
        ),
        (
            "max(pack.sag_V, pack.full_V, 5)",
            "the largest of the voltage sag, the full pack voltage and 5 V",
        ),
        ("max(readings.throttle.rest_V)", "the highest of the throttle rest reading"),
        (
            "throttle.supply_V if given(throttle.supply_V) else 5",
            "the throttle supply voltage (or 5 V where that is not entered)",
        ),
        (
            "0 if throttle.kind == 'potentiometer' else 0.1",
            "0, or 0.1 where the throttle kind is not potentiometer",
        ),
        (
            "abs(pack.full_V - pack.nominal_V)",
            "the difference between the full pack voltage and the nominal pack voltage",
        ),
        (
            "pack.sag_V * (1 if wiring.fuse == 'none' else 2)",
            "the voltage sag times (1); (1) is 1, or 2 where the main fuse is not none",
        ),
    ],
)
def test_a_value_is_said_in_words(text: str, words: str) -> None:
    """The limit row of a rule."""
    assert said(text) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("given(settings.max_rpm)", "the motor speed limit is entered"),
        ("not given(motor.base_rpm)", "the base speed is not known"),
        ("none(settings.max_rpm)", "the motor speed limit is none"),
        ("not none(settings.max_rpm)", "the motor speed limit is not none"),
        ("wiring.fuse == 'none'", "there is no main fuse"),
        ("vehicle.use != 'street'", "the place of use is not street"),
        ("not throttle.brake_cut", "“drive cut by the brake switch” is no"),
        ("settings.battery_current_A > 100", "the battery current limit is more than 100 A"),
        (
            "given(vehicle.wheels) and vehicle.wheels >= 3",
            "the number of wheels is at least 3",
        ),
        (
            "not (given(settings.max_rpm) and settings.max_rpm > 3000)",
            "the motor speed limit is at most 3000 rpm (or is not entered)",
        ),
        (
            "not (settings.max_rpm > 3000 or vehicle.wheels == 3)",
            "the motor speed limit is at most 3000 rpm and the number of wheels is not 3",
        ),
        ("pack.cell.chemistry in ['lfp', 'lead_acid']", "the cell chemistry is lfp or lead acid"),
        (
            "pack.cell.chemistry not in ['lfp', 'lto']",
            "the cell chemistry is not lfp or lto",
        ),
        (
            "round(motor.magnets / 2) * 2 == motor.magnets",
            "the rotor magnet count is a multiple of 2",
        ),
        (
            "settings.direction != readings.identification.for.direction",
            "the direction setting differs from the direction at the identification",
        ),
        (
            "vehicle.wheels == 3 and (given(settings.max_rpm) or vehicle.wet)",
            (
                "all of these hold: a) the number of wheels is 3; "
                "b) either the motor speed limit is entered or “use in the wet” is yes"
            ),
        ),
    ],
)
def test_a_condition_is_said_in_words(text: str, words: str) -> None:
    """The scope of a rule, and what it flags."""
    assert said(text) == words


def test_a_shop_reads_its_own_allowance() -> None:
    """Whoever has set 0.2 V is not told of 0.1 V."""
    expression = compile_expression("house.throttle_clearance_min_V / 2", vocabulary())
    assert limit_words(expression, {"house.throttle_clearance_min_V": 0.2}, None) == "0.1 V"


def test_a_bare_number_has_the_unit_of_what_it_limits() -> None:
    """`at most 5` alone could be amperes or volts."""
    expression = compile_expression("5", vocabulary())
    assert limit_words(expression, {}, UNITS["A"]) == "5 A"


def test_only_a_limit_without_entries_is_one_number() -> None:
    """`Set it to 0.1 V or more` needs no calculation; another limit does."""
    fixed = compile_expression("house.throttle_clearance_min_V", vocabulary())
    assert fixed_words(fixed, {}, UNITS["V"]) == "0.1 V"
    assert fixed_words(compile_expression("pack.full_V", vocabulary()), {}, UNITS["V"]) == ""


VOLTS = st.sampled_from(
    ["pack.full_V", "pack.sag_V", "throttle.supply_V", "house.cell_spread_V", "pack.cell.full_V"]
)
TRUTHS = st.sampled_from(
    ["given(pack.bms)", "vehicle.wet", "wiring.fuse == 'none'", "throttle.kind in ['hall']"]
)


def _larger_volts(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pair = st.tuples(inner, inner)
    return st.one_of(
        pair.map(lambda two: f"({two[0]} + {two[1]})"),
        pair.map(lambda two: f"({two[0]} - {two[1]})"),
        pair.map(lambda two: f"min({two[0]}, {two[1]})"),
        pair.map(lambda two: f"max({two[0]}, {two[1]}, 3)"),
        pair.map(lambda two: f"({two[0]} if vehicle.wet else {two[1]})"),
        inner.map(lambda one: f"(0.9 * {one} / pack.series)"),
        inner.map(lambda one: f"abs(-{one})"),
        inner.map(lambda one: f"round({one})"),
    )


def _larger_truths(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pair = st.tuples(inner, inner)
    return st.one_of(
        pair.map(lambda two: f"({two[0]} and {two[1]})"),
        pair.map(lambda two: f"({two[0]} or {two[1]})"),
        pair.map(lambda two: f"({two[0]} if vehicle.wheels == 3 else {two[1]})"),
        inner.map(lambda one: f"(not {one})"),
    )


LIMITS = st.recursive(VOLTS, _larger_volts, max_leaves=8)
COMPARED = st.tuples(LIMITS, LIMITS, st.sampled_from(["<", "<=", ">", ">=", "==", "!="]))
CONDITIONS = st.recursive(
    TRUTHS | COMPARED.map(lambda parts: f"({parts[0]} {parts[2]} {parts[1]})"),
    _larger_truths,
    max_leaves=6,
)


@given(LIMITS | CONDITIONS)
def test_no_rule_however_nested_reads_as_code(text: str) -> None:
    """A shop's own rule may nest as it likes; its readers did not write it."""
    assume(len(text) <= LONGEST)
    words = said(text)
    assert not CODE.search(words)
    numbered = re.sub(r"\(\d\)", "N", words)
    assert not re.search(r"\([^()]*\([^()]*\(", numbered)  # two levels, no more
