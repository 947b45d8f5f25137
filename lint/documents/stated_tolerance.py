"""Tolerances that a profile or a part states of its entries: in percent, or as a number with its unit."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from .document import Document
from .error import DocumentError, WrongValue
from .given import Given
from .location import Place
from .schema import Property
from .text import nearest, quoted
from .units import UNITS, unit_of_key
from .yaml_tree import YamlNode

WITH_UNIT = re.compile(r"([0-9]{1,9}(?:\.[0-9]{1,9})?) ?(\S{1,20})")
MOST_SHARE = 0.5  # of what is entered: beyond it is no tolerance, but another value
_PERCENT = 100.0


class StatedTolerance(NamedTuple):
    """How far a document says an entry may be off to both sides.

    `percent` is of what is entered, `plus_minus` in the unit of the quantity; one of them is nought.
    """

    quantity: str
    percent: float
    plus_minus: float
    place: Place
    in_part: bool


def stated_in(
    node: YamlNode,
    document: Document,
    entries: Mapping[str, Property],
    givens: Mapping[str, Given],
    of_part: bool = False,
) -> tuple[dict[str, StatedTolerance], list[DocumentError]]:
    """The tolerances below a key by their quantity, and what is wrong with them.

    `entries` are the numbers that may have one, by the name under which it is stated; `givens` what is
    entered. One of what is no such number, or in a part of what the part does not state, would narrow
    nothing, unseen.
    """
    found: dict[str, StatedTolerance] = {}
    errors: list[DocumentError] = []
    if of_part:
        wanted = "a number that this part states"
        entries = {name: one for name, one in entries.items() if one.quantity in givens}
    else:
        wanted = "an entry that is a number and no setting"
    for key, below in node.below.items():
        name = str(key)
        entry = entries.get(name)
        place = document.place_of(node.keys[name])
        if entry is None:
            near = nearest(name, entries)
            errors.append(_wrong(document, place, quoted(name), wanted, near))
            continue
        stated = _stated(entry, below.value, place, of_part)
        given = givens.get(entry.quantity)
        if stated is None or _too_wide(stated, given):
            at = document.place_of(below.event)
            errors.append(_wrong(document, at, quoted(str(below.value)), _wanted(entry, given)))
        else:
            found[entry.quantity] = stated
    return found, errors


def may_have_one(entries: Mapping[str, Property], below: str = "") -> dict[str, Property]:
    """The numbers among some entries that are no settings, by what follows `below` of their names."""
    return {
        name.removeprefix(below): entry
        for name, entry in entries.items()
        if name.startswith(below) and entry.kind == "number" and not name.startswith("settings.")
    }


def _stated(
    entry: Property, written: object, place: Place, of_part: bool
) -> StatedTolerance | None:
    if isinstance(written, int | float):
        return StatedTolerance(entry.quantity, float(written), 0.0, place, of_part)
    parts = WITH_UNIT.fullmatch(str(written))
    if parts is None:
        return None
    number, word = float(parts[1]), parts[2]
    if word == "%":
        return StatedTolerance(entry.quantity, number, 0.0, place, of_part)
    from .value_units import factor_to  # late: most are told in percent

    unit = unit_of_key(entry.path)
    factor = factor_to(word, unit) if unit in UNITS else None
    if factor is None:
        return None
    amount = abs(number * factor * entry.factor)
    return StatedTolerance(entry.quantity, 0.0, amount, place, of_part)


def _too_wide(stated: StatedTolerance, given: Given | None) -> bool:
    if stated.percent > MOST_SHARE * _PERCENT:
        return True
    value = None if given is None else given.value
    if isinstance(value, bool) or not isinstance(value, int | float) or not value:
        return False
    return stated.plus_minus > MOST_SHARE * abs(value)


def _wanted(entry: Property, given: Given | None) -> str:
    unit = unit_of_key(entry.path)
    such = f", or a number with its unit, such as 2 {UNITS[unit].symbol}" if unit in UNITS else ""
    half = ", at most half of what is entered" if given is not None else ""
    return f"a tolerance in percent, 0 to 50{such}{half}"


def _wrong(
    document: Document, at: Place, found: str, wanted: str, meant: str | None = None
) -> DocumentError:
    return WrongValue(at.file, at.line, at.column, found, wanted, meant, document.line(at.line))


def without_those_of(
    stated: Mapping[str, StatedTolerance], quantities: Iterable[str]
) -> dict[str, StatedTolerance]:
    """What is left once these entries are given anew: what their part states is not about those."""
    gone = frozenset(quantities)
    return {name: one for name, one in stated.items() if name not in gone}
