"""What a comparison says of the cause: the changed entries that uncover a failure, found by putting each back."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from gonogo.commands import diff

from .test_failure_change import (
    BUILD,
    DAY,
    WEAKENED,
    changed,
    compared,
    failures,
    with_a_wild_mode,
)

REVISIONS = Path(__file__).parents[2] / "examples" / "revisions"
SPEED = {"settings.max_rpm", "settings.field_weakening_A_rms"}
RAMP = ("ramp_ms: 250", "ramp_ms: 300")


def test_each_entry_that_covers_it_again_is_a_cause() -> None:
    """Field weakening and the limit raised: without either the pack's voltage or the limit ends the speed."""
    tune = REVISIONS / "hotter-tune"
    told = failures(tune / "before.yaml", tune / "after.yaml")
    for failure in ("outputs-off-at-top-speed", "outputs-off-downhill", "fuse-opens"):
        causes = {one.removesuffix("_peak") for one in told[failure]["causes"]}
        assert causes == SPEED and told[failure]["together"] is False


def test_what_has_no_part_in_it_is_no_cause(tmp_path: Path) -> None:
    """A ramp changed too uncovers nothing."""
    told = failures(BUILD, changed(tmp_path, WEAKENED, RAMP))
    assert all("settings.throttle.ramp_ms" not in one["causes"] for one in told.values())
    assert all(one["causes"] for one in told.values() if one["way"] == "uncovered")


def test_entries_that_only_do_it_together_are_named_together(tmp_path: Path) -> None:
    """A reading within the limits, and no limit: either put back alone catches nothing."""
    blind = (
        ("open_ground_V: 4.96", "open_ground_V: 3.0"),
        ("lost_above_V: 4.5", "lost_above_V: none"),
    )
    new = changed(tmp_path, *blind, RAMP)
    ground = failures(BUILD, new)["throttle-ground-open"]
    assert ground["together"] is True
    assert set(ground["causes"]) == {
        "readings.throttle.open_ground_V",
        "settings.throttle.lost_above_V",
    }
    assert " together: 1 failure" in " ".join(compared(BUILD, new, "text").split())


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_the_section_begins_with_its_causes(form: str) -> None:
    """One line a cause, then the failures that do the same under one head."""
    tune = REVISIONS / "hotter-tune"
    out = io.StringIO()
    files = [str(tune / "before.yaml"), str(tune / "after.yaml")]
    diff.run(files, form=form, as_of=DAY, out=out)
    text = " ".join(out.getvalue().replace("<wbr>", "").replace("\\_", "_").split())
    section = text[text.index("Failures that nothing catches any more") :]
    section = section[: section.index("Calculated values")]
    assert section.index("max_rpm") < section.index("BMS opens at top speed")
    assert "7 failures" in section[: section.index("BMS opens at top speed")]
    assert section.count("which throws the rider") == 1


def test_in_a_mode_its_own_entry_is_the_cause(tmp_path: Path) -> None:
    old, new = with_a_wild_mode(tmp_path)
    lost = failures(old, new)["outputs-off-at-top-speed"]
    assert {one.rsplit(".", 1)[-1] for one in lost["causes"]} == {
        "max_rpm",
        "field_weakening_A_rms",
    }


def test_what_is_covered_now_has_no_cause(tmp_path: Path) -> None:
    told = failures(changed(tmp_path, WEAKENED), BUILD)
    assert {(*one["causes"], one["together"]) for one in told.values()} == {(False,)}
