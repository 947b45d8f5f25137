"""Three values and two sides: what may be said while something is not told."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from gonogo.judgement import arithmetic
from gonogo.judgement.compiler import compile_expression
from gonogo.judgement.grammar import LONGEST
from gonogo.judgement.types import BARE, BOOLEAN, Lookup
from gonogo.quantities.operand import ABSENT, EXACT, NO_LESS, NO_MORE, NOT_THERE, Operand, Side
from hypothesis import assume, given
from hypothesis import strategies as st

YES, NO = Operand(True), Operand(False)
OPEN = Operand(None, EXACT, frozenset({"pack.series"}))
GONE = NOT_THERE
LETTERS = {"y": YES, "n": NO, "?": OPEN, "-": GONE}


def letter(operand: Operand) -> str:
    """An operand as the tables below write it."""
    if operand.side == ABSENT:
        return "-"
    return {True: "y", False: "n", None: "?"}[operand.value]


@pytest.mark.parametrize(
    ("one", "row"), [("y", "yn?-"), ("n", "nnnn"), ("?", "?n?-"), ("-", "-n--")]
)
def test_and_is_settled_by_one_no(one: str, row: str) -> None:
    """A part that is not there takes the whole out of scope, unless a no has settled it."""
    found = [letter(arithmetic.both((LETTERS[one], LETTERS[other]))) for other in "yn?-"]
    assert "".join(found) == row


@pytest.mark.parametrize(
    ("one", "row"), [("y", "yyyy"), ("n", "yn?n"), ("?", "y???"), ("-", "yn?-")]
)
def test_or_is_settled_by_one_yes(one: str, row: str) -> None:
    """What is not there drops out: a vehicle without a fuse is judged by its cable."""
    found = [letter(arithmetic.either((LETTERS[one], LETTERS[other]))) for other in "yn?-"]
    assert "".join(found) == row


def test_not_turns_only_what_is_known() -> None:
    """What nobody told is not told the other way round either."""
    assert "".join(letter(arithmetic.opposite(LETTERS[one])) for one in "yn?-") == "ny?-"


@pytest.mark.parametrize(("test", "wanted"), [("y", 3), ("n", 4), ("?", None), ("-", None)])
def test_a_choice_needs_its_test(test: str, wanted: int | None) -> None:
    """Which of two limits holds cannot be guessed."""
    assert arithmetic.chosen(LETTERS[test], Operand(3), Operand(4)).value == wanted


def test_a_choice_between_the_same_needs_no_test() -> None:
    """Both arms agree, so nobody has to answer."""
    assert arithmetic.chosen(OPEN, Operand(3), Operand(3)).value == 3


def test_arms_that_agree_in_number_but_not_in_side_do_not_agree() -> None:
    """Exactly 3 A and no more than 3 A are two answers."""
    assert arithmetic.chosen(OPEN, Operand(3), Operand(3, NO_MORE)).value is None


@pytest.mark.parametrize("known", ["then", "other"])
def test_an_arm_that_is_not_there_is_not_asked_for(known: str) -> None:
    """Nobody can tell the amperes of a fuse that the vehicle does not have; the test can be told."""
    arms = (Operand(3), GONE) if known == "then" else (GONE, Operand(3))
    found = arithmetic.chosen(OPEN, *arms)
    assert (found.value, found.side, found.missing) == (None, EXACT, {"pack.series"})


def test_an_arm_that_is_not_told_is_asked_for() -> None:
    """Both the test and the arm that it may pick."""
    fuse = Operand(None, EXACT, frozenset({"wiring.fuse.rated_A"}))
    found = arithmetic.chosen(OPEN, fuse, GONE)
    assert (found.side, found.missing) == (EXACT, {"pack.series", "wiring.fuse.rated_A"})


AT_MOST, AT_LEAST = Operand(6, NO_MORE), Operand(6, NO_LESS)
PASSED_ON = [
    pytest.param("×", AT_MOST, Operand(2), (12, NO_MORE), id="twice the bound"),
    pytest.param("×", Operand(2), AT_LEAST, (12, NO_LESS), id="twice the bound, turned round"),
    pytest.param("×", AT_MOST, Operand(0), (0, NO_MORE), id="times zero"),
    pytest.param("×", Operand(0), AT_LEAST, (0, NO_LESS), id="zero times"),
    pytest.param("×", Operand(0, NO_MORE), Operand(2), (0, NO_MORE), id="a bound of zero"),
    pytest.param("×", AT_MOST, Operand(-2), None, id="times a negative"),
    pytest.param("×", Operand(-2), AT_MOST, None, id="a negative times"),
    pytest.param("×", Operand(-6, NO_MORE), Operand(2), None, id="a negative bound"),
    pytest.param("×", Operand(2), Operand(-6, NO_LESS), None, id="times a negative bound"),
    pytest.param("×", AT_MOST, AT_LEAST, None, id="bounds that pull apart"),
    pytest.param("/", AT_MOST, Operand(2), (3, NO_MORE), id="half the bound"),
    pytest.param("/", Operand(12), AT_MOST, (2, NO_LESS), id="over the bound"),
    pytest.param("/", Operand(12), AT_LEAST, (2, NO_MORE), id="over the other bound"),
    pytest.param("/", Operand(0), AT_MOST, (0, NO_LESS), id="nothing over the bound"),
    pytest.param("/", Operand(0, NO_MORE), Operand(2), (0, NO_MORE), id="a bound of zero halved"),
    pytest.param("/", AT_MOST, Operand(-2), None, id="over a negative"),
    pytest.param("/", Operand(-12), AT_MOST, None, id="a negative over"),
    pytest.param("/", Operand(-6, NO_MORE), Operand(2), None, id="a negative bound halved"),
    pytest.param("/", Operand(12), Operand(-6, NO_LESS), None, id="over a negative bound"),
    pytest.param("/", AT_MOST, Operand(0), None, id="a bound over zero"),
    pytest.param("/", Operand(12), Operand(0, NO_LESS), None, id="over a bound of zero"),
    pytest.param("/", AT_MOST, AT_MOST, None, id="bounds that pull apart, divided"),
]


@pytest.mark.parametrize(("sign", "a", "b", "wanted"), PASSED_ON)
def test_a_bound_passes_through_what_is_not_negative(
    sign: str, a: Operand, b: Operand, wanted: tuple[float, Side] | None
) -> None:
    """No more than 6 times −2 is no less than −12: what turns over is not said at all."""
    found = {"×": arithmetic.multiplied, "/": arithmetic.divided}[sign](a, b)
    assert found[:2] == (wanted or (None, EXACT))


@pytest.mark.parametrize("divisor", [Operand(0), Operand(0, NO_LESS)])
def test_a_bound_over_zero_says_why_it_is_unknown(divisor: Operand) -> None:
    """The reader looks for the zero."""
    assert "zero" in arithmetic.divided(AT_MOST, divisor).reason


@pytest.mark.parametrize(
    ("a", "b", "or_equal", "wanted"),
    [
        pytest.param(Operand(5, NO_MORE), Operand(6), False, True, id="5 at most is less than 6"),
        pytest.param(Operand(5, NO_MORE), Operand(4), False, None, id="5 at most, 4: either"),
        pytest.param(Operand(5, NO_LESS), Operand(4), False, False, id="5 at least is not under 4"),
        pytest.param(Operand(5, NO_LESS), Operand(6), False, None, id="5 at least, 6: either"),
        pytest.param(Operand(5, NO_MORE), Operand(5), True, True, id="5 at most is at most 5"),
        pytest.param(Operand(5, NO_MORE), Operand(5), False, None, id="it may be 5 itself"),
        pytest.param(Operand(5, NO_LESS), Operand(5), False, False, id="5 at least, never under"),
        pytest.param(Operand(5, NO_LESS), Operand(5), True, None, id="it may be 5 itself or more"),
        pytest.param(Operand(5, NO_MORE), Operand(6, NO_LESS), False, True, id="bounds that part"),
        pytest.param(Operand(5, NO_MORE), Operand(6, NO_MORE), False, None, id="bounds that run"),
        pytest.param(
            Operand(0.96 - 0.83, NO_MORE), Operand(0.13), False, None, id="noise parts no bounds"
        ),
        pytest.param(
            Operand(0.1 + 0.2, NO_LESS), Operand(0.3), True, None, id="noise breaks no bound"
        ),
    ],
)
def test_bounds_are_compared_where_they_leave_no_choice(
    a: Operand, b: Operand, or_equal: bool, wanted: bool | None
) -> None:
    """A limit that is only partly known may still be broken for certain."""
    assert arithmetic.less(a, b, or_equal).value is wanted


@pytest.mark.parametrize(
    ("a", "b", "wanted"),
    [
        pytest.param(Operand(0.96 - 0.83), Operand(0.13), True, id="but for noise"),
        pytest.param(Operand("hall"), Operand("hall"), True, id="texts"),
        pytest.param(Operand(5, NO_MORE), Operand(6), False, id="5 at most is never 6"),
        pytest.param(Operand(5, NO_MORE), Operand(5), None, id="5 at most may be 5"),
        pytest.param(Operand(0.1 + 0.2, NO_LESS), Operand(0.3), None, id="noise parts no bounds"),
    ],
)
def test_equal_is_known_where_bounds_part(a: Operand, b: Operand, wanted: bool | None) -> None:
    """Equal volts written two ways stay equal."""
    assert arithmetic.equal(a, b).value is wanted


@pytest.mark.parametrize(("value", "whole"), [(2.5, 3), (-2.5, -3), (2.4, 2), (0.0, 0), (21.6, 22)])
def test_halves_are_rounded_away_from_zero(value: float, whole: int) -> None:
    """As at the bench; a computer's habit of even halves would make 2.5 pole pairs two."""
    assert arithmetic.rounded(Operand(value)).value == whole


