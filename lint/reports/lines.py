"""A check as one line for each message, for editors and for `grep`: findings at their places first."""

from __future__ import annotations

from ..documents.location import Place
from ..judgement.finding import Judgement
from .check_totals import Checked, coverage, summed_up, verdict_words
from .layout import Page
from .message_line import as_lines, finding_line, unplaced_line, unread_line, waiting_line
from .profile_share import Share
from .surroundings import house_words, tried_in_words


def body(judgement: Judgement, page: Page) -> list[str]:
    """The findings of a profile, and the required rules that could not be checked."""
    profile = judgement.profile
    first = Place(profile.file, 1, 1)
    gates = (gate for gate in judgement.not_checked if gate.gate)
    return [
        *(finding_line(finding, profile) for finding in judgement.findings),
        *(waiting_line(gate, first, first.file) for gate in gates),
    ]


def report(checked: Checked, page: Page) -> str:
    """What could not be read, what was found, then a verdict for each profile and the sum of all."""
    lines = [unread_line(error) for error in checked.unread]
    for share in checked.shares:
        lines += share.body
    lines += [unplaced_line("verdict", _verdict(share)) for share in checked.shares]
    return as_lines([*lines, unplaced_line("total", f"for {summed_up(checked)}")])


def _verdict(share: Share) -> str:
    tried = tried_in_words(share.tried, share.file)
    rests_on = (coverage(share), share.fitness, share.untried, house_words(share), tried)
    told = ", ".join(part for part in rests_on if part)
    return f"{verdict_words(share)}, {share.name}, {share.file}: {told}"
