"""A rule's sentences with the numbers of one finding, in the units of the keys that were entered."""

from __future__ import annotations

import math
from typing import NamedTuple, TypeGuard

from ..documents.given import Value
from ..documents.schema import canonical, properties
from ..documents.trade_units import GAUGE_UNIT, TRADE_UNITS, TradeUnit, is_trade_key
from ..documents.units import unit_of_key
from ..documents.wire_gauge import (
    gauge_at_least,
    gauge_at_most,
    gauge_of_section,
    section_of_gauge,
)
from ..expressions.formatting import DIGITS, MOST_DIGITS, apart, filled, inwards, listed, shown
from ..expressions.names import title_of, with_article
from ..quantities.book import IN_BASE, Book
from ..quantities.number import is_number, tidy
from ..quantities.operand import Operand
from ..quantities.registry import WORKED, unit_of
from ..tables.table import table
from .rule import Rule


class Spoken(NamedTuple):
    """How a quantity is told: as its key was entered, canonical = `factor` × entered + `offset`.

    A wire gauge is told in words, and held against limits by its cross-section. `beside` is the
    trade's unit of a quantity that is not entered, on a vehicle that has other entries in it: both
    are told.
    """

    factor: float
    offset: float
    unit: str
    step: float | None
    beside: TradeUnit | None = None

    @property
    def unit_of_numbers(self) -> str:
        """The unit of the numbers beside the words."""
        return "mm2" if self.unit == GAUGE_UNIT else self.unit

    def entered(self, value: float) -> float:
        """A canonical number as entered."""
        return tidy((value - self.offset) / self.factor)

    def words(self, value: Value | None, digits: int = DIGITS, upwards: bool | None = None) -> str:
        """A number as entered with its unit; a cross-section as the gauge that has it.

        `upwards` says to which side the trade's number beside one of ours is rounded.
        """
        if self.unit == GAUGE_UNIT and is_number(value):
            value = gauge_of_section(value)
        names = [one for one in value if isinstance(one, str)] if isinstance(value, tuple) else []
        told = listed(names, "and") if names else shown(value, self.unit, digits)
        if self.beside is None or not is_number(value):
            return told
        other = (value - self.beside.offset) / self.beside.factor
        if upwards is not None:
            other = inwards(other, _last_of(other), upwards)
        return f"{told} ({shown(tidy(other), self.beside.unit or self.beside.ending, digits)})"


def entered_in(name: str, book: Book) -> Spoken:
    """How a quantity is told where it was entered under a key, else by its canonical unit."""
    given = book.given(name)
    if given is not None:
        path = given.entered_as
        entry = properties().get(path) or canonical().get(name)
        if entry is not None:
            factor = given.factor or 1.0
            same = (entry.factor, entry.offset) == (factor, given.offset)
            unit = unit_of_key(path) if is_trade_key(path) or not same else entry.unit
            return Spoken(factor, given.offset, unit or entry.unit, entry.step)
    unit = unit_of(name)
    row = TRADE_UNITS.get(unit)
    is_spoken = row is not None and unit != "mm2" and book.enters_in(f"_{row.ending}")
    return Spoken(1.0, 0.0, unit, _step(name), row if is_spoken else None)


def _step(name: str) -> float | None:
    entry = canonical().get(name)
    return entry.step if entry is not None else None


def as_entered(operand: Operand | None, spoken: Spoken) -> Value | None:
    """An operand's value as entered; texts and truths stay as they are."""
    value = operand.value if operand is not None else None
    return spoken.entered(value) if is_number(value) else value


READ_DIGITS = 3
# Entries that are bought in sizes, and the table of them.
STANDARD_SIZES = {"wiring.fuse.rated_A": ("fuse_ratings", "rated_A")}


def standard_size(name: str, limit: float, upwards: bool) -> float:
    """The size nearest to a limit on its allowed side; the limit itself where there is none.

    >>> standard_size("wiring.fuse.rated_A", 198.0, upwards=False)
    160.0
    """
    sizes = [float(row[STANDARD_SIZES[name][1]]) for row in table(STANDARD_SIZES[name][0])["rows"]]
    fitting = [size for size in sizes if (size >= limit if upwards else size <= limit)]
    return (min if upwards else max)(fitting, default=limit)


