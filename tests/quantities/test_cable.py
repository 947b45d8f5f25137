"""What battery and phase cables carry."""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.quantities.cable import cable_table
from gonogo.quantities.operand import EXACT, NO_MORE, NotWorked, Operand

from .test_book import book

KINDS = pytest.mark.parametrize("kind", ["battery", "phase"])


def carries(kind: str, what: str, **told: Any) -> Operand:
    """What a book makes of one cable: `most_A` of a cable with `mm2` 10, say."""
    given = {f"wiring.{kind}_cable_{key}": value for key, value in told.items()}
    return book(given).operand(f"wiring.{kind}_cable_{what}")


@KINDS
@pytest.mark.parametrize(
    ("section_mm2", "least_A", "most_A"),
    [
        pytest.param(10.0, 73.0, 73.0, id="of the table"),
        pytest.param(5.26, 42.0, 49.77, id="gauge 10 between 4 and 6 mm²"),
        pytest.param(13.3, 73.0, 87.28, id="gauge 6 between 10 and 16 mm²"),
    ],
)
def test_a_section_carries_between_its_neighbours(
    kind: str, section_mm2: float, least_A: float, most_A: float
) -> None:
    """DIN VDE 0298-4, table 11: nothing between two rows is left unjudged."""
    told = {"mm2": section_mm2, "insulation_degC": 70.0}
    assert carries(kind, "A", **told) == Operand(least_A)
    assert carries(kind, "most_A", **told).value == pytest.approx(most_A, rel=1e-3)


@KINDS
def test_insulation_untold_is_pvc_to_count_on_and_silicone_at_best(kind: str) -> None:
    """16 mm² carries 98 A by the table; at 180 °C √(150/40 · 1.1965/1.6288) times as much."""
    assert carries(kind, "A", mm2=16.0).value == 98.0
    assert carries(kind, "most_A", mm2=16.0).value == pytest.approx(98.0 * 1.6597, rel=1e-3)
    told = carries(kind, "A", mm2=16.0, insulation_degC=180.0).value
    assert told == pytest.approx(98.0 * 1.6597, rel=1e-3)


@KINDS
@pytest.mark.parametrize(
    ("told", "least_A", "most_A"),
    [
        pytest.param({"A": 110.0}, 110.0, 110.0, id="as stated"),
        pytest.param({"A": 110.0, "mm2": 25.0}, 110.0, 110.0, id="within its section"),
        pytest.param({"A": 300.0, "mm2": 25.0}, 214.1, 214.1, id="more than its section can"),
    ],
)
def test_a_stated_current_holds_as_far_as_the_section_allows(
    kind: str, told: dict[str, float], least_A: float, most_A: float
) -> None:
    """What a seller prints is for seconds; 25 mm² carries 129 A × 1.66 at best."""
    given = {("stated_A" if key == "A" else key): value for key, value in told.items()}
    assert carries(kind, "A", **given).value == pytest.approx(least_A, abs=0.1)
    assert carries(kind, "most_A", **given).value == pytest.approx(most_A, abs=0.1)


@KINDS
def test_a_cable_thinner_than_the_table_carries_no_more_than_its_smallest(kind: str) -> None:
    """0.5 mm² may be far less than the 15 A of 0.75 mm², never more."""
    told = {"mm2": 0.5, "insulation_degC": 70.0}
    found = carries(kind, "A", **told)
    assert (found.value, found.side) == (15.0, NO_MORE)
    assert carries(kind, "A", mm2=0.75).side == EXACT


@KINDS
def test_a_bundle_carries_less(kind: str) -> None:
    """Three together carry 0.7 of what each carries alone."""
    given = {
        f"wiring.{kind}_cable_mm2": 10.0,
        f"wiring.{kind}_cable_insulation_degC": 70.0,
        "wiring.cables_bundled": True,
    }
    bundled = book(given)
    assert bundled.operand(f"wiring.{kind}_cable_A").value == pytest.approx(0.7 * 73.0)
    assert bundled.operand(f"wiring.{kind}_cable_most_A").value == pytest.approx(0.7 * 73.0)


@KINDS
def test_a_hot_day_takes_from_both_sides(kind: str) -> None:
    """PVC at 45 °C carries 0.79 of its current at 30 °C."""
    given = {f"wiring.{kind}_cable_mm2": 10.0, f"wiring.{kind}_cable_insulation_degC": 70.0}
    hot = book({**given, "vehicle.max_ambient_degC": 45.0})
    for what in ("A", "most_A"):
        found = hot.operand(f"wiring.{kind}_cable_{what}").value
        assert found == pytest.approx(0.79 * 73.0, rel=5e-3)


def test_air_as_hot_as_the_insulation_leaves_nothing() -> None:
    """No square root of a negative number, and no cable that cools in a fire."""
    with pytest.raises(NotWorked, match="as warm as the insulation"):
        cable_table(10.0, 70.0, 0.7, 70.0)


@KINDS
@pytest.mark.parametrize(
    ("section_mm2", "usual"),
    [
        pytest.param(16.0, True, id="IEC 60228"),
        pytest.param(8.37, True, id="gauge 8"),
        pytest.param(3.3, True, id="gauge 12, rounded"),
        pytest.param(14.0, False, id="gauge 14 typed as mm²"),
        pytest.param(8.0, True, id="gauge 8 typed as mm², which is 8.4"),
        pytest.param(12.0, False, id="gauge 12 typed as mm²"),
    ],
)
def test_a_gauge_number_is_no_section(kind: str, section_mm2: float, usual: bool) -> None:
    """Gauge 14 is 2.1 mm²: typed as 14 mm² it looks seven times thicker."""
    assert carries(kind, "section_usual", mm2=section_mm2).value is usual


def test_the_path_is_no_better_than_what_is_told_of_it() -> None:
    """A fuse of 70 A settles that 100 A is too much, not that 60 A is well."""
    told = {"wiring.fuse.rated_A": 70.0, "pack.connector_A": 60.0}
    weakest = book(told).operand("wiring.path_A")
    assert (weakest.value, weakest.side) == (60.0, NO_MORE)
    assert weakest.missing == {"wiring.contactor.rated_A"}
    without = book({**told, "wiring.contactor": "none"}, absent=("wiring.contactor",))
    assert without.operand("wiring.path_A") == Operand(60.0)
