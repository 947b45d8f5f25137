"""The book: what is given, worked out, typical or absent, and that a change leaves nothing stale."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.loading import load
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances, canonical
from gonogo.quantities.book import Book
from gonogo.quantities.operand import EXACT, NO_LESS, NO_MORE, Operand
from gonogo.quantities.registry import WORKED
from hypothesis import given, settings
from hypothesis import strategies as st

TODAY = "2026-11-25"
NOWHERE = Place("bench.yaml", 1, 1)
VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
HOUSE = {name: allowance.default for name, allowance in allowances().items()}

PACK = {
    "pack.series": 16,
    "pack.parallel": 6,
    "pack.cell.continuous_A": 20.0,
    "pack.cell.full_V": 4.2,
}


def entered(name: str, value: Any) -> Given:
    return Given(name, value, name, value, 1.0, NOWHERE)


def book(values: Mapping[str, Any], absent: tuple[str, ...] = ()) -> Book:
    """A book of what is given, by the shop's defaults."""
    return Book({name: entered(name, told) for name, told in values.items()}, HOUSE, TODAY, absent)


def test_what_is_given_wins_over_what_can_be_worked_out() -> None:
    """A builder who measured the pack is not overruled by a multiplication."""
    assert book(PACK).entry("pack.full_V").value == pytest.approx(67.2)
    told = book({**PACK, "pack.full_V": 66.0}).entry("pack.full_V")
    assert (told.value, told.origin) == (66.0, "given")


@pytest.mark.parametrize(
    ("name", "figure", "safer"),
    [
        ("pack.cells_continuous_A", 200.0, 120.0),
        ("pack.cells_continuous_A", 100.0, 100.0),
        ("pack.minimum_V", 40.0, 48.0),
        ("pack.minimum_V", 50.0, 50.0),
        ("pack.full_V", 60.0, 60.0),
    ],
)
def test_of_a_rating_known_twice_the_safer_counts(name: str, figure: float, safer: float) -> None:
    """A pack's figure beside its cells' does not hide what the cells withstand."""
    told = book({**PACK, "pack.cell.minimum_V": 3.0, name: figure})
    assert told.operand(name) == Operand(safer)
    assert told.is_given(name)


def test_what_is_typical_overrules_no_rating() -> None:
    """A datasheet may allow more than most cells of the chemistry do."""
    told = book({"pack.series": 16, "pack.cell.chemistry": "nmc", "pack.minimum_V": 40.0})
    assert told.operand("pack.minimum_V") == Operand(40.0)


def test_what_is_worked_out_wins_over_what_is_typical() -> None:
    """The cell's own datasheet comes before the table of chemistries."""
    chemistry = {"pack.cell.chemistry": "nmc"}
    assert book({**PACK, **chemistry}).operand("pack.cell.full_V").value == 4.2
    without = {name: told for name, told in PACK.items() if name != "pack.cell.full_V"}
    found = book({**without, **chemistry}).entry("pack.cell.full_V")
    assert (found.value, found.origin) == (4.2, "typical")
    assert book(without).entry("pack.cell.full_V").origin == "unknown"


def test_a_worked_entry_says_what_it_came_from() -> None:
    """The working names its inputs in the order of the formula."""
    found = book(PACK).entry("pack.cells_continuous_A")
    assert (found.origin, found.value) == ("worked", 120.0)
    assert found.inputs == ("pack.parallel", "pack.cell.continuous_A")
    assert found.given is None and found.worked is not None
    given_one = book(PACK).entry("pack.series")
    assert given_one.given is not None and given_one.worked is None and given_one.inputs == ()


@pytest.mark.parametrize(
    ("values", "absent", "value", "side"),
    [
        pytest.param({"pack.bms.continuous_A": 90.0}, (), 90.0, EXACT, id="the board is less"),
        pytest.param({"pack.bms.continuous_A": 150.0}, (), 120.0, EXACT, id="the cells are less"),
        pytest.param({}, (), 120.0, NO_MORE, id="the board is not told"),
        pytest.param({}, ("pack.bms",), 120.0, EXACT, id="there is no board"),
    ],
)
def test_the_least_of_cells_and_board(
    values: dict[str, Any], absent: tuple[str, ...], value: float, side: str
) -> None:
    """6 × 20 A of cells, and what the board lets through: the weaker one counts."""
    found = book({**PACK, **values}, absent).operand("pack.continuous_A")
    assert (found.value, found.side) == (value, side)


def test_a_bound_names_what_would_make_it_exact() -> None:
    """The reader is asked for the board's rating, not for a quantity in between."""
    assert book(PACK).operand("pack.continuous_A").missing == {"pack.bms.continuous_A"}


SAG = {"pack.resistance_mohm": 60.0, "pack.nominal_V": 57.6, "settings.battery_current_A": 100.0}
CABLE = {"wiring.battery_cable_mohm": 10.0}


