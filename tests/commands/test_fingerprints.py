"""A finding is known again after an edit, and taken for no other: SARIF 2.1.0, 3.27.16 and 3.27.17."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands.check import run as check
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.standards.readers import fingerprints_in, read_sarif

pytestmark = pytest.mark.usefixtures("frozen")
BENCH = Path(__file__).parent / "bench" / "juniper.yaml"
TEXT = BENCH.read_text("utf-8")
EXAMPLES = Path(__file__).parents[2] / "examples"
HOUSE = "gonogo: house/1\n"
CURRENT = "battery_current_A:   110"
Marks = dict[str, set[str]]


def log(path: Path) -> str:
    out = io.StringIO()
    check([path], form="sarif", as_of="2026-11-25", out=out)
    return out.getvalue()


def marks(path: Path) -> Marks:
    """The fingerprints of each rule's findings; no two results share one."""
    text = log(path)
    every = fingerprints_in(read_sarif(text))
    assert every and len(set(every)) == len(every)
    found: Marks = {}
    for one in json.loads(text)["runs"][0]["results"]:
        found.setdefault(one["ruleId"], set()).add(one["partialFingerprints"]["finding/v1"])
    return found


def laid(folder: Path, text: str = TEXT, name: str = "vehicles/juniper.yaml") -> Path:
    """A shop with that vehicle."""
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    (folder / "house.yaml").write_text(HOUSE, "utf-8")
    path.write_text(text, "utf-8")
    return folder


EDITS = {
    "lines above": (TEXT.replace("pack:\n", "# the pack\n\n\npack:\n", 1)),
    "a value a little further out": TEXT.replace(CURRENT, "battery_current_A:   112"),
    "a graver step": TEXT.replace(CURRENT, "battery_current_A: 149"),
    "another mode": TEXT + "  town: {battery_current_A: 26, max_rpm: 3100, speed_limit_km_h: 20}\n",
    "a name": TEXT.replace("name: Juniper", "name: Juniper the second"),
}


@pytest.mark.parametrize("edit", EDITS)
def test_a_finding_keeps_its_mark_through_an_edit_that_does_not_mend_it(
    edit: str, tmp_path: Path
) -> None:
    """What somebody has looked at and set aside must not come back as news after a comment."""
    before, after = (
        marks(laid(tmp_path / name, text)) for name, text in (("a", TEXT), ("b", EDITS[edit]))
    )
    both = before.keys() & after.keys()
    assert "motor-stop-above-insulation" in both and len(both) >= 4
    assert {rule: before[rule] for rule in both if before[rule] - after[rule]} == {}


def test_a_checkout_elsewhere_has_the_same_marks(git: Any, tmp_path: Path) -> None:
    """Each machine has the repository in a folder of its own; where one stands makes no difference."""
    laid(git.folder / "fleet")
    git.commit("As it left")
    git("clone", "--quiet", ".", str(tmp_path / "other place"))
    told = marks(git.folder)
    assert marks(tmp_path / "other place") == told
    assert marks(git.folder / "fleet" / "vehicles" / "juniper.yaml") == told


def test_a_vehicle_with_an_id_keeps_its_marks_under_another_name(tmp_path: Path) -> None:
    """It is the same vehicle; one without an id is known by its file."""
    own = TEXT.replace("name: Juniper", "name: Juniper, id: juniper-1")
    moved = "attic/old-juniper.yaml"
    assert marks(laid(tmp_path / "a", own)) == marks(laid(tmp_path / "b", own, moved))
    assert marks(laid(tmp_path / "c")) != marks(laid(tmp_path / "d", TEXT, moved))


def test_two_vehicles_two_modes_and_two_motors_have_marks_of_their_own() -> None:
    """Over all examples; those of two motors and of parts that several vehicles take are among them."""
    found = marks(EXAMPLES)
    assert sum(map(len, found.values())) > 10
    assert any(len(of_rule) > 1 for of_rule in found.values())


def test_a_waiver_is_known_by_its_rule_and_not_by_its_number(tmp_path: Path) -> None:
    """One that is put in before it moves it down the list."""
    stale = "  - {rule: motor-stop-above-insulation, reason: The winding is a better one., until: 2026-01-31}\n"
    other = "  - {rule: max-rpm-back-emf, reason: It was tried on the bench alone., until: 2026-02-28}\n"
    one = marks(laid(tmp_path / "a", f"{TEXT}waivers:\n{stale}"))
    two = marks(laid(tmp_path / "b", f"{TEXT}waivers:\n{other}{stale}"))
    told = [rule for rule in one if "waiver" in rule]
    assert told
    for rule in told:
        assert one[rule] < two[rule]


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    amperes=st.integers(101, 149),
    gaps=st.lists(st.integers(0, TEXT.count("\n") - 1), max_size=5),
    comment=st.sampled_from(["", "# looked at", "# " + "-" * 90]),
)
def test_no_value_and_no_empty_line_moves_a_mark(
    amperes: int, gaps: list[int], comment: str, tmp_path: Path
) -> None:
    """Whatever current is set past the limit, and wherever a line is put in."""
    lines = TEXT.replace(CURRENT, f"battery_current_A: {amperes}").split("\n")
    for gap in sorted(gaps, reverse=True):
        lines.insert(gap, comment)
    told = marks(laid(tmp_path / "now", "\n".join(lines)))
    known = marks(laid(tmp_path / "then"))
    both = told.keys() & known.keys()
    assert len(both) >= 4 and all(told[rule] & known[rule] for rule in both)
