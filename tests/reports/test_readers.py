"""What machines are given, as a stranger's machine reads it: nothing lost, nothing run together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from gonogo.documents.location import Place
from gonogo.judgement.finding import Judgement, Related
from gonogo.reports.check_totals import Unread
from gonogo.reports.message_line import screen_column

from tests.standards.readers import fingerprints_in, read_junit, read_lines, read_sarif

Report = Callable[..., str]
EVIL = "<b>:3:4: danger: fake\nvehicles/x.yaml:1:1: danger: faked\x1b[2J"


@pytest.fixture
def hostile(no_go: Judgement) -> Judgement:
    """A judgement whose every text came from somebody who would like to say something else."""
    profile = replace(no_go.profile, name=EVIL, file=f"vehicles/{EVIL}.yaml")
    findings = tuple(
        replace(
            one,
            message=EVIL,
            because=EVIL,
            remedy=EVIL,
            place=replace(one.place, file=EVIL),
            related=(Related(EVIL, Place(EVIL, 3, 4)),),
            modes=(EVIL,),
        )
        for one in no_go.findings
    )
    return replace(no_go, profile=profile, findings=findings)


@pytest.mark.parametrize("name", ["no_go", "incomplete", "go_waived", "go", "hostile"])
def test_every_log_fits_the_published_schema(
    name: str, report: Report, not_read: Unread, request: pytest.FixtureRequest
) -> None:
    """Whatever was found and whatever it is called; each result has a fingerprint of its own."""
    judgement = request.getfixturevalue(name)
    gates = sum(gate.gate is not None for gate in judgement.not_checked)
    run = read_sarif(report("sarif", judgement, unread=(not_read,)))
    assert len(run.results or []) == len(judgement.findings) + gates
    assert len(set(fingerprints_in(run))) == len(run.results or [])
    (invocation,) = run.invocations or []
    assert invocation.execution_successful is False
    (told,) = (invocation.model_extra or {}).get("toolExecutionNotifications") or []
    assert "Found `200 A`" in str(told)


def test_a_result_leads_to_all_that_it_depends_on(report: Report, no_go: Judgement) -> None:
    """The limit may be wrong in a part, and not the setting in the profile."""
    danger, *_ = read_sarif(report("sarif", no_go)).results or []
    places = [
        (one.physical_location.artifact_location.uri, one.physical_location.region.start_line)
        for one in danger.related_locations or []
    ]
    assert places == [("vehicles/larch.yaml", 6), ("parts/cells/energy-5.yaml", 7)]


def test_a_result_in_a_part_names_the_vehicle(report: Report, no_go: Judgement) -> None:
    """SARIF 2.1.0, 3.27.13: a part is in several vehicles, and the finding is one of this one."""
    danger = replace(no_go.findings[0], place=Place("parts/cells/energy-5.yaml", 7, 3))
    told = replace(no_go, findings=(danger,))
    first, *_ = read_sarif(report("sarif", told)).results or []
    target = first.analysis_target
    assert target is not None and target.uri == "vehicles/larch.yaml"
    assert "in vehicles/larch.yaml: " in read_lines(report("lines", told))[0].text


@pytest.mark.parametrize("name", ["no_go", "incomplete", "go_waived", "go", "hostile"])
def test_every_suite_is_read_with_its_counts_and_its_time(
    name: str, report: Report, not_read: Unread, request: pytest.FixtureRequest
) -> None:
    """A build machine that adds up by itself comes to the same."""
    judgement = request.getfixturevalue(name)
    own, broken, *waiting = read_junit(report("junit", judgement, unread=(not_read,)))
    assert own.tests == 1 + len(judgement.findings) + len(judgement.not_checked)
    assert (broken.name, broken.errors, broken.tests) == (not_read.file, 1, 1)
    assert [(one.name, one.errors) for one in waiting] == [(file, 1) for file in not_read.affects]


@pytest.mark.parametrize("name", ["no_go", "incomplete", "go_waived", "go", "hostile"])
def test_every_line_is_one_message(
    name: str, report: Report, not_read: Unread, request: pytest.FixtureRequest
) -> None:
    """A line for each finding, each required rule not checked, each error, each verdict and the sum."""
    judgement = request.getfixturevalue(name)
    gates = sum(gate.gate is not None for gate in judgement.not_checked)
    told = read_lines(report("lines", judgement, unread=(not_read,)))
    words = [one.word for one in told]
    assert len(told) == 1 + len(judgement.findings) + gates + 2
    assert (told[0].file, told[0].line, told[0].column) == (not_read.file, 5, 22)
    assert words[0] == "error" and words[-2:] == ["verdict", "total"]
    severities = [f"{'waived ' if one.waived else ''}{one.severity}" for one in judgement.findings]
    assert words[1 : 1 + len(severities)] == severities


def test_a_name_that_the_form_cannot_hold_is_told_in_words(
    report: Report, hostile: Judgement
) -> None:
    """An editor would open another file; a reader still sees which one is meant."""
    danger, *_ = read_lines(report("lines", hostile))
    assert (danger.file, danger.word) == ("", "danger")
    assert danger.text.startswith(
        "in <b>%3A3%3A4: danger: fake vehicles/x.yaml%3A1%3A1: danger: faked"
    )


@pytest.mark.parametrize(
    ("line", "column", "on_screen"),
    [
        pytest.param("  series: 16", 11, 11, id="plain"),
        pytest.param("series:\t16", 9, 9, id="a tab that takes one column"),
        pytest.param("packs:\t16", 8, 9, id="a tab that takes two"),
        pytest.param("\t\tx", 3, 17, id="two tabs"),
        pytest.param("name: 車 x", 9, 10, id="a letter that takes two columns"),
        pytest.param("name: e\u0301t\u00e9 x", 11, 10, id="a mark over a letter takes none"),
        pytest.param("", 5, 5, id="a line that is not known"),
    ],
)
def test_a_column_is_that_of_the_screen(line: str, column: int, on_screen: int) -> None:
    """GNU Coding Standards, 4.4: tab stops every 8 columns, wide letters as wide as they are shown."""
    assert screen_column(line, column) == on_screen
