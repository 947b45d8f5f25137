"""Suspects as plain data, and in the words that their page and the last line of a check need."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..documents.schema import Property
from ..documents.text import so_many
from ..documents.units import unit_of_key
from ..expressions.formatting import listed, shown
from ..expressions.names import with_article
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Finding, Judgement
from ..suspicion.hypotheses import Hypothesis
from ..suspicion.next_reading import NextReading
from ..suspicion.ranking import SURE, Suspect, Suspects
from ..suspicion.ratings import is_asked
from ..suspicion.single_cause import SingleCause, single_cause
from ..suspicion.sites import Change
from .record import exact

SUSPECTS_EDITION = "suspects/1"
WORTH_LEADING = 0.1  # below which nothing is said to explain what is wrong
LEADING = 0.25  # below which nothing stands out beside what is in no list
_DIGITS = 4
_MOST_TITLED = 3  # entries of one class that are named before all else


def record(found: Suspects) -> dict[str, Any]:
    """The suspects as plain data, with the profile's verdict."""
    judgement = found.judgement
    return {
        "gonogo": SUSPECTS_EDITION,
        "file": judgement.profile.file,
        "name": judgement.profile.name,
        "verdict": judgement.verdict,
        "stops": list(dict.fromkeys(one.rule.id for one in found.stops)),
        "suspects": [_suspect_record(one) for one in found.suspects],
        "none_of_these": _share(found.none_of_these),
        "next": [_next_record(one) for one in found.next],
    }


def _suspect_record(one: Suspect) -> dict[str, Any]:
    first = one.first
    return {
        "entry": first.site.key if first else None,
        "file": first.site.given.place.file if first else None,
        "line": first.site.given.place.line if first else None,
        "same_class": list(one.same_class),
        "today": exact(first.site.given.entered) if first else None,
        "value": exact(first.entered) if first and one.hypothesis.known else None,
        "other_values": exact(list(one.other_values)),
        "also": [
            {
                "entry": change.site.key,
                "today": exact(change.site.given.entered),
                "value": exact(change.entered),
            }
            for change in one.hypothesis.changes[1:]
        ],
        "slip": one.hypothesis.slip,
        "says": one.hypothesis.title,
        "explains": list(one.explains),
        "leaves": list(one.leaves),
        "brings": list(one.brings),
        "verdict": one.verdict,
        "probability": _share(one.probability),
    }


def _next_record(one: NextReading) -> dict[str, Any]:
    return {
        "measure": one.measure,
        "unit": one.unit,
        "separates": list(one.separates),
        "expected": [_rounded(value) for value in one.expected],
        "again": one.again,
        "reading": not one.label,
    }


def _share(value: float) -> float:
    return round(value, 4)


def _rounded(value: Any) -> Any:
    return float(f"{value:.6g}") if isinstance(value, float) else exact(value)


def unit_as_entered(entry: Property) -> str:
    """The unit in which a key asks: that of its ending, else that of its quantity."""
    return unit_of_key(entry.path.rsplit(".", 1)[-1]) or entry.unit


def change_words(change: Change, known: bool = True) -> str:
    """What is entered, and what would explain: `103.9 rpm/V → 60 rpm/V`, or that nobody knows."""
    unit = unit_as_entered(change.site.entry)
    if not known:
        return f"{shown(change.site.given.entered, unit, _DIGITS)} → another value"
    now, then = (shown(one, unit, _DIGITS) for one in (change.site.given.entered, change.entered))
    return f"{now} → {then}"


def chance_words(share: float) -> str:
    """A probability as a whole percentage; never quite sure.

    >>> chance_words(0.996), chance_words(0.72), chance_words(0.001)
    ('99 %', '72 %', '1 %')
    """
    return f"{min(max(round(share * 100.0), 1), 99)} %"


def suspect_title(one: Suspect) -> str:
    """What is suspected, as a noun phrase: the entry, or those of which no reading tells it apart."""
    if one.hypothesis.fault is not None:
        return one.hypothesis.title
    told = [_changed_words(member) for member in (one.hypothesis, *one.members)]
    return listed(list(dict.fromkeys(told))[:_MOST_TITLED], "or")


