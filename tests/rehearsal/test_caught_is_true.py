"""What a rehearsal calls caught is caught by its own numbers; each number worked out here by hand."""

from __future__ import annotations

import shutil
from math import sqrt
from pathlib import Path

import gonogo
import pytest
from gonogo.rehearsal.rehearse import Failure
from gonogo.reports.rehearsal_page import rehearsal_sections

from ..hazards.test_hazards import base, changed, written

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
DAY = "2026-11-25"


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A copy of the example workshop, to change."""
    return Path(shutil.copytree(WORKSHOP, tmp_path / "workshop")) / "vehicles"


def edited(workshop: Path, vehicle: str, *edits: tuple[str, str]) -> Path:
    """A vehicle of the workshop with some texts in it changed."""
    path = workshop / f"{vehicle}.yaml"
    text = path.read_text("utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return path


def rehearsed(path: Path, mode: str = "") -> dict[str, Failure]:
    return {one.failure: one for one in gonogo.rehearse(path, as_of=DAY)[mode]}


def effect(failure: Failure, quantity: str) -> float:
    (found,) = [one.value for one in failure.effect if one.quantity == quantity]
    assert isinstance(found, float)
    return found


TRIP = "over_voltage_trip_V: 58"
# 13 cells of 4.2 V, 1500 µF, 72 V at most, a trip that takes 2 ms, regen of 4 A and 18 A peak, 500 µH.
LATE = [
    # 71 V + 4 A · 2 ms / 1.5 mF, then ¾ · 500 µH · (18 A)² more
    pytest.param([(TRIP, "over_voltage_trip_V: 71")], 76.333, 18.0, id="a trip that acts too late"),
    # 58 V + 5.333 V are below 72 V; the energy of 50 A peak in the windings lifts that above
    pytest.param(
        [("phase_current_A_peak: 18", "phase_current_A_peak: 50")],
        63.333,
        50.0,
        id="a trip whose windings still empty",
    ),
]


@pytest.mark.parametrize(("edits", "ended_V", "peak_A"), LATE)
def test_a_trip_that_ends_above_the_maximum_catches_nothing(
    workshop: Path, edits: list[tuple[str, str]], ended_V: float, peak_A: float
) -> None:
    """Energy of the windings: three times ½·L·(peak ÷ √2)²."""
    failure = rehearsed(edited(workshop, "mallow", *edits))["bms-opens-in-regen"]
    peak_V = sqrt(ended_V**2 + 2.0 * 0.75 * 500e-6 * peak_A**2 / 0.0015)
    assert effect(failure, "controller.trip_peak_V") == pytest.approx(peak_V, rel=1e-4)
    assert peak_V > 72.0
    assert failure.covered is not True


@pytest.mark.parametrize(
    ("vehicle", "trip"), [("mallow", TRIP), ("knapweed", "over_voltage_trip_V: 84")]
)
def test_without_a_trip_nothing_ends_regen(workshop: Path, vehicle: str, trip: str) -> None:
    """However slowly the capacitors fill: nothing tells the controller that the pack is gone."""
    found = rehearsed(edited(workshop, vehicle, (trip, "over_voltage_trip_V: none")))
    assert found["bms-opens-in-regen"].covered is False
    if vehicle == "knapweed":
        assert found["sagging-12-v"].covered is False


def test_the_trip_as_it_is_set_ends_it_in_time(workshop: Path) -> None:
    """64.6 V against 72 V."""
    failure = rehearsed(workshop / "mallow.yaml")["bms-opens-in-regen"]
    assert failure.caught_by == "settings.over_voltage_trip_V"
    assert effect(failure, "controller.trip_peak_V") < 72.0


@pytest.mark.parametrize(
    ("vehicle", "allowed_A", "by"),
    [
        ("mallow", 12, "rider"),
        ("comfrey", 60, "rider"),
        ("burdock", 40, "rider"),
        # 174 A for 12.6 s are more than 2 % of 30 Ah; the BMS for 25 A opens before
        ("knapweed", 25, "pack.bms.charge_A"),
    ],
)
def test_a_hill_charges_a_pack_until_somebody_ends_it(
    workshop: Path, vehicle: str, allowed_A: float, by: str
) -> None:
    """Whoever switches off regen still charges, through the diodes: into a nearly empty pack the most."""
    failure = rehearsed(workshop / f"{vehicle}.yaml")["uncontrolled-charge-downhill"]
    assert effect(failure, "failure.generation_A") > allowed_A
    assert (failure.caught_by, failure.severity) == (by, "critical")
    assert (effect(failure, "failure.charged_percent") <= 2.0) == (by == "rider")


def test_a_charge_that_nobody_ends_stays_uncovered(workshop: Path) -> None:
    """A BMS with a port of its own for charging cannot open; one in front of a controller for 80 V must not."""
    for edit in (("port: common", "port: separate"), ("max_V: 90", "max_V: 86")):
        kart = Path(shutil.copytree(workshop.parent, workshop.parents[1] / edit[1][-2:]))
        parts = [one for one in kart.rglob("*.yaml") if edit[0] in one.read_text("utf-8")]
        assert parts
        for part in parts:
            part.write_text(part.read_text("utf-8").replace(*edit), encoding="utf-8")
        failure = rehearsed(kart / "vehicles" / "knapweed.yaml")["uncontrolled-charge-downhill"]
        assert failure.covered is False


def test_the_hill_is_cold_and_the_pack_is_empty(workshop: Path) -> None:
    """More than 12 A of a BMS, where the full pack and warm magnets gave 0.7 A."""
    failure = rehearsed(workshop / "mallow.yaml")["uncontrolled-charge-downhill"]
    assert effect(failure, "failure.generation_A") > 25.0


def test_a_slow_hill_charges_nothing(workshop: Path) -> None:
    """Below the speed at which the back-EMF reaches the pack nothing flows."""
    path = edited(workshop, "mallow", ("wheelbase_mm:", "max_downhill_km_h: 24, wheelbase_mm:"))
    failure = rehearsed(path)["uncontrolled-charge-downhill"]
    assert failure.caught_by == "motor.kv_rpm_per_V"


def test_a_controller_that_shorts_on_two_wheels_is_catastrophic(workshop: Path) -> None:
    """A fast hill destroys mallow's controller; on a kart the same is critical, and neither is fine."""
    path = edited(workshop, "mallow", ("wheelbase_mm:", "max_downhill_km_h: 85, wheelbase_mm:"))
    failure = rehearsed(path)["outputs-off-downhill"]
    assert (failure.covered, failure.severity) == (False, "catastrophic")
    climbing = rehearsed(workshop / "knapweed.yaml", "climb")["outputs-off-downhill"]
    assert (climbing.covered, climbing.severity) == (False, "critical")


