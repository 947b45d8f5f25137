"""A GO for the stand names what can still undo it."""

from __future__ import annotations

from pathlib import Path

from gonogo import check
from gonogo.reports.finding_words import can_change

from .test_hazards import DAY, base, changed, written


def _can_change(change: dict[str, object], folder: Path) -> list[str]:
    judgement = check(written(changed(base(), change), folder), as_of=DAY)
    assert judgement.stages["stand"] == "go"
    return can_change(judgement.not_checked)


def test_what_the_ride_asks_for_and_the_stand_hangs_on_is_named(tmp_path: Path) -> None:
    """Without the cells' resistance nobody knows whether the fuse breaks a short circuit."""
    change = {"pack": {"cell": {"resistance_mohm": "~remove"}}}
    assert "pack.cell.resistance_mohm" in _can_change(change, tmp_path)


def test_a_profile_that_is_told_whole_has_nothing_left(tmp_path: Path) -> None:
    """A line that always stands there would soon be read by nobody."""
    assert _can_change({}, tmp_path) == []
