"""What became of one vehicle, in words: its verdicts, what is new, lost or waived, and by which rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from ..comparison.finding_change import Way
from ..documents.text import so_many
from ..judgement.rule import SEVERITIES, STOPS, Severity
from .check_totals import counted, scope, verdict_words
from .comparison_totals import CEASED_WORDS, UNFLAGGED, WAY_WORDS, Revised
from .profile_share import Share
from .shared_causes import few_names
from .surroundings import house_words

NOT_KNOWN_BEFORE = "not known before"
WAIVED_UNKNOWN = ", not known whether before"

MOST_RULES_NAMED = 3
MOST_OWN = 2  # changes of a vehicle told in its line
MOST_FILES_NAMED = 3
OLD_NOT_READ = "old side not read"
NEWS: tuple[Way, ...] = ("introduced", "worsened")


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
    """What a person asks first, the gravest of it first: what is new, what is resolved, how much was changed."""
    new = [
        (revised.found[way], f"{counted(revised.found[way])} {way_words(revised, way)}")
        for way in NEWS
        if revised.found[way]
    ]
    words = gravest_told_first(revised, new)
    if revised.found["resolved"]:
        words.append(f"{counted(revised.found['resolved'])} {WAY_WORDS['resolved']}")
    words += [revised.moved] if revised.moved else []
    if revised.empty:
        words.append("no value changed")
    elif revised.changed:
        words.append(f"{so_many(revised.changed, 'value')} changed")
    if revised.unread:
        words.append("the old side could not be read")
    if revised.why:
        words.append(revised.why)
    return " · ".join(words)


def gravest_told_first(
    revised: Revised, new: Sequence[tuple[Mapping[Severity, int], str]]
) -> list[str]:
    """What harms, waives or hides, in words: as grave as its gravest finding; of as grave ones `new` first.

    Whoever reads no more than the beginning of a line has read the worst of it.
    """
    told = [*new]
    amounts = [some for some in (revised.waived_here, revised.waived_longer) if some]
    told += zip(amounts, waived_words_of(revised), strict=True)
    told += [(revised.unchecked, words) for words in unchecked_words(revised)]
    told += [(revised.unflagged, words) for words in unflagged_words(revised)]
    worst: Severity = "danger" if "catastrophic" in revised.uncovered else "fault"
    told += [({worst: 1}, words) for words in uncovered_words([revised])]
    told += [({"fault": 1}, hidden_words(revised))] if revised.hides else []
    return [words for _, words in sorted(told, key=_gravest_of)]


def _gravest_of(told: tuple[Mapping[Severity, int], str]) -> int:
    return min((SEVERITIES.index(severity) for severity in told[0]), default=len(SEVERITIES))


def unchecked_words(revised: Revised) -> list[str]:
    """What went since its rules cannot be checked any more, with them; empty where nothing did."""
    lost = revised.unchecked
    return [f"{counted(lost)} no longer checked{named_rules(revised.lost)}"] if lost else []


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


def vehicle_brief(revised: Revised, name: str, alone: bool = False) -> tuple[str, str, str]:
    """A vehicle as a row: what it is called, what nobody may miss, what is new.

    A list that stands `alone`, with nothing before it, has the files of several that changed too.
    """
    words = [revised.why]
    grave = {severity: 1 for severity, _ in revised.brought}
    words += gravest_told_first(revised, [(grave, one) for one in gravest_new_words(revised)])
    words += [OLD_NOT_READ] if revised.unread else []
    if revised.found["resolved"]:
        words.append(f"{counted(revised.found['resolved'])} resolved")
    words.append(revised.moved)
    words += revised.own[:MOST_OWN]
    if len(revised.own) > MOST_OWN:
        words.append(so_many(len(revised.own) - MOST_OWN, "more own change"))
    if alone:
        files = dict.fromkeys(f"{one.file} {one.became}" for one in revised.sources)
        words += [few_names(list(files), MOST_FILES_NAMED)] if files else []
        words += ["no value changed"] if revised.empty else []
    return name, " · ".join(word for word in words if word), ""


def gravest_new_words(revised: Revised) -> list[str]:
    """How many findings are new or worse, of advice only where there is nothing graver; the gravest."""
    amounts = []
    for way in NEWS:
        found = revised.found[way]
        grave = {severity: found[severity] for severity in STOPS if severity in found}
        is_told = grave or (found and revised.brought[0][0] not in STOPS)
        amounts += [f"{counted(grave or found)} {way_words(revised, way)}"] if is_told else []
    return [f"{', '.join(amounts)}: {revised.brought[0][1]}"] if amounts else []
