"""Where a finding points: at the line that a person would change first."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from gonogo.documents.profile import Profile
from gonogo.judgement.evaluation import book_of
from gonogo.judgement.explanation import Pointed, pointed, roots_given, section_place
from gonogo.judgement.rule import Rule

TEXT = """\
pack:
  parallel: 6
  cell:
    continuous_A: 20
  bms: none
settings:
  battery_current_A: 180
  throttle:
    start_V: 0.9
readings:
  throttle:
    rest_V: [0.8, 0.81]
"""
# `vehicle` adds two lines before: pack stands on line 3
LINE = {"pack": 3, "parallel": 4, "cell": 5, "continuous_A": 6, "settings": 8, "current": 9}
LINE |= {"throttle": 10, "start_V": 11, "rest_V": 14}


@pytest.fixture
def where(vehicle: Callable[..., Profile], rule: Callable[..., Rule]) -> Callable[..., Pointed]:
    """Where a rule with these keys points in the vehicle above."""

    def found(**data: Any) -> Pointed:
        profile = vehicle(TEXT)
        return pointed(rule(**data), book_of(profile, "2026-11-25"), profile)

    return found


def test_a_given_quantity_has_its_own_line(where: Callable[..., Pointed]) -> None:
    """The value to change."""
    at = where(of="settings.battery_current_A", at_most=100)
    assert (at.quantity, at.place.line, at.place.column) == (
        "settings.battery_current_A",
        LINE["current"],
        22,
    )


def test_a_worked_quantity_points_at_the_setting_behind_it(where: Callable[..., Pointed]) -> None:
    """Clearance is start less rest: a rider changes the start, not the reading."""
    at = where(of="throttle.clearance_V", at_least=0.1)
    assert (at.quantity, at.place.line) == ("settings.throttle.start_V", LINE["start_V"])


def test_a_worked_quantity_of_readings_points_at_the_reading(where: Callable[..., Pointed]) -> None:
    """No setting is behind the rest volts."""
    at = where(of="throttle.max_rest_V", at_most=1.0)
    assert (at.quantity, at.place.line) == ("readings.throttle.rest_V", LINE["rest_V"])


def test_a_worked_quantity_of_the_build_points_at_the_build(where: Callable[..., Pointed]) -> None:
    """Parallel groups times cell amperes: the pack as built."""
    at = where(of="pack.cells_continuous_A", at_least=150)
    assert (at.quantity, at.place.line) == ("pack.parallel", LINE["parallel"])


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("settings.throttle.full_V", LINE["throttle"]),
        ("settings.max_rpm", LINE["settings"]),
        ("pack.cell.peak_A", LINE["cell"]),
    ],
)
def test_what_is_missing_points_at_its_section(
    name: str, line: int, where: Callable[..., Pointed]
) -> None:
    """Where it would stand; the cursor lands beside the gap."""
    at = where(at=name, flag_when=f"not given({name})")
    assert (at.quantity, at.entered_as, at.place.line) == (name, name, line)


def test_what_has_no_section_points_at_the_profile(where: Callable[..., Pointed]) -> None:
    """Nothing of the wiring is told, so there is no line to show."""
    at = where(at="wiring.fuse", flag_when="not given(wiring.fuse)")
    assert at.place.line == 1


def test_a_section_said_to_be_none_points_at_that_line(where: Callable[..., Pointed]) -> None:
    """`bms: none` is what a reader has to think about again."""
    at = where(at="pack.bms", flag_when="pack.bms == 'none'")
    assert (at.quantity, at.place.line, at.place.column) == ("pack.bms", 7, 8)


def test_the_nearest_section_counts(vehicle: Callable[..., Profile]) -> None:
    """A missing key of a missing section stands in the section around it."""
    profile = vehicle(TEXT)
    assert section_place("settings.regen.stop_V", profile).line == LINE["settings"]
    assert section_place("motor.magnets", profile) == profile.place


def test_roots_are_what_was_given(vehicle: Callable[..., Profile]) -> None:
    """Each once, in the order in which the formula asks."""
    book = book_of(vehicle(TEXT), "2026-11-25")
    assert roots_given(book, ("pack.continuous_A",)) == ["pack.parallel", "pack.cell.continuous_A"]
