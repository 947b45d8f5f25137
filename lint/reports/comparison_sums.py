"""The sums of a comparison of a whole tree, in words."""

from __future__ import annotations

from collections import Counter

from ..documents.text import so_many
from ..judgement.rule import SEVERITIES, Severity
from .changed_sources import HARM
from .check_totals import UNREAD, counted
from .comparison_totals import CEASED_WORDS, MISSED, UNFLAGGED, Compared
from .loosening import loosened_sum, shared_loosenings
from .shared_causes import few_names
from .vehicle_news import NOT_KNOWN_BEFORE, uncovered_words, waived_words

MOST_LEFT_OUT = 4  # names


def known_added_words(compared: Compared) -> str:
    """What the change put on lists of known findings: `2 findings put on known.yaml (1 danger)`."""
    added = compared.known_added
    if not added:
        return ""
    amounts = Counter(one.severity for one in added)
    graded = counted({severity: amounts[severity] for severity in SEVERITIES if amounts[severity]})
    asks = f"{so_many(amounts[None], 'required rule')} not checked" if amounts[None] else ""
    told = ", ".join(words for words in (graded, asks) if words)
    files = ", ".join(dict.fromkeys(one.file for one in added))
    return f"put on {files} as known by this change: {told}"


def _rest(compared: Compared) -> str:
    """Of which vehicles alone it can be said that nothing is wrong: of one that is gone nobody knows."""
    if any(error.label == UNREAD for error in compared.unread):
        return " in what could be read"
    is_lost = any(one.is_missing for one in compared.revised)
    return " in the others" if is_lost else ""


def tree_summed_up(compared: Compared) -> str:
    """The comparison of a whole tree in one line, what is not known first."""
    words = []
    files = {error.file for error in compared.unread if error.label == UNREAD}
    words += [f"{so_many(len(files), 'file')} NOT READ"] if files else []
    words += [f"{one.file} {one.label}" for one in compared.unread if one.label != UNREAD]
    for kind in MISSED:
        lost = sum(revised.ceased == kind for revised in compared.revised)
        words += [f"{lost} {CEASED_WORDS[kind]}"] if lost else []
    count = len(compared.revised) + compared.broken
    words.append(f"{so_many(count, 'profile')} changed against {compared.against}")
    harmed = sum(
        revised.harms_by_finding and not revised.is_unknown for revised in compared.revised
    )
    unknown = sum(revised.harms_by_finding and revised.is_unknown for revised in compared.revised)
    hidden = sum(revised.hides for revised in compared.revised)
    words += [f"{unknown} with a danger or fault {NOT_KNOWN_BEFORE}"] if unknown else []
    rest = " in the others" if unknown else _rest(compared)
    words.append(f"{harmed} with a {HARM}" if harmed else f"no {HARM}{rest}")
    words += uncovered_words(compared.revised)
    words += waived_words(compared.revised)
    unflagged = sum(
        (Counter(revised.unflagged) for revised in compared.revised), Counter[Severity]()
    )
    if unflagged:
        words.append(f"{counted(unflagged)} {UNFLAGGED}")
    unchecked = sum(
        (Counter(revised.unchecked) for revised in compared.revised), Counter[Severity]()
    )
    if unchecked:
        words.append(f"{counted(unchecked)} no longer checked")
    asks_less = loosened_sum(one.loosening for one in shared_loosenings(compared))
    words += [f"the shop asks for less: {asks_less}"] if asks_less else []
    if compared.known_added:
        words.append(known_added_words(compared))
    if hidden:
        words.append(f"{hidden} with a required rule no longer checked")
    return " · ".join([*words, *_untouched(compared)])


def _untouched(compared: Compared) -> list[str]:
    """How many vehicles were only moved, are unchanged, or were not looked at."""
    moved = sum(bool(revised.moved) for revised in compared.revised)
    words = [f"{moved} moved"] if moved else []
    words.append(f"{compared.unchanged} unchanged")
    if compared.left_out:
        few = few_names(compared.left_out, MOST_LEFT_OUT)
        words.append(f"{len(compared.left_out)} left out of this sparse clone ({few})")
    return words
