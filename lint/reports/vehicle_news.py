"""What became of one vehicle, in words: its verdicts, what is new, lost or waived, and by which rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..comparison.finding_change import WAYS, Way
from ..documents.text import so_many
from ..judgement.rule import Severity
from .check_totals import counted, scope, verdict_words
from .comparison_totals import CEASED_WORDS, UNFLAGGED, WAY_WORDS, Revised
from .profile_share import Share
from .shared_causes import few_names
from .surroundings import house_words

NOT_KNOWN_BEFORE = "not known before"
WAIVED_UNKNOWN = ", not known whether before"

MOST_RULES_NAMED = 3


def unflagged_words(revised: Revised) -> list[str]:
    """What went only since the shop changed a rule, severity or allowance; empty where nothing did."""
    return [f"{counted(revised.unflagged)} {UNFLAGGED}"] if revised.unflagged else []


def passage(revised: Revised) -> tuple[str, str]:
    """The verdict of each side, that of the last one by itself: `GO → ` and `NO-GO`."""
    if revised.new is None:
        assert revised.old is not None
        return "", f"{CEASED_WORDS[revised.ceased or 'gone']}, was {verdict_words(revised.old)}"
    new = verdict_words(revised.new)
    if revised.old is None:
        if revised.is_unknown:
            return "NOT KNOWN → ", new
        return "BACK, " if revised.returned else "NEW, ", new
    return f"{verdict_words(revised.old)} → ", new


def way_words(revised: Revised, way: Way) -> str:
    """How findings came or went; of a vehicle that nobody could read before, none is known to be new."""
    return NOT_KNOWN_BEFORE if revised.is_unknown and way == "introduced" else WAY_WORDS[way]


def news(revised: Revised) -> str:
    """What a person asks first: what is new, what is resolved, how much was changed."""
    words = [
        f"{counted(revised.found[way])} {way_words(revised, way)}"
        for way in WAYS
        if way != "standing" and revised.found[way]
    ]
    if revised.unchecked:
        words.insert(
            0, f"{counted(revised.unchecked)} no longer checked{named_rules(revised.lost)}"
        )
    words[:0] = uncovered_words([revised])
    words[:0] = [*waived_words_of(revised), *unflagged_words(revised)]
    if revised.empty:
        words.append("no value changed")
    elif revised.changed:
        words.append(f"{so_many(revised.changed, 'value')} changed")
    if revised.hides:
        words.append(hidden_words(revised))
    if revised.unread:
        words.append("the old side could not be read")
    if revised.why:
        words.append(revised.why)
    return " · ".join(words)


def uncovered_words(revised: Sequence[Revised]) -> list[str]:
    """The grave failures that nothing catches any more: `1 catastrophic, 2 critical failures uncovered`."""
    amounts = Counter[str]()
    for one in revised:
        amounts.update(one.uncovered)
    if not amounts:
        return []
    told = ", ".join(f"{amounts[one]} {one}" for one in sorted(amounts))  # catastrophic, critical
    return [f"{told} {'failure' if sum(amounts.values()) == 1 else 'failures'} uncovered"]


def waived_words(revised: Sequence[Revised]) -> list[str]:
    """What changes waive: `1 danger waived by this change`, `… for longer by this change`."""
    here, longer, before = Counter[Severity](), Counter[Severity](), Counter[Severity]()
    for one in revised:
        (before if one.is_unknown else here).update(one.waived_here)
        longer.update(one.waived_longer)
    told = {" by this change": here, " for longer by this change": longer, WAIVED_UNKNOWN: before}
    return [f"{counted(amounts)} waived{how}" for how, amounts in told.items() if amounts]


def waived_words_of(revised: Revised) -> list[str]:
    """The same of one vehicle, with the rules: `1 danger waived by this change: RULE`."""
    rules = [some for some in (revised.waived_rules, revised.waived_longer_rules) if some]
    words = waived_words([revised])
    return [told + named_rules(some) for told, some in zip(words, rules, strict=True)]


def hidden_words(revised: Revised) -> str:
    """That required rules are no longer checked, and which; empty where none is."""
    if not revised.hides:
        return ""
    word = "rule" if len(revised.hidden_rules) == 1 else "rules"
    return f"required {word} no longer checked{named_rules(revised.hidden_rules)}"


def named_rules(rules: Sequence[str]) -> str:
    """Rules behind what is said of them, few of many: `: RULE, RULE, and 3 more`."""
    return f": {few_names(rules, MOST_RULES_NAMED)}" if rules else ""


def scope_words(side: Share) -> str:
    """A side's verdict with what it rests on."""
    return f"{verdict_words(side)} · {scope([side])} · {house_words(side)}"
