"""Two motors meant to be equal are held against each other, and only where their readings compare."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from gonogo import check
from gonogo.judgement.equal_motors import offset_gap_deg
from gonogo.tables.table import table

from ..hazards.test_hazards import DAY, changed, found, loaded, written
from ..hazards.test_two_motors import of_rule

APART, TURNED = "equal-motors-read-differently", "equal-motors-wired-differently"


def told(front: Any, rear: Any, folder: Path, **more: Any) -> list[str]:
    """What is said of two equal hubs with these readings, and `more` of the vehicle."""
    change = {"motors": {"front": {"readings": front}, "rear": {"readings": rear}}}
    build = changed(changed(loaded("sound/scooter-all-wheels.yaml"), change), more)
    judgement = check(written(build, folder), as_of=DAY)
    return [one.message for one in of_rule(judgement, APART)]


def identified(**values: float) -> Any:
    return {"identification": {"found": values}}


@pytest.mark.parametrize("row", table("equal_motors")["rows"], ids=lambda row: row["reading"])
def test_each_band_says_why_it_is_so_wide(row: Any) -> None:
    """A band that nobody can argue with is worth nothing in a year."""
    assert row["why"] and row["look"]
    assert row["percent"] or row["apart"]


@pytest.mark.parametrize(
    ("key", "low", "within", "past"),
    [
        pytest.param("phase_to_neutral_mohm", 100, 121, 121.1, id="a fifth and 1 mΩ"),
        pytest.param("phase_inductance_uH", 200, 250, 250.2, id="a quarter"),
        pytest.param("flux_linkage_mVs", 25, 27, 27.1, id="8 % of flux"),
        pytest.param("kv_rpm_per_V", 13.5, 14.58, 14.6, id="8 % of kv"),
        pytest.param("offset_forward_deg", 350, 5, 6, id="15° through nought"),
    ],
)
def test_what_was_identified_agrees_within_its_band(
    key: str, low: float, within: float, past: float, tmp_path: Path
) -> None:
    """On the limit two motors are alike, just past it one of the two is wrong."""
    assert told(identified(**{key: low}), identified(**{key: within}), tmp_path) == []
    (said,) = told(identified(**{key: low}), identified(**{key: past}), tmp_path)
    assert "front" in said and "rear" in said


def test_the_finding_names_both_and_stands_at_the_higher_reading(tmp_path: Path) -> None:
    """Somebody has to know which two lines to look at."""
    change = {
        "motors": {
            "front": {"readings": identified(phase_to_neutral_mohm=145)},
            "rear": {"readings": identified(phase_to_neutral_mohm=108)},
        }
    }
    build = changed(loaded("sound/scooter-all-wheels.yaml"), change)
    judgement = check(written(build, tmp_path), as_of=DAY)
    (one,) = of_rule(judgement, APART)
    assert one.message == (
        "Motors rear and front are equal, but the identified winding resistance is 108 mΩ and"
        " 145 mΩ: over 20% and 1 mΩ apart."
    )
    key = "readings.identification.found.phase_to_neutral_mohm"
    assert one.entered_as == f"motors.front.{key}"
    assert "145" in judgement.profile.line(one.place)
    assert "108" in judgement.profile.line(one.related[0].place)


def test_a_slower_motor_that_its_speed_limit_held_says_nothing(tmp_path: Path) -> None:
    """It was not let go further."""
    slow = {"no_load": {"rpm": 520, "electrical_Hz": 130}}
    assert told(slow, {}, tmp_path) == []
    assert len(told({"no_load": {"rpm": 620, "electrical_Hz": 155}}, {}, tmp_path)) == 1


def test_speeds_at_part_throttle_or_other_weakening_say_nothing(tmp_path: Path) -> None:
    """A throttle that was opened less turns less."""
    part = {"no_load": {"throttle": "part", "rpm": 400, "electrical_Hz": 100, "battery_A": 0.4}}
    assert told(part, {}, tmp_path) == []
    weakened = {"no_load": {"field_weakening_A_rms": 10, "rpm": 950, "electrical_Hz": 237.5}}
    assert told(weakened, {}, tmp_path) == []


def test_speeds_are_compared_by_the_volt(tmp_path: Path) -> None:
    """The second test is taken on an emptier pack."""
    emptier = {"no_load": {"pack_V": 52, "rpm": 708, "electrical_Hz": 177}}
    assert told(emptier, {}, tmp_path) == []


def test_a_speed_and_its_frequency_are_told_once(tmp_path: Path) -> None:
    """One cause, one finding."""
    (said,) = told({"no_load": {"rpm": 700, "electrical_Hz": 175}}, {}, tmp_path)
    assert "motor speed" in said


def test_temperatures_of_a_vehicle_that_did_not_rest_are_not_compared(tmp_path: Path) -> None:
    """A hub in the sun and a hub in the shade."""
    warm = {"temperature": {"motor_degC": 24}}
    assert told(warm, {}, tmp_path)
    assert told(warm, {}, tmp_path, readings={"soaked_h": 0.5}) == []


def test_motors_with_other_currents_may_warm_differently(tmp_path: Path) -> None:
    """Heat goes with the square of the current."""
    hot = {"temperature": {"warm": {"motor_shown_degC": 80, "reference_degC": 77}}}
    assert len(told(hot, {}, tmp_path)) == 1
    change = {"motors": {"front": {"readings": hot, "settings": {"phase_current_A_rms": 30}}}}
    build = changed(loaded("sound/scooter-all-wheels.yaml"), change)
    assert APART not in found(check(written(build, tmp_path), as_of=DAY))


def test_a_mirrored_motor_may_count_its_offset_backward(tmp_path: Path) -> None:
    """Left and right turn against each other, and controllers do not agree which way they count."""
    front = identified(offset_forward_deg=30) | {"wheel_turned": "forward"}
    front["identification"]["for"] = {"direction": "reversed"}
    reversed_ = {"motors": {"front": {"settings": {"direction": "reversed"}}}}
    assert told(front, identified(offset_forward_deg=-28), tmp_path, **reversed_) == []
    assert told(front, identified(offset_forward_deg=0), tmp_path, **reversed_)


def test_two_of_one_part_file_are_equal_though_one_was_measured_itself(tmp_path: Path) -> None:
    """A figure beside the part does not make another motor of it."""
    build = changed(
        loaded("sound/scooter-all-wheels.yaml"),
        {
            "motors": {
                "front": {"readings": identified(phase_to_neutral_mohm=145)},
                "rear": {"readings": identified(phase_to_neutral_mohm=108)},
            }
        },
    )
    own = ("controller", "settings", "readings")
    leaflet = {key: value for key, value in build["motors"]["rear"].items() if key not in own}
    source = {"title": "Leaflet", "revision": "1", "page": "1"}
    part = {"gonogo": "part/1", "part": {"name": "Hub", "source": source}, "motor": leaflet}
    written(part, tmp_path, "hub")
    for name, extra in (("front", {"phase_to_neutral_mohm": 125}), ("rear", {})):
        kept = {key: build["motors"][name][key] for key in own if key in build["motors"][name]}
        build["motors"][name] = {"part": "hub.yaml", **extra, **kept}
    assert APART in found(check(written(build, tmp_path), as_of=DAY))


@pytest.mark.parametrize(
    "change",
    [{"magnets": 28}, {"kv_rpm_per_V": 15}, {"rated_power_W": 500}, {"max_rpm": 1300}],
    ids=lambda change: next(iter(change)),
)
def test_motors_of_two_labels_are_not_compared(change: Any, tmp_path: Path) -> None:
    """A front motor is often another one than the rear."""
    motors = {
        "front": {"readings": identified(phase_inductance_uH=250), **change},
        "rear": {"readings": identified(phase_inductance_uH=180)},
    }
    build = changed(loaded("sound/scooter-all-wheels.yaml"), {"motors": motors})
    assert APART not in found(check(written(build, tmp_path), as_of=DAY))


def test_offsets_are_compared_within_a_sixth_of_a_turn() -> None:
    """Three hall sensors tell six states: 42° and 162° are the same place with wires exchanged."""
    assert offset_gap_deg(42.0, 162.0) == 0.0
    assert offset_gap_deg(42.0, 72.0) == 30.0
    assert offset_gap_deg(42.0, 162.0, 360.0) == 120.0
