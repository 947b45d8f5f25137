"""Findings on both sides: what came, what went, what became worse, and what nobody looks at now."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from gonogo.comparison.comparison import Comparison
from gonogo.comparison.finding_change import FindingChange

from .revision import Plain, changed, compared

pytestmark = pytest.mark.usefixtures("frozen")
Alter = Callable[[Mapping[str, Any]], Comparison]
WAIVED = [
    {
        "rule": "battery-current-above-cells",
        "accepts": 100,
        "reason": "One lap of the test track.",
        "until": "2026-12-01",
    }
]


def one(compared: Comparison, rule: str) -> FindingChange:
    """What became of one rule's finding."""
    (change,) = [change for change in compared.finding_changes if change.finding.rule.id == rule]
    return change


def test_a_danger_brought_in_is_introduced_and_harms(alter: Alter) -> None:
    """95 A from cells that give 90 A."""
    told = alter({"settings.battery_current_A": 95})
    change = one(told, "battery-current-above-cells")
    assert (change.way, change.other_side, told.harms) == ("introduced", "clear", True)
    assert (told.old and told.old.verdict, told.new and told.new.verdict) == ("go", "no-go")


def test_a_caution_brought_in_does_not_harm(alter: Alter) -> None:
    """85 A through a fuse of 100 A: it works, outside good practice."""
    told = alter({"settings.battery_current_A": 85})
    assert one(told, "battery-current-near-fuse").way == "introduced"
    assert not told.harms


@pytest.mark.parametrize(
    ("old", "new", "way", "improved"),
    [
        pytest.param(95, 99, "worsened", False, id="further out"),
        pytest.param(99, 95, "standing", True, id="less far out, yet out"),
        pytest.param(95, 95, "standing", False, id="as before"),
        pytest.param(95, 90, "resolved", False, id="back on the limit"),
    ],
)
def test_how_far_out_decides_between_worse_and_standing(
    bike: Plain, old: float, new: float, way: str, improved: bool
) -> None:
    """The size of a finding counts, not only that there is one."""
    told = compared(
        changed(bike, {"settings.battery_current_A": old}),
        changed(bike, {"settings.battery_current_A": new}),
    )
    change = one(told, "battery-current-above-cells")
    assert (change.way, change.improved) == (way, improved)
    assert told.harms == (way == "worsened")


def test_a_limit_that_came_down_makes_a_finding_worse(bike: Plain) -> None:
    """The same current from fewer cells."""
    old = changed(bike, {"settings.battery_current_A": 95})
    told = compared(old, changed(old, {"pack.parallel": 5}))
    assert one(told, "battery-current-above-cells").way == "worsened"


def test_a_danger_with_its_waiver_harms_and_a_waiver_for_one_that_stood_does_not(
    bike: Plain,
) -> None:
    """Who reviews the change has to see both; taking a waiver away is a change like any other."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    waived = changed(hot, {"waivers": WAIVED})
    brought_in = compared(bike, waived)
    change = one(brought_in, "battery-current-above-cells")
    assert change.way == "introduced" and change.new is not None and change.new.waived
    assert brought_in.harms and len(brought_in.waived_here) == 1
    gone = compared(waived, hot)
    assert one(gone, "battery-current-above-cells").way == "worsened" and gone.harms
    given = compared(hot, waived)
    assert not one(given, "battery-current-above-cells").improved and not given.harms
    assert len(given.waived_here) == 1 and given.waives
    kept = compared(waived, changed(waived, {"settings.battery_current_A": 94}))
    assert not kept.harms and not kept.waived_here and not kept.waives


@pytest.mark.parametrize(
    ("old", "new", "longer", "further"),
    [
        pytest.param({}, {"until": "2027-03-31"}, 1, True, id="a later day"),
        pytest.param({"until": "2027-03-31"}, {}, 0, False, id="an earlier day"),
        pytest.param({"accepts": 96}, {}, 0, True, id="more"),
        pytest.param({}, {"accepts": 96}, 0, False, id="less"),
        pytest.param({}, {"reason": "The new cells are ordered for spring."}, 0, False, id="words"),
    ],
)
def test_a_waiver_prolonged_or_enlarged_is_accepted_anew(
    bike: Plain, old: Plain, new: Plain, longer: int, further: bool
) -> None:
    """Else a danger that was to be corrected by a day lives for ever, by one line a year."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    sides = [changed(hot, {"waivers": [{**WAIVED[0], **side}]}) for side in (old, new)]
    told = compared(*sides)
    assert (len(told.waived_longer), told.waives) == (longer, further)


