"""What a finding rests on is told with file and line in every format."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from html import unescape

import pytest
from gonogo.commands.formats import FORMATS
from gonogo.documents.location import Place
from gonogo.judgement.finding import Judgement, Related
from gonogo.reports.check_page import finding_notice

Report = Callable[..., str]
PART = "parts/motors/axle-75.yaml"
RELATED = tuple(
    Related(f"motor.input_{number}_A", Place(PART, 100 + number, 3)) for number in range(9)
)
MARKS = re.compile(r"\\|<wbr>|</?code>|\s|\u00a0")


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_has_every_related_place(report: Report, no_go: Judgement, form: str) -> None:
    """Whoever is to mend a part has to find it, be it from a terminal, a comment or a build's page."""
    finding = replace(no_go.findings[0], related=(*no_go.findings[0].related, *RELATED))
    said = report(form, replace(no_go, findings=(finding,)))
    plain = MARKS.sub("", unescape(said)).replace("▐", "")
    for related in finding.related:
        place = related.place
        name = related.entered_as or related.quantity
        assert name in plain, name
        line = rf"\b{place.line}\b"
        written = (
            rf"lines?(\d+,)*{place.line}\b",
            rf":{line}",
            rf'"line":{line}',
            rf'"startLine":{line}',
        )
        assert re.search("|".join(written), plain), place
        assert place.file.split("/")[-1] in plain


def test_in_a_sentence_they_stand_by_file(no_go: Judgement) -> None:
    """A part's name is said once, not with each of nine lines; the own file goes without."""
    finding = replace(no_go.findings[0], related=(*no_go.findings[0].related, *RELATED[:2]))
    rows = {row.label: row for row in finding_notice(finding, no_go.profile).rows}
    assert rows["inputs"].lines[0][0] == ", ".join(
        (
            "pack.parallel (line\u00a06)",
            "pack.cell.continuous_A (../parts/cells/energy-5.yaml line\u00a07)",
            f"motor.input_0_A, motor.input_1_A (../{PART} lines\u00a0100, 101)",
        )
    )