@pytest.mark.parametrize(
    ("operand", "side", "value"),
    [
        pytest.param(Operand(-3), EXACT, 3, id="exact"),
        pytest.param(Operand(3, NO_LESS), NO_LESS, 3, id="3 at least stays 3 at least"),
        pytest.param(Operand(3, NO_MORE), EXACT, None, id="3 at most may be far below zero"),
        pytest.param(Operand(-3, NO_LESS), EXACT, None, id="minus 3 at least may be either"),
    ],
)
def test_a_size_keeps_its_side(operand: Operand, side: Side, value: float | None) -> None:
    """A difference that is only a bound must not pass for the difference itself."""
    found = arithmetic.size(operand)
    assert (found.side, found.value) == (side, value)


@pytest.mark.parametrize(
    ("pick", "operands", "wanted"),
    [
        pytest.param("least", (Operand(5), OPEN), (5, NO_MORE), id="a part not told"),
        pytest.param("least", (Operand(5), GONE), (5, EXACT), id="a part not there"),
        pytest.param("least", (GONE, GONE), (None, ABSENT), id="nothing there"),
        pytest.param("least", (OPEN, GONE), (None, EXACT), id="nothing told"),
        pytest.param("most", (Operand(5), OPEN), (5, NO_LESS), id="the greatest turns it round"),
        pytest.param("least", (Operand(5), Operand(7, NO_MORE)), (5, NO_MORE), id="a bound above"),
        pytest.param("least", (Operand(5), Operand(7, NO_LESS)), (5, EXACT), id="never reached"),
        pytest.param("least", (Operand(5), Operand(3, NO_LESS)), (3, NO_LESS), id="may be it"),
        pytest.param("least", (Operand(3, NO_LESS), OPEN), (None, EXACT), id="no end at all"),
    ],
)
def test_the_least_of_what_is_there(
    pick: str, operands: tuple[Operand, ...], wanted: tuple[float | None, Side]
) -> None:
    """Cells, board, connector: the weakest one told is the most that the pack can give."""
    found = getattr(arithmetic, pick)(operands)
    assert (found.value, found.side) == wanted


