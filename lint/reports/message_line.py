"""One message a line in the form of the GNU Coding Standards, 4.4, by which editors jump to a place.

`FILE:LINE:COLUMN: SEVERITY: MESSAGE`, and `gonogo: WORD: MESSAGE` where there is no place. Columns
are those of the screen: a tab goes on to the next multiple of 8, a wide letter takes two.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from ..documents.location import Place
from ..documents.profile import Profile
from ..documents.text import clean
from ..judgement.finding import Finding, NotChecked, Related
from ..judgement.verdict import ask_of
from .check_totals import Unread
from .finding_words import missing_words, modes_in_words
from .known import is_recorded, mark_words

TAB = 8  # columns
TOLD_BY = "gonogo"


def placed_line(place: Place, word: str, message: str, line: str = "") -> str:
    """A message about a place, on one line; `line` is the text of that line, for the column.

    A name with a colon in it, or with a blank at an end, cannot stand before one: then the message
    names the place in words.

    >>> placed_line(Place("vehicles/larch.yaml", 9, 22), "danger", "too-hot: It is hot.")
    'vehicles/larch.yaml:9:22: danger: too-hot: It is hot.'
    >>> placed_line(Place("a:1.yaml", 9, 22), "danger", "too-hot: It is hot.")
    'gonogo: danger: in a%3A1.yaml, line 9, column 22: too-hot: It is hot.'
    """
    file = one_line(place.file)
    if not file or ":" in file or file != file.strip():
        return unplaced_line(word, f"in {place}: {message}")
    column = screen_column(line, place.column)
    return f"{file}:{max(place.line, 1)}:{column}: {one_line(word)}: {one_line(message)}"


def unplaced_line(word: str, message: str) -> str:
    """A message about no place: a word of ours, which never begins with a digit, stands before it.

    A colon before a digit, as a name may have it, is written as in an address, or an editor would
    take what stands before it for a file.

    >>> unplaced_line("verdict", "GO, Larch, a:1.yaml: 9 of 9 rules")
    'gonogo: verdict: GO, Larch, a%3A1.yaml: 9 of 9 rules'
    """
    told = re.sub(":(?=[0-9])", "%3A", one_line(message))
    return f"{TOLD_BY}: {one_line(word)}: {told}"


def one_line(text: str) -> str:
    """A text on one line, without what nobody sees.

    >>> one_line("It is hot.\\n  Cool it.")
    'It is hot. Cool it.'
    """
    return " ".join(clean(" ".join(text.split())).split())


def screen_column(line: str, column: int) -> int:
    """The column on the screen, from 1, of the character at a column that counts characters.

    >>> screen_column("\\trpm: 3", 2), screen_column("name: 速い # x", 9)
    (9, 11)
    """
    before = line[: max(column, 1) - 1]
    if not before or (before.isascii() and "\t" not in before):
        return max(column, 1)
    from rich.cells import cell_len  # late: most lines are plain

    at = 0
    *tabbed, last = before.split("\t")
    for piece in tabbed:
        at += cell_len(piece)
        at += TAB - at % TAB
    return at + cell_len(last) + 1


def finding_line(
    finding: Finding, profile: Profile, way: str = "", modes: str | None = None
) -> str:
    """A finding with its remedy and the entries behind it; `way` says how it came, in a comparison.

    One that stands in a part names the vehicle, since a part may be in several.
    """
    where = modes_in_words(finding.modes, finding.everywhere) if modes is None else modes
    place = finding.place
    vehicle = "" if place.file == profile.file else f"in {profile.file}: "
    told = f"{f'{way}: ' if way else ''}{finding.rule.id}: {vehicle}{finding.message}"
    told += f" ({where})" if where else ""
    told += f" {finding.remedy}" if finding.remedy else ""
    if finding.waived:
        told += f" (waived until {finding.waived.until}: {finding.waived.reason})"
    if finding.known:
        told += f" ({mark_words(finding)})"
    word = f"waived {finding.severity}" if finding.waived else finding.severity
    word = f"known {word}" if is_recorded(finding) else word
    return placed_line(place, word, told + _inputs(finding.related), profile.line(place))


def _inputs(related: Iterable[Related]) -> str:
    """The entries behind a finding and where they stand: `(from pack.parallel in larch.yaml, line 5)`."""
    words = [
        f"{one.entered_as or one.quantity} in {one.place.file}, line {one.place.line}"
        for one in related
        if one.place.file
    ]
    return f" (from {'; '.join(words)})" if words else ""


def waiting_line(gate: NotChecked, place: Place, file: str, way: str = "not checked") -> str:
    """A required rule that could not be checked of the profile `file`, with what to do about it."""
    asks = "; ".join(map(ask_of, gate.missing)) or missing_words(gate)
    where = f" {modes_in_words(gate.modes, False)}" if gate.modes else ""
    purpose = "a ride" if gate.gate == "ride" else "the stand"
    known = f" (on the list of known findings: {gate.known.state})" if gate.known else ""
    vehicle = "" if place.file == file else f"in {file}: "
    message = f"{gate.rule.id}: {vehicle}{way}{where}, and needed for {purpose}: {asks}{known}"
    return placed_line(place, "required", message)


def unread_line(error: Unread) -> str:
    """What could not be read, and the profiles that wait for it."""
    others = [file for file in error.affects if file != error.file]
    wait = f" (not checked for it: {', '.join(others)})" if others else ""
    place = Place(error.file, error.line, error.column)
    return placed_line(place, "error", f"{error.label}: {error.message}{wait}", error.text)


def as_lines(lines: Iterable[str]) -> str:
    """The report: its lines, each with its end."""
    return "".join(f"{line}\n" for line in lines)
