"""A motor whose label has its power only: a first phase current, and a bound for the stand."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.commands.proposal import opened
from gonogo.judgement.proposal import proposals

BAG = """\
gonogo: profile/1
vehicle: {name: Trike}
pack: {cell: {chemistry: lfp, full_V: 3.65}, series: 16, continuous_A: 60, bms: {continuous_A: 60, cell_low_V: 2.5},
       connector_A: 100}
wiring: {battery_cable_mm2: 16, phase_cable_mm2: 10, fuse: {rated_A: 60, rated_V: 80}, contactor: none}
controller: {max_V: 72, battery_current_A: 45, phase_current_A_rms: 100}
motor: {pole_pairs: 4, %s}
throttle: {kind: hall, supply_V: 5}
"""


@pytest.mark.parametrize(
    ("label", "at_most"),
    [
        pytest.param("rated_power_W: 1000", 1000 / (1.2247 * 0.95 * 51.2) * 1.5, id="its power"),
        pytest.param("rated_power_W: 1000, kv_rpm_per_V: 60", 1.5 * 20.5, id="and its kv"),
        pytest.param("phase_current_A_rms: 25", 15, id="its current, of which 60% are 15 A"),
    ],
)
def test_a_label_is_enough_for_a_first_phase_current(
    label: str, at_most: float, tmp_path: Path
) -> None:
    """A careful start never lies above what the label says, however much the battery gives."""
    path = tmp_path / "trike.yaml"
    path.write_text(BAG % label, encoding="utf-8")
    profile = opened(path, "2026-11-02")
    settings, _ = proposals(profile.profile, profile.catalogue, profile.judged_on)
    first = {one.quantity: one.entered for one in settings}
    assert 0.4 * at_most < first["settings.phase_current_A_rms"] <= at_most
