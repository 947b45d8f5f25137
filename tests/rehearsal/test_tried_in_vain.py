"""What was tried and did nothing catches nothing, nor does a brake that went with the failure."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import rehearse
from gonogo.rehearsal.failure_file import failure_specs
from gonogo.rehearsal.rehearse import Failure

from ..hazards.test_hazards import base, changed, written

DAY = "2026-11-25"


def rehearsed(tmp_path: Path, *changes: Mapping[str, Any]) -> dict[str, Failure]:
    build = base()
    for change in changes:
        build = changed(build, change)
    return {one.failure: one for one in gonogo.rehearse(written(build, tmp_path), as_of=DAY)[""]}


def tried(**results: object) -> dict[str, Any]:
    return {"readings": {"tried": results}}


def test_levers_that_cut_nothing_catch_no_stuck_throttle(tmp_path: Path) -> None:
    """Both switches are fitted, and neither did anything: only mending helps."""
    found = rehearsed(tmp_path, tried(brake_cut="nothing", kill_switch="nothing"))
    stuck = found["stuck-throttle"]
    assert (stuck.covered, stuck.caught_by) == (False, None)
    assert "brake cut" in stuck.do and "tried" in stuck.do
    assert found["kill-switch-welded"].caught_by != "throttle.brake_cut"


def test_one_of_two_switches_that_works_still_catches(tmp_path: Path) -> None:
    found = rehearsed(tmp_path, tried(brake_cut="nothing", kill_switch=["contactor"]))
    assert found["stuck-throttle"].caught_by == "wiring.kill_switch"


def test_a_pulled_wire_that_cut_nothing_is_seen_by_no_limit(tmp_path: Path) -> None:
    """The readings lie outside the limits, and the controller drove on all the same."""
    found = rehearsed(tmp_path, tried(lost_throttle="nothing"))
    by_limit = [
        spec.failure
        for spec in failure_specs()
        if any(one.by.startswith("settings.throttle.lost_") for one in spec.caught_by)
    ]
    assert len(by_limit) == 5
    for name in by_limit:
        assert found[name].detection in ("nothing", "withstood"), name
    assert found["throttle-ground-open"].covered is False


@pytest.mark.parametrize(
    ("cut", "caught"), [(["controller_enable", "contactor"], True), (["contactor"], False)]
)
def test_a_welded_contactor_needs_the_contact_that_was_tried(
    cut: list[str], caught: bool, tmp_path: Path
) -> None:
    """Entered as opening the enable wire too; when tried, the contactor alone fell."""
    opens = {"wiring": {"kill_switch": {"opens": ["controller_enable", "contactor"]}}}
    found = rehearsed(tmp_path, opens, tried(kill_switch=cut))
    by = found["contactor-welds"].caught_by
    assert (by == "wiring.kill_switch.opens") is caught


REGEN_ENDS = (
    "bms-opens-in-regen",
    "bms-opens-at-top-speed",
    "fuse-opens",
    "outputs-off-at-top-speed",
)


def test_nothing_makes_up_for_the_only_brake(tmp_path: Path) -> None:
    """A controller that survives is no brake; and a brake switch needs a brake."""
    sound = rehearsed(tmp_path)
    found = rehearsed(tmp_path, {"vehicle": {"brakes": "none"}})
    for name in REGEN_ENDS:
        assert sound[name].covered is not False, name
        assert (found[name].covered, found[name].severity) == (False, "catastrophic"), name
        assert "vehicle.brakes" in found[name].do
    assert found["kill-switch-welded"].caught_by != "throttle.brake_cut"
    for name in ("stuck-throttle", "contactor-welds"):  # a kill switch takes the only brake away
        assert sound[name].covered and not found[name].covered, name


def test_a_brake_that_closes_without_current_is_one(tmp_path: Path) -> None:
    """A spring holds it, and the current that lifts it ends with the drive."""
    found = rehearsed(tmp_path, {"vehicle": {"brakes": ["electromagnetic"]}})
    assert found["outputs-off-at-top-speed"].covered is True


def test_a_vehicle_without_regen_loses_no_brake(tmp_path: Path) -> None:
    found = rehearsed(tmp_path, {"vehicle": {"brakes": "none"}, "settings": {"regen": "none"}})
    assert found["outputs-off-at-top-speed"].covered is True


def test_a_cutoff_of_the_whole_pack_sees_no_group_that_lacks_capacity(tmp_path: Path) -> None:
    """19 groups of 3.2 V and one of 1.2 V are 62 V, as is a sound pack at its cutoff."""
    found = rehearsed(tmp_path, {"pack": {"bms": "none"}})["weakest-cell"]
    assert found.covered is False
    (left,) = [one for one in found.effect if one.quantity == "failure.lacking_group_V"]
    assert left.value == 0.0


def test_a_bms_that_lets_cells_fall_too_far_sees_none_either(tmp_path: Path) -> None:
    low = {"pack": {"bms": {"cell_low_V": 1.5}}}
    assert rehearsed(tmp_path, low)["weakest-cell"].covered is False


@pytest.mark.parametrize(("breaking_A", "covered"), [(20000, True), (100, False)])
def test_a_fuse_breaks_the_short_circuit_of_the_pack(
    breaking_A: int, covered: bool, tmp_path: Path
) -> None:
    """A voltage that it may break says nothing of the current."""
    found = rehearsed(tmp_path, {"wiring": {"fuse": {"breaking_A": breaking_A}}})
    assert found["fuse-opens"].covered is covered


def test_what_nobody_tried_is_said_beside_what_it_catches(tmp_path: Path) -> None:
    """In the row, where a reader counts on it, not in the head alone."""
    assert rehearsed(tmp_path)["stuck-throttle"].caught.endswith("(never tried)")
    found = rehearsed(tmp_path, tried(brake_cut="cut", lost_throttle="cut"))
    assert "never tried" not in found["stuck-throttle"].caught
    assert "never tried" not in found["throttle-ground-open"].caught


def test_brakes_that_do_not_hold_the_motor_are_said_in_the_row(tmp_path: Path) -> None:
    """No stopping distance is the answer, and no gap."""
    strong = {"vehicle": {"brakes": ["disc"], "wet": True}}
    out = io.StringIO()
    build = written(changed(base(), strong), tmp_path)
    rehearse.run(build, as_of=DAY, out=out)
    assert "the brakes alone do not stop it" in " ".join(out.getvalue().split())


@pytest.mark.parametrize("kind", ["encoder", "resolver", "sin_cos"])
@pytest.mark.parametrize(("trial", "covered"), [(None, None), ("cut", True), ("nothing", False)])
def test_a_lost_position_signal_is_caught_by_a_controller_that_was_seen_to(
    kind: str, trial: str | None, covered: bool | None, tmp_path: Path
) -> None:
    """Other than of three hall lines no state is impossible, so nobody knows without pulling the plug."""
    sensor = {"motor": {"position_sensor": kind}}
    found = rehearsed(tmp_path, sensor, tried(position_sensor=trial) if trial else {})
    lost = found["position-signal-lost"]
    assert (lost.covered, lost.severity) == (covered, "catastrophic")
    assert ("readings.tried.position_sensor" in lost.missing) == (covered is None)
    assert "hall-signal-lost" not in found


def test_a_motor_without_a_sensor_loses_none(tmp_path: Path) -> None:
    found = rehearsed(tmp_path, {"motor": {"position_sensor": "none"}})
    assert "position-signal-lost" not in found
