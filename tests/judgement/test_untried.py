"""What nobody tried of a vehicle that may be ridden is told in every report, by name."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from gonogo import check
from gonogo.judgement.untried import untried

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
BURDOCK = WORKSHOP / "vehicles" / "burdock.yaml"
DAY = "2026-11-25"


def test_isolation_and_the_drive_while_charging_are_trials_too() -> None:
    """A frame that nobody measured may be live, and a vehicle may drive off on its lead."""
    judgement = check(BURDOCK, DAY)
    assert judgement.stages["ride"] in ("go", "go-with-waivers")
    readings = {one.reading for one in untried(judgement)}
    assert "readings.isolation_kohm" in readings
    assert "readings.charging_blocked" not in readings  # it was tried
    left = {k: v for k, v in judgement.profile.givens.items() if "charging_blocked" not in k}
    silent = replace(judgement, profile=replace(judgement.profile, givens=left))
    assert "readings.charging_blocked" in {one.reading for one in untried(silent)}
    allowed = {
        name: replace(one, value="allowed") if name == "pack.drive_while_charging" else one
        for name, one in left.items()
    }
    charged = replace(judgement, profile=replace(judgement.profile, givens=allowed))
    assert "readings.charging_blocked" not in {one.reading for one in untried(charged)}
