"""The tag that hangs on a vehicle: each finding as a person at the bench wants to read it."""

from __future__ import annotations

import posixpath
from collections.abc import Sequence

from ..documents.position import Place
from ..documents.profile import Profile
from ..judgement.finding import Finding, Judgement, NotJudged
from .checked import modes_in_words
from .excerpt import LEFT, RIGHT, marked
from .figures import found_against, together, waived, working
from .page import Page, clean, set_beside
from .palette import Paint, painted
from .waiting import amount, details

INDENT = 12
MOST_RELATED = 4


def row(label: str, text: str, page: Page, paint: Paint = "faint") -> list[str]:
    """A label in the margin and the text beside it."""
    lines = set_beside(label, together(clean(text)), page, INDENT)
    lines[0] = f" {painted(label, paint, page.colour)}{lines[0][len(label) + 1 :]}"
    return lines


def finding_rows(finding: Finding, profile: Profile, page: Page) -> list[str]:
    """One finding: what is wrong and where, the two numbers, why it matters, what to do."""
    lines = row(finding.severity.upper(), finding.message, page, finding.severity)
    if finding.modes or finding.everywhere:
        lines += row("when", modes_in_words(finding.modes, finding.everywhere), page)
    if finding.place == profile.place:
        lines += row("missing", finding.quantity, page) if finding.quantity else []
    else:
        lines += _place_rows(finding.place, profile, page)
    figures = found_against(finding)
    if figures:
        lines += row("found", figures, page)
    for number, line in enumerate(finding.working):
        lines += row("" if number else "from", working(line), page)
    lines += row("why", finding.because, page)
    lines += row("do", finding.remedy, page)
    if finding.related:
        lines += row("see", _related(finding, profile), page)
    if finding.waived:
        lines += row("waived", waived(finding), page)
    return lines + row("rule", finding.rule.id, page)


def _place_rows(place: Place, profile: Profile, page: Page) -> list[str]:
    lines = row("file", place.file, page) if place.file != profile.file else []
    label = f"line {place.line}"
    text = marked(profile.line(place), place.column, page.width - INDENT)
    start, opened, rest = text.partition(LEFT)
    value, closed, after = rest.rpartition(RIGHT)
    if closed:
        text = f"{start}{painted(f'{opened}{value}{closed}', 'value', page.colour)}{after}"
    margin = f" {painted(label, 'faint', page.colour)}{' ' * (INDENT - 1 - len(label))}"
    return [*lines, f"{margin}{text}".rstrip()]


def _related(finding: Finding, profile: Profile) -> str:
    """The given quantities that the limit hangs on, and where to find each."""
    said = []
    for related in finding.related[:MOST_RELATED]:
        place = related.place
        file = "" if place.file == profile.file else f"{_from_here(place.file, profile)} "
        said.append(f"{related.quantity} ({file}line\u00a0{place.line})")
    more = len(finding.related) - MOST_RELATED
    return ", ".join(said) + (f", and {more} more" if more > 0 else "")


def _from_here(file: str, profile: Profile) -> str:
    """A file as the profile itself would name it."""
    return posixpath.relpath(file, posixpath.dirname(profile.file) or ".")


def not_judged_rows(waiting: Sequence[NotJudged], page: Page) -> list[str]:
    """What could not be judged, gates first."""
    if not waiting:
        return []
    lines = row("NOT JUDGED", amount(waiting), page, "bold")
    for label, text in details(waiting):
        lines += row(label, text, page)
    return lines


def tag_body(judgement: Judgement, page: Page) -> list[str]:
    """The findings, worst first, and what was not judged: before them where the verdict waits."""
    waiting = not_judged_rows(judgement.not_judged, page)
    blocks = [finding_rows(finding, judgement.profile, page) for finding in judgement.findings]
    if waiting:
        blocks.insert(0 if judgement.verdict == "incomplete" else len(blocks), waiting)
    return [line for block in blocks for line in ("", *block)]
