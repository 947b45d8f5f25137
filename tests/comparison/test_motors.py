"""Several motors on one pack, side by side: each finding told once, each entry under its motor's name."""

from __future__ import annotations

import copy
import io
import json
import re
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.diff import run
from gonogo.commands.formats import COMPARISON_FORMATS
from gonogo.comparison.comparison import Comparison
from gonogo.comparison.finding_change import FindingChange
from ruamel.yaml import YAML

from .revision import EXAMPLES, TESTS, Plain, changed, compared
from .test_report import report, validator

SUMMED = "battery-current-above-connector"
SPEEDS = "motors-differ-in-speed"
CASES = YAML(typ="safe").load(TESTS / "hazards" / "two_motors.yaml")


@pytest.fixture(scope="module")
def twin() -> Plain:
    """A sound scooter with a hub in each wheel."""
    text = (TESTS / "hazards" / "sound" / "twin-hub-scooter.yaml").read_text("utf-8")
    build: Plain = YAML(typ="safe").load(text)
    return build


@pytest.fixture(scope="module")
def single(twin: Plain) -> Plain:
    """The same with the rear hub alone."""
    build = copy.deepcopy(twin)
    rear = build.pop("motors")["rear"]
    build["readings"] |= rear.pop("readings")
    build["controller"] = rear.pop("controller")
    return build | {"motor": rear}


def ways(comparison: Comparison, rule: str) -> list[tuple[str, tuple[str, ...]]]:
    """What became of a rule's findings, and of which motors they are."""
    return [
        (change.way, change.finding.motors)
        for change in comparison.finding_changes
        if change.finding.rule.id == rule
    ]


def keys(comparison: Comparison) -> list[tuple[str, Any, Any, tuple[str, ...]]]:
    """What was changed, in the order of the report."""
    return [(one.entered_as, one.old, one.new, one.motors) for one in comparison.made]


def laid_over(base: Any, change: Any) -> Any:
    """The base with a change of a hazard laid over it."""
    if not isinstance(change, Mapping):
        return change
    whole = {} if change.get("_replace") or not isinstance(base, Mapping) else dict(base)
    for key, value in change.items():
        if value == "~remove":
            whole.pop(key, None)
        elif key != "_replace":
            whole[key] = laid_over(whole.get(key), value)
    return whole


@pytest.mark.parametrize("form", COMPARISON_FORMATS)
def test_a_sum_past_its_limit_is_told_once_in_every_format(form: str, tmp_path: Path) -> None:
    """Each motor of the hay cart is within its own limit, and the connector burns."""
    shutil.copytree(EXAMPLES / "workshop", tmp_path / "shop")
    old = tmp_path / "shop" / "vehicles" / "bindweed.yaml"
    new = old.with_name("raised.yaml")
    new.write_text(old.read_text("utf-8").replace("_current_A: 30 ", "_current_A: 60 "), "utf-8")
    out = io.StringIO()
    assert run([str(old), str(new)], form=form, as_of="2026-11-26", out=out) == 1
    text = out.getvalue()
    plain = re.sub(r"[\s▐]+", " ", text)
    findings = plain.partition("New findings")[2] or plain
    assert findings.count("limit of 120 A is above the pack connector") == 1
    assert "All motors together (left 60 A, right 60 A)" in findings
    if form in ("sarif", "lines"):  # read whole in tests/commands/test_diff_for_machines.py
        assert "NO-GO" in text
        return
    if form != "json":
        assert "NO-GO" in text and "tightest" in text and "no margin moved" not in text
        return
    record = json.loads(text)
    assert list(validator().iter_errors(record)) == []
    assert record["verdict"] == {"old": "go", "new": "no-go"}
    (one,) = [found for found in record["findings"]["introduced"] if found["rule"] == SUMMED]
    assert (one["other_side"], one["value"], one["severity"]) == ("clear", 120, "danger")
    assert record["harms"] and not record["hides"]
    assert [change["entered_as"] for change in record["changes"]] == ["settings.battery_current_A"]


