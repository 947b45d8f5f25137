"""Where a command's words go, and its exit status."""

from __future__ import annotations

import io
import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from ..documents.atomic_write import replace_whole
from ..documents.error import UsageError
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


def check_status(checked: Checked, strict: bool = False) -> int:
    """Over many profiles the first that occurs: not read, NO-GO, INCOMPLETE.

    With `strict` a danger that is only waived is NO-GO too.
    """
    if checked.unread:
        return NOT_READ
    verdicts = {share.verdict for share in checked.shares}
    if "no-go" in verdicts or (strict and "go-with-waivers" in verdicts):
        return NO_GO
    if "incomplete" in verdicts:
        return INCOMPLETE
    return GO if verdicts else USAGE


NARROWEST = 40


def page_for(output: Path | None, out: TextIO | None = None, quiet: bool = False) -> Page:
    """How to set a text report: in colour, and narrower than 80, only where somebody sees it."""
    stream = out or sys.stdout or io.StringIO()
    seen = output is None and stream.isatty() and os.environ.get("TERM") != "dumb"
    columns = shutil.get_terminal_size((WIDTH, 24)).columns if seen else WIDTH
    return Page(
        width=max(min(columns, WIDTH), NARROWEST),
        colour=seen and not os.environ.get("NO_COLOR"),
        quiet=quiet,
    )


def deliver(text: str, output: Path | None, out: TextIO | None = None) -> None:
    """Put the text where it belongs; a reader who has gone away is no fault of anybody's."""
    # A call with its output closed has no stream; its status is all that is asked for.
    stream = out or sys.stdout or io.StringIO()
    if output is not None:
        write_whole(output, text)
        return
    try:
        stream.write(text)
        stream.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        if not isinstance(error, BrokenPipeError):
            raise UsageError(f"The report cannot be written: {_reason(error)}.") from error


def write_whole(path: Path, text: str) -> None:
    """Write a file whole or not at all: whoever reads it meanwhile sees the old one."""
    target = Path(os.path.realpath(path))
    try:
        if os.path.exists(path) and not os.path.isfile(path):
            path.write_text(text, encoding="utf-8", newline="")
            return
        replace_whole(target, text.encode("utf-8"))
    except OSError as error:
        raise UsageError(f"{path} cannot be written: {_reason(error)}.") from error


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
