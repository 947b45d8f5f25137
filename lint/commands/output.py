"""Where a command's words go, and its exit status."""

from __future__ import annotations

import io
import os
import re
import shutil
import sys
from codecs import BOM_UTF8
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from ..documents.atomic_write import replace_whole
from ..documents.error import EditError, UsageError
from ..documents.files import ENDINGS, LARGEST
from ..documents.fresh_file import reason_of
from ..documents.text import WIDE
from ..reports.layout import WIDTH, Page

if TYPE_CHECKING:
    from ..reports.check_totals import Checked


GO = 0
NO_GO = 1
USAGE = 2
NOT_READ = 3
INCOMPLETE = 4
DEFECT = 70
INTERRUPTED = 130
# A document of ours, whatever its file is called; a report of ours says what it is as well.
DOCUMENT = rb"""(?m)^[ \t{"']*gonogo["']?[ \t]*:[ \t]*["']?(?:profile|part|house|rule|known)/"""


def check_status(checked: Checked, strict: bool = False) -> int:
    """Over many profiles the first that occurs: not read, NO-GO, INCOMPLETE.

    With `strict` a danger that is only waived is NO-GO too. What a list of known findings has counts
    as little as if it were not there; a vehicle on it whose profile is gone counts as NO-GO.
    """
    if any(not error.is_gone for error in checked.unread):
        return NOT_READ
    verdicts = {share.counts_as for share in checked.shares}
    if checked.unread or "no-go" in verdicts or (strict and "go-with-waivers" in verdicts):
        return NO_GO
    if "incomplete" in verdicts:
        return INCOMPLETE
    return GO if verdicts else USAGE


BY_PATH = ("json", "sarif", "junit")  # formats whose readers look files up by their names
PATH_ALONE = (*BY_PATH, "lines")  # an editor knows no revision before a path either


def shown_from(paths: Iterable[Path], form: str, here: Path | None = None) -> Path | None:
    """The folder at which names of files start: where the user stands, to machines git's top."""
    if form not in BY_PATH:
        return here or Path.cwd()
    from ..documents.git_folder import git_folder

    found = {git_folder(path if os.path.isdir(path) else path.parent) for path in paths}
    repository = found.pop() if len(found) == 1 else None
    return None if repository is None or repository.is_bare else repository.top


NARROWEST = 40


def page_for(output: Path | None, out: TextIO | None = None, quiet: bool = False) -> Page:
    """How to set a text report: in colour, and not at 80 columns, only where somebody sees it."""
    stream = out or sys.stdout or io.StringIO()
    seen = output is None and stream.isatty() and os.environ.get("TERM") != "dumb"
    columns = shutil.get_terminal_size((WIDTH, 24)).columns if seen else WIDTH
    return Page(
        width=max(min(columns, WIDTH), NARROWEST),
        colour=seen and not os.environ.get("NO_COLOR"),
        quiet=quiet,
        full=columns,
        seen=seen,
        bold=seen,
    )


def deliver(
    text: str | Iterable[str],
    output: Path | None,
    out: TextIO | None = None,
    read: Iterable[str | Path] = (),
) -> None:
    """Put the text, whole or in pieces, where it belongs; a reader who has gone away is no fault of anybody's.

    `read` are the paths that the call named: no report is written over what it is about.
    """
    # A call with its output closed has no stream; its status is all that is asked for.
    stream = out or sys.stdout or io.StringIO()
    pieces = (text,) if isinstance(text, str) else text
    if output is not None and not _is_open(output, stream):
        write_whole(output, "".join(pieces), read)
        return
    try:
        for piece in pieces:
            stream.write(piece)
        stream.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        if not isinstance(error, BrokenPipeError):
            raise UsageError(f"The report cannot be written: {reason_of(error)}.") from error


def _is_open(path: Path, stream: TextIO) -> bool:
    """Whether a path is the stream by another name, such as /dev/stdout."""
    try:
        return os.path.samestat(os.stat(path), os.fstat(stream.fileno()))
    except (OSError, ValueError):
        return False


def write_whole(path: Path, text: str, read: Iterable[str | Path] = ()) -> None:
    """Write a file whole or not at all, and never over a document.

    Whoever reads it meanwhile sees the old one. Raises UsageError.
    """
    target = Path(os.path.realpath(path))
    try:
        if os.path.exists(path) and not os.path.isfile(path):
            with suppress(BrokenPipeError):
                path.write_text(text, encoding="utf-8", newline="")
            return
        if os.path.exists(target):
            _refuse_document(path, read)
        replace_whole(target, text.encode("utf-8"))
    except EditError as kept:
        raise UsageError(str(kept)) from kept
    except (OSError, ValueError) as error:
        reason = reason_of(error) if isinstance(error, OSError) else str(error)
        raise UsageError(f"{path} cannot be written: {reason}.") from error


def _refuse_document(path: Path, read: Iterable[str | Path]) -> None:
    """Raise UsageError for a file that this call read, or that another one would.

    The file itself is asked, so that a link or another spelling of its name makes no difference.
    """
    there = os.stat(path)
    named = any(_is_same(there, one) for one in read)
    if named or _is_document(path):
        raise UsageError(
            f"--output {path} would overwrite a document; expected a new name or a former report."
        )


def _is_same(there: os.stat_result, other: str | Path) -> bool:
    try:
        return os.path.samestat(there, os.stat(other))
    except (OSError, ValueError):
        return False


def _is_document(path: Path) -> bool:
    """Whether a file is a document of ours, whatever it is called here."""
    if os.path.realpath(path).lower().endswith(ENDINGS):
        return True
    with open(path, "rb") as file:
        data = file.read(LARGEST + 1)
    text = data.decode("utf-16", "replace").encode() if data.startswith(WIDE) else data
    begun = re.search(DOCUMENT, text.removeprefix(BOM_UTF8))
    return begun is not None or _names_its_kind(data)


def _names_its_kind(data: bytes) -> bool:
    """Whether a text says that it is a document, in whatever way YAML lets it be written."""
    from ..documents.document import DOCUMENT_KINDS
    from ..documents.error import DocumentError
    from ..documents.text import decode
    from ..documents.yaml_tree import grow

    try:
        root = grow(decode(data, ""), "").root
    except DocumentError:
        return False
    stated = root.value.get("gonogo") if root is not None and isinstance(root.value, dict) else None
    return isinstance(stated, str) and stated.partition("/")[0] in DOCUMENT_KINDS
