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
