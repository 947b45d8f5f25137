"""The reports for other eyes: code hosts, build machines, discussions, phones and printers."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from gonogo.commands.formats import FORMATS
from gonogo.documents.text import UNSEEN, clean
from gonogo.judgement.finding import Judgement
from gonogo.reports.check_totals import Unread
from gonogo.reports.markdown import escaped
from markdown_it import MarkdownIt

Report = Callable[..., str]
Expect = Callable[[str, str], None]
ENDINGS = {"text": "txt", "markdown": "md", "junit": "xml", "lines": "lines.txt"}

HOSTILE = "<script>x</script> | *b* _i_ `c` [l](http://e.test) ![i](x) & www.e.test @you\n# h\x1b"


@pytest.fixture
def hostile(no_go: Judgement) -> Judgement:
    """A judgement whose every text came from somebody who means no good."""
    profile = replace(no_go.profile, name=HOSTILE, file=f"vehicles/{HOSTILE}.yaml")
    findings = tuple(
        replace(
            one,
            message=HOSTILE,
            because=HOSTILE,
            remedy=HOSTILE,
            place=replace(one.place, file=HOSTILE),
            modes=(HOSTILE,),
        )
        for one in no_go.findings
    )
    return replace(no_go, profile=profile, findings=findings)


@pytest.mark.parametrize("form", FORMATS)
def test_a_refused_vehicle_in_each_format(
    form: str, report: Report, no_go: Judgement, expect: Expect
) -> None:
    """Whole, so that a change of a report is seen as its reader will see it."""
    expect(f"screens/no-go.{ENDINGS.get(form, form)}", report(form, no_go))


@pytest.mark.parametrize("form", FORMATS)
def test_no_format_lets_a_document_write_to_a_terminal(
    form: str, report: Report, hostile: Judgement
) -> None:
    """Names and sentences come from files that anybody may have written."""
    shown = report(form, hostile)
    assert shown.strip() and re.search(UNSEEN, shown.replace("\n", "").replace("\t", "")) is None


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_names_what_could_not_be_read(
    form: str, report: Report, not_read: Unread
) -> None:
    """A report that leaves a document out looks as if all was well with it."""
    assert not_read.file in report(form, unread=(not_read,))


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_says_what_an_incomplete_vehicle_waits_for(
    form: str, report: Report, incomplete: Judgement
) -> None:
    """A rule that could not be checked has no finding, and must not pass in silence for that."""
    said = report(form, incomplete).replace("<wbr>", "")
    assert "incomplete" in said.lower()
    assert "readings.throttle.rest" in said


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_says_until_when_a_danger_is_waived(
    form: str, report: Report, go_waived: Judgement
) -> None:
    """Without its last day it looks accepted for good, or not accepted."""
    assert "2026-12-31" in report(form, go_waived)


# ── build machines ────────────────────────────────────────────────────────────────────────────


def suite(report: str) -> ElementTree.Element:
    """The first suite of a report."""
    found = ElementTree.fromstring(report).find("testsuite")
    assert found is not None
    return found


def test_a_suite_counts_what_is_in_it(report: Report, no_go: Judgement) -> None:
    """Build machines add the counts up and trust them."""
    found = suite(report("junit", no_go))
    cases = found.findall("testcase")
    for attribute, kind in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
        assert int(found.attrib[attribute]) == sum(case.find(kind) is not None for case in cases)
    assert int(found.attrib["tests"]) == len(cases)


def failed(report: str, kind: str) -> list[str]:
    """The names of the cases with that outcome."""
    cases = ElementTree.fromstring(report).iter("testcase")
    return [case.attrib["name"] for case in cases if case.find(kind) is not None]


def test_a_danger_fails_and_a_caution_does_not(report: Report, no_go: Judgement) -> None:
    """The build turns red for what refuses the vehicle."""
    assert failed(report("junit", no_go), "failure") == ["verdict", "battery-current-above-cells"]


def test_a_gate_that_costs_the_verdict_is_an_error(report: Report, incomplete: Judgement) -> None:
    """INCOMPLETE must not look green, and nothing has failed either."""
    assert failed(report("junit", incomplete), "error") == ["verdict", "throttle-start-above-rest"]


def test_a_waived_finding_is_skipped(report: Report, go_waived: Judgement) -> None:
    """It is neither right nor held against the vehicle."""
    assert failed(report("junit", go_waived), "skipped") == [
        "verdict",
        "battery-current-above-cells",
    ]


def test_what_cannot_be_read_is_an_error(report: Report, not_read: Unread) -> None:
    """A broken document must turn the build red too, and the vehicles that wait for it are not lost."""
    said = report("junit", unread=(not_read,))
    assert failed(said, "error") == ["line 5", "verdict", "verdict"]
    assert {"vehicles/elm.yaml", "vehicles/oak.yaml"} < {
        one.attrib["name"] for one in ElementTree.fromstring(said).iter("testsuite")
    }


def test_xml_holds_whatever_a_document_says(report: Report, hostile: Judgement) -> None:
    """It parses, and the name is text."""
    assert "<script>x</script>" in suite(report("junit", hostile)).attrib["name"]


# ── code hosts ────────────────────────────────────────────────────────────────────────────────


def results(report: str) -> list[dict[str, object]]:
    """The results of a log's only run."""
    (run,) = json.loads(report)["runs"]
    found: list[dict[str, object]] = run["results"]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert all(rules[one["ruleIndex"]] == one["ruleId"] for one in run["results"])
    assert all(rule["help"]["text"] for rule in run["tool"]["driver"]["rules"])
    return found