@pytest.mark.parametrize(
    ("name", "values", "value", "side"),
    [
        pytest.param("pack.loop_mohm", CABLE, 70.0, EXACT, id="pack and cable"),
        pytest.param("pack.loop_mohm", {}, 60.0, NO_LESS, id="the cable adds to it"),
        pytest.param("pack.sag_V", CABLE, 7.0, EXACT, id="100 A through 70 mΩ"),
        pytest.param("pack.sag_V", {}, 6.0, NO_LESS, id="a bound that rises with its input"),
        pytest.param("pack.loaded_V", CABLE, 50.6, EXACT, id="57.6 V less 7 V"),
        pytest.param("pack.loaded_V", {}, 51.6, NO_MORE, id="a bound that falls with its input"),
    ],
)
def test_a_bound_passes_through_a_formula(
    name: str, values: dict[str, float], value: float, side: str
) -> None:
    """Without the cable the sag is at least what the pack loses, and the volts at most the rest."""
    found = book({**SAG, **values}).operand(name)
    assert (found.value, found.side) == (pytest.approx(value), side)


@pytest.mark.parametrize(
    ("values", "missing"),
    [
        ({}, {"pack.parallel", "pack.cell.continuous_A"}),
        ({"pack.parallel": 6}, {"pack.cell.continuous_A"}),
        ({"pack.cell.continuous_A": 20.0}, {"pack.parallel"}),
    ],
)
def test_missing_names_the_roots(values: dict[str, Any], missing: set[str]) -> None:
    """Down to keys that a person can fill in."""
    found = book({**values, "settings.battery_current_A": 1.0}).operand("pack.cells_continuous_A")
    given_whole = {"pack.continuous_A"}
    assert found.value is None
    assert found.missing in (missing, given_whole)


def test_a_builder_who_told_nothing_is_asked_for_the_entry_itself() -> None:
    """For the pack's volts, not for cells in series and volts a cell; nothing is known of them."""
    told = book({}).operand("pack.full_V")
    assert told == Operand(None, EXACT, frozenset({"pack.full_V"}))


def test_what_is_below_a_missing_section_is_not_asked_for() -> None:
    """A vehicle without a fuse lacks no fuse rating."""
    found = book({}, ("wiring.fuse",))
    assert found.operand("wiring.fuse.rated_A").side == "absent"
    assert not found.operand("wiring.fuse.rated_A").missing
    assert found.entry("wiring.fuse.rated_A").origin == "absent"
    assert found.operand("wiring.battery_cable_mm2").missing == {"wiring.battery_cable_mm2"}


def test_what_is_worked_out_of_what_is_not_there_is_absent() -> None:
    """Without a precharge nothing takes any time to charge."""
    without = book({}, ("wiring.precharge",))
    entry = without.entry("wiring.precharge_time_s")
    assert not without.is_absent("wiring.precharge_time_s")
    assert (entry.origin, entry.operand.side) == ("absent", "absent")


def test_a_section_of_a_like_name_stays() -> None:
    """`wiring.fuse: none` says nothing of a key that only begins the same."""
    found = book({"wiring.contactor.rated_A": 200.0}, ("wiring.fuse",))
    assert found.operand("wiring.contactor.rated_A").value == 200.0
    assert not found.is_absent("wiring.fuse")
    assert not found.is_absent("wiring.fuse_holder")


def test_a_number_said_to_be_none_is_absent() -> None:
    """`lost_above_V: none` is an answer, and no number."""
    found = book({"settings.throttle.lost_above_V": None})
    assert found.operand("settings.throttle.lost_above_V").side == "absent"
    entry = found.entry("settings.throttle.lost_above_V")
    assert entry.origin == "absent" and entry.given is not None
    assert found.operand("given(settings.throttle.lost_above_V)").value is False


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("pack.series", True),
        ("pack.nominal_V", False),
        ("pack.full_V", True),
        ("pack.cells_continuous_A", True),
        ("pack.resistance_mohm", False),
        ("pack.cell.nominal_V", False),
    ],
)
def test_given_is_yes_or_no(name: str, told: bool) -> None:
    """What can be worked out counts as given, and what is only typical does not."""
    assert book(PACK).operand(f"given({name})").value is told


def test_what_is_typical_was_not_given() -> None:
    """A table's value must not pass for a datasheet's."""
    found = book({"pack.cell.chemistry": "lfp"})
    assert found.operand("pack.cell.full_V").value == 3.65
    assert found.operand("given(pack.cell.full_V)").value is False


def test_a_second_formula_stands_in_for_the_first() -> None:
    """Without a rolled-out tyre its size will do."""
    rolled = {"drivetrain.circumference_mm": 1960.0, "drivetrain.tyre": "90/100-18"}
    sized = {"drivetrain.tyre": "90/100-18"}
    assert book(rolled).operand("drivetrain.circumference_m").value == pytest.approx(1.96)
    # UN Regulation No. 75 has 457 mm for a rim of code 18; twice 90 mm of rubber, once round.
    assert book(sized).operand("drivetrain.circumference_m").value == pytest.approx(
        3.14159265 * (457 + 2 * 90) / 1000
    )