def test_a_shorted_output_stage_brakes_twice_as_hard_as_two_phases(workshop: Path) -> None:
    """And with cold magnets by the square of their flux more."""
    found = rehearsed(workshop / "mallow.yaml")
    two_N = effect(found["two-phases-shorted"], "failure.short_peak_N")
    shorted_N = effect(found["output-stage-shorted"], "failure.stage_short_N")
    assert 2.0 * two_N * 1.03**2 == pytest.approx(shorted_N, rel=1e-3)


def test_a_margin_within_the_error_of_a_meter_catches_nothing(workshop: Path) -> None:
    """4.51 V against a limit of 4.5 V, read by a meter that is 0.02 V off; 4.52 V is past it."""
    near = edited(workshop, "mallow", ("open_ground_V: 4.93", "open_ground_V: 4.51"))
    assert rehearsed(near)["throttle-ground-open"].covered is False
    past = edited(workshop, "mallow", ("open_ground_V: 4.51", "open_ground_V: 4.53"))
    assert rehearsed(past)["throttle-ground-open"].covered is True


def test_brakes_alone_catch_no_stuck_throttle(tmp_path: Path) -> None:
    """As the check has it: a switch has to cut the drive, and a brake switch needs a brake."""
    build = base()
    for change in (
        {"throttle": {"brake_cut": False}, "wiring": {"kill_switch": "none"}},
        {"vehicle": {"brakes": "none"}, "wiring": {"kill_switch": "none"}},
    ):
        path = written(changed(build, change), tmp_path)
        assert rehearsed(path)["stuck-throttle"].covered is False


def test_a_mode_with_worse_numbers_tells_them(workshop: Path) -> None:
    """The same catch with another number is not as in the base settings."""
    failures = gonogo.rehearse(workshop / "burdock.yaml", as_of=DAY)
    mode = failures["full box"]
    told = [str(one) for one in rehearsal_sections(failures)]
    pushed = [one for one in mode if one.failure == "kill-switch-welded"]
    (push_N,) = [one.value for one in pushed[0].effect if one.quantity == "ride.push_N"]
    assert isinstance(push_N, float)
    assert f"{push_N:.0f} N" in "".join(told)


def test_a_steep_climb_that_is_held_says_nothing_of_laps_at_full_current(workshop: Path) -> None:
    """320 A peak bring the winding to its limit in 79 s, whatever the steepest climb asks for."""
    failure = rehearsed(workshop / "teasel.yaml")["motor-sensor-reads-cold"]
    assert effect(failure, "failure.winding_s") < 100.0
    assert failure.covered is None
    assert failure.missing == ("settings.phase_current_burst_s",)
