"""A fleet: many vehicles in a line each, the worst first, and nothing lost that somebody has to know."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from gonogo.judgement.finding import Judgement
from gonogo.reports.check_totals import Unread
from gonogo.reports.fleet import FEW_IN_FULL, MOST_FIT, is_fleet
from gonogo.reports.layout import Page
from gonogo.reports.markdown_cut import LARGEST_COMMENT
from rich.cells import cell_len

Report = Callable[..., str]
Expect = Callable[[str, str], None]
FLEET = Page(alone=False, fleet=True)


def called(judgement: Judgement, name: str, file: str = "") -> Judgement:
    """The same judgement about another vehicle."""
    file = file or f"vehicles/{name.lower()}.yaml"
    own = judgement.profile.file
    findings = tuple(
        replace(
            one,
            place=replace(one.place, file=file),
            related=tuple(
                replace(near, place=replace(near.place, file=file))
                if near.place.file == own
                else near
                for near in one.related
            ),
        )
        for one in judgement.findings
    )
    profile = replace(judgement.profile, name=name, file=file)
    return replace(judgement, profile=profile, findings=findings)


@pytest.fixture
def fleet(
    go: Judgement, no_go: Judgement, go_waived: Judgement, incomplete: Judgement
) -> list[Judgement]:
    """Eight vehicles, by file; two are refused for the same line of a part."""
    advised = replace(go, findings=incomplete.findings)
    worse = replace(no_go, findings=(no_go.findings[0], *no_go.findings))
    return [
        called(go, "Alder"),
        called(advised, "Ash"),
        called(no_go, "Aspen"),
        called(incomplete, "Beech"),
        called(worse, "Birch"),
        called(go_waived, "Hazel"),
        called(go, "Hornbeam"),
        called(go, "Hornbeam", "vehicles/old/hornbeam.yaml"),
    ]


def test_the_fleet_stands_first(
    report: Report, fleet: list[Judgement], not_read: Unread, expect: Expect
) -> None:
    """Counts, what several share, what nobody could read, then the vehicles, in one glance each."""
    expect("screens/fleet.txt", report("text", *fleet, page=FLEET, unread=(not_read,)))


def test_a_fleet_in_a_comment(
    report: Report, fleet: list[Judgement], not_read: Unread, expect: Expect
) -> None:
    """The same first, then each vehicle that is not plainly fit with all its findings."""
    expect("screens/fleet.md", report("markdown", *fleet, page=FLEET, unread=(not_read,)))


def test_a_fleet_on_a_page(
    report: Report, fleet: list[Judgement], not_read: Unread, expect: Expect
) -> None:
    """What several share, a choice of verdicts, a list with a link to each; nothing is folded."""
    said = report("html", *fleet, page=Page(alone=False), unread=(not_read,))
    expect("screens/fleet.html", said.split("</style>")[1])


def test_few_vehicles_are_no_fleet() -> None:
    """Who has three machines on the bench reads all that was found in each."""
    assert not is_fleet(FEW_IN_FULL) and is_fleet(FEW_IN_FULL + 1)


def test_in_full_each_vehicle_has_its_card(report: Report, fleet: list[Judgement]) -> None:
    """Also the one that is GO with advice, of which a list shows but the count."""
    said = report("text", *fleet, page=Page(alone=False, whole=True))
    assert said.count("\n ▐ ADVICE") == 5 and "8 profiles" in said
    assert len(re.findall(r"^ ▐ (GO|NO-GO|INCOMPLETE|GO WITH WAIVERS)\b", said, re.MULTILINE)) == 8


def test_what_could_not_be_read_is_told_whole(
    report: Report, fleet: list[Judgement], not_read: Unread
) -> None:
    """No summary of an error helps to put it right."""
    said = report("text", *fleet, page=FLEET, unread=(not_read,))
    for words in (not_read.found, not_read.wanted, "needed by vehicles/elm.yaml", "meant?"):
        assert words in said
    assert said.index("NOT READ   ") < said.index(" NO-GO  ")


def test_a_waiver_is_said_until_when(report: Report, fleet: list[Judgement]) -> None:
    """A vehicle that is fit on sufferance is not folded among those that are fit."""
    said = report("text", *fleet, page=FLEET)
    plain = " ".join(said.split())
    assert re.search(r"GO WITH WAIVERS Hazel .* hazel\.yaml:\d+ · .*1 danger until 2026", plain)


def test_those_that_are_fit_are_named(report: Report, go: Judgement) -> None:
    """A vehicle that is nowhere named was perhaps not checked; past a page of names they are counted."""
    names = [f"V{number}" for number in range(MOST_FIT + 5)]
    said = report("text", *(called(go, name) for name in names), page=FLEET)
    plain = " ".join(said.split())
    assert f"{MOST_FIT + 5} vehicles" in plain and "and 5 more" in plain
    assert all(f"{name}," in plain for name in names[:MOST_FIT])


def test_fit_for_the_stand_is_not_fit_for_a_ride(report: Report, go: Judgement) -> None:
    """One line of both would promise a ride to who may only turn the wheel."""
    stand = replace(go, stage="stand", stages={"stand": "go", "ride": "incomplete"})
    said = report("text", called(go, "Ash"), called(stand, "Elm"), page=FLEET)
    assert len(re.findall(r"^ GO +1 vehicle\s+fit for the stand", said, re.MULTILINE)) == 2


@pytest.mark.parametrize("width", [40, 80, 140])
def test_no_line_is_wider_than_the_page(
    report: Report, fleet: list[Judgement], not_read: Unread, width: int
) -> None:
    """A name that wraps in a terminal hides the next verdict."""
    long = called(fleet[2], "Larch " * 30, "vehicles/" + "larch" * 30 + ".yaml")
    page = FLEET._replace(width=min(width, 80), full=width)
    said = report("text", *fleet, long, page=page, unread=(not_read,))
    assert max(map(cell_len, said.split("\n"))) <= width


def test_a_wide_terminal_has_a_line_a_vehicle(report: Report, fleet: list[Judgement]) -> None:
    """Forty of them are read down a column."""
    said = report("text", *fleet, page=FLEET._replace(full=140))
    line = next(line for line in said.split("\n") if "Birch  " in line)
    assert "birch.yaml:9 · battery-current-above-cells, 60 A too high" in line
    assert line.endswith("2 dangers, 1 advice · 71/74")


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_a_name_stays_a_name(report: Report, fleet: list[Judgement], form: str) -> None:
    """It comes from a stranger's file, and stands in the summary of all."""
    evil = "A\x1b[2K<script>|*b*|`c`](http://e.test) GO"
    twins = [called(fleet[2], f"{evil}{number}", f"v/{number}.yaml") for number in range(2)]
    said = report(form, *fleet, *twins, page=FLEET)
    assert "\x1b" not in said
    assert form == "text" or "<script>" not in said
    assert form != "markdown" or (
        "](http" not in said.replace("\\]", "") and "*b*" not in said.replace("\\*", "")
    )


def test_a_thousand_vehicles_fit_in_a_comment(
    report: Report, fleet: list[Judgement], not_read: Unread
) -> None:
    """The worst are kept, and whoever is left out is counted."""
    many = [called(one, f"Vehicle {n}", f"v/{n}.yaml") for n in range(125) for one in fleet]
    every = [called(one, f"Ü {n}", f"v/{n}.yaml") for n, one in enumerate(many)]
    said = report("markdown", *every, page=FLEET, unread=(not_read,))
    assert len(said.encode()) <= LARGEST_COMMENT
    assert "1002 profiles: 2 NOT READ, 250 NO-GO" in said and "Cut to fit" in said
    assert said.index("## NOT READ") < said.index("## NO-GO")
    assert not re.search(r"^## (GO|INCOMPLETE)", said, re.MULTILINE)
    whole = report("markdown", *every, page=Page(alone=False, whole=True))
    assert len(re.findall(r"^## (?:GO|INCOMPLETE|NO-GO)", whole, re.MULTILINE)) == 1000