def _changed_words(hypothesis: Hypothesis) -> str:
    """The entries that change, each with its motor where it is one of several."""
    names = dict.fromkeys(
        with_article(change.site.quantity)
        + (f" of motor {change.site.motors[0]}" if len(change.site.motors) == 1 else "")
        for change in hypothesis.changes
    )
    return listed(list(names), "and")


def explained_words(one: Suspect, stops: Sequence[Finding]) -> str:
    """How many of the dangers and faults are explained: `3 of 4 findings`."""
    many = len({finding.rule.id for finding in stops})
    if one.leaves:
        return f"{len(one.explains)} of {so_many(many, 'finding')}"
    return "the finding" if many == 1 else "both findings" if many == 2 else f"all {many} findings"


def answer_words(found: Suspects) -> str:
    """The answer in one sentence."""
    if not found.stops:
        return "Nothing contradicts: no danger or fault stands in this profile."
    if not found.suspects:
        return (
            "Nothing single explains it: no usual slip of one entry is likely to have made any of the "
            "dangers and faults. Take each finding as it is told."
        )
    first = found.suspects[0]
    if first.probability < WORTH_LEADING and not first.may_be_meant:
        return (
            f"Nothing single explains it: likeliest of what is left is {suspect_title(first)}, and that "
            f"only by {chance_words(first.probability)}. Take each finding as it is told."
        )
    told = f"{suspect_title(first)} ({chance_words(first.probability)})"
    if first.probability < LEADING and found.none_of_these >= SURE:
        order = " and go on in their order" if len(found.suspects) > 1 else ""
        return f"Nothing stands out: begin with {told}{order}. {_none_words(found)}"
    brings = first.verdict == "no-go" and first.brings
    if not found.stands_out or brings:
        begin = f"Look first at {told}"
        if len(found.suspects) > 1:
            begin += ", then at the others in their order"
        return f"{begin}. {_none_words(found)}"
    if first.leaves:
        return (
            f"Look first at {told}: that explains {explained_words(first, found.stops)}. What is left "
            f"has a cause of its own, or one cause in no list explains it all "
            f"({chance_words(found.none_of_these)})."
        )
    if first.hypothesis.slips > 1:
        told = f"two slips at once, {told}: together they explain"
    else:
        told = f"{told}: that explains"
    return f"Most likely {told} {explained_words(first, found.stops)}."


def _none_words(found: Suspects) -> str:
    """How sure it is that an entry is wrong at all; a rating that may be meant is named."""
    share = chance_words(found.none_of_these)
    if found.suspects[0].may_be_meant:
        if any(is_asked(change) for change in found.suspects[0].hypothesis.changes):
            return f"That may be what is asked of the vehicle, or there is another cause ({share})."
        return (
            f"Its value is an ordinary one: the part may be as entered and too small, or there is "
            f"another cause ({share})."
        )
    if found.none_of_these >= SURE:
        return f"All entries may also be right and the values meant, or the cause be in no list ({share})."
    if found.suspects[0].hypothesis.at_limit:
        return "It is past its limit, and what that rests on may be wrong as well."
    if found.suspects[0].probability >= SURE:
        return "It is likelier than not, but the next one is not far behind."
    return "No entry stands out."


def single_cause_words(judgement: Judgement, catalogue: Catalogue) -> str:
    """The one cause of several findings of a profile, as the last line of a check; empty where there is none."""
    profile = judgement.profile
    found = single_cause(profile, catalogue, judgement.judged_on, judgement)
    return "" if found is None else single_words(found, profile.file)


def single_words(found: SingleCause, file: str) -> str:
    """The last line of a check: the one change that explains several findings of a profile in a file."""
    many = f"{found.explains} of these {found.of} findings"
    if found.explains == found.of:
        many = "both findings" if found.of == 2 else f"all {found.of} findings"
    hypothesis = found.hypothesis
    told = hypothesis.title
    if hypothesis.fault is None:
        told = listed(
            [_where(change, file, hypothesis.known) for change in hypothesis.changes], "and"
        )
    return f"One cause may explain {many}: {told}. Ask gonogo suspect."


def _where(change: Change, file: str, known: bool) -> str:
    """An entry with its line, and what it would be: `motor.pole_pairs (line 12) 14 → 7`."""
    place = change.site.given.place
    of_file = "" if place.file == file else f"{place.file} "
    return f"{change.site.key} ({of_file}line\u00a0{place.line}) {change_words(change, known)}"