def test_a_result_stands_at_its_line(report: Report, no_go: Judgement) -> None:
    """The host shows it beside the value in the change."""
    danger, advice, gate = results(report("sarif", no_go))
    assert (danger["level"], advice["level"], gate["level"]) == ("error", "warning", "note")
    (location,) = danger["locations"]  # type: ignore[misc]
    assert location["physicalLocation"]["region"] == {"startLine": 9, "startColumn": 22}


def test_a_rule_is_explained_without_gaps(report: Report, no_go: Judgement) -> None:
    """The host shows a rule by itself, where there are no numbers to put in."""
    (run,) = json.loads(report("sarif", no_go))["runs"]
    said = [rule["help"]["text"] for rule in run["tool"]["driver"]["rules"]]
    assert [text for text in said if "{" in text] == []
    assert "Do: Set it to the limit or less." in said[0]
    assert "Limit: at most the continuous current of all cells\n" in said[0]


def test_a_waived_result_is_suppressed(report: Report, go_waived: Judgement) -> None:
    """The host keeps it and does not alarm anybody."""
    advice, danger = results(report("sarif", go_waived))
    assert advice["suppressions"] == []
    (suppression,) = danger["suppressions"]  # type: ignore[misc]
    assert suppression["justification"] == "Bench test on a cooled pack. (until 2026-12-31)"
    assert (suppression["kind"], suppression["status"]) == ("inSource", "accepted")
    place = suppression["location"]["physicalLocation"]["artifactLocation"]
    assert place == {"uri": "vehicles/larch.yaml", "uriBaseId": "%SRCROOT%"}


def test_what_cannot_be_read_fails_the_run(report: Report, not_read: Unread) -> None:
    """A run that lost a document did not do its work."""
    (run,) = json.loads(report("sarif", unread=(not_read,)))["runs"]
    (invocation,) = run["invocations"]
    assert invocation["executionSuccessful"] is False
    assert len(invocation["toolExecutionNotifications"]) == 1


def test_a_file_name_is_a_proper_address(report: Report, hostile: Judgement) -> None:
    """Spaces and marks are written as an address wants them."""
    for one in results(report("sarif", hostile)):
        (location,) = one["locations"]  # type: ignore[misc]
        assert set(location["physicalLocation"]["artifactLocation"]["uri"]).isdisjoint(" <>|`\n")


# ── discussions ───────────────────────────────────────────────────────────────────────────────


def rendered(text: str) -> str:
    """The text as a page, raw HTML allowed as hosts allow it, links found as hosts find them."""
    return MarkdownIt("commonmark", {"html": True}).enable("table").render(text)


def test_a_table_has_a_row_for_each_finding(report: Report, no_go: Judgement) -> None:
    """One heading row, two findings."""
    page = rendered(report("markdown", no_go))
    assert page.count("<tr>") == 3
    assert "NO-GO · 71 of 74 rules · Larch</h2>" in page
    assert "71 rules checked, 3 not checked, 14 out of scope" in page


def test_markdown_shows_texts_as_they_stand(report: Report, hostile: Judgement) -> None:
    """No heading, picture, link or script comes out of a document's text, and no cell is torn."""
    page = rendered(report("markdown", hostile))
    for mark in ("<script", "<em>", "<img", "<a ", "<h1>h"):
        assert mark not in page
    assert page.count("<tr>") == 3
    assert page.count("<td>") == 8
    assert f"<strong>{clean(HOSTILE)}</strong>" in unescape(page)


def test_no_address_or_name_is_picked_up_by_a_host() -> None:
    """Hosts turn bare addresses into links and names into calls for a person."""
    shown = escaped("http://e.test www.e.test @you")
    assert "http://" not in shown
    assert "www.e" not in shown
    assert "@" not in shown


# ── phones and printers ───────────────────────────────────────────────────────────────────────


class Outline(HTMLParser):
    """What elements a page has, and what it would fetch."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.fetched: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        if tag not in ("meta", "br", "wbr", "input", "link", "img"):
            self.open.append(tag)
        self.fetched += [value or "" for name, value in attrs if name in ("src", "href")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def outline(page: str) -> Outline:
    """A page read through; every element must be closed in its turn."""
    reader = Outline()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


def test_a_page_stands_alone(report: Report, no_go: Judgement, go: Judgement) -> None:
    """It is read in a garage without a net, from a mail or a card."""
    page = outline(report("html", no_go, go))
    assert page.fetched == ["#vehicle-1"], "a link within the page"
    assert page.seen.count("article") == 1, "a vehicle of which nothing is said is a row"
    assert "script" not in page.seen


def test_a_page_holds_whatever_a_document_says(
    report: Report, hostile: Judgement, not_read: Unread
) -> None:
    """The same elements as without the hostile texts, and not one more."""
    broken = not_read._replace(file=HOSTILE, message=HOSTILE)
    page = outline(report("html", hostile, unread=(broken,)))
    assert set(page.seen).isdisjoint({"script", "img", "b", "em"})
    assert page.fetched == ["#vehicle-1", "#vehicle-2"]


def test_a_page_shows_the_line_with_its_value(report: Report, no_go: Judgement) -> None:
    """Marked by signs as well as by a line under it: a printer has no colour."""
    assert "battery_current_A: <mark>»180«</mark>" in report("html", no_go)