def test_unchanged_is_said_to_be_unchanged(twin: Plain) -> None:
    """Also of a build that is no GO: what stands is not new."""
    hot = changed(twin, {"settings.battery_current_A": 60})
    for build in (twin, hot):
        same = compared(build, build)
        assert same.is_empty and not same.harms and not same.follow_ups
    assert "Both sides say the same" in report("text", hot, hot)
    assert ways(same, SUMMED) == [("standing", ())]


def test_an_entry_of_one_motor_bears_its_name(twin: Plain) -> None:
    """A limit of the rear motor is none of the front one."""
    slower = changed(twin, {"motors.rear.settings.max_rpm": 500})
    told = compared(twin, slower)
    assert keys(told) == [("motors.rear.settings.max_rpm", 620, 500, ())]
    assert [change.other_side for change in told.finding_changes if change.way == "introduced"] == [
        "clear"
    ]
    raised = compared(slower, twin)
    assert keys(raised) == [("settings.max_rpm", 500, 620, ("rear",))]
    assert ways(raised, SPEEDS) == [("resolved", ())]
    assert any("max_rpm" in name for work in raised.follow_ups for name in work.changed)
    said = " ".join(report("text", slower, twin).split())
    assert "max_rpm of motor rear 500 → 620 rpm" in said
    record = json.loads(report("json", slower, twin))
    assert record["changes"][0]["motors"] == ["rear"]
    assert list(validator().iter_errors(record)) == []


def test_the_work_after_a_change_names_the_motor(twin: Plain) -> None:
    """Whoever has to repeat an identification wants to know of which."""
    told = compared(twin, changed(twin, {"motors.front.kv_rpm_per_V": 15}))
    assert keys(told) == [("motors.front.kv_rpm_per_V", 14, 15, ())]
    assert ("motors.front.kv_rpm_per_V",) in [work.changed for work in told.follow_ups]


def test_a_value_that_only_moved_to_its_motor_is_no_change(twin: Plain) -> None:
    """Where it stands says nothing."""
    moved = changed(twin, {"settings.max_rpm": None})
    for name in moved["motors"]:
        moved = changed(moved, {f"motors.{name}.settings.max_rpm": 620})
    told = compared(twin, moved)
    assert not told.changes and told.rewritten and told.is_empty


def test_a_danger_of_another_motor_is_new(twin: Plain) -> None:
    """One motor with too much current is not two."""
    rule = "phase-current-above-controller"
    one = changed(twin, {"motors.rear.settings.phase_current_A_rms": 70})
    both = changed(one, {"motors.front.settings.phase_current_A_rms": 70})
    assert (rule, ("rear",)) in introduced(compared(twin, one))
    spread = compared(one, both)
    assert spread.harms
    assert ways(spread, rule) == [("introduced", ("front",)), ("standing", ("rear",))]
    healed = compared(both, one)
    assert ways(healed, rule) == [("resolved", ("front",)), ("standing", ("rear",))]
    assert not healed.harms


def test_a_danger_that_an_entry_brings_to_all_motors_is_worse(twin: Plain) -> None:
    """The setting is that of all motors; one motor had a lower one of its own."""
    rule = "phase-current-above-controller"
    both = changed(twin, {"settings.phase_current_A_rms": 70})
    one = changed(both, {"motors.front.settings.phase_current_A_rms": 38})
    spread = compared(one, both)
    assert ways(spread, rule) == [("worsened", ())] and spread.harms
    (less,) = [one for one in compared(both, one).finding_changes if one.finding.rule.id == rule]
    assert (less.way, less.improved, less.finding.motors) == ("standing", True, ("rear",))


