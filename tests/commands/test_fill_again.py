"""`gonogo fill` once there are readings: what was guessed is offered again, what was chosen is not."""

from __future__ import annotations

import io
from pathlib import Path

import gonogo
import pytest
from gonogo.commands import fill
from gonogo.quantities.number import tidy
from ruamel.yaml import YAML

DAY = "2026-11-26"
PARTS = """\
gonogo: profile/1
vehicle: {name: Wren, use: private_land}
pack: {series: 13, continuous_A: 30, connector_A: none, cell: {chemistry: nmc}}
controller: {min_V: 30, max_V: 60, battery_current_A: 25, phase_current_A_rms: 55}
motor: {pole_pairs: 15, phase_current_A_rms: 20, kv_rpm_per_V: 12, max_rpm: 800}
throttle: {kind: hall, supply_V: 5}
"""
THROTTLE = "readings:\n  taken: 2026-11-25\n  throttle: {rest_V: [0.92, 0.95], full_V: 3.9}\n"
OPEN = THROTTLE.replace("3.9}", "3.9, open_ground_V: 4.2, open_signal_V: 0.2}")


def filled(path: Path, writes: bool = True) -> str:
    out = io.StringIO()
    assert fill.run(path, writes, DAY, out) == 0
    return out.getvalue()


def throttle_of(path: Path) -> dict[str, float]:
    found: dict[str, float] = YAML(typ="safe").load(path)["settings"]["throttle"]
    return found


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    """A profile with its first values, and no reading."""
    path = tmp_path / "wren.yaml"
    path.write_text(PARTS, "utf-8")
    filled(path)
    return path


def test_a_guess_is_offered_again_once_it_is_measured(wren: Path) -> None:
    """The throttle was taken for a usual one; this one rests higher."""
    assert throttle_of(wren)["start_V"] == 1.2
    before = wren.read_text("utf-8")
    wren.write_text(before + THROTTLE, "utf-8")
    said = filled(wren, writes=False)
    assert " measured    throttle." in said and "throttle.start_V from 1.2 V to 1.09 V" in said
    assert wren.read_text("utf-8") == before + THROTTLE
    filled(wren)
    assert throttle_of(wren)["start_V"] == 1.09  # 0.95 V and a clearance of 0.1 to 0.18 V
    assert throttle_of(wren)["full_V"] == tidy(3.9 - 0.1)
    assert filled(wren).startswith(" Nothing to fill")


def test_readings_that_come_later_move_what_the_first_ones_gave(wren: Path) -> None:
    """With rest and full known, as `gonogo new` leaves it, a wire is unplugged."""
    wren.write_text(wren.read_text("utf-8") + THROTTLE, "utf-8")
    filled(wren)
    first = throttle_of(wren)
    wren.write_text(wren.read_text("utf-8").replace(THROTTLE, OPEN), "utf-8")
    said = filled(wren)
    assert "start_V from" not in said
    now = throttle_of(wren)
    assert 0.2 < now["lost_below_V"] < 0.92 and 3.9 < now["lost_above_V"] < 4.2
    assert (now["start_V"], now["full_V"]) == (first["start_V"], first["full_V"])
    assert now["lost_above_V"] != first["lost_above_V"]


def test_what_was_chosen_stays(wren: Path) -> None:
    """Somebody wanted 1.25 V, and it stands between what the rules allow."""
    text = wren.read_text("utf-8").replace("start_V: 1.2\n", "start_V: 1.25\n") + THROTTLE
    wren.write_text(text, "utf-8")
    said = filled(wren)
    assert "start_V from" not in said and "full_V from" in said
    assert throttle_of(wren)["start_V"] == 1.25


def test_no_limit_is_raised_by_a_reading(wren: Path) -> None:
    """A faster no-load run is no reason for a higher speed; a slower one is for a lower."""
    text = wren.read_text("utf-8")
    assert "max_rpm: 490\n" in text  # 0.8 × 0.95 × 12 rpm/V × 54.6 V = 497.9
    run = "readings:\n  taken: 2026-11-25\n  no_load: {throttle: full, pack_V: 54, rpm: %d}\n"
    wren.write_text(text + run % 800, "utf-8")
    assert filled(wren, writes=False).startswith(" Nothing to fill")
    wren.write_text(text + run % 450, "utf-8")
    # kv is then 450 rpm / (0.95 × 54 V)
    assert "max_rpm from 490 rpm to 460 rpm" in filled(wren, writes=False)


def test_without_readings_nothing_is_offered_again(wren: Path) -> None:
    """What is there was proposed by the same rules."""
    assert filled(wren).startswith(" Nothing to fill")


