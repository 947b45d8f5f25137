"""Tolerances that a part states of itself, and a profile of its vehicle."""

from __future__ import annotations

from pathlib import Path

import gonogo
import pytest
from gonogo.documents.error import DocumentErrors
from gonogo.tolerances.corners import Room

from .example_vehicles import DAY

PART = """gonogo: part/1
part:
  name: Hub
  tolerance: {%s}
motor: {kv_rpm_per_V: 60, phase_to_neutral_mohm: 40, magnets: 16}
"""
PROFILE = """gonogo: profile/1
vehicle: {name: Larch, min_ambient_degC: 10}
pack: {full_V: 58.8, nominal_V: 50.4}
motor: {part: hub.yaml%s}
"""


def rooms(folder: Path, told: str, beside: str = "", more: str = "") -> dict[str, Room]:
    """The room of each entry of a vehicle whose motor's part states these tolerances."""
    (folder / "hub.yaml").write_text(PART % told, "utf-8")
    (folder / "house.yaml").write_text("gonogo: house/1\n", "utf-8")
    path = folder / "larch.yaml"
    path.write_text(PROFILE % beside + more, "utf-8")
    return {room.quantity: room for room in gonogo.corners(path, DAY).rooms}


@pytest.mark.parametrize(
    ("told", "low", "high"),
    [
        pytest.param("", 57.0, 63.0, id="5 % of what is usual"),
        pytest.param("kv_rpm_per_V: 1", 59.4, 60.6, id="percent"),
        pytest.param("kv_rpm_per_V: 12 %", 52.8, 67.2, id="a wider one counts too"),
        pytest.param("kv_rpm_per_V: 2 rpm/V", 58.0, 62.0, id="in the unit of the entry"),
        pytest.param("kv_rpm_per_V: 0", 60.0, 60.0, id="exact"),
    ],
)
def test_a_part_knows_its_spread_better_than_the_table(
    tmp_path: Path, told: str, low: float, high: float
) -> None:
    """60 rpm/V by hand; hot magnets still add their 8 % above, and cold ones divide by 1.03 below."""
    room = rooms(tmp_path, told)["motor.kv_rpm_per_V"]
    assert room.side == pytest.approx((low / 1.03, high * 1.08))
    reasons = " ".join(reach.tolerance.reason for reach in room.reaches)
    stated = bool(told) and "V: 0" not in told
    assert ("hub.yaml, line 4" in reasons) == stated
    assert ("differ by some five percent" in reasons) == (not told)


def test_an_amount_in_another_unit_is_turned_into_that_of_the_entry(tmp_path: Path) -> None:
    """40 mΩ within 0.002 Ω is 38 to 42 mΩ; a winding from cold to hot is 0.92 to 1.39 times that."""
    side = rooms(tmp_path, "phase_to_neutral_mohm: 0.002 ohm")["motor.phase_to_neutral_mohm"].side
    assert side == pytest.approx((0.92 * 38, 1.39 * 42))


def test_what_is_entered_beside_a_part_has_no_tolerance_of_the_part(tmp_path: Path) -> None:
    """A datasheet's spread says nothing of a value that somebody measured: the usual one counts."""
    room = rooms(tmp_path, "kv_rpm_per_V: 1", ", kv_rpm_per_V: 62")["motor.kv_rpm_per_V"]
    assert room.side.low == pytest.approx(0.95 * 62 / 1.03)


def test_the_profile_is_known_better_than_its_part(tmp_path: Path) -> None:
    """What was measured on this vehicle counts before the datasheet."""
    more = "tolerances: {motor.kv_rpm_per_V: 0.5 rpm/V}\n"
    room = rooms(tmp_path, "kv_rpm_per_V: 4", "", more)["motor.kv_rpm_per_V"]
    assert room.side.low == pytest.approx(59.5 / 1.03)
    assert "larch.yaml, line 5" in room.reaches[0].tolerance.reason


@pytest.mark.parametrize(
    ("told", "line", "column", "says"),
    [
        pytest.param("kv_rpm_per: 1", 4, 15, "kv_rpm_per_V", id="a slip of the key"),
        pytest.param("magnets: 1", 4, 15, "a number that this part states", id="a count"),
        pytest.param(
            "no_load_A: 5", 4, 15, "a number that this part states", id="what it does not state"
        ),
        pytest.param("kv_rpm_per_V: 2 mohm", 4, 29, "2 rpm/V", id="a unit of another kind"),
        pytest.param("kv_rpm_per_V: 31 rpm/V", 4, 29, "at most half", id="more than half"),
        pytest.param("kv_rpm_per_V: 60 %", 4, 29, "0 to 50", id="more percent than any"),
        pytest.param("kv_rpm_per_V: -1", 4, 29, "0", id="below nought"),
        pytest.param("kv_rpm_per_V: wide", 4, 29, "a number with its unit", id="a word"),
    ],
)
def test_a_wrong_tolerance_of_a_part_is_an_error_at_its_place(
    tmp_path: Path, told: str, line: int, column: int, says: str
) -> None:
    """It would narrow nothing, in silence."""
    with pytest.raises(DocumentErrors) as caught:
        rooms(tmp_path, told)
    error = caught.value.errors[0]
    assert (error.line, error.column) == (line, column)
    assert error.file.endswith("hub.yaml")
    assert says in str(error)