def introduced(comparison: Comparison) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The dangers and faults that are new."""
    for change in comparison.of_way("introduced"):
        if change.harms:
            yield change.finding.rule.id, change.finding.motors


def test_what_is_no_longer_checked_of_the_second_motor_too_is_not_hidden(
    twin: Plain, tmp_path: Path
) -> None:
    """That the rule was open of the first already is no excuse."""
    first = changed(twin, {"motors.rear.readings.identification": None})
    second = changed(first, {"motors.front.readings.identification": None})
    assert compared(twin, first).hides
    assert compared(first, second).hides
    assert not compared(second, first).hides
    for build, name in ((twin, "whole"), (first, "first"), (second, "second")):
        (tmp_path / f"{name}.yaml").write_text(json.dumps(build), "utf-8")
    for sides, status in (
        (("whole", "first"), 4),
        (("first", "second"), 4),
        (("second", "whole"), 0),
    ):
        paths = [str(tmp_path / f"{name}.yaml") for name in sides]
        assert run(paths, as_of="2026-11-25", out=io.StringIO()) == status, sides


def test_a_second_motor_fitted_is_compared(single: Plain, twin: Plain) -> None:
    """The motor that was there is told by what is alike; the pack carries both now."""
    told = compared(single, twin)
    assert keys(told) == [("motors.front", None, "set", ())]
    works = {work.do: work.changed for work in told.follow_ups}
    assert ("motors.front",) in works.values()
    assert any("fuse" in do for do in works)
    back = compared(twin, single)
    assert keys(back) == [("motors.front", "set", None, ())]
    for old, new in ((single, twin), (twin, single)):
        record = json.loads(report("json", old, new))
        assert list(validator().iter_errors(record)) == []


def test_a_second_motor_past_a_sum_is_a_new_danger(single: Plain, twin: Plain) -> None:
    """A connector for one motor does not carry two."""
    small = {"pack.connector_A": 30}
    told = compared(changed(single, small), changed(twin, small))
    assert ways(told, SUMMED) == [("introduced", ())] and told.harms
    assert told.of_way("introduced")[0].other_side == "clear"
    gone = compared(changed(twin, small), changed(single, small))
    assert ways(gone, SUMMED) == [("resolved", ())] and not gone.harms


def test_a_fault_of_the_fitted_motor_is_new(single: Plain, twin: Plain) -> None:
    """It is not that of the motor that was there."""
    hot = changed(twin, {"motors.front.settings.phase_current_A_rms": 70})
    told = compared(single, hot)
    assert {motors for _, motors in introduced(told)} == {("front",)}
    assert "no such motor: it is new" in " ".join(report("text", single, hot).split())


def test_motors_of_other_names_are_other_motors(twin: Plain) -> None:
    """And what the vehicle has besides them is compared all the same."""
    other = changed(twin, {"pack.series": 14})
    other["motors"] = dict(zip(("left", "right"), other["motors"].values(), strict=True))
    told = compared(twin, other)
    assert [key for key, *_ in keys(told)] == [
        "pack.series", "motors.front", "motors.left", "motors.rear", "motors.right"
    ]  # fmt: skip
    small = {"pack.connector_A": 30}
    same = compared(changed(twin, small), changed(other, small))
    assert ways(same, SUMMED) == [("standing", ())]


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_every_finding_is_told_once(case: Mapping[str, Any], twin: Plain) -> None:
    """None drops out, in either direction, and none is told twice; what moved one way moves back."""
    build = laid_over(twin, case["change"])
    there, back = compared(twin, build), compared(build, twin)
    assert all_moved(there, turned=False) == all_moved(back, turned=True)
    for told in (there, back, compared(build, build)):
        assert told.old is not None and told.new is not None
        shown = [change for change in told.finding_changes if change.new is not None]
        for finding in told.new.findings:
            own = [change for change in shown if change.new is finding]
            assert own, finding.message
            assert not_twice(own), finding.message
        before = {one.rule.id for one in told.old.findings}
        after = {one.rule.id for one in told.new.findings}
        for change in told.finding_changes:
            assert change.way != "introduced" or change.old is None
            assert change.way != "resolved" or change.new is None
        assert {change.finding.rule.id for change in told.finding_changes} == before | after
        fresh = [one for one in told.new.findings if one.rule.id not in before and not one.waived]
        assert told.harms or not any(one.severity in ("danger", "fault") for one in fresh)
    assert told.is_empty


def not_twice(changes: list[FindingChange]) -> bool:
    """Whether no mode is told of twice."""
    modes = [mode for change in changes for mode in change.modes or ("",)]
    return len(modes) == len(set(modes))


def moved(comparison: Comparison, quantity: str) -> list[tuple[float, float, tuple[str, ...]]]:
    """What became of a calculated quantity in the base settings, and of which motors."""
    return [
        (one.old, one.new, one.motors)
        for one in comparison.consequences
        if one.quantity == quantity and not one.mode
    ]


def rooms(comparison: Comparison, rule: str) -> list[tuple[float, float, tuple[str, ...]]]:
    """A rule's margins in the base settings, and of which motors they are."""
    return [
        (one.old.room, one.new.room, one.motors)
        for one in comparison.margins
        if one.rule.id == rule and not one.mode
    ]


