"""What is still to be entered stands together by what has to be done for it."""

from __future__ import annotations

import pytest
from gonogo.judgement.verdict import ask_of
from gonogo.reports.asks_by_kind import KINDS, MANY, SETTINGS_LAST, asks, work_for

SHORT = ["pack.bms.port", "readings.pack_V", "motor.rated_power_W"]
LONG = [
    "settings.max_rpm",
    "readings.throttle.open_ground_V",
    "readings.throttle.open_signal_V",
    "readings.pack_V",
    "readings.ambient_degC",
    "throttle.open_at_power_on",
    "motor.magnet_grade",
    "pack.bms.port",
    "motor.rated_power_W",
    "pack.series",
    "vehicle.mass_kg",
    "wiring.fuse.rated_A",
]


def test_a_short_list_has_no_headings() -> None:
    """Three lines are read at a glance."""
    assert list(asks(SHORT)) == [("", [ask_of(name) for name in SHORT])]


def test_a_long_list_loses_nothing_and_counts_each_kind() -> None:
    """Thirty lines without an order are not read, and none of them may get lost by it."""
    assert len(LONG) == MANY
    groups = list(asks(LONG))
    counts = [f"{kind} ({sum(work_for(one) == kind for one in LONG)})" for kind in KINDS]
    assert [title for title, _ in groups] == counts
    assert sorted(line for _, lines in groups for line in lines) == sorted(map(ask_of, LONG))
    assert groups[-1] == (f"{SETTINGS_LAST} (1)", [ask_of("settings.max_rpm")])


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        pytest.param("pack.series", KINDS[0], id="a number without a unit is on the label too"),
        pytest.param("throttle.open_at_power_on", KINDS[2], id="tried at the stand"),
        pytest.param("motor.magnet_grade", KINDS[1], id="a choice"),
    ],
)
def test_a_kind_is_what_has_to_be_done(name: str, kind: str) -> None:
    """A look, a label and a meter are three different walks to the vehicle."""
    assert work_for(name) == kind
