"""Shared causes: a line of a part that several vehicles are flagged for is told once, with them."""

from __future__ import annotations

import io
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from gonogo.commands.check import run as check
from gonogo.documents.location import Place
from gonogo.documents.profile import Waiver
from gonogo.documents.schema import schema_text
from gonogo.judgement.finding import Judgement
from gonogo.reports.layout import Page
from gonogo.reports.shared_causes import (
    MOST_CAUSES,
    FindingCause,
    causes_of,
    shared_causes,
    shared_section,
)
from gonogo.reports.text import inside
from jsonschema import Draft202012Validator

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"

CELL = "parts/cells/energy-5.yaml"
CURRENT = FindingCause("danger", "battery-current-above-cells", CELL, 7)


def test_a_vehicle_rests_on_lines_of_other_files(no_go: Judgement) -> None:
    """A line of its own file is nobody else's cause."""
    assert causes_of(no_go) == (CURRENT,)


def test_what_is_waived_causes_nothing(no_go: Judgement, waiver: Waiver) -> None:
    """Who accepted it has nothing to mend there until the waiver ends."""
    waived = replace(no_go.findings[0], waived=waiver)
    assert causes_of(replace(no_go, findings=(waived,))) == ()


def test_a_finding_at_a_line_of_a_part_rests_on_it(no_go: Judgement) -> None:
    """Where the value itself stands in the part, nothing related is needed."""
    finding = replace(no_go.findings[0], place=Place(CELL, 5, 3), related=())
    assert causes_of(replace(no_go, findings=(finding,))) == (CURRENT._replace(line=5),)


def test_a_line_is_told_once_with_all_its_vehicles() -> None:
    """Six vehicles on one part are one thing to mend; a cause of one vehicle is its own affair."""
    advice = FindingCause("advice", "regen-in-frost", CELL, 9)
    given = [("Alder", [CURRENT, advice]), ("Elm", [advice]), ("Oak", [CURRENT, advice])]
    causes = shared_causes([*given, ("Ash", [FindingCause("danger", "other", "house.yaml", 2)])])
    assert [(cause.rule, cause.vehicles) for cause in causes] == [
        ("battery-current-above-cells", ("Alder", "Oak")),
        ("regen-in-frost", ("Alder", "Elm", "Oak")),
    ]


def test_lines_with_the_same_vehicles_are_one_cause() -> None:
    """A finding that rests on three lines of a part is not three findings."""
    lines = [CURRENT._replace(line=line) for line in (9, 7)]
    (cause,) = shared_causes([("Alder", lines), ("Oak", lines)])
    assert cause.places == ((CELL, 7), (CELL, 9))


def test_it_is_told_with_file_line_rule_and_vehicles() -> None:
    """The eye goes from the file to be mended to the vehicles that get well by it."""
    names = [f"Vehicle {number}" for number in range(10)]
    said = inside(shared_section(shared_causes((name, [CURRENT]) for name in names)), Page())
    plain = " ".join(said.replace("\u00a0", " ").split())
    assert f"DANGER {CELL} line 7 · battery-current-above-cells" in plain
    assert "10 vehicles: Vehicle 0, Vehicle 1," in plain and "and 2 more" in plain


def test_the_rest_of_many_is_counted() -> None:
    """A summary stays short, and says that it is not all."""
    causes = [CURRENT._replace(line=line) for line in range(1, MOST_CAUSES + 3)]
    given = [
        (f"{cause.line}{name}", [cause._replace(rule=f"r-{cause.line:02}")])
        for cause in causes
        for name in "ab"
    ]
    section = shared_section(shared_causes(given))
    assert len(section[0].blocks) == MOST_CAUSES + 1
    assert "and 2 more shared causes" in inside(section, Page())


def test_nothing_shared_is_no_section() -> None:
    """An empty heading would look like a report that was cut."""
    assert shared_section(shared_causes([("Alder", [CURRENT])])) == ()


@pytest.fixture
def fleet(tmp_path: Path) -> Path:
    """The example workshop, with readings that soon grow old, a motor and a controller exchanged."""
    shop = tmp_path / "shop"
    shutil.copytree(WORKSHOP, shop)
    for name, pattern, new in (
        ("house.yaml", "readings_days: 330", "readings_days: 30"),
        ("parts/motors/axle-75.yaml", r"magnets: \d+", "magnets: 46"),
        ("parts/controllers/72v-150a.yaml", r"max_V: [\d.]+", "max_V: 70"),
    ):
        text, count = re.subn(pattern, new, (shop / name).read_text("utf-8"))
        assert count == 1
        (shop / name).write_text(text, "utf-8")
    return shop


def test_machines_are_told_the_same_causes(fleet: Path) -> None:
    """Each with every line and the files of its vehicles, whatever a screen cuts off."""
    said = {}
    for form in ("json", "text"):
        out = io.StringIO()
        check([fleet / "vehicles"], form, as_of="2026-11-25", out=out)
        said[form] = out.getvalue()
    record = json.loads(said["json"])
    validator = Draft202012Validator(json.loads(schema_text("report")))
    assert list(validator.iter_errors(record)) == []
    told = record["shared_causes"]
    assert len(told) > 2
    by_file = {one["file"]: one for one in record["profiles"]}
    for cause in told:
        for file in cause["vehicles"]:
            found = [one for one in by_file[file]["findings"] if one["rule"] == cause["rule"]]
            assert cause["severity"] in {one["severity"] for one in found}
    plain = " ".join(said["text"].replace("\u00a0", " ").split())
    for cause in told[:MOST_CAUSES]:
        count = len(cause["vehicles"])
        line = f"{cause['places'][0]['file']} line"
        assert line in plain and f"· {cause['rule']} {count} vehicles:" in plain, cause
    if len(told) > MOST_CAUSES:
        assert f"and {len(told) - MOST_CAUSES} more shared cause" in plain


def test_a_profile_alone_shares_nothing(fleet: Path) -> None:
    """Its record has no such list."""
    out = io.StringIO()
    check([fleet / "vehicles" / "sorrel.yaml"], "json", as_of="2026-11-25", out=out)
    assert "shared_causes" not in json.loads(out.getvalue())
