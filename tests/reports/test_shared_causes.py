"""Shared causes: a line of a part because of which several vehicles are flagged is told once, with them."""

from __future__ import annotations

import io
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

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
    VehicleCauses,
    causes_of,
    shared_causes,
    shared_findings,
    shared_section,
)
from gonogo.reports.text import inside
from jsonschema import Draft202012Validator

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
CELL = "parts/cells/energy-5.yaml"
PACK = "parts/packs/block.yaml"
HOUSE = "house.yaml"
CURRENT = FindingCause("danger", "battery-current-above-cells", ((CELL, 7),))


def rests(*findings: FindingCause, also: tuple[str, ...] = ()) -> VehicleCauses:
    """A vehicle with some findings, that reads the files of their lines and some besides."""
    files = {file for finding in findings for file, _ in finding.lines}
    return VehicleCauses(findings, tuple(sorted({*files, *also})), HOUSE)


def test_a_vehicle_rests_on_lines_of_other_files_and_of_its_own(no_go: Judgement) -> None:
    """What its own file says is told apart, and nobody else's cause."""
    told, *_ = causes_of(no_go).findings
    assert told._replace(own=0) == CURRENT and told.own
    assert causes_of(no_go).files == (HOUSE,)


def test_what_is_waived_is_not_told(no_go: Judgement, waiver: Waiver) -> None:
    """Who accepted it has nothing to mend there until the waiver ends; yet the vehicle has it."""
    waived = replace(no_go.findings[0], waived=waiver)
    (told,) = causes_of(replace(no_go, findings=(waived,))).findings
    assert told.quiet
    given = [("Alder", rests(CURRENT)), ("Elm", rests(CURRENT._replace(quiet=True)))]
    assert shared_causes(given) == shared_findings(given) == []
    (cause,) = shared_causes([*given, ("Oak", rests(CURRENT))])
    assert cause.vehicles == ("Alder", "Oak")


def test_a_finding_at_a_line_of_a_part_rests_on_it(no_go: Judgement) -> None:
    """Where the value itself stands in the part, nothing related is needed."""
    finding = replace(no_go.findings[0], place=Place(CELL, 5, 3), related=())
    told = causes_of(replace(no_go, findings=(finding,)))
    assert told.findings == (CURRENT._replace(lines=((CELL, 5),)),)


def test_a_line_is_told_once_with_all_its_vehicles() -> None:
    """Six vehicles on one part are one thing to mend; a cause of one vehicle is its own affair."""
    advice = FindingCause("advice", "regen-in-frost", ((PACK, 9),))
    given = [("Alder", rests(CURRENT, advice)), ("Elm", rests(advice)), ("Oak", rests(CURRENT))]
    causes = shared_causes([*given, ("Ash", rests(FindingCause("danger", "other", ((HOUSE, 2),))))])
    assert [(cause.rule, cause.vehicles) for cause in causes] == [
        ("battery-current-above-cells", ("Alder", "Oak")),
        ("regen-in-frost", ("Alder", "Elm")),
    ]


def test_lines_with_the_same_vehicles_are_one_cause() -> None:
    """A finding that rests on three lines of a part is not three findings."""
    lines = rests(CURRENT._replace(lines=((CELL, 7), (CELL, 9))))
    (cause,) = shared_causes([("Alder", lines), ("Oak", lines)])
    assert cause.places == ((CELL, 7), (CELL, 9))


def test_a_part_that_others_take_without_the_finding_is_not_blamed() -> None:
    """Six fuses for too few volts: the cell sheet is read by the rule, and sound, as others show."""
    given = [("Alder", rests(CURRENT)), ("Oak", rests(CURRENT)), ("Elm", rests(also=(CELL,)))]
    assert shared_causes(given) == []
    (found,) = shared_findings(given)
    assert (found.rule, found.vehicles) == ("battery-current-above-cells", ("Alder", "Oak"))


def test_who_may_have_the_finding_too_clears_no_part() -> None:
    """Where the rule is not checked, or its finding told with another one, nobody knows better."""
    given = [("Alder", rests(CURRENT)), ("Oak", rests(CURRENT))]
    other = rests(also=(CELL,))._replace(open=(CURRENT.rule,))
    (cause,) = shared_causes([*given, ("Elm", other)])
    assert cause.vehicles == ("Alder", "Oak")


def test_a_part_is_not_blamed_where_each_vehicle_says_something_of_its_own() -> None:
    """A stop set too high in six files, all with one cell: either may be wrong, and nobody is named."""
    given = [(name, rests(CURRENT._replace(own=8))) for name in ("Alder", "Oak")]
    assert shared_causes(given) == [] and len(shared_findings(given)) == 1
    (cause,) = shared_causes([*given, ("Elm", rests(CURRENT))])  # who has only the part in it
    assert cause.vehicles == ("Alder", "Oak", "Elm")


