"""Values go into the lines of a blank profile that wait for them, and into no other comment."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.commands import new
from gonogo.documents.edit import Edit, edited
from ruamel.yaml import YAML

LIVE = "gonogo: profile/1\nvehicle:\n  name: Wren\n"


def blank(tmp_path: Path) -> str:
    path = tmp_path / "wren.yaml"
    also = ["pack.series=13", "drivetrain.circumference_mm=800"]
    assert new.run(path, {}, also, blank=True) == 0
    return path.read_text("utf-8")


def entered(text: str, *changes: Edit) -> str:
    return edited(text.encode(), changes, "wren.yaml").decode()


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_a_value_takes_the_place_of_its_example(tmp_path: Path, line_end: str) -> None:
    """The section and the line count from then on, the explanations stay, and none stands twice."""
    text = blank(tmp_path).replace("\n", line_end)
    cutoff = Edit(("settings", "low_voltage", "cutoff_V"), 44.8)
    result = entered(text, cutoff, Edit(("settings", "max_rpm"), 1470))
    before, after = text.split(line_end), result.split(line_end)
    assert len(before) == len(after)
    changed = [
        (then.split("  #")[0].rstrip(), now.split("  #")[0].rstrip())
        for then, now in zip(before, after, strict=True)
        if then != now
    ]
    assert changed == [
        ("# settings:", "settings:"),
        ("#   low_voltage:", "  low_voltage:"),
        ("#     cutoff_V: 48", "    cutoff_V: 44.8"),
        ("#   max_rpm: 4200", "  max_rpm: 1470"),
    ]
    read = YAML(typ="safe").load(result)["settings"]
    assert read == {"low_voltage": {"cutoff_V": 44.8}, "max_rpm": 1470}


def test_a_section_without_the_line_is_still_not_begun_twice(tmp_path: Path) -> None:
    """Somebody has deleted the line of one entry from the section."""
    kept = [line for line in blank(tmp_path).splitlines(True) if "#   max_rpm: 4200" not in line]
    result = entered("".join(kept), Edit(("settings", "max_rpm"), 1470))
    assert result.count("\nsettings:\n  max_rpm: 1470\n") == 1
    assert "# settings:" not in result


@pytest.mark.parametrize(
    "comment",
    [
        "settings:\n  direction: forward\n#   max_rpm: 3000\n",  # his own value of last year
        "settings:\n  direction: forward\n  # max_rpm: 4200\n",  # not as a blank profile has it
        "# settings: ask the seller\n",
        "## settings:\n",
        "throttle:\n  kind: hall\n#   max_rpm: 4200\n",  # in another section
    ],
)
def test_somebodys_own_comment_stays(comment: str) -> None:
    result = entered(LIVE + comment, Edit(("settings", "max_rpm"), 1470))
    own = [line for line in comment.splitlines() if "#" in line]
    assert all(line in result.splitlines() for line in own)
    assert YAML(typ="safe").load(result)["settings"]["max_rpm"] == 1470