@pytest.mark.parametrize(
    ("old", "new", "here"),
    [
        pytest.param({"until": "2026-11-24"}, {}, 1, id="ran out yesterday, renewed"),
        pytest.param({"until": "2026-11-25"}, {}, 0, id="holds to the end of its last day"),
        pytest.param({"accepts": 94}, {}, 1, id="covered nothing, enlarged"),
        pytest.param({"accepts": 96}, {"accepts": 100}, 1, id="accepts more"),
        pytest.param({"accepts": 100}, {"accepts": 96}, 0, id="accepts less"),
        pytest.param({}, {"until": "2026-11-24"}, 0, id="runs out by this change"),
    ],
)
def test_what_was_not_waived_any_more_is_waived_anew(
    bike: Plain, old: Plain, new: Plain, here: int
) -> None:
    """A waiver that ran out accepted nothing, so that its renewal is looked at as a new one is."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    sides = [changed(hot, {"waivers": [{**WAIVED[0], **side}]}) for side in (old, new)]
    told = compared(*sides)
    assert len(told.waived_here) == here
    assert told.waives == bool(here) or told.waived_longer


def test_a_renewed_waiver_corrects_nothing(bike: Plain) -> None:
    """The danger is as large as it was, and that its waiver had expired is no finding resolved."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    over = changed(hot, {"waivers": [{**WAIVED[0], "until": "2026-11-24"}]})
    told = compared(over, changed(hot, {"waivers": WAIVED}))
    change = one(told, "battery-current-above-cells")
    assert (change.way, change.improved, change.is_waived_here) == ("standing", False, True)
    assert not any(each.way == "resolved" for each in told.finding_changes)
    mended = compared(over, changed(bike, {"waivers": WAIVED}))
    assert one(mended, "waiver-expired").way == "resolved"


def test_a_reading_taken_away_resolves_nothing(bike: Plain) -> None:
    """A throttle that creeps still creeps when nobody reads it."""
    creeping = changed(bike, {"settings.throttle.start_V": 0.84})
    told = compared(creeping, changed(creeping, {"readings.throttle.rest_V": None}))
    change = one(told, "throttle-start-at-rest")
    assert (change.way, change.other_side) == ("resolved", "not_checked")
    assert "throttle-start-at-rest" in {lost.rule.id for lost in told.waiting.introduced}
    assert told.hides and told.harms and told.unchecked == (change,)
    assert told.new is not None and told.new.verdict == "incomplete"


@pytest.mark.parametrize(
    ("taken", "is_lost"),
    [
        pytest.param({"controller.max_V": None}, True, id="the rating that conflicts is deleted"),
        pytest.param({"controller.max_V": 90}, False, id="another controller"),
        pytest.param({"settings.over_voltage_trip_V": None}, True, id="the setting is deleted"),
    ],
)
def test_a_setting_that_no_value_fits_is_not_resolved_by_deleting_what_conflicts(
    bike: Plain, taken: Plain, is_lost: bool
) -> None:
    """Two rules leave no value; with a datasheet line gone one of them is silent, and nothing was mended."""
    low = changed(bike, {"controller.max_V": 60, "settings.over_voltage_trip_V": 72})
    told = compared(low, changed(low, taken))
    change = one(told, "settings-conflict-danger")
    assert change.way == "resolved" and change.old is not None and len(change.old.conflict) > 1
    assert (change in told.unchecked, change.is_resolved) == (is_lost, not is_lost)


