"""A comparison of many vehicles: what it comes to first, what they share once, then a line for each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..documents.text import so_many
from ..judgement.rule import SEVERITIES, STOPS, Severity
from .changed_sources import SharedSource, SourceTaker, shared_sources, sources_section
from .check_totals import TONES, VERDICT_WORDS, WORST_FIRST, counted
from .comparison_totals import (
    WAY_WORDS,
    Compared,
    Revised,
    passage,
    unflagged_words,
    waived_words,
)
from .fleet import is_fleet, vehicle_names
from .section import Card, Row, Section
from .shared_causes import few_names

MOST_SHARED_RULES = 10
MOST_VEHICLES = 6
MOST_FOLDED = 60  # names
NEW_IN_SEVERAL = "New or worse in several vehicles"
NOTHING_NEW = "nothing new or worse"


def many(compared: Compared) -> bool:
    """Whether so many vehicles of a tree changed that each has one line."""
    return compared.against is not None and is_fleet(len(compared.revised))


def harmed_first(compared: Compared) -> list[Revised]:
    """The vehicles of a tree: gone, harmed, hidden or waived, then by what is new and the verdict."""
    if compared.against is None:
        return list(compared.revised)
    return sorted(compared.revised, key=_gravity)


def _gravity(revised: Revised) -> tuple[bool, bool, bool, int, bool, int]:
    gravest = SEVERITIES.index(revised.brought[0][0]) if revised.brought else len(SEVERITIES)
    return (
        not revised.is_missing,
        not (revised.harms or revised.waived_here or revised.waived_longer),
        not revised.hides,
        gravest,
        not (revised.unread or revised.why),
        WORST_FIRST.index(revised.side.verdict),
    )


def in_few_words(revised: Revised) -> tuple[str, str]:
    """The verdict of each side without its notes: `GO → ` and `NO-GO`."""
    before, verdict = passage(revised)
    if revised.new is None:
        return before, f"{verdict.split(',')[0]}, was {VERDICT_WORDS[revised.side.verdict]}"
    if revised.old is None:
        return before, VERDICT_WORDS[revised.new.verdict]
    return f"{VERDICT_WORDS[revised.old.verdict]} → ", VERDICT_WORDS[revised.new.verdict]


def is_folded(revised: Revised) -> bool:
    """Whether a vehicle is named with its like: what changed was changed for several, and no harm came.

    Who is gone, back, not read, waived or no longer checked has a line, and so has each danger and fault;
    but of what goes by a change of the shop's own rules the same is told of all at once.
    """
    told_apart = revised.ceased or revised.unread or revised.why or revised.returned
    is_own = revised.changed > len(revised.sources)
    return (revised.calm or revised.let_off) and not (told_apart or is_own)


def listed_names(compared: Compared) -> dict[str, str]:
    """What each vehicle is called in a list, by the file of its side that stands."""
    return vehicle_names([revised.side for revised in compared.revised])


def sources_of(compared: Compared) -> list[SharedSource]:
    """The files of several vehicles that changed."""
    names = listed_names(compared)
    takers = (
        SourceTaker(
            names[revised.side.file],
            revised.side.file,
            revised.sources,
            revised.harm,
        )
        for revised in compared.revised
    )
    return shared_sources(takers)


def fleet_sections(compared: Compared, whole: bool) -> tuple[Section, ...]:
    """What all comes to: how the verdicts passed, what changed for several, what is new in several."""
    told = [
        Section("", (Row("verdicts", ((_passages(compared),),), "bold"),)),
        *sources_section(sources_of(compared), _on_both_sides(compared), whole),
        _new_in_several(compared, whole),
    ]
    return tuple(section for section in told if section.blocks)


def _on_both_sides(compared: Compared) -> int:
    return sum(revised.old is not None and revised.new is not None for revised in compared.revised)


def _passages(compared: Compared) -> str:
    """How many vehicles passed from which verdict to which; those that kept theirs come last."""
    passed = Counter(map(in_few_words, harmed_first(compared)))
    moved, kept = [], []
    for (before, verdict), count in passed.items():
        if before == f"{verdict} → ":
            kept.append(f"{count} {verdict} as before")
        else:
            moved.append(f"{count} {before}{verdict}")
    return " · ".join([*moved, *kept])


def _new_in_several(compared: Compared, whole: bool) -> Section:
    names = listed_names(compared)
    vehicles: dict[tuple[Severity, str], list[str]] = {}
    for revised in compared.revised:
        for found in revised.brought:
            vehicles.setdefault(found, []).append(names[revised.side.file])
    several = [(found, told) for found, told in vehicles.items() if len(told) > 1]
    several.sort(key=lambda one: (SEVERITIES.index(one[0][0]), -len(one[1]), one[0][1]))
    most = len(several) if whole else MOST_SHARED_RULES
    rows = [
        Row(
            severity.upper(),
            (
                (
                    f"{rule} · {so_many(len(told), 'vehicle')}: {few_names(told, len(told) if whole else MOST_VEHICLES)}",
                ),
            ),
            severity,
        )
        for (severity, rule), told in several[:most]
    ]
    more = len(several) - len(rows)
    rows += [Row("", ((f"and {so_many(more, 'more rule')}",),))] if more else []
    return Section(NEW_IN_SEVERAL, tuple(rows))


def vehicle_brief(revised: Revised, name: str) -> tuple[str, str, str]:
    """A vehicle as a row: what it is called, what nobody may miss, what is new."""
    words = [revised.why, f"old side not read: {revised.unread}" if revised.unread else ""]
    words += waived_words([revised])
    words += _lost_words(revised)
    if revised.hides:
        words.append("required rule no longer checked")
    words += _new_words(revised)
    if revised.found["resolved"]:
        words.append(f"{counted(revised.found['resolved'])} resolved")
    own = revised.changed - len(revised.sources)
    if own > 0:
        words.append(so_many(own, "own change"))
    return name, " · ".join(word for word in words if word), ""


def _new_words(revised: Revised) -> list[str]:
    """How many findings are new or worse, of advice only where there is nothing graver; the gravest."""
    amounts = []
    for way in ("introduced", "worsened"):
        found = revised.found[way]
        grave = {severity: found[severity] for severity in STOPS if severity in found}
        is_told = grave or (found and revised.brought[0][0] not in STOPS)
        amounts += [f"{counted(grave or found)} {WAY_WORDS[way]}"] if is_told else []
    return [f"{', '.join(amounts)}: {revised.brought[0][1]}"] if amounts else []


def folded_rows(compared: Compared) -> tuple[Card, ...]:
    """The vehicles that are only named, in one card with all of which the same is to be told."""
    names = listed_names(compared)
    alike: dict[tuple[str, str, str, str], list[Revised]] = {}
    for revised in harmed_first(compared):
        if is_folded(revised):
            told = ", ".join(rule for _, rule in revised.brought)
            lost = " · ".join(_lost_words(revised))
            alike.setdefault((*in_few_words(revised), lost, told), []).append(revised)
    return tuple(
        _folded(passed, some, [names[revised.side.file] for revised in some])
        for passed, some in alike.items()
    )


def _lost_words(revised: Revised) -> list[str]:
    """The findings that are gone with nothing corrected."""
    lost = revised.unchecked
    words = [f"{counted(lost)} no longer checked"] if lost else []
    return words + unflagged_words(revised)


def _folded(
    passed: tuple[str, str, str, str], some: Sequence[Revised], names: Sequence[str]
) -> Card:
    before, verdict, lost, rules = passed
    first = some[0]
    count = so_many(len(some), "vehicle") if len(some) > 1 else names[0]
    advice = f"advice new or worse: {rules}" if rules else ""
    of_each = f"each {lost}" if lost and len(some) > 1 else lost
    what = " · ".join(words for words in (of_each, advice) if words) or NOTHING_NEW
    listed = f" · {few_names(names, MOST_FOLDED)}" if len(some) > 1 else ""
    return Card(
        verdict=verdict,
        tone=TONES[first.side.verdict],
        passage=before,
        name=count,
        brief=(count, f"{what}{listed}", ""),
        short=True,
    )