def test_a_bound_still_names_what_would_make_it_exact() -> None:
    """So that a reader knows what to look up."""
    assert arithmetic.least((Operand(5), OPEN)).missing == {"pack.series"}


# A vehicle in which everything has a value, of which only a part is told.


@dataclass(frozen=True)
class Told:
    """What a document tells of a quantity, and what the quantity is in truth."""

    operand: Operand
    true: float


NAMES = [f"n.{letter}" for letter in "abcdef"]
TRUTHS = [f"t.{letter}" for letter in "abc"]
VOCABULARY = {**dict.fromkeys(NAMES, BARE), **dict.fromkeys(TRUTHS, BOOLEAN)}
WHOLE = st.integers(0, 6)


@st.composite
def numbers(draw: st.DrawFn) -> Told:
    """A number, told outright, from one side, or not at all."""
    true, slack = draw(WHOLE), draw(WHOLE)
    return draw(
        st.sampled_from(
            [
                Told(Operand(true), true),
                Told(Operand(true + slack, NO_MORE), true),
                Told(Operand(max(0, true - slack), NO_LESS), true),
                Told(Operand(None), true),
            ]
        )
    )


@st.composite
def truths(draw: st.DrawFn) -> Told:
    true = draw(st.booleans())
    return Told(draw(st.sampled_from([Operand(true), Operand(None)])), true)