def test_what_the_pack_carries_is_told_once_as_the_sum(twin: Plain) -> None:
    """The limit is each motor's, and the connector carries both."""
    told = compared(twin, changed(twin, {"settings.battery_current_A": 15}))
    old = twin["settings"]["battery_current_A"]
    assert moved(told, "settings.battery_current_A") == [(2 * old, 30, ())]
    limit = twin["pack"]["connector_A"]
    assert rooms(told, SUMMED) == [(limit - 2 * old, limit - 30, ())]
    assert [len(one[2]) for one in moved(told, "pack.sag_V")] == [0]
    record = json.loads(report("json", twin, changed(twin, {"settings.battery_current_A": 15})))
    assert list(validator().iter_errors(record)) == []


def test_what_one_motor_does_is_told_of_that_motor(twin: Plain) -> None:
    """A stronger winding of the front hub is none of the rear one."""
    build = changed(twin, {"motors.front.settings.phase_current_A_rms": 20})
    told = compared(twin, build)
    (torque,) = moved(told, "motor.torque_Nm")
    assert torque[2] == ("front",) and torque[1] < torque[0]
    push = {motors: new - old for old, new, motors in moved(told, "ride.push_N")}
    assert push[()] == pytest.approx(push[("front",)])  # the front's part is the whole of it
    assert [one[2] for one in rooms(told, "phase-current-above-controller")] == [("front",)]
    said = " ".join(report("text", twin, build).split())
    assert "torque of motor front" in said and "motor.torque_Nm of motor front" in said
    record = json.loads(report("json", twin, build))
    assert list(validator().iter_errors(record)) == []
    assert ["front"] in [one.get("motors") for one in record["consequences"]]
    assert ["front"] in [one.get("motors") for one in record["margins"]]


def test_what_is_alike_for_both_motors_is_told_once(twin: Plain) -> None:
    """And says that each of them has it, since a reader might take it for their sum."""
    build = changed(twin, {"settings.phase_current_A_rms": 20})
    told = compared(twin, build)
    assert [one[2] for one in moved(told, "motor.torque_Nm")] == [("front", "rear")]
    assert [one[2] for one in rooms(told, "phase-current-above-controller")] == [()]
    assert "of motors front and rear, each" in " ".join(report("text", twin, build).split())


def test_a_second_motor_moves_what_the_vehicle_has_once(single: Plain, twin: Plain) -> None:
    """The pack carries twice the current; the motor that was there does what it did."""
    amps = twin["settings"]["battery_current_A"]
    told = compared(single, twin)
    assert moved(told, "settings.battery_current_A") == [(amps, 2 * amps, ())]
    assert moved(told, "controller.phase_to_battery_ratio") == []
    limit = twin["pack"]["connector_A"]
    assert rooms(told, SUMMED) == [(limit - amps, limit - 2 * amps, ())]
    assert rooms(told, "phase-current-above-controller") == []


def test_margins_of_the_pack_are_compared_where_all_motors_are_others(twin: Plain) -> None:
    """Only their names are known to be different; the connector is the same."""
    other = changed(twin, {"settings.battery_current_A": 15})
    other["motors"] = dict(zip(("left", "right"), other["motors"].values(), strict=True))
    told = compared(twin, other)
    assert [one[2] for one in rooms(told, SUMMED)] == [()]
    assert all(not one.motors for one in (*told.margins, *told.consequences))


def all_moved(comparison: Comparison, turned: bool) -> set[tuple[str, ...]]:
    """Every quantity and margin that moved, of which motors, and both values; `turned`, the new one first."""
    quantities = {
        (one.quantity, one.mode, *sorted(one.motors), *in_order(str(one.old), str(one.new), turned))
        for one in comparison.consequences
    }
    return quantities | {(one.rule.id, one.mode, *sorted(one.motors)) for one in comparison.margins}


def in_order(old: str, new: str, turned: bool) -> tuple[str, str]:
    """Both values, the old one first unless they are turned."""
    return (new, old) if turned else (old, new)
