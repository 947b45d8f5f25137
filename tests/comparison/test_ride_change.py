"""What a change makes of the ride is told first, by the figures that a rider notices."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from typing import Any

import pytest
from gonogo.comparison.comparison import Comparison
from gonogo.comparison.ride_change import FIRST_FIGURES, RideChange
from ruamel.yaml import YAML

from .revision import EXAMPLES, Plain, changed, compared
from .test_report import report, validator

Alter = Callable[[Mapping[str, Any]], Comparison]
WEIGHED = {
    "vehicle.rolling_resistance": 0.015,
    "vehicle.drag_area_m2": 0.6,
    "vehicle.steepest_grade_percent": 12,
    "drivetrain.efficiency": 0.93,
}


@pytest.fixture(scope="module")
def tune() -> Plain:
    """A vehicle whose drive and road are known, so that its figures are."""
    text = (EXAMPLES / "revisions" / "hotter-tune" / "before.yaml").read_text("utf-8")
    document: Plain = YAML(typ="safe").load(text)
    return changed(document, WEIGHED)


def told(old: Plain, changes: Mapping[str, Any]) -> dict[tuple[str, str], RideChange]:
    return {(one.mode, one.figure): one for one in compared(old, changed(old, changes)).ride}


def test_a_lower_speed_limit_lowers_the_top_speed_by_its_share(tune: Plain) -> None:
    """By hand: 2,400 rpm through 8.6:1 on 1.98 m a turn are 33.15 km/h, and the limit is named."""
    top = told(tune, {"settings.max_rpm": 2400})["", "top_speed_km_h"]
    assert top.new.high == pytest.approx(2400 / 8.6 * 1.98 * 60 / 1000, rel=1e-4)
    assert top.new_limit == "settings.max_rpm"
    assert (top.share or 0.0) < 0.0


def test_less_phase_current_is_less_push_in_proportion(tune: Plain) -> None:
    """Torque is proportional to current; 60 A of them are far from the tyre's grip."""
    push = told(
        changed(tune, {"settings.phase_current_A_rms": 80}), {"settings.phase_current_A_rms": 60}
    )["", "peak_force_N"]
    assert push.old.high is not None and push.new.high is not None
    assert push.new.high / push.old.high == pytest.approx(0.75, rel=1e-5)
    assert push.share == pytest.approx(-0.25, abs=1e-4)


def test_both_ranges_are_told_at_one_speed(tune: Plain) -> None:
    """A slower vehicle's own cruise is slower and goes further: beside the old one that misleads."""
    known = told(tune, {"vehicle.mass_kg": 200, "settings.max_rpm": 2400})
    (one,) = [change for key, change in known.items() if key[1] == "range_km"]
    assert one.old_at == one.new_at is not None
    ends = (one.old.high, one.new.high)
    assert ends[0] is not None and ends[1] is not None and ends[1] < ends[0]


def test_what_does_not_touch_the_ride_tells_none(tune: Plain) -> None:
    assert told(tune, {"settings.throttle.ramp_ms": 400}) == {}
    assert compared(tune, tune).ride == ()


def test_a_mode_is_told_where_it_moves_otherwise(tune: Plain) -> None:
    """A mode that only inherits the change is not repeated."""
    slow = changed(tune, {"modes.town.max_rpm": 1500, "modes.plain.throttle.ramp_ms": 500})
    known = told(slow, {"modes.town.max_rpm": 1800})
    assert {mode for mode, _ in known} == {"town"}
    inherited = told(slow, {"settings.max_rpm": 2400})
    assert {mode for mode, _ in inherited} == {""}


def test_turned_about_the_figures_are_the_same(tune: Plain) -> None:
    other = changed(tune, {"settings.battery_current_A": 50, "settings.max_rpm": 3000})
    there, back = compared(tune, other).ride, compared(other, tune).ride
    assert there
    assert [(one.figure, one.old, one.new) for one in there] == [
        (one.figure, one.new, one.old) for one in back
    ]


def test_a_figure_that_is_lost_says_why(tune: Plain) -> None:
    """A ratio that was taken out is no unchanged ride."""
    top = told(tune, {"drivetrain": None})["", "top_speed_km_h"]
    assert (top.new.low, top.new.high) == (None, None)
    assert "drivetrain.ratio" in str(top.new.missing) or top.new.missing


def test_every_figure_moves_with_something(tune: Plain) -> None:
    """The table of figures has none that no change reaches."""
    heavy = {"vehicle.rider_kg": 260, "settings.phase_current_A_rms": 150}
    heavy |= {"vehicle.steepest_grade_percent": 20, "motor.mass_kg": 5, "settings.max_rpm": 3000}
    hot = changed(tune, {"vehicle.steepest_grade_percent": 18, "vehicle.rider_kg": 200})
    figures = {figure for _, figure in told(hot, heavy)}
    assert figures == {name for name, *_ in FIRST_FIGURES}


@pytest.mark.usefixtures("frozen")
@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_the_ride_stands_before_the_calculated_values(form: str, tune: Plain) -> None:
    said = report(form, tune, changed(tune, {"settings.max_rpm": 2400}))
    assert said.index("The ride: figures") < said.index("Calculated values")
    assert "top speed" in said and "motor speed limit" in said


@pytest.mark.usefixtures("frozen")
def test_the_record_has_both_sides_and_what_limits_them(tune: Plain) -> None:
    record = json.loads(report("json", tune, changed(tune, {"settings.max_rpm": 2400})))
    validator().validate(record)
    (top,) = [one for one in record["ride"] if one["figure"] == "top_speed_km_h"]
    assert top["new"]["limited_by"] == "settings.max_rpm"
    assert math.isclose(top["new"]["high"], 2400 / 8.6 * 1.98 * 0.06, rel_tol=1e-4)
    assert top["mode"] is None and top["unit"] == "km_h"


def test_of_several_motors_the_vehicle_s_ride_is_told_once() -> None:
    """A limit of one of two motors: by hand, the slow one's 1,500 rpm ends its push, not the ride."""
    text = (EXAMPLES.parent / "tests" / "hazards" / "sound" / "twin-hub-scooter.yaml").read_text()
    twin: Plain = YAML(typ="safe").load(text)
    ride = compared(twin, changed(twin, {"settings.phase_current_A_rms": 10})).ride
    push = next(one for one in ride if one.figure == "peak_force_N")
    assert push.mode == "" and push.old.high is not None and push.new.high is not None
    was = twin["settings"].get("phase_current_A_rms") or (
        twin["settings"]["phase_current_A_peak"] / math.sqrt(2.0)
    )
    assert push.new.high / push.old.high == pytest.approx(10.0 / was, rel=1e-4)