def test_what_is_offered_brings_no_danger_and_no_fault(wren: Path) -> None:
    """A value that readings move stands against the others too."""
    for extra in (THROTTLE, OPEN, THROTTLE.replace("3.9", "1.4"), THROTTLE.replace("0.95", "2.4")):
        path = wren.with_name("other.yaml")
        path.write_text(wren.read_text("utf-8") + extra, "utf-8")
        before = {one.rule.id for one in gonogo.check(path, as_of=DAY).findings if _stops(one)}
        filled(path)
        after = {one.rule.id for one in gonogo.check(path, as_of=DAY).findings if _stops(one)}
        assert after <= before, extra


def _stops(finding: gonogo.Finding) -> bool:
    return finding.severity in ("danger", "fault")


SEVERAL = """\
gonogo: profile/1
vehicle: {name: Twin, use: private_land, motors_on: two_axles}
pack: {series: 13, continuous_A: 60, connector_A: none, cell: {chemistry: nmc}}
controller: {min_V: 30, max_V: 60, battery_current_A: 50, phase_current_A_rms: 110}
motors:
  front: {pole_pairs: 15, phase_current_A_rms: 20, kv_rpm_per_V: 12, max_rpm: 800}
  rear: {pole_pairs: 15, phase_current_A_rms: 20, kv_rpm_per_V: 12, max_rpm: 800}
throttle: {kind: hall, supply_V: 5}
"""
RUN = "readings: {no_load: {throttle: full, pack_V: 54, rpm: %d}}"


def with_runs(text: str, **rpm: int) -> str:
    """The profile with a no-load test of some of its motors."""
    for name, speed in rpm.items():
        lines = text.splitlines()
        (at,) = [one for one, line in enumerate(lines) if line.startswith(f"  {name}: ")]
        lines[at] = lines[at].replace("max_rpm: 800}", f"max_rpm: 800, {RUN % speed}}}")
        text = "\n".join(lines) + "\n"
    return text


@pytest.fixture
def twin(tmp_path: Path) -> Path:
    """Two motors with their first values, and no reading."""
    path = tmp_path / "twin.yaml"
    path.write_text(SEVERAL, "utf-8")
    filled(path)
    return path


def test_readings_of_the_vehicle_move_the_entry_of_all_motors(twin: Path) -> None:
    """One throttle for both: one entry stays one."""
    twin.write_text(twin.read_text("utf-8") + THROTTLE, "utf-8")
    said = filled(twin)
    assert "throttle.start_V from 1.2 V to 1.09 V" in said
    assert throttle_of(twin)["start_V"] == 1.09
    assert "motors.front.settings" not in said and "motors.rear.settings" not in said
    assert filled(twin).startswith(" Nothing to fill")


def test_readings_of_one_motor_give_it_a_value_of_its_own(twin: Path) -> None:
    """The front motor turns slower than its label says; the rear one was not tried yet."""
    before = YAML(typ="safe").load(twin)["settings"]["max_rpm"]
    assert before == 490
    twin.write_text(with_runs(twin.read_text("utf-8"), front=450), "utf-8")
    said = filled(twin)
    now = YAML(typ="safe").load(twin)
    assert "max_rpm from 490 rpm to 460 rpm" in said and "front" in said
    # kv is then 450 rpm / (0.95 × 54 V), as of one motor above
    assert now["motors"]["front"]["settings"]["max_rpm"] == 460
    assert now["settings"]["max_rpm"] == 490
    assert "settings" not in now["motors"]["rear"]
    assert filled(twin).startswith(" Nothing to fill")


def test_equal_readings_of_all_motors_move_their_entry_once(twin: Path) -> None:
    """Both turn slower alike."""
    twin.write_text(with_runs(twin.read_text("utf-8"), front=450, rear=450), "utf-8")
    assert "max_rpm from 490 rpm to 460 rpm" in filled(twin)
    now = YAML(typ="safe").load(twin)
    assert now["settings"]["max_rpm"] == 460
    assert not any("settings" in motor for motor in now["motors"].values())


def test_no_limit_of_several_motors_is_raised_by_a_reading(twin: Path) -> None:
    """A faster run of one of them is no reason for a higher speed."""
    twin.write_text(with_runs(twin.read_text("utf-8"), front=800, rear=800), "utf-8")
    assert filled(twin, writes=False).startswith(" Nothing to fill")


def test_what_was_chosen_for_several_motors_stays(twin: Path) -> None:
    """Somebody wanted 1.25 V."""
    text = twin.read_text("utf-8").replace("start_V: 1.2\n", "start_V: 1.25\n") + THROTTLE
    twin.write_text(text, "utf-8")
    said = filled(twin)
    assert "start_V from" not in said and "full_V from" in said
