"""The facts about an entry that differs: from the part beside it, or from what other entries come to."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.entry_terms import NO_ENDS, BesidePart
from ..documents.given import Value
from ..documents.profile import Override
from ..documents.schema import Property, canonical
from ..expressions.formatting import shown
from ..expressions.names import with_article
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.registry import unit_of
from ..quantities.twice import KnownTwice, off
from .explanation import formulas
from .sentences import entered_in

NOT_FITTED = "none"


def override_facts(override: Override, book: Book) -> Mapping[str, Value]:
    """What rules about overrides judge: both values, and how far they may lie apart."""
    name = override.quantity
    spoken = entered_in(name, book)
    value, stated = (
        spoken.entered(one) if is_number(one) else one
        for one in (override.value, override.part_value)
    )
    terms = _terms(override)
    both = is_number(value) and is_number(stated)
    facts: dict[str, Value] = {
        "override.rating": override.rating or NOT_FITTED if both else NOT_FITTED,
        "override.title": with_article(name),
        "override.kind": terms.kind,
        "override.entered": NOT_FITTED if value is None else spoken.words(value),
        "override.stated": NOT_FITTED if stated is None else spoken.words(stated),
        "override.off_percent": off(override.value, override.part_value),
        "override.min_percent": terms.ends[0],
        "override.max_percent": terms.ends[1],
    }
    if is_number(value) and is_number(stated):
        facts |= {"override.value": value, "override.part_value": stated}
    return facts


def _terms(override: Override) -> BesidePart:
    """What the schema says of the entry; a word, a count or a yes makes the part what it is."""
    entry: Property = canonical()[override.quantity]
    fact = entry.beside_part or BesidePart("fact", NO_ENDS, "")
    if fact.kind == "build":
        return fact
    if override.part_value in (None, NOT_FITTED):
        return fact._replace(kind="rating") if entry.rating else fact._replace(kind="added")
    if entry.rating and override.value is not None:
        return fact._replace(kind="rating")
    return fact


def twice_facts(known: KnownTwice, book: Book) -> Mapping[str, Value]:
    """What rules about a quantity known in two ways judge, and the words that tell it."""
    name = known.entered.name
    unit = unit_of(name)
    figure = _told(known.other.value, unit)
    spec = known.other.worked
    if spec is not None and spec.formula:
        figure = f"{formulas(spec, book)[1]} = {figure}"
    return {
        "twice.title": with_article(name),
        "twice.entered": _told(known.entered.value, unit),
        "twice.worked": figure,
        "twice.used": _told(known.used, unit),
        "twice.off_percent": known.off_percent,
        "twice.min_percent": known.advice[0],
        "twice.max_percent": known.advice[1],
        "twice.min_fault_percent": known.fault[0],
        "twice.max_fault_percent": known.fault[1],
    }


def _told(value: Value | None, unit: str) -> str:
    return NOT_FITTED if value is None else shown(value, unit)