# Quantities are not negative; differences may be, and are not multiplied by a bound.
ATOMS = st.sampled_from([*NAMES, "2", "0", "5"])
AMOUNTS = st.recursive(
    ATOMS,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(["+", "*", "/"]), inner).map(
            lambda parts: f"({' '.join(parts)})"
        ),
        st.tuples(st.sampled_from(["min", "max"]), st.lists(inner, min_size=2, max_size=3)).map(
            lambda parts: f"{parts[0]}({', '.join(parts[1])})"
        ),
    ),
    max_leaves=6,
)
SIGNED = st.recursive(
    AMOUNTS,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(["-", "+"]), inner).map(
            lambda parts: f"({' '.join(parts)})"
        ),
        st.tuples(st.sampled_from(["min", "max"]), inner, inner).map(
            lambda parts: f"{parts[0]}({parts[1]}, {parts[2]})"
        ),
        inner.map(lambda part: f"abs({part})"),
        inner.map(lambda part: f"round({part})"),
        inner.map(lambda part: f"(-{part})"),
        st.tuples(inner, st.sampled_from(TRUTHS), inner).map(
            lambda parts: f"({parts[0]} if {parts[1]} else {parts[2]})"
        ),
    ),
    max_leaves=4,
)
CONDITIONS = st.recursive(
    st.one_of(
        st.sampled_from(TRUTHS),
        st.tuples(SIGNED, st.sampled_from(["<", "<=", ">", ">=", "==", "!="]), SIGNED).map(
            lambda parts: " ".join(parts)
        ),
    ),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(["and", "or"]), inner).map(
            lambda parts: f"({' '.join(parts)})"
        ),
        inner.map(lambda part: f"(not {part})"),
    ),
    max_leaves=3,
).filter(lambda text: len(text) <= LONGEST)
VEHICLE = st.fixed_dictionaries(
    {**{name: numbers() for name in NAMES}, **{name: truths() for name in TRUTHS}}
)


def stated_and_true(text: str, told: dict[str, Told]) -> tuple[Operand, Operand]:
    """What is said of an expression from what is told, and what it is."""
    expression = compile_expression(text, VOCABULARY)
    true: Lookup = lambda name: Operand(told[name].true)
    return expression.evaluate(lambda name: told[name].operand), expression.evaluate(true)


@given(SIGNED, VEHICLE)
def test_the_true_value_lies_on_the_side_stated(text: str, told: dict[str, Told]) -> None:
    """However the open questions are answered later, no bound turns out to have been wrong."""
    stated, true = stated_and_true(text, told)
    assume(true.value is not None and true.side == EXACT and stated.value is not None)
    noise = 1e-9 * max(1.0, abs(true.value))
    assert true.value <= arithmetic.high_end(stated) + noise
    assert true.value >= arithmetic.low_end(stated) - noise


@given(CONDITIONS, VEHICLE)
def test_no_answer_is_taken_back(text: str, told: dict[str, Told]) -> None:
    """A yes or no given on half the story stays when the whole story is told."""
    stated, true = stated_and_true(text, told)
    assume(true.value is not None and true.side == EXACT and stated.value is not None)
    assert stated.value == true.value
