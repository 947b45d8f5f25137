"""One rule against one book: where clear ends and flagged begins, and what stays open."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.judgement.evaluation import Ruling, ruling
from gonogo.judgement.rule import Example, Rule
from gonogo.judgement.rule_examples import book_of_example
from gonogo.quantities.book import Book

Rules = Callable[..., Rule]
Books = Callable[..., Book]
BATTERY = "settings.battery_current_A"
CELLS = "pack.cells_continuous_A"


def decided(
    of: str, bound: dict[str, Any], values: dict[str, Any], rule: Rules, book: Books
) -> str:
    """The outcome of a bound on one quantity."""
    return ruling(rule(of=of, **bound), book(values)).outcome


@pytest.mark.parametrize(
    ("start_V", "outcome"),
    [
        pytest.param(0.96, "clear", id="0.13 V, but for the noise of floating point"),
        pytest.param(0.95, "flagged", id="0.12 V"),
        pytest.param(0.97, "clear", id="0.14 V"),
    ],
)
def test_a_difference_on_the_limit_is_clear(
    start_V: float, outcome: str, rule: Rules, book: Books
) -> None:
    """0.96 V − 0.83 V is 0.13 V at the bench, whatever it is in binary."""
    values = {
        "settings.throttle.start_V": start_V,
        "readings.throttle.rest_V": (0.83,),
        "readings.throttle.full_V": 4.2,
    }
    assert decided("throttle.clearance_V", {"at_least": 0.13}, values, rule, book) == outcome


@pytest.mark.parametrize(
    ("bound", "value", "outcome"),
    [
        ({"at_most": 100}, 100, "clear"),
        ({"at_most": 100}, 101, "flagged"),
        ({"at_least": 100}, 100, "clear"),
        ({"at_least": 100}, 99, "flagged"),
        ({"below": 100}, 99, "clear"),
        ({"below": 100}, 100, "flagged"),
        ({"above": 100}, 101, "clear"),
        ({"above": 100}, 100, "flagged"),
        ({"between": [90, 100]}, 90, "clear"),
        ({"between": [90, 100]}, 100, "clear"),
        ({"between": [90, 100]}, 89, "flagged"),
        ({"between": [90, 100]}, 101, "flagged"),
    ],
)
def test_at_most_holds_on_its_limit_and_below_does_not(
    bound: dict[str, Any], value: float, outcome: str, rule: Rules, book: Books
) -> None:
    """The one place where a limit is most often written wrong."""
    assert decided(BATTERY, bound, {BATTERY: value}, rule, book) == outcome


@pytest.mark.parametrize("bound", ["at_most", "below"])
@pytest.mark.parametrize("noise", [-1e-12, 1e-12])
def test_noise_decides_nothing(bound: str, noise: float, rule: Rules, book: Books) -> None:
    """A value that differs from the limit by less than anyone can enter is on the limit."""
    on_limit = "clear" if bound == "at_most" else "flagged"
    values = {BATTERY: 100.0 * (1 + noise)}
    assert decided(BATTERY, {bound: 100}, values, rule, book) == on_limit


@pytest.mark.parametrize(
    ("over", "outcome"), [(0.0009, "clear"), (0.0011, "flagged")], ids=["under", "over"]
)
def test_a_thousandth_of_the_entry_step_is_still_the_limit(
    over: float, outcome: str, rule: Rules, book: Books
) -> None:
    """Amperes are entered by the ampere: a milliampere over is a rounding, not a setting."""
    assert decided(BATTERY, {"at_most": 100}, {BATTERY: 100 + over}, rule, book) == outcome


@pytest.mark.parametrize(
    ("value", "outcome"),
    [pytest.param(90, "not_checked", id="inside"), pytest.param(101, "flagged", id="outside")],
)
def test_an_end_that_is_known_flags_without_the_other(
    value: float, outcome: str, rule: Rules, book: Books
) -> None:
    """Above the upper end it is wrong whatever the lower end turns out to be."""
    bound = {"between": ["pack.connector_A", 100]}
    assert decided(BATTERY, bound, {BATTERY: value}, rule, book) == outcome


PACK = {"pack.parallel": 6, "pack.cell.continuous_A": 20}


@pytest.mark.parametrize(
    ("entered", "outcome"),
    [
        pytest.param(121, "flagged", id="more than the cells give, whatever the board"),
        pytest.param(119, "not_checked", id="the board may give less"),
    ],
)
def test_a_limit_known_from_above_only_flags(
    entered: float, outcome: str, rule: Rules, book: Books
) -> None:
    """With the board not told, 120 A of cells is a bound that can be broken but not kept."""
    found = ruling(rule(of=BATTERY, at_most="pack.continuous_A"), book({**PACK, BATTERY: entered}))
    assert found.outcome == outcome
    assert outcome == "flagged" or found.missing == {"pack.bms.continuous_A"}


@pytest.mark.parametrize(
    ("needed", "outcome"),
    [
        pytest.param(119, "not_checked", id="the board may give less"),
        pytest.param(121, "flagged", id="it never gives as much"),
    ],
)
def test_a_value_known_from_above_breaks_a_lower_limit(
    needed: float, outcome: str, rule: Rules, book: Books
) -> None:
    """The same bound, judged from the other side."""
    assert decided("pack.continuous_A", {"at_least": needed}, PACK, rule, book) == outcome


def test_a_board_said_to_be_missing_leaves_the_cells(rule: Rules, book: Books) -> None:
    """`bms: none` is an answer; nothing is open then."""
    values = {**PACK, BATTERY: 119}
    found = ruling(
        rule(of=BATTERY, at_most="pack.continuous_A"), book(values, absent=("pack.bms",))
    )
    assert found.outcome == "clear"


CONDITION = "pack.bms.port == 'common'"


@pytest.mark.parametrize(
    ("port", "entered", "outcome"),
    [
        ("common", 99, "clear"),
        ("common", 101, "flagged"),
        ("separate", 101, "out_of_scope"),
        (None, 99, "clear"),
        (None, 101, "not_checked"),
    ],
)
def test_a_rule_that_may_not_apply_flags_nothing(
    port: str | None, entered: float, outcome: str, rule: Rules, book: Books
) -> None:
    """Not knowing whether a limit holds, one can still be inside it."""
    values = {BATTERY: entered} | ({"pack.bms.port": port} if port else {})
    found = ruling(rule(of=BATTERY, at_most=100, applies_when=CONDITION), book(values))
    assert found.outcome == outcome
    assert outcome != "not_checked" or found.missing == {"pack.bms.port"}


def test_a_rule_about_what_is_not_there_is_out_of_scope(rule: Rules, book: Books) -> None:
    """A vehicle without a fuse is not asked for its amperes."""
    about = rule(of="wiring.fuse.rated_A", at_most=100)
    assert ruling(about, book({}, absent=("wiring.fuse",))).outcome == "out_of_scope"
    assert ruling(about, book({})).outcome == "not_checked"


def test_a_condition_out_of_scope_still_tells_the_value_it_points_at(
    rule: Rules, book: Books
) -> None:
    """An explanation shows it, whatever else the vehicle lacks."""
    about = rule(flag_when=f"wiring.fuse.rated_A > {BATTERY}", at=BATTERY)
    found = ruling(about, book({BATTERY: 100}, absent=("wiring.fuse",)))
    assert found.outcome == "out_of_scope"
    assert found.of is not None and found.of.value == 100


def test_a_ruling_names_what_a_worked_limit_lacks(rule: Rules, book: Books) -> None:
    """Down to the entries that a person can make, not the quantity in between."""
    values = {BATTERY: 100, "pack.cell.continuous_A": 20}
    found: Ruling = ruling(rule(of=BATTERY, at_most=CELLS), book(values))
    assert (found.outcome, found.missing) == ("not_checked", {"pack.parallel"})


def test_a_division_by_zero_is_not_judged_and_says_so(rule: Rules, book: Books) -> None:
    """A zero typed into a ratio is no verdict in either direction."""
    values = {BATTERY: 0, "settings.phase_current_A_rms": 100}
    flag = "settings.phase_current_A_rms / settings.battery_current_A > 8"
    found = ruling(rule(at=BATTERY, flag_when=flag), book(values))
    assert found.outcome == "not_checked"
    assert "zero" in found.reason


def test_a_limit_arrives_in_the_unit_of_what_it_bounds(rule: Rules, book: Books) -> None:
    """100 A through 50 mΩ lose 5 V, not 5000."""
    values = {BATTERY: 100, "pack.resistance_mohm": 50, "settings.low_voltage.cutoff_V": 5.0}
    bound = "settings.battery_current_A * pack.resistance_mohm"
    found = ruling(rule(of="settings.low_voltage.cutoff_V", at_least=bound), book(values))
    assert found.outcome == "clear"
    assert found.low is not None and found.low.value == pytest.approx(5.0)


@pytest.mark.parametrize(("sign", "limit_V"), [("+", 45.0), ("-", 35.0)])
def test_a_sum_is_in_one_unit(sign: str, limit_V: float, rule: Rules, book: Books) -> None:
    """40 V and the 5 V that 100 A lose in 50 mΩ make 45 V or 35 V, not 5040."""
    values = {
        BATTERY: 100,
        "pack.resistance_mohm": 50,
        "pack.minimum_V": 40.0,
        "settings.low_voltage.cutoff_V": 50.0,
    }
    bound = f"pack.minimum_V {sign} settings.battery_current_A * pack.resistance_mohm"
    found = ruling(rule(of="settings.low_voltage.cutoff_V", at_least=bound), book(values))
    assert found.low is not None
    assert found.low.value == pytest.approx(limit_V)


def test_a_mode_knows_what_the_base_comes_to(rule: Rules, book: Books) -> None:
    """A mode that lifts the base's limit is seen to lift it, also where it is worked out."""
    one = rule(of=BATTERY, at_most=f"base.{BATTERY}")
    base = book({BATTERY: 100.0})
    raised = base.overlaid(book({BATTERY: 120.0})._given)
    assert ruling(one, base).outcome == "clear"
    decided = ruling(one, raised)
    assert decided.outcome == "flagged"
    assert decided.high is not None
    assert decided.high.value == 100.0
    worked = rule(of=CELLS, at_most=f"base.{CELLS}")
    cells = book({"pack.parallel": 4, "pack.cell.continuous_A": 10.0})
    wider = cells.overlaid(book({"pack.parallel": 6})._given)
    assert ruling(worked, wider).outcome == "flagged"


def test_an_allowance_has_no_base(rule: Rules) -> None:
    """A shop allows the same in every mode."""
    with pytest.raises(ExpressionError):
        rule(of="wiring.drop_percent", at_most="base.house.drop_percent")


def test_an_example_may_tell_of_the_base(rule: Rules) -> None:
    """What stands under `base.` lies below the mode that the rest describes."""
    given = {BATTERY: 120, f"base.{BATTERY}": 100}
    one = rule(of=BATTERY, at_most=f"base.{BATTERY}")
    assert ruling(one, book_of_example(Example(given, "flagged"))).outcome == "flagged"