def test_a_rule_that_can_be_judged_now_is_said_to(bike: Plain) -> None:
    """The other way round it is gained."""
    without = changed(bike, {"readings.throttle.rest_V": None})
    told = compared(without, bike)
    assert "throttle-start-at-rest" in {gained.rule.id for gained in told.waiting.resolved}
    assert not told.hides


def test_a_finding_of_one_mode_is_told_with_its_mode(alter: Alter) -> None:
    """The base stays sound; sport does not."""
    told = alter({"modes.sport.battery_current_A": 95})
    change = one(told, "battery-current-above-cells")
    assert (change.way, change.modes, change.everywhere) == ("introduced", ("sport",), False)


def test_a_new_mode_that_keeps_a_finding_has_not_introduced_it(bike: Plain) -> None:
    """It stood in the base settings before."""
    hot = changed(bike, {"settings.battery_current_A": 95})
    told = compared(hot, changed(hot, {"modes.wet.max_rpm": 3000}))
    change = one(told, "battery-current-above-cells")
    assert (change.way, change.everywhere) == ("standing", True)


def test_a_mode_that_puts_right_what_the_base_has_wrong_resolves_it_there(bike: Plain) -> None:
    """Calm mode brings the current down; the base is as bad as it was."""
    hot = changed(bike, {"settings.battery_current_A": 95, "modes.calm.max_rpm": 3000})
    told = compared(hot, changed(hot, {"modes.calm.battery_current_A": 60}))
    found = {(change.way, change.modes) for change in told.finding_changes
             if change.finding.rule.id == "battery-current-above-cells"}  # fmt: skip
    assert found == {("standing", ()), ("resolved", ("calm",))}


def test_a_severity_raised_by_the_shop_makes_a_finding_worse(bike: Plain) -> None:
    """What was advice is a fault in this house."""
    import json

    from .revision import compared_texts

    near = json.dumps(changed(bike, {"settings.battery_current_A": 85}))
    house = "gonogo: house/1\nseverities: {battery-current-near-fuse: fault}\n"
    told = compared_texts({"bike.yaml": near}, {"bike.yaml": near, "house.yaml": house})
    change = one(told, "battery-current-near-fuse")
    assert change.way == "worsened" and told.harms


def test_an_input_left_out_resolves_nothing_where_it_makes_the_rule_no_longer_apply(
    bike: Plain,
) -> None:
    """A shop's rule that is deleted, and one that only applies where the entry is given."""
    import json

    from .revision import compared_texts

    rule = """\
gonogo: rule/1
id: shop-speed
severity: danger
of: settings.battery_current_A
at_most: 70
applies_when: given(motor.max_rpm)
says: The battery current limit of {of} is above the {limit} of this shop.
because: We have seen cells swell.
remedy: Choose {limit} or less.
source: Our own experience.
examples:
  - {given: {settings.battery_current_A: 70, motor.max_rpm: 5000}, outcome: clear}
  - {given: {settings.battery_current_A: 71, motor.max_rpm: 5000}, outcome: flagged}
  - {given: {motor.max_rpm: 5000}, outcome: not_checked}
"""
    house = {"house.yaml": "gonogo: house/1\nrules: rules\n", "rules/shop-speed.yaml": rule}
    given = changed(bike, {"motor.max_rpm": 5000})
    old = {"bike.yaml": json.dumps(given), **house}
    without = {"bike.yaml": json.dumps(changed(given, {"motor.max_rpm": None})), **house}
    for new, missing in (
        (without, "motor.max_rpm"),
        ({"bike.yaml": old["bike.yaml"], "house.yaml": "gonogo: house/1\n"}, "rules.shop-speed"),
    ):
        told = compared_texts(old, new)
        change = one(told, "shop-speed")
        assert change.missing == (missing,) and told.unchecked == (change,) and told.harms
