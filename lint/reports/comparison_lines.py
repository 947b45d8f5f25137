"""What a change brought as one line for each message, for editors: nothing that stood before."""

from __future__ import annotations

from collections.abc import Iterator

from ..comparison.comparison import Comparison
from ..documents.location import Place
from .changed_line import line_for_gate
from .comparison_news import (
    brought_findings,
    brought_gates,
    not_compared,
    passage_words,
    path_of,
)
from .comparison_sums import known_added_words, tree_summed_up
from .comparison_totals import Compared, Revised
from .finding_words import modes_in_words
from .layout import Page
from .loosening import loosening_told, shared_loosenings
from .message_line import (
    as_lines,
    finding_line,
    placed_line,
    unplaced_line,
    unread_line,
    waiting_line,
)
from .surroundings import house_words, tried_in_words
from .vehicle_news import news


def body(comparison: Comparison, page: Page) -> list[str]:
    """The findings that are new or worse, lost from sight or waived, and the rules no longer checked."""
    if comparison.new is None:
        return []
    profile = comparison.new.profile
    was_checked = comparison.old is not None
    lines = [
        finding_line(one.finding, profile, one.way, modes_in_words(one.modes, one.everywhere))
        for one in brought_findings(comparison)
    ]
    way = "no longer checked" if was_checked else "not checked"
    return [*lines, *_gate_lines(comparison, way)]


def _gate_lines(comparison: Comparison, way: str) -> Iterator[str]:
    file = comparison.judgement.profile.file
    for gate in brought_gates(comparison):
        yield waiting_line(gate, line_for_gate(gate, comparison), file, way)


def report(compared: Compared, page: Page) -> str:
    """What could not be read, what the change brought, then each vehicle's verdicts, and the sum."""
    lines = [unread_line(error) for error in compared.unread]
    lines += [placed_line(Place(file, 1, 1), "note", why) for file, why in not_compared(compared)]
    for revised in compared.revised:
        lines += revised.body
    lines += [unplaced_line("verdict", _verdict(revised)) for revised in compared.revised]
    for one in shared_loosenings(compared):
        place = Place(one.file, 1, 1)
        lines.append(placed_line(place, "loosened", loosening_told(one)))
    if compared.known_added:
        lines.append(unplaced_line("known", known_added_words(compared)))
    if compared.against is not None:
        lines.append(unplaced_line("total", f"for {tree_summed_up(compared)}"))
    return as_lines(lines)


def _verdict(revised: Revised) -> str:
    named = f"{passage_words(revised)}, {revised.side.name}, {path_of(revised)}"
    side = revised.side
    parts = (news(revised), house_words(side), tried_in_words(side.tried, side.file))
    return f"{named}: {' · '.join(part for part in parts if part)}"