def test_a_name_that_nobody_knows_is_unknown() -> None:
    """A look-up never fails; the judge decides what to do without."""
    assert book(PACK).operand("pack.colour").missing == {"pack.colour"}


def test_the_shops_allowance_is_in_the_book() -> None:
    """Rules read what the shop decided, and say where it came from."""
    found = Book({}, {**HOUSE, "house.drop_percent": 2.0}, TODAY).entry("house.drop_percent")
    assert (found.value, found.origin) == (2.0, "house")


@pytest.mark.parametrize("name", ["pack.series", "pack.full_V", "pack.colour", "judged.on"])
def test_a_line_of_the_book_bears_its_own_name(name: str) -> None:
    """The working of a finding is printed from these lines."""
    assert book(PACK).entry(name).name == name


def test_the_day_of_judgement_is_the_shops() -> None:
    """Nobody enters it, and the age of a reading hangs on it."""
    told = book({}).entry("judged.on")
    assert (told.value, told.origin) == (TODAY, "house")
    assert told.operand == book({}).operand("judged.on")


# A change leaves nothing stale.

POOL: dict[str, list[Any]] = {}
REMOVED = "removed"


@cache
def examples() -> tuple[tuple[dict[str, Any], frozenset[str]], ...]:
    """What the example vehicles give, which is also the pool that changes are drawn from."""
    found = []
    for path in sorted(VEHICLES.glob("*.yaml")):
        profile = load(path)
        values = {name: told.value for name, told in profile.givens.items()}
        found.append((values, profile.absent))
        for name, value in values.items():
            POOL.setdefault(name, [])
            if value not in POOL[name]:
                POOL[name].append(value)
    for name, entry in canonical().items():
        if entry.kind == "section":
            POOL[name] = ["none", "fitted"]
    return tuple(found)


@st.composite
def changes(draw: st.DrawFn) -> dict[str, Any]:
    """A few quantities with other values, `none` sections and removals among them."""
    examples()
    sections = [name for name in POOL if canonical()[name].kind == "section"]
    names = draw(
        st.lists(
            st.one_of(
                st.sampled_from(sorted(POOL)),
                st.sampled_from(sections),
                st.just("pack.cell.chemistry"),
            ),
            min_size=1,
            max_size=6,
            unique=True,
        )
    )
    return {name: draw(st.sampled_from([*POOL[name], REMOVED])) for name in names}


def as_changes(new: Mapping[str, Any]) -> dict[str, Given | None]:
    return {name: None if told == REMOVED else entered(name, told) for name, told in new.items()}


def told_after(values: Mapping[str, Any], new: Mapping[str, Any]) -> dict[str, Any]:
    return {name: told for name, told in {**values, **new}.items() if told != REMOVED}


def absent_after(absent: frozenset[str], new: Mapping[str, Any]) -> frozenset[str]:
    """The sections without their thing: as before, but for those that the change speaks of."""
    shut = {name for name, told in new.items() if told == "none"}
    return frozenset(name for name in absent if name not in new) | shut


EVERY = sorted({*canonical(), *WORKED})


def agree(one: Book, other: Book) -> bool:
    """Whether two books say the same of everything; what they differ in fails the test."""
    first, second = reading(one), reading(other)
    differing = {name: (first[name], second[name]) for name in EVERY if first[name] != second[name]}
    assert not differing
    return True


def reading(one: Book) -> dict[str, tuple[Any, ...]]:
    """All that a book says."""
    said: dict[str, tuple[Any, ...]] = {}
    for name in EVERY:
        entry = one.entry(name)
        said[name] = (entry.operand, entry.origin, entry.inputs, entry.given, one.is_given(name))
        assert one.operand(name) == entry.operand
    return said


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_changed_book_reads_like_a_fresh_one(data: st.DataObject) -> None:
    """A tune change, a mode, a trial of a window: never an answer from before."""
    values, absent = examples()[data.draw(st.integers(0, len(examples()) - 1))]
    # The profile's own "none" sections are among its values, so absence is in both.
    first = book(values, tuple(absent))
    asked = EVERY[:: data.draw(st.sampled_from([1, 2, 3, 7, 1000]))]
    for name in asked:
        first.operand(name)
    new, newer = data.draw(changes()), data.draw(changes())
    second = first.changed(as_changes(new))
    told, gone = told_after(values, new), absent_after(absent, new)
    assert agree(second, book(told, tuple(gone)))
    third = second.changed(as_changes(newer))
    told, gone = told_after(told, newer), absent_after(gone, newer)
    assert agree(third, book(told, tuple(gone)))
    assert agree(first, book(values, tuple(absent)))
