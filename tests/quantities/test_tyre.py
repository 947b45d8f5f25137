"""Tyre markings."""

from __future__ import annotations

import pytest
from gonogo.quantities import drivetrain, tyre
from gonogo.quantities.operand import NotWorked


@pytest.mark.parametrize(
    ("marking", "diameter_mm"),
    [
        pytest.param("90/90-21", 533 + 2 * 81, id="width / aspect - rim code"),
        pytest.param("90/90 - 21 54R", 533 + 2 * 81, id="with load index and speed letter"),
        pytest.param("120/70 R 17", 432 + 2 * 84, id="radial"),
        pytest.param("120/70ZR17 M/C (58W)", 432 + 2 * 84, id="radial with its speed in it"),
        pytest.param("130/90B16", 406 + 2 * 117, id="bias-belted"),
        pytest.param("145/70-6", 152 + 2 * 101.5, id="a small quad's"),
        pytest.param("205/50-10", 254 + 2 * 102.5, id="a cart's"),
        pytest.param("90/90–21", 533 + 2 * 81, id="typed with a long dash"),
        pytest.param("2.75-18", 457 + 2 * 2.75 * 25.4, id="inch section"),
        pytest.param("3.00-10 42J", 254 + 2 * 3.00 * 25.4, id="scooter, inch section"),
        pytest.param("3.00 S 18", 457 + 2 * 3.00 * 25.4, id="the old form, speed letter inside"),
        pytest.param("2 1/4-16", 406 + 2 * 2.25 * 25.4, id="moped, a fraction"),
        pytest.param("47-622", 622 + 2 * 47, id="ISO 5775"),
        pytest.param("37-622 (28 x 1.40)", 622 + 2 * 37, id="ISO 5775 with the inch name behind"),
        pytest.param("20 x 1.75 (47-406)", 406 + 2 * 47, id="the inch name in front"),
        pytest.param("23-622", 622 + 2 * 25.5, id="a narrow tyre is 2.5 mm higher than wide"),
        pytest.param("28-622", 622 + 2 * 28, id="from 28 mm on it is not"),
        pytest.param("47-254", 254 + 2 * 47, id="14 inches, 14 x 1.75"),
        pytest.param("47-110", 110 + 2 * 47, id="a child's scooter"),
        pytest.param("700 x 38C", 622 + 2 * 38, id="the French name"),
        pytest.param("AT 25x8-12", 25 * 25.4, id="a quad's, overall diameter first"),
        pytest.param("11X7.10-5", 11 * 25.4, id="a kart's"),
    ],
)
def test_a_marking_stands_for_an_unloaded_diameter(marking: str, diameter_mm: float) -> None:
    """Speed and gearing start from it; a tape round the wheel is still better."""
    assert drivetrain.tyre_diameter(marking) == pytest.approx(diameter_mm)


@pytest.mark.parametrize(
    ("marking", "reason"),
    [
        pytest.param("20x2.125", "fits several tyres", id="inches: 406 or 451 mm"),
        pytest.param("26 x 1.75", "fits several tyres", id="inches with spaces"),
        pytest.param("28 x 1 5/8 x 1 3/8", "fits several tyres", id="inches with fractions"),
        pytest.param("10 x 2.5", "fits several tyres", id="a scooter board's"),
        pytest.param("10x2.50", "measure the circumference", id="a scooter's, in inches"),
        pytest.param("8.5x2", "measure the circumference", id="a smaller one's"),
        pytest.param("26x4.0", "measure the circumference", id="a fat tyre: the rim is not said"),
        pytest.param(
            "200x50", "measure the circumference", id="a scooter's, in mm without the rim"
        ),
        pytest.param("4.10-18", "low section", id="a low section in inches"),
        pytest.param("90/90-31", "rim of code 31", id="a rim that does not exist"),
        pytest.param("47-621", "bead seat of 621", id="a bead seat that does not exist"),
        pytest.param("8x25-12", "larger than the tyre", id="a quad's, turned round"),
        pytest.param("MT90-16", "no tyre marking", id="letters for the width"),
        pytest.param("round and black", "no tyre marking", id="no marking at all"),
    ],
)
def test_a_marking_that_fits_several_tyres_or_none_is_unknown(marking: str, reason: str) -> None:
    """Nothing is guessed: the circumference can always be measured."""
    with pytest.raises(NotWorked, match=reason):
        tyre.diameter_mm(marking)


@pytest.mark.parametrize(
    ("marking", "symbol"),
    [
        ("90/90-21 54R", "R"),
        ("100/90-19 M/C 57P TL", "P"),
        ("2.75-18 42J", "J"),
        ("90/90-21", None),
        ("47-622", None),
        ("AT 25x8-12 43N", None),
    ],
)
def test_the_speed_letter_follows_the_load_index(marking: str, symbol: str | None) -> None:
    """A whole marking says how fast the tyre may go."""
    assert tyre.speed_symbol(marking) == symbol


def test_a_speed_comes_from_the_letter_and_the_letter_from_the_whole_marking() -> None:
    """J is 100 km/h (UN R75)."""
    assert drivetrain.tyre_speed_symbol("2.75-18 42J") == "J"
    assert drivetrain.tyre_speed("J") == 100.0
    with pytest.raises(NotWorked):
        drivetrain.tyre_speed("I")
    with pytest.raises(NotWorked):
        drivetrain.tyre_speed_symbol("2.75-18")


@pytest.mark.parametrize(
    ("marking", "bicycle"),
    [
        pytest.param("47-406", True, id="ISO 5775"),
        pytest.param("20 x 1.75 (47-406)", True, id="with the inch name in front"),
        pytest.param("700 x 38C", True, id="French"),
        pytest.param("26 x 2.1", True, id="inches without a rim"),
        pytest.param("90/90-21 54R", False, id="a motorcycle's"),
        pytest.param("2.75-17", False, id="a moped's"),
        pytest.param("AT 25x8-12", False, id="a quad's"),
        pytest.param("11X7.10-5", False, id="a kart's"),
        pytest.param("round and black", False, id="no marking"),
    ],
)
def test_a_bicycle_tyre_is_known_by_its_form(marking: str, bicycle: bool) -> None:
    """It names neither speed nor load, and is not made for a motor vehicle's."""
    assert drivetrain.tyre_is_bicycle(marking) is bicycle


@pytest.mark.parametrize(
    ("marking", "index"),
    [("90/90-21 54R", 54), ("3.00-10 42J", 42), ("90/90-21", None), ("47-406", None)],
)
def test_a_service_description_names_the_load(marking: str, index: int | None) -> None:
    """The number before the speed letter, behind the size."""
    assert tyre.load_index(marking) == index
