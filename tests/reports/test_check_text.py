"""The text report against whole expected screens, at 80 columns."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from gonogo.documents.profile import Waiver
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.rule import SEVERITIES
from gonogo.reports.check_totals import Unread
from gonogo.reports.layout import Page
from rich.cells import cell_len

Report = Callable[..., str]
Expect = Callable[[str, str], None]


def test_a_refused_vehicle_gets_a_tag(report: Report, no_go: Judgement, expect: Expect) -> None:
    """Verdict, worst finding with its line, the two numbers, why, what to do: in that order."""
    expect("screens/no-go.txt", report("text", no_go))


def test_an_incomplete_verdict_says_first_what_it_waits_for(
    report: Report, incomplete: Judgement, expect: Expect
) -> None:
    """Whoever is told INCOMPLETE wants to know which reading to take."""
    expect("screens/incomplete.txt", report("text", incomplete))


def test_a_waived_danger_is_told_with_its_last_day(
    report: Report, go_waived: Judgement, expect: Expect
) -> None:
    """A GO that rests on a waiver must not look like any other GO."""
    expect("screens/go-waived.txt", report("text", go_waived))


def test_a_plain_go_is_short(report: Report, go: Judgement, expect: Expect) -> None:
    """Nothing to do is said in a few lines, with what it rests on."""
    expect("screens/go.txt", report("text", go))


def test_many_profiles_get_a_line_for_each_go(
    report: Report,
    go: Judgement,
    go_waived: Judgement,
    no_go: Judgement,
    not_read: Unread,
    expect: Expect,
) -> None:
    """In a whole workshop the eye must find the ones that need work; the tally comes last."""
    expect("screens/many.txt", report("text", go, no_go, go_waived, unread=(not_read,)))


def test_quiet_is_a_line_a_profile(
    report: Report,
    go: Judgement,
    no_go: Judgement,
    incomplete: Judgement,
    not_read: Unread,
    expect: Expect,
) -> None:
    """Each line still says the verdict, its scope, and what it hangs on."""
    quiet = Page(quiet=True, alone=False)
    judgements = (go, no_go, incomplete)
    expect("screens/quiet.txt", report("text", *judgements, page=quiet, unread=(not_read,)))


@pytest.mark.parametrize("width", [40, 50, 80, 120])
def test_quiet_takes_one_line_whatever_it_is_called(
    report: Report, no_go: Judgement, not_read: Unread, width: int
) -> None:
    """Twenty vehicles are read down a column; a name that wraps would hide the next verdict."""
    profile = replace(no_go.profile, name="Larch " * 40)
    page = Page(width=min(width, 80), quiet=True, alone=False, full=width)
    shown = report("text", replace(no_go, profile=profile), page=page, unread=(not_read,))
    lines = shown.split("\n\n")[1].split("\n")
    assert len(lines) == 2
    assert lines[1].startswith(" NO-GO") and lines[1].endswith(" 71/74")
    assert max(map(cell_len, lines)) <= width


def test_what_stops_a_ride_comes_first(
    report: Report, go: Judgement, no_go: Judgement, incomplete: Judgement, not_read: Unread
) -> None:
    """What nobody could read may be the worst of all; twenty that are fine stand below."""
    quiet = Page(quiet=True, alone=False)
    shown = report("text", go, incomplete, no_go, page=quiet, unread=(not_read,))
    rows = re.findall(r"^ (NO-GO|INCOMPLETE|NOT READ|GO) ", shown, re.MULTILINE)
    assert rows == ["NOT READ", "NO-GO", "INCOMPLETE", "GO"]


def test_every_rule_that_was_not_checked_is_named_when_asked_for(
    report: Report, no_go: Judgement
) -> None:
    """A count says how much is open, the names say whether it matters; the gravest stand first."""
    said = report("text", no_go, page=Page(unchecked=True))
    places = []
    for entry in sorted(no_go.not_checked, key=lambda one: SEVERITIES.index(one.severity)):
        assert f"{entry.rule.id}: " in said
        places.append(said.index(f"{entry.rule.id}: "))
    assert len(places) == 3 and places == sorted(places)
    assert f"{no_go.not_checked[0].rule.id}: " not in report("text", no_go)


def test_colour_changes_no_word(report: Report, no_go: Judgement, go: Judgement) -> None:
    """Someone who sees no red, or prints in black, reads the same."""
    plain = report("text", no_go, go, page=Page(alone=False))
    coloured = report("text", no_go, go, page=Page(alone=False, colour=True))
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    assert "\x1b" in coloured
    assert "\x1b" not in plain


@pytest.mark.parametrize("width", [40, 60, 80])
def test_nothing_is_wider_than_the_page(
    report: Report, no_go: Judgement, not_read: Unread, width: int
) -> None:
    """Whatever a document says, however long: a terminal of that width shows it whole."""
    long = "settings." + "very_long_name_" * 12 + "A"
    finding = replace(no_go.findings[0], message=f"{long} is 180 A " + "x" * 200, of=long)
    profile = replace(no_go.profile, name="Larch " * 40, file="vehicles/" + "larch" * 30 + ".yaml")
    judgement = replace(no_go, findings=(finding,), profile=profile)
    for quiet in (False, True):
        page = Page(width=width, quiet=quiet, alone=False)
        shown = report("text", judgement, judgement, page=page, unread=(not_read,))
        assert max(cell_len(line) for line in shown.split("\n")) <= width


def test_a_profile_cannot_write_over_its_verdict(report: Report, no_go: Judgement) -> None:
    """Names and sentences come from files that anybody may have written."""
    profile = replace(no_go.profile, name="Larch\x1b[2K\r GO", file="a\x1b]0;GO\x07.yaml")
    finding = replace(no_go.findings[0], message="Fine\x1b[1A\u202e.", remedy="\x9b2J")
    shown = report("text", replace(no_go, profile=profile, findings=(finding,)))
    assert not set(shown) & {"\x1b", "\r", "\x07", "\x9b", "\u202e"}


@pytest.mark.parametrize(
    ("modes", "said"),
    [
        pytest.param(("trail",), "trail", id="one"),
        pytest.param(("trail", "street"), "trail, street", id="two"),
        pytest.param((), "base settings only", id="base"),
    ],
)
def test_a_finding_says_in_which_modes_it_holds(
    report: Report,
    no_go: Judgement,
    modes: tuple[str, ...],
    said: str,
) -> None:
    """A rider changes modes while riding and must know which one is meant."""
    finding = replace(no_go.findings[0], modes=modes, everywhere=False)
    lines = report("text", replace(no_go, findings=(finding,))).split("\n")
    assert f" ▐ modes      {said}" in lines


def test_all_modes_need_no_word(report: Report, no_go: Judgement) -> None:
    """Most profiles have no modes; theirs is one line less to read."""
    finding = replace(no_go.findings[0], everywhere=True)
    assert " modes " not in report("text", replace(no_go, findings=(finding,)))
    plain = replace(no_go.profile, modes={})
    shown = report("text", replace(no_go, profile=plain, findings=no_go.findings[:1]))
    assert " modes " not in shown


def test_a_waiver_without_a_size_says_none(
    report: Report, go_waived: Judgement, waiver: Waiver, short_clearance: Finding
) -> None:
    """A condition has no size to accept."""
    finding = replace(short_clearance, waived=replace(waiver, accepts=None))
    shown = report("text", replace(go_waived, findings=(finding,)))
    assert " ▐ waived    until 2026-12-31: Bench test on a cooled pack." in shown.split("\n")


def test_a_file_that_is_missing_has_no_line(report: Report, not_read: Unread) -> None:
    """Nobody looks for line 1 of a file that is not there."""
    missing = not_read._replace(file="nope.yaml", line=1, column=1, found="no such file", text="")
    assert " line " not in report("text", unread=(missing,))
    assert " line 5 " in report("text", unread=(not_read,))
    assert "line" not in report("text", unread=(missing,), page=Page(quiet=True))
