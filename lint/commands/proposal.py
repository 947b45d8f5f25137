"""What a command proposes for a file: tried before it is shown, written only when asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TextIO

from ..documents.dataclass import dataclass
from ..documents.writing import diff, write
from ..judgement.finding import Judgement
from ..judgement.judge import judge
from ..reports.page import Page
from ..reports.proposal_text import NOT_WRITTEN, WROTE
from .output import deliver
from .workpiece import Workpiece


@dataclass(frozen=True, slots=True)
class Proposal:
    """A file as it would be, and the judgement that it would get."""

    held: Workpiece
    data: bytes
    judgement: Judgement

    @property
    def diff(self) -> str:
        """The unified diff against what stands there now."""
        return diff(self.held.data, self.data, self.held.profile.file)


def proposal(held: Workpiece, data: bytes) -> Proposal:
    """The file's new bytes, read and judged as if they were written."""
    judgement = judge(held.as_drafted(data), held.catalogue, held.judged_on)
    return Proposal(held, data, judgement)


def settle(
    made: Proposal,
    told: Callable[[Judgement, Page], Sequence[str]],
    writes: bool,
    page: Page,
    out: TextIO | None,
) -> None:
    """Write the file if asked to, then show the diff with the reasons."""
    if writes:
        write(made.held.path, made.held.data, made.data)
    lines = [*told(made.judgement, page), "", f" {WROTE if writes else NOT_WRITTEN}"]
    deliver(made.diff + "\n" + "\n".join(lines) + "\n", None, out)
