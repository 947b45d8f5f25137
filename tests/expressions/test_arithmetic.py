"""Three values and two sides: what may be said while something is not told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from gonogo.expressions import arithmetic
from gonogo.expressions.compiler import compile_expression
from gonogo.expressions.grammar import LONGEST
from gonogo.expressions.types import BARE, BOOLEAN, Lookup
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


Reckon = Callable[[Operand, Operand], Operand]
SIGNS: dict[str, Reckon] = {
    "+": arithmetic.added,
    "-": arithmetic.taken,
    "×": arithmetic.multiplied,
    "/": arithmetic.divided,
}
# The side on which a second bound pulls the same way as a first that is *no more than*.
SIDE_BESIDE: dict[str, Side] = {"+": NO_MORE, "-": NO_LESS, "×": NO_MORE, "/": NO_LESS}


def at_most(a: Operand, b: Operand) -> Operand:
    """a ≤ b."""
    return arithmetic.less(a, b, or_equal=True)


AT_MOST, AT_LEAST = Operand(6, NO_MORE), Operand(6, NO_LESS)
PASSED_ON = [
    pytest.param("+", AT_MOST, Operand(2), (8, NO_MORE), id="the bound and 2"),
    pytest.param("+", Operand(2), AT_LEAST, (8, NO_LESS), id="2 and the bound"),
    pytest.param("+", AT_MOST, Operand(-2, NO_MORE), (4, NO_MORE), id="two bounds of a side"),
    pytest.param("+", AT_MOST, AT_LEAST, None, id="bounds that pull apart, added"),
    pytest.param("-", AT_MOST, Operand(2), (4, NO_MORE), id="the bound less 2"),
    pytest.param("-", Operand(2), AT_MOST, (-4, NO_LESS), id="2 less the bound"),
    pytest.param("-", AT_LEAST, AT_MOST, (0, NO_LESS), id="bounds that pull together"),
    pytest.param("-", AT_MOST, AT_MOST, None, id="bounds that pull apart, taken"),
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
    assert SIGNS[sign](a, b)[:2] == (wanted or (None, EXACT))


CELLS, BOARD = frozenset({"pack.cell.continuous_A"}), frozenset({"pack.bms.continuous_A"})
BELOW, ABOVE = Operand(6, NO_MORE, CELLS), Operand(6, NO_LESS, BOARD)


@pytest.mark.parametrize("reckon", [*SIGNS.values(), arithmetic.equal, at_most])
@pytest.mark.parametrize("swapped", [False, True])
def test_what_lacks_two_things_asks_for_both(reckon: Reckon, swapped: bool) -> None:
    """Told of the cells alone, a builder would fill them in and stay where he was."""
    lacking = Operand(None, EXACT, CELLS), Operand(None, EXACT, BOARD)
    assert reckon(*(lacking[::-1] if swapped else lacking)) == Operand(None, EXACT, CELLS | BOARD)


@pytest.mark.parametrize(
    ("reckon", "a", "b"),
    [
        pytest.param(arithmetic.added, BELOW, ABOVE, id="bounds that pull apart, added"),
        pytest.param(arithmetic.taken, BELOW, ABOVE._replace(side=NO_MORE), id="taken"),
        pytest.param(arithmetic.multiplied, BELOW, ABOVE, id="multiplied"),
        pytest.param(arithmetic.multiplied, BELOW, ABOVE._replace(value=-6), id="by a negative"),
        pytest.param(arithmetic.divided, BELOW, ABOVE._replace(side=NO_MORE), id="divided"),
        pytest.param(arithmetic.divided, BELOW, ABOVE._replace(value=-6), id="by a negative one"),
        pytest.param(arithmetic.equal, BELOW, ABOVE, id="equal or not"),
        pytest.param(at_most, BELOW, ABOVE._replace(side=NO_MORE), id="less or not"),
    ],
)
def test_bounds_that_say_nothing_ask_for_what_would_make_them_exact(
    reckon: Reckon, a: Operand, b: Operand
) -> None:
    """A bound that settles nothing is as good as not told, and both ends are asked for."""
    for found in (reckon(a, b), reckon(b._replace(missing=CELLS), a._replace(missing=BOARD))):
        assert (found.value, found.side, found.missing) == (None, EXACT, CELLS | BOARD)


@pytest.mark.parametrize("sign", SIGNS)
def test_a_bound_reckoned_with_still_names_what_it_lacks(sign: str) -> None:
    """On whichever side of the sign it stands."""
    assert SIGNS[sign](BELOW, Operand(2)).missing == CELLS
    assert SIGNS[sign](Operand(2), BELOW).missing == CELLS
    assert SIGNS[sign](BELOW, Operand(2, SIDE_BESIDE[sign], BOARD)).missing == CELLS | BOARD


def test_the_first_reason_is_handed_on_and_none_is_made_up() -> None:
    """A zero below explains the sum above it; what is only missing needs no explanation."""
    by_zero = arithmetic.divided(Operand(1), Operand(0))
    assert by_zero.reason == "it would divide by zero"
    assert arithmetic.divided(BELOW, ABOVE._replace(value=0)).missing == CELLS | BOARD
    assert arithmetic.added(OPEN, by_zero).reason == by_zero.reason
    assert arithmetic.added(by_zero._replace(reason="first"), by_zero).reason == "first"
    assert arithmetic.added(OPEN, Operand(1)).reason == ""


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
        pytest.param(Operand(5, NO_LESS), Operand(4), False, id="5 at least is never 4"),
        pytest.param(Operand(6), Operand(5, NO_MORE), False, id="6 is never 5 at most"),
        pytest.param(Operand("hall"), Operand("none"), False, id="other texts"),
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
        pytest.param(Operand(-3, NO_MORE), NO_LESS, 3, id="minus 3 at most is 3 at least"),
        pytest.param(Operand(0, NO_LESS), NO_LESS, 0, id="0 at least is no less than 0"),
        pytest.param(Operand(0, NO_MORE), NO_LESS, 0, id="0 at most too"),
        pytest.param(OPEN, EXACT, None, id="not told"),
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


def test_one_bound_alone_is_rounded_and_sized_with_what_it_lacks() -> None:
    """Nothing that is asked for gets lost on the way."""
    bound = Operand(2.5, NO_LESS, CELLS)
    assert arithmetic.rounded(bound) == Operand(3, NO_LESS, CELLS)
    assert arithmetic.size(bound) == bound
    for reckon in (arithmetic.rounded, arithmetic.size):
        assert reckon(OPEN) == OPEN
    assert arithmetic.size(bound._replace(side=NO_MORE)) == Operand(None, EXACT, CELLS)


def test_a_least_asks_for_every_part_that_is_not_told() -> None:
    """Of cells and board neither is known, and there is no fuse to ask for."""
    parts = Operand(None, EXACT, CELLS), GONE, Operand(None, EXACT, BOARD)
    assert arithmetic.least(parts) == Operand(None, EXACT, CELLS | BOARD)
    assert arithmetic.most((*parts, Operand(5))) == Operand(5, NO_LESS, CELLS | BOARD)


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