def test_a_line_to_blame_is_so_for_each_finding_that_its_takers_have_by_it() -> None:
    """A rating misread is passed by the full pack and by a setting: one line, and both are told with it."""
    trip = FindingCause("danger", "trip-above-controller", ((CELL, 7),), own=3)
    given = [(name, rests(CURRENT, trip)) for name in ("Alder", "Oak")]
    assert [(one.rule, one.places) for one in shared_causes(given)] == [
        ("battery-current-above-cells", ((CELL, 7),)),
        ("trip-above-controller", ((CELL, 7),)),
    ]


def test_a_finding_that_one_line_explains_blames_no_other() -> None:
    """Two packs behind one controller misread: the controller is told, and neither of the packs."""
    first = CURRENT._replace(lines=((CELL, 7), (PACK, 2)))
    second = CURRENT._replace(lines=((CELL, 7), ("parts/packs/other.yaml", 2)))
    given = [("Alder", rests(first)), ("Ash", rests(first))]
    given += [("Elm", rests(second)), ("Oak", rests(second))]
    (cause,) = shared_causes(given)
    assert cause.places == ((CELL, 7),) and len(cause.vehicles) == 4
    downhill = FindingCause("danger", "downhill", ((CELL, 7), (PACK, 2)))  # of the first pack alone
    given[:2] = [("Alder", rests(first, downhill)), ("Ash", rests(first, downhill))]
    assert len(shared_causes(given)) == 1
    assert [one.rule for one in shared_findings(given)] == ["downhill"]


def test_an_allowance_of_the_shop_is_a_cause_where_vehicles_say_different_things() -> None:
    """Readings of many days and one number of days: it is the number; of one day, it may be the readings."""
    old = FindingCause("advice", "readings-old", ((HOUSE, 6),))
    (cause,) = shared_causes(
        (name, rests(old._replace(own=day))) for day, name in ((1, "A"), (2, "B"))
    )
    assert cause.places == ((HOUSE, 6),)
    assert shared_causes((name, rests(old._replace(own=1))) for name in "AB") == []


def test_it_is_told_with_file_line_rule_and_vehicles() -> None:
    """The eye goes from the file to be mended to the vehicles that get well by it."""
    names = [f"Vehicle {number}" for number in range(10)]
    said = inside(shared_section(shared_causes((name, rests(CURRENT)) for name in names)), Page())
    plain = " ".join(said.replace("\u00a0", " ").split())
    assert f"DANGER {CELL} line 7 · battery-current-above-cells" in plain
    assert "10 vehicles: Vehicle 0, Vehicle 1," in plain and "and 2 more" in plain


def test_the_rest_of_many_is_counted() -> None:
    """A summary stays short, and says that it is not all."""
    given = [
        (
            f"{line}{name}",
            rests(FindingCause("danger", f"r-{line:02}", ((f"parts/{line}.yaml", 7),))),
        )
        for line in range(1, MOST_CAUSES + 3)
        for name in "ab"
    ]
    section = shared_section(shared_causes(given))
    assert len(section[0].blocks) == MOST_CAUSES + 1
    assert "and 2 more shared causes" in inside(section, Page())


def test_nothing_shared_is_no_section() -> None:
    """An empty heading would look like a report that was cut."""
    assert shared_section(shared_causes([("Alder", rests(CURRENT))])) == ()


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


def test_machines_are_told_the_same(fleet: Path) -> None:
    """Each cause with every line and the files of its vehicles, whatever a screen cuts off."""
    said = {}
    for form in ("json", "text"):
        out = io.StringIO()
        check([fleet / "vehicles"], form, as_of="2026-11-25", out=out)
        said[form] = out.getvalue()
    record: dict[str, Any] = json.loads(said["json"])
    validator = Draft202012Validator(json.loads(schema_text("report")))
    assert list(validator.iter_errors(record)) == []
    causes, findings = record["shared_causes"], record["shared_findings"]
    blamed = {place["file"] for one in causes for place in one["places"]}
    assert "parts/motors/axle-75.yaml" in blamed
    by_file = {one["file"]: one for one in record["profiles"]}
    for cause in (*causes, *findings):
        for file in cause["vehicles"]:
            found = [one for one in by_file[file]["findings"] if one["rule"] == cause["rule"]]
            assert cause["severity"] in {one["severity"] for one in found}
    plain = " ".join(said["text"].replace("\u00a0", " ").split())
    for one in (*causes[:MOST_CAUSES], *findings[:MOST_CAUSES]):
        assert f"{one['rule']} {len(one['vehicles'])} vehicles:" in plain, one


def test_a_profile_alone_shares_nothing(fleet: Path) -> None:
    """Its record has no such list."""
    out = io.StringIO()
    check([fleet / "vehicles" / "sorrel.yaml"], "json", as_of="2026-11-25", out=out)
    assert not {"shared_causes", "shared_findings"} & set(json.loads(out.getvalue()))
