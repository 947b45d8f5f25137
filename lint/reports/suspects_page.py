"""Suspects as a page: the answer, each suspect with what it explains, and what to measure next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..documents.motors import entry_path
from ..documents.schema import canonical, properties
from ..expressions.formatting import shown
from ..expressions.names import with_article
from ..quantities.number import is_number
from ..suspicion.next_reading import NextReading
from ..suspicion.ranking import Suspect, Suspects
from .check_totals import TONES, VERDICT_WORDS
from .section import Card, Code, Excerpt, Fragment, Line, Notice, Report, Row, Section, Toned, row
from .suspects import answer_words, chance_words, change_words, suspect_title, unit_as_entered

OURS = (
    "Probabilities are by our own guesses at how usual each slip is, counted nowhere. Nothing was changed: "
    "look at the label, the datasheet or the meter before you correct an entry."
)
_DIGITS = 4


def suspects_page(found: Suspects, path: str) -> Report:
    """One card: the answer first, the suspects in their order, what comes next, what it rests on.

    `path` is the profile as the call names it.
    """
    judgement = found.judgement
    profile = judgement.profile
    card = Card(
        verdict=VERDICT_WORDS[judgement.verdict],
        tone=TONES[judgement.verdict],
        name=profile.name,
        passage="SUSPECT · ",
        about=((profile.file,),),
        sections=tuple(_sections(found, path)),
    )
    return Report("gonogo suspect", (card,))


def _sections(found: Suspects, path: str) -> Iterator[Section]:
    rows = [row("answer", (Toned(answer_words(found), "bold"),))]
    fault = found.suspects[0].hypothesis.fault if found.suspects else None
    rows += [row("next", fault.do, role="act")] if fault is not None else []
    rows += [_next_row(one) for one in found.next]
    if found.stops:
        rows.append(row("", ("all findings: ", Code(f"gonogo check {path}"))))
    yield Section("", tuple(rows))
    for number, one in enumerate(found.suspects, start=1):
        title = (Toned(suspect_title(one), "bold"),)
        label = f"{number} · {chance_words(one.probability)}"
        yield Section("", (Notice(label, title, tuple(_suspect_rows(one, found))),), "list")
    if found.suspects:
        none = "something that is in no list, or values that are meant"
        share = chance_words(found.none_of_these)
        yield Section("", (row("none", f"{share}: {none}"), row("rests on", OURS)))


def _suspect_rows(one: Suspect, found: Suspects) -> Iterator[Row]:
    profile = found.judgement.profile
    for change in one.hypothesis.changes:
        place = change.site.given.place
        yield row("entry", (Code(change.site.key),), role="place")
        if place.file != profile.file:
            yield row("file", (Code(place.file),), role="place")
        yield row(f"line {place.line}", (Excerpt(profile.line(place), place.column),), role="place")
        words = change_words(change, one.hypothesis.known)
        if change is one.first and one.other_values:
            unit = unit_as_entered(change.site.entry)
            others = " or ".join(shown(value, unit, _DIGITS) for value in one.other_values)
            words += f" (less likely {others})"
        yield row("value", words)
    yield row("slip", f"{one.hypothesis.title} ({_usual(one)})")
    if one.hypothesis.fault is not None and one is not found.suspects[0]:
        yield row("do", one.hypothesis.fault.do, role="act")
    yield row("explains", _codes(one.explains))
    if one.leaves:
        yield row("leaves", _codes(one.leaves))
    if one.brings:
        yield row("brings", _codes(one.brings))
    alike = [key for key in one.same_class if key not in _own(one)]
    if alike:
        told = (*_codes(alike), ": they explain the same, and no reading tells them apart")
        yield row("or", told)
    if one.hypothesis.fault is None:
        then = Toned(VERDICT_WORDS[one.verdict], TONES[one.verdict])
        then_is: Line = ("then ", then)
        if not one.hypothesis.known:
            unit = unit_as_entered(one.hypothesis.changes[0].site.entry)
            tried = shown(one.hypothesis.changes[0].entered, unit, _DIGITS)
            then_is = (f"{tried} was tried: then ", then)
        yield row("result", (*then_is, f"; {_only_if(one)}"))


def _only_if(one: Suspect) -> str:
    """What has to be seen before an entry is corrected: nobody makes a rating up to get a GO."""
    names = [change.site.quantity for change in one.hypothesis.changes]
    if all(name.startswith("settings.") for name in names):
        return "change it only if that is what was meant"
    if all(name.startswith("readings.") for name in names):
        return "change it only if it reads so when taken again"
    return "change it only if part, label or datasheet say so"


def _own(one: Suspect) -> set[str]:
    return {change.site.key for change in one.hypothesis.changes}


def _usual(one: Suspect) -> str:
    return one.hypothesis.in_words


def _codes(names: Sequence[str]) -> Line:
    """Names as they are written, with commas between them."""
    pieces: list[Fragment] = []
    for name in names:
        pieces += [", "] if pieces else []
        pieces.append(Code(name))
    return tuple(pieces)


def _next_row(one: NextReading) -> Row:
    """What to read, and what each suspect would have it come to."""
    entry = properties().get(entry_path(one.measure)) or canonical()[one.quantity]
    unit = unit_as_entered(entry)
    second = shown(one.expected[1], unit, _DIGITS)
    first = "any other value"
    if one.expected[0] is not None:
        first = shown(one.expected[0], unit, _DIGITS)
    name, key = with_article(one.quantity), (Code(one.measure),)
    if one.label:
        if one.quantity.startswith("settings."):
            # the slip may have been made in the controller too
            told = f"see what the controller holds for {name}: {first} speaks for 1, {second} leaves it open"
        else:
            told = f"make sure of {name} at part, label or tape: {first} speaks for 1, {second} against it"
        return row("next", told, key, role="act")
    if one.once_set:
        told = f"set 1 so in the controller and read {name} again: {first} speaks for 1"
        return row("next", told, key, role="act")
    again = " again" if one.again else ""
    if is_number(one.expected[0]):
        first, second = f"about {first}", f"about {second}"
    other = "if the entry is right" if one.separates[1] is None else "for 2"
    return row(
        "next", f"read {name}{again}: {first} speaks for 1, {second} {other}", key, role="act"
    )
