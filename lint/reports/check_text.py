"""The text report of a check: an inspector's tag for each profile, a line for a plain GO."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Sequence

from ..documents.location import Place
from ..documents.profile import Profile
from ..documents.text import clean
from ..judgement.finding import Finding, Judgement, NotJudged
from .check_totals import (
    NOT_READ,
    VERDICT_WORDS,
    Checked,
    Share,
    Unread,
    closing,
    counted,
    folder_of,
    modes_in_words,
    one_line,
    stamped,
    tally,
    waived_danger,
)
from .excerpt import LEFT, RIGHT, marked
from .finding_words import amount, details, found_against, waived, wanted, working
from .layout import INDENT, Page, painted, row, set_beside

MOST_RELATED = 4


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


MOST_NAMES = 4


def body(judgement: Judgement, page: Page) -> str:
    """What the text report keeps of a judgement: the inside of its tag, or its worst line."""
    if page.quiet:
        return _worst(judgement)
    if judgement.verdict == "go" and not page.alone:
        return ""
    return "\n".join(tag_body(judgement, page))


def _worst(judgement: Judgement) -> str:
    """The finding or the gate that the verdict hangs on, in a few words."""
    if judgement.verdict == "incomplete":
        gate = next((one for one in judgement.not_judged if one.rule.gate), None)
        return f"{gate.rule.id} waits for {wanted(gate)}" if gate else ""
    if judgement.verdict == "go" or not judgement.findings:
        return ""
    worst = judgement.findings[0]
    return f"line {worst.place.line}, {worst.rule.id}"


def report(checked: Checked, page: Page) -> str:
    """The whole report, the profiles in order, what could not be read next, the tally last."""
    if page.alone and checked.shares and not checked.unread:
        only = checked.shares[0]
        lines = one_line(only, "", page, only.body) if page.quiet else _tag(only, page)
        return _joined(lines)
    folder = folder_of([share.file for share in checked.shares])
    lines = [f" in {clean(folder)}", ""] if folder else []
    for share in checked.shares:
        if page.quiet or (share.verdict == "go" and not page.alone):
            lines += one_line(share, folder, page, share.body)
        else:
            lines += ["", *_tag(share, page), ""]
    lines += _unread(checked.unread, page)
    return _joined([*lines, "", _rule_off(page), *tally(checked, page)])


def _joined(lines: Iterable[str]) -> str:
    """Lines as text, without two empty ones in a row."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return "\n".join(kept) + "\n"


def _rule_off(page: Page) -> str:
    return painted("─" * page.width, "faint", page.colour)


def _tag(share: Share, page: Page) -> list[str]:
    """Head, body and closing line; the ring is the hole that a tag hangs by."""
    word = VERDICT_WORDS[share.verdict]
    head = _head(word, share.name, page)
    about = [share.file, counted(share.found), waived_danger(share)]
    head += set_beside("", clean(" · ".join(part for part in about if part)), page, 3)
    return [*head, _rule_off(page), *share.body.split("\n")[1:], "", *closing(share, page)]


def _head(word: str, title: str, page: Page) -> list[str]:
    return stamped(set_beside(f"▐ {word}", clean(title), page, len(word) + 6), word, page)


def _unread(errors: tuple[Unread, ...], page: Page) -> list[str]:
    """A tag for each file that could not be read, with every place in it to put right."""
    lines: list[str] = []
    for file in dict.fromkeys(error.file for error in errors):
        places = [error for error in errors if error.file == file]
        if page.quiet:
            where = "" if _is_whole_file(places[0]) else f" · line {places[0].line}"
            lines += set_beside(NOT_READ, f"{clean(file)}{where}", page, INDENT)
            continue
        waiting = sorted({name for error in places for name in error.affects} - {file})
        lines += ["", *_head(NOT_READ, file, page)]
        if waiting:
            lines += set_beside("", clean(f"needed by {_few(waiting)}"), page, 3)
        lines.append(_rule_off(page))
        for error in places:
            lines += [*_place(error, page), ""]
    return lines


def _few(names: Sequence[str]) -> str:
    """The first names, and how many more there are."""
    more = len(names) - MOST_NAMES
    return ", ".join(names[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


def _is_whole_file(error: Unread) -> bool:
    """Whether there is no line to point at: the file is missing, empty or no text."""
    return (error.line, error.column, error.text) == (1, 1, "")


def _place(error: Unread, page: Page) -> list[str]:
    """One place to put right: where, what stands there, what should."""
    lines: list[str] = []
    if not _is_whole_file(error):
        label = f"line {error.line}"
        text = marked(error.text, error.column, page.width - INDENT)
        lines.append(f" {label.ljust(INDENT - 1)}{text}".rstrip())
    lines += row("found", error.found, page)
    lines += row("wanted", error.wanted, page)
    return lines + row("perhaps", error.nearest, page) if error.nearest else lines