def _last_of(limit: float) -> float | None:
    """The weight of the last digit that is shown of a number that is not entered in steps."""
    return 10.0 ** (math.floor(math.log10(abs(limit))) - READ_DIGITS + 1) if limit else None


class Sentences:
    """Fills a rule's sentences for one finding."""

    def __init__(
        self,
        rule: Rule,
        book: Book,
        value: Value | None,
        low: float | None,
        high: float | None,
        spoken: Spoken,
        beyond: tuple[float | None, float | None] = (None, None),
    ) -> None:
        self.beyond = beyond
        self.rule, self.book = rule, book
        self.value, self.low, self.high = value, low, high
        self.spoken, self.step = spoken, spoken.step

    def told(self, sentence: str, exact: bool) -> str:
        """The sentence filled; a limit to be entered (not `exact`) is moved to the step."""
        return filled(sentence, lambda name: self._word(name, exact))

    def _word(self, name: str, exact: bool) -> str:
        if name == "of":
            return self.spoken.words(self.value, self._digits())
        if name in ("limit", "low", "high"):
            return self._limit(name, exact)
        if name == "beyond":
            return self._beyond()
        spoken = entered_in(name.removeprefix(IN_BASE), self.book)
        operand = self.book.operand(name)
        value = as_entered(operand, spoken)
        words = spoken.words(value if self.rule.subject == "profile" else _with_titles(value))
        return f"{operand.side} {words}" if operand.side.startswith("no ") else words

    def _digits(self) -> int:
        limit = self.high if self.high is not None else self.low
        if is_number(self.value) and limit is not None:
            return max(apart(self.value, limit), 4)
        return 4

    def _beyond(self) -> str:
        """The limit of the step that is reached, on the side that is broken; else the rule's own."""
        low, high = self.beyond
        below = is_number(self.value) and low is not None and self.value < low
        limit = low if below or high is None else high
        if limit is None:
            return self._limit("limit", exact=True)
        return self.spoken.words(limit, self._digits())

    def _limit(self, name: str, exact: bool) -> str:
        upper = self.high is not None and name != "low"
        limit = self.high if upper else self.low
        if limit is None:
            return "not known"
        if not exact and not self.rule.strict:
            stands = self._stands(limit, upwards=not upper)
            return self.spoken.words(stands, MOST_DIGITS, upwards=not upper)
        return self.spoken.words(limit, self._digits())

    def _stands(self, limit: float, upwards: bool) -> float:
        """A limit moved to its allowed side: to what can be bought, entered or read."""
        judged = self.rule.of if self.rule.condition is None else self.rule.points_at
        if judged in STANDARD_SIZES:
            return standard_size(judged, limit, upwards)
        if self.spoken.unit == GAUGE_UNIT:
            return section_of_gauge(gauge_at_least(limit) if upwards else gauge_at_most(limit))
        return inwards(limit, self.step or _last_of(limit), upwards)

    def advised(self) -> float | None:
        """The value that the remedy names, where it names one to be entered."""
        named = [word for word in ("limit", "low", "high") if f"{{{word}}}" in self.rule.remedy]
        if not named or not is_number(self.value):
            return None
        upper = self.high is not None and (self.low is None or self.value > self.high)
        limit = self.high if upper else self.low
        if limit is None:
            return None
        stands = self._stands(limit, upwards=not upper)
        if self.rule.strict and stands == limit:
            step = self.step or _last_of(limit) or 0.0
            return tidy(stands - step if upper else stands + step)
        return stands


def _with_titles(value: Value | None) -> Value | None:
    """The names of quantities in a value, each with what it is called before its key."""
    if isinstance(value, tuple):
        return tuple(f"{title_of(part)} ({part})" if _is_quantity(part) else part for part in value)
    return f"{with_article(value)} ({value})" if _is_quantity(value) else value


def _is_quantity(value: object) -> TypeGuard[str]:
    return isinstance(value, str) and (value in properties() or value in WORKED)
