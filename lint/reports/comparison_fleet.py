"""A comparison of many vehicles: what it comes to first, what they share once, then a line for each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any, NamedTuple

from ..comparison.followup import causes
from ..documents.motors import entry_path
from ..documents.text import so_many
from ..judgement.rule import SEVERITIES, Severity
from .changed_sources import SharedSource, SourceTaker, shared_sources, sources_section
from .check_totals import TONES, VERDICT_WORDS, WORST_FIRST
from .comparison_totals import Compared, Revised
from .comparison_words import short_key
from .fleet import is_fleet, vehicle_names
from .section import Card, Code, Fragment, Line, Row, Section
from .shared_causes import few_names
from .vehicle_news import (
    OLD_NOT_READ,
    gravest_new_words,
    hidden_words,
    passage,
    unchecked_words,
    uncovered_words,
    unflagged_words,
)

MOST_SHARED_RULES = 10
MOST_VEHICLES = 6
MOST_FOLDED = 60  # names
NEW_IN_SEVERAL = "New or worse in several vehicles"
NOT_COMPARED = "not compared: "
TO_DO = "To do"
MOST_REASONS = 4  # entries that ask for a work
NOTHING_NEW = "nothing new or worse"


def many(compared: Compared) -> bool:
    """Whether so many vehicles of a tree changed that each has one line."""
    return compared.against is not None and is_fleet(len(compared.revised))


def harmed_first(compared: Compared) -> list[Revised]:
    """The vehicles of a tree: gone, harmed, hidden or waived, then by what is new and the verdict."""
    if compared.against is None:
        return list(compared.revised)
    return sorted(compared.revised, key=_gravity)


def _gravity(revised: Revised) -> tuple[bool, bool, int, int, bool, bool, int]:
    """A danger with its waiver is as grave as one without, and behind it; one waived for longer is behind both."""
    new = [SEVERITIES.index(severity) for severity, _ in revised.brought[:1]]
    waived = [*map(SEVERITIES.index, revised.waived_here)]
    longer = [*map(SEVERITIES.index, revised.waived_longer)]
    hidden = [*map(SEVERITIES.index, (*revised.unchecked, *revised.unflagged))]
    gravest = min((*new, *waived, *longer, *hidden), default=len(SEVERITIES))
    ways = (new, hidden, waived, longer)
    return (
        not revised.is_missing,
        not (revised.harms or revised.waived_here or revised.waived_longer),
        gravest,
        next((rank for rank, found in enumerate(ways) if gravest in found), len(ways)),
        not revised.hides,
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
        SourceTaker(names[revised.side.file], revised.side.file, revised.sources, revised.harm)
        for revised in compared.revised
    )
    return shared_sources(takers)


def fleet_sections(compared: Compared, whole: bool) -> tuple[Section, ...]:
    """What all comes to: how verdicts passed, what changed for several or is new in them, what is to be done."""
    told = [
        Section("", (Row("verdicts", ((_passages(compared),),), "bold"),)),
        _not_compared(compared),
        *sources_section(sources_of(compared), compared.on_both_sides, whole),
        _new_in_several(compared, whole),
        _to_do(compared, whole),
    ]
    return tuple(section for section in told if section.blocks)


def _not_compared(compared: Compared) -> Section:
    """Why the old sides of vehicles could not be read, each cause once; a row says no more than that."""
    told = Counter(revised.unread for revised in compared.revised if revised.unread)
    rows = [
        Row(
            so_many(count, "vehicle"),
            ((f"{OLD_NOT_READ}: {cause.removeprefix(NOT_COMPARED)}",),),
            "bold",
        )
        for cause, count in told.items()
    ]
    return Section("", tuple(rows))


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


def _in_several(compared: Compared) -> list[tuple[tuple[Severity, str], list[str]]]:
    """The rules whose findings are new or worse in several vehicles, with their files, the gravest first."""
    vehicles: dict[tuple[Severity, str], list[str]] = {}
    for revised in compared.revised:
        for found in revised.brought:
            vehicles.setdefault(found, []).append(revised.side.file)
    several = [(found, told) for found, told in vehicles.items() if len(told) > 1]
    return sorted(several, key=lambda one: (SEVERITIES.index(one[0][0]), -len(one[1]), one[0][1]))


def in_several_record(compared: Compared) -> list[dict[str, Any]]:
    """The same for machines."""
    return [
        {"severity": severity, "rule": rule, "vehicles": files}
        for (severity, rule), files in _in_several(compared)
    ]


def _new_in_several(compared: Compared, whole: bool) -> Section:
    names = listed_names(compared)
    several = [(found, [names[file] for file in files]) for found, files in _in_several(compared)]
    most = len(several) if whole else MOST_SHARED_RULES
    rows = [
        Row(severity.upper(), ((f"{rule} · {_whom(told, whole)}",),), severity)
        for (severity, rule), told in several[:most]
    ]
    more = len(several) - len(rows)
    rows += [Row("", ((f"and {so_many(more, 'more rule')}",),))] if more else []
    return Section(NEW_IN_SEVERAL, tuple(rows))


def _to_do(compared: Compared, whole: bool) -> Section:
    """The work that the changes make necessary, each once with its vehicles, in the order of the work."""
    names = listed_names(compared)
    vehicles: dict[str, list[str]] = {}
    reasons: dict[str, dict[str, None]] = {}
    for revised in compared.revised:
        for work in revised.work:
            vehicles.setdefault(work.do, []).append(names[revised.side.file])
            reasons.setdefault(work.do, {}).update(dict.fromkeys(map(_shared_key, work.changed)))
    ordered = dict.fromkeys(cause.do for cause in causes() if cause.do in vehicles)
    rows = [
        Row("do", ((do,), (_whom(vehicles[do], whole),), _because([*reasons[do]], whole)), "bold")
        for do in ordered
    ]
    return Section(TO_DO, tuple(rows))


def _shared_key(key: str) -> str:
    """A key as several vehicles have it, whichever motor it is of: `motors.left.magnets` is `motor.magnets`."""
    return short_key(entry_path(key))


def _because(entries: Sequence[str], whole: bool) -> Line:
    told = entries if whole else entries[:MOST_REASONS]
    line: list[Fragment] = ["because of "]
    for number, entry in enumerate(told):
        line += [", " if number else "", Code(entry)]
    more = len(entries) - len(told)
    return (*line, f", and {more} more") if more else tuple(line)


def _whom(names: Sequence[str], whole: bool) -> str:
    most = len(names) if whole else MOST_VEHICLES
    return f"{so_many(len(names), 'vehicle')}: {few_names(names, most)}"


def folded_rows(compared: Compared) -> tuple[Card, ...]:
    """The vehicles that stand with their like: one card for all of which the same is to be said."""
    names = listed_names(compared)
    cards = []
    for told, some in _told_alike(compared).items():
        vehicles = [revised for _, revised in some]
        at = (
            -1 if is_folded(vehicles[0]) else 0
        )  # what is harmed stands by its first, others by the last
        card = _folded(told, vehicles, [names[one.side.file] for one in vehicles])
        cards.append(card._replace(rank=some[at][0]))
    return tuple(cards)


def harmed_alike(compared: Compared) -> frozenset[str]:
    """The files of the vehicles that are harmed, and stand with others of which the same is to be said."""
    return frozenset(
        one.side.file
        for some in _told_alike(compared).values()
        for _, one in some
        if not is_folded(one)
    )


class _Told(NamedTuple):
    """What is said of vehicles that are told together: how their verdicts passed, what is new, lost or moved."""

    before: str
    verdict: str
    moved: str
    lost: str
    new: str
    rules: str


def _told_alike(compared: Compared) -> dict[_Told, list[tuple[int, Revised]]]:
    """The vehicles to be told together, each with its rank; one that is harmed only with another one."""
    alike: dict[_Told, list[tuple[int, Revised]]] = {}
    for rank, revised in enumerate(harmed_first(compared)):
        is_calm = is_folded(revised)
        if is_calm or _is_harmed_by_others(revised):
            lost = [
                *uncovered_words([revised]),
                *_lost_words(revised),
                *([] if is_calm else [hidden_words(revised)]),
            ]
            told = _Told(
                *in_few_words(revised),
                revised.moved,
                " · ".join(words for words in lost if words),
                "" if is_calm else " · ".join(gravest_new_words(revised)),
                ", ".join(rule for _, rule in revised.brought),
            )
            alike.setdefault(told, []).append((rank, revised))
    return {told: some for told, some in alike.items() if len(some) > 1 or is_folded(some[0][1])}


def _is_harmed_by_others(revised: Revised) -> bool:
    """Whether what came to a vehicle came by files of several alone."""
    told_apart = revised.ceased or revised.unread or revised.why or revised.returned
    is_own = revised.changed > len(revised.sources)
    return bool(revised.harm) and not (told_apart or is_own or revised.waives)


def _lost_words(revised: Revised) -> list[str]:
    """The findings that are gone with nothing corrected."""
    return unchecked_words(revised) + unflagged_words(revised)


def _folded(told: _Told, some: Sequence[Revised], names: Sequence[str]) -> Card:
    count = so_many(len(some), "vehicle") if len(some) > 1 else names[0]
    advice = f"advice new or worse: {told.rules}" if told.rules and not told.new else ""
    of_each = " · ".join(words for words in (told.lost, told.new) if words)
    of_each = f"each {of_each}" if of_each and len(some) > 1 else of_each
    what = " · ".join(words for words in (of_each, advice) if words) or NOTHING_NEW
    what += f" · {told.moved}" if told.moved else ""
    listed = f" · {few_names(names, MOST_FOLDED)}" if len(some) > 1 else ""
    return Card(
        verdict=told.verdict,
        tone=TONES[some[0].side.verdict],
        passage=told.before,
        name=count,
        brief=(count, f"{what}{listed}", ""),
        short=True,
    )
