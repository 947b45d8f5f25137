"""Exit statuses: what a script learns from a command without reading a word of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..reports.checked import Checked

GO = 0
NO_GO = 1
USAGE = 2
NOT_READ = 3
INCOMPLETE = 4
DEFECT = 70
INTERRUPTED = 130


def status_of(checked: Checked) -> int:
    """Over many profiles the first that occurs: not read, NO-GO, INCOMPLETE."""
    if checked.unread:
        return NOT_READ
    return {"no-go": NO_GO, "incomplete": INCOMPLETE, "go": GO, None: USAGE}[checked.verdict]
