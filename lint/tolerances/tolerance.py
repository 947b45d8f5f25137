"""Tolerances: how far what is entered may lie from what is there, row by row, and the boxes they make."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from ..documents.contents import contents
from ..documents.error import DocumentError, DocumentErrors, HouseError
from ..documents.house import House
from ..documents.motors import entry_path
from ..documents.profile import Given
from ..documents.schema import canonical
from ..documents.stated_tolerance import StatedTolerance
from ..documents.text import line_of, nearest, quoted
from ..expressions.compiler import compile_expression
from ..expressions.expression import Expression
from ..expressions.names import vocabulary
from ..judgement.catalogue import RULES
from ..judgement.rule import Rule
from ..quantities.book import IN_BASE, Book
from ..quantities.number import is_number, near
from ..quantities.registry import rests_on
from .enclosure import Box
from .interval import Interval

TOLERANCES_FILE = "tolerances"
_PERCENT = 100.0


class Tolerance(NamedTuple):
    """One row: how far some entries reach, why, and for which rules it counts.

    `least` and `most` are factors, or expressions of one; `plus_minus` is in the unit of the entry.
    """

    id: str
    entries: tuple[str, ...]
    least: float | Expression
    most: float | Expression
    plus_minus: float
    at_low: str
    at_high: str
    counted_by: frozenset[str]
    only_for: frozenset[str]
    reason: str
    source: str
    measured_by: tuple[str, ...] = ()

    @property
    def spreads(self) -> bool:
        """Whether it is a spread to both sides, as of meters and parts, and no change such as wear."""
        if isinstance(self.least, Expression) or isinstance(self.most, Expression):
            return False
        return self.plus_minus > 0.0 or near(self.least + self.most, 2.0)


def _stated(stated: StatedTolerance) -> Tolerance:
    """The row of a tolerance that the profile itself or a part tells."""
    share, none, name = stated.percent / _PERCENT, frozenset[str](), stated.quantity
    told = "Its part states it" if stated.in_part else "The profile states it"
    reason = f"{told}: {stated.place.file}, line {stated.place.line}."
    ends = (1.0 - share, 1.0 + share, stated.plus_minus)
    return Tolerance(f"stated {name}", (name,), *ends, "", "", none, none, reason, reason)


def refuse_unknown_rows(house: House) -> None:
    """Raise DocumentErrors where a shop narrows or widens a row that there is not."""
    known = {row.id for row in tolerances()}
    errors: list[DocumentError] = []
    for name in house.tolerances:
        if name not in known:
            place = house.places[f"tolerances.{name}"]
            line = line_of(house.text, place.line)
            wanted = "a row of tolerances, such as kv-spread"
            meant = nearest(name, known)
            errors.append(
                HouseError(place.file, place.line, place.column, quoted(name), wanted, meant, line)
            )
    if errors:
        raise DocumentErrors(errors)


class Reach(NamedTuple):
    """One row as it comes out for an entry of a vehicle: factors of its value, or an amount to both sides."""

    tolerance: Tolerance
    least: float
    most: float
    plus_minus: float

    @property
    def wide(self) -> bool:
        """Whether it leaves the entry any room."""
        return self.least != self.most or self.plus_minus > 0.0


@lru_cache(maxsize=1)
def tolerances() -> tuple[Tolerance, ...]:
    """Every row, in the order of the file."""
    return tuple(map(_row, contents(RULES, TOLERANCES_FILE)["tolerances"]))


@lru_cache(maxsize=1)
def rules_of_entries() -> frozenset[str]:
    """The rules that hold entries against each other, which nothing that is there moves."""
    return frozenset(contents(RULES, TOLERANCES_FILE)["of_entries"])


@lru_cache(maxsize=1)
def stated_entries() -> frozenset[str]:
    """The entries that are choices: they are what is entered."""
    return frozenset(contents(RULES, TOLERANCES_FILE)["as_stated"])


def _row(row: Mapping[str, Any]) -> Tolerance:
    share = row.get("percent", 0.0) / _PERCENT
    return Tolerance(
        row["id"],
        tuple(row["entries"]),
        _factor(row.get("times_from", 1.0 - share)),
        _factor(row.get("times_to", 1.0 + share)),
        float(row.get("plus_minus", 0.0)),
        row.get("at_low", ""),
        row.get("at_high", ""),
        frozenset(row.get("counted_by", ())),
        frozenset(row.get("only_for", ())),
        row["reason"],
        row["source"],
        tuple(row.get("measured_by", ())),
    )


def _factor(written: str | float) -> float | Expression:
    return compile_expression(written, vocabulary()) if isinstance(written, str) else float(written)


class Tolerated:
    """The entries of one vehicle that have a tolerance, each with its rows."""

    def __init__(
        self,
        book: Book,
        givens: Mapping[str, Given],
        wider: Mapping[str, float] | None = None,
        own: Mapping[str, StatedTolerance] | None = None,
    ) -> None:
        self.entered: dict[str, float] = {}  # of a list, which shifts as a whole, nought
        self.reaches: dict[str, tuple[Reach, ...]] = {}
        self._boxes: dict[frozenset[tuple[str, str]], Box] = {}
        self._counting: dict[str, Mapping[str, tuple[Reach, ...]]] = {}
        told = own or {}
        stated = [_stated(one) for one in told.values()]
        for row in (*stated, *tolerances()):
            for name in row.entries:
                if row.spreads and name in told and row not in stated:
                    continue  # the vehicle's own is known better than what is usual
                given = None if book.is_absent(name) else givens.get(name)
                reach = _reach(row, book, (wider or {}).get(row.id, 1.0))
                if given is None or given.value is None or not reach.wide:
                    continue
                self.entered[name] = 0.0 if isinstance(given.value, tuple) else given.number
                self.reaches[name] = (*self.reaches.get(name, ()), reach)

    def counting(self, rule: Rule) -> Mapping[str, tuple[Reach, ...]]:
        """The rows that count for a rule: what it allows for already is not counted twice."""
        known = self._counting.get(rule.id)
        if known is not None:
            return known
        below = reads_of(rule)
        asked = {name: rows for name, rows in self.reaches.items() if name in below}
        counted = self._counting[rule.id] = self.counted(asked, below)
        return counted

    def counted(
        self, asked: Mapping[str, tuple[Reach, ...]], below: frozenset[str]
    ) -> Mapping[str, tuple[Reach, ...]]:
        """Of the rows of some entries those that count for a rule with all that below it."""
        counted = {
            name: tuple(reach for reach in reaches if _counts(reach.tolerance, below))
            for name, reaches in asked.items()
        }
        return {name: reaches for name, reaches in counted.items() if reaches}

    def box(self, rule: Rule, exact: frozenset[str] = frozenset()) -> Box:
        """Where the entries that a rule depends on may lie; `exact` ones lie where they are entered."""
        counting = self.counting(rule)
        key = frozenset(
            (name, reach.tolerance.id)
            for name, reaches in counting.items()
            if name not in exact
            for reach in reaches
        )
        if key not in self._boxes:
            self._boxes[key] = {
                name: self.side(name, reaches)
                for name, reaches in counting.items()
                if name not in exact
            }
        return self._boxes[key]

    def side(self, name: str, reaches: tuple[Reach, ...]) -> Interval:
        """Where one entry may lie; of a list by how much it may shift."""
        entered = self.entered[name]
        low = high = entered
        for reach in reaches:
            factors = (reach.least, reach.most)
            low, high = (
                min(low * one for one in factors) - reach.plus_minus,
                max(high * one for one in factors) + reach.plus_minus,
            )
        entry = canonical()[entry_path(name)]
        if entry.kind == "number":  # no efficiency above 1, and no resistance below nought
            low = low if entry.lowest is None else max(low, entry.lowest)
            high = high if entry.highest is None else min(high, entry.highest)
        return Interval(min(low, entered), max(high, entered))


def _reach(row: Tolerance, book: Book, wider: float) -> Reach:
    """A row for a vehicle; what an expression of it lacks leaves that side as it is entered."""
    least, most = (_worked(end, book) for end in (row.least, row.most))
    return Reach(
        row,
        1.0 + (min(least, 1.0) - 1.0) * wider,
        1.0 + (max(most, 1.0) - 1.0) * wider,
        row.plus_minus * wider,
    )


def _worked(end: float | Expression, book: Book) -> float:
    if isinstance(end, float):
        return end
    operand = end.evaluate(book.operand)
    return float(operand.value) if is_number(operand.value) else 1.0


def _counts(row: Tolerance, below: frozenset[str]) -> bool:
    if row.only_for and row.only_for.isdisjoint(below):
        return False
    return row.counted_by.isdisjoint(below)


def reads_of(rule: Rule) -> frozenset[str]:
    """All that a rule reads, and all that this is made of."""
    names = {name.removeprefix(IN_BASE) for name in rule.reads}
    return frozenset(names).union(*map(rests_on, names))
