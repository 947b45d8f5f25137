"""Shared causes: a line of a part that several vehicles are flagged for is told once, with them."""

from __future__ import annotations

from dataclasses import replace

from gonogo.documents.location import Place
from gonogo.documents.profile import Waiver
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
