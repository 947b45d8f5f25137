"""The enclosure: all that each quantity of one book may come to while entries lie anywhere in a box.

It follows the book: what is given wins over what is worked out, of a rating known both ways the safer
counts, and of several formulas the first that gives a value.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from ..expressions.expression import Expression
from ..expressions.formula import bounded_when, formula_of, scope_of
from ..expressions.types import Node
from ..quantities.book import IN_BASE, Book
from ..quantities.number import LARGEST_WORKED, is_number
from ..quantities.operand import EXACT, NO_MORE, NOT_THERE, TURNED, Operand, Side
from ..quantities.registry import RATED_TWICE, WORKED, affected
from ..quantities.worked import Worked
from ..quantities.worked import result as worked_result
from .branches import Look, enclosed
from .extent import (
    Extent,
    at_rest,
    moving,
    now_this_now_that,
    perhaps_unknown,
    sides_of,
    undecided_span,
)
from .interval import Interval
from .opaque import by_asking, stand_in, stand_in_scope
from .sloped import Sloped, greatest_number, least_number

Box = Mapping[str, Interval]  # by the entry: where it may lie; of a list by how much it may shift


class Enclosure:
    """The spans of one book over a box, each worked out once.

    `base` is that of the base settings, for the book of a mode. `known` is the same book over a box that
    differs in the sides of `anew` alone: what those do not move is as it is there. Of several motors
    `told` has what a quantity comes to for all of them, and `sides` the name of an entry's side, where it
    is another motor's.
    """

    def __init__(
        self,
        book: Book,
        box: Box,
        base: Enclosure | None = None,
        known: Enclosure | None = None,
        anew: frozenset[str] = frozenset(),
        told: Mapping[str, Extent] = MappingProxyType({}),
        sides: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        self.book, self.box, self.base = book, box, base
        self._told, self._sides = told, sides
        self.moved = affected(frozenset(box)) | affected(frozenset(told))
        self._known, self._anew = known, affected(anew) if known is not None else anew
        self._spans: dict[str, Extent] = {}

    def span(self, name: str) -> Extent:
        """All that a quantity may come to."""
        found = self._spans.get(name)
        if found is None:
            if self._known is not None and _bare(name) not in self._anew:
                found = self._known.span(name)
            else:
                found = self._looked_up(name)
            self._spans[name] = found
        return found

    def evaluate(self, expression: Expression) -> Extent:
        """All that an expression may come to."""
        return self.of(expression.tree, self.span)

    def of(self, node: Node, look: Look) -> Extent:
        """All that a part of an expression may come to, with each name as `look` has it."""
        return enclosed(node, look)

    def _looked_up(self, name: str) -> Extent:
        if name.startswith("given("):
            return self._is_given(name[6:-1])
        if name.startswith(IN_BASE):
            inner = name.removeprefix(IN_BASE)
            return (self.base or self).span(inner)
        if name in self._told:
            return self._told[name]
        if name not in self.moved or self.book.is_absent(name):
            return at_rest(self.book.operand(name))
        given = self.book.given(name)
        if given is None:
            return self._worked(name) if name in WORKED else at_rest(self.book.operand(name))
        if given.value is None:
            return at_rest(self.book.operand(name))
        entered = self._entered(name, given.value)
        if name not in RATED_TWICE or not is_number(given.value):
            return entered
        return self._safer(name, entered)

    def _entered(self, name: str, value: object) -> Extent:
        """What is entered, anywhere within its side of the box."""
        side = self.box.get(name)
        if side is None:
            return at_rest(Operand(value))  # type: ignore[arg-type]
        if isinstance(value, tuple):
            members = tuple(one for one in value if is_number(one))
            if side.is_point:
                return at_rest(Operand(tuple(one + side.low for one in members)))
        elif side.is_point:
            return at_rest(Operand(side.low))
        known_as = self._sides.get(name, name)
        number, sides = Sloped(side, {known_as: Interval(1.0, 1.0)}), frozenset({known_as})
        if isinstance(value, tuple):
            return Extent(number, sides=sides, other=True, members=members)
        return Extent(number, sides=sides)

    def _safer(self, name: str, entered: Extent) -> Extent:
        """Of a rating entered and worked out the one that allows less, as the book has it."""
        other = self._worked(name)
        if other.number is None or other.side not in (EXACT, None):
            return entered
        known = self.book.otherwise(name)
        if known is not None and self.book.is_typical(known):
            return entered
        assert entered.number is not None
        pick = least_number if RATED_TWICE[name] == "upper" else greatest_number
        both = moving(pick((entered.number, other.number)), entered, other)
        if other.certain:
            return both
        return now_this_now_that((entered, both._replace(unknown=False, absent=False)), other.sides)

    def _is_given(self, name: str) -> Extent:
        """Whether a quantity is given, or all that it is worked out from."""
        if name.startswith(IN_BASE):
            return (self.base or self)._is_given(name.removeprefix(IN_BASE))
        if self.book.given(name) is not None or name not in WORKED or name not in self.moved:
            return at_rest(Operand(self.book.is_given(name)))
        span = self.span(name)
        if span.number is not None and span.open:
            return now_this_now_that((at_rest(Operand(True)), at_rest(Operand(False))), span.sides)
        return at_rest(Operand(not span.never))

    def _worked(self, name: str) -> Extent:
        """What the formulas of a quantity come to: the first that gives a value, else a bound."""
        perhaps: list[Extent] = []
        bounds: list[Extent] = []
        lacking: list[Extent] = []
        for spec in WORKED[name]:
            span = self._by(spec)
            if span.certain:
                return now_this_now_that((*perhaps, span), sides_of(perhaps)) if perhaps else span
            if span.number is None and not span.other:
                lacking.append(span)
            elif span.side in (EXACT, None):
                perhaps.append(span)
            else:
                bounds.append(span)
        rest = [*perhaps, *bounds]
        if not rest:
            return self._unknown(name, lacking)
        if len(rest) == 1:
            return rest[0]
        sure = [one for one in rest if not one.open]
        mixed = now_this_now_that(rest, sides_of(rest))
        if not perhaps:
            return bounds[0] if not bounds[0].open else mixed
        return mixed._replace(unknown=False, absent=False) if sure else mixed

    def _unknown(self, name: str, lacking: Sequence[Extent]) -> Extent:
        """What is nowhere known; the book says whether it is there at all."""
        known = self.book.operand(name)
        if known.value is None:
            return at_rest(known)
        return Extent(None, unknown=True, sides=sides_of(lacking))

    def _by(self, spec: Worked) -> Extent:
        """What one formula comes to."""
        stills = [self.span(name).still for name in spec.inputs.values()]
        if None not in stills:
            rests = dict(zip(spec.inputs.values(), stills, strict=True))
            return at_rest(worked_result(spec, lambda name: rests[name] or NOT_THERE))
        if spec.combine == "least":
            return self._least(spec)
        if spec.without:
            other = self.span(spec.inputs[spec.without])
            if other.still is None:
                return undecided_span(other)
            if other.still.side != "absent":
                return at_rest(Operand(None, EXACT, other.still.missing))
        arguments = {argument: self.span(name) for argument, name in spec.inputs.items()}
        for argument, default in spec.defaults.items():
            span = arguments[argument]
            if span.never:
                arguments[argument] = at_rest(Operand(default)) if default is not None else span
            elif span.still is None and (span.unknown or span.absent):
                if default is None:
                    return undecided_span(*arguments.values())
                known = span._replace(unknown=False, absent=False)
                either = now_this_now_that((known, at_rest(Operand(default))), span.sides)
                arguments[argument] = either
        lacks = [span for argument, span in arguments.items() if argument not in spec.optional]
        for span in lacks:
            if span.never:
                return at_rest(span.still) if span.still is not None else span
        side = self._side(spec, arguments)
        if side is None:
            return undecided_span(*arguments.values())
        return self._scoped(spec, self._value(spec, arguments), arguments, side)

    def _value(self, spec: Worked, arguments: Mapping[str, Extent]) -> Extent:
        tree = formula_of(spec) or stand_in(spec)
        # A bound is worked out like any number; on which side it lies is seen to besides.
        inner = {name: one._replace(side=EXACT) for name, one in arguments.items()}
        if tree is None:
            return by_asking(spec, inner)
        exact = {
            name: one if one.still is None else at_rest(one.still._replace(side=EXACT))
            for name, one in inner.items()
        }
        return self.of(tree, exact.__getitem__)

    def _side(self, spec: Worked, arguments: Mapping[str, Extent]) -> Side | None:
        """On which side of the true value the result stands; None where that cannot be said."""
        sides = {spec.side} - {EXACT}
        for argument, span in arguments.items():
            if span.side == EXACT or span.never:
                continue
            if span.side is None or span.side == "absent":
                return None
            if argument in spec.rises:
                sides.add(span.side)
            elif argument in spec.falls:
                sides.add(TURNED[span.side])
            else:
                return None
        return sides.pop() if len(sides) == 1 else EXACT if not sides else None

    def _scoped(
        self, spec: Worked, value: Extent, arguments: Mapping[str, Extent], side: Side
    ) -> Extent:
        """The value where the formula gives one, with what makes it only a bound."""
        below = tuple(arguments.values())
        scope, bounded = scope_of(spec) or stand_in_scope(spec), bounded_when(spec)
        result = value._replace(side=value.side if value.side not in (EXACT,) else side)
        if (
            spec.returns == "number"
            and value.number is not None
            and not _finite(value.number.value)
        ):
            result = perhaps_unknown(result)
        if bounded is not None:
            held = self.of(bounded, arguments.__getitem__)
            if not _never(held):
                result = result._replace(side=NO_MORE if _surely(held) and side == EXACT else None)
        if scope is not None:
            held = self.of(scope, arguments.__getitem__)
            if _never(held):
                return Extent(None, unknown=True, sides=held.sides)
            if not _surely(held):
                result = perhaps_unknown(result, held.sides)
        return result._replace(still=None, sides=result.sides | sides_of(below))

    def _least(self, spec: Worked) -> Extent:
        """The least of those inputs that are there."""
        spans = [self.span(name) for name in spec.inputs.values()]
        there = [one for one in spans if not (one.never and one.absent)]
        known = [one for one in there if one.number is not None]
        if any(one.still is None and one.open for one in there):
            return undecided_span(*spans)
        if not known:
            unknown = any(one.unknown for one in there)
            return Extent(None, unknown=unknown, absent=not unknown)
        numbers = [one.number for one in known if one.number is not None]
        kinds = {one.side for one in known} - {EXACT}
        if len(known) < len(there):
            kinds.add(NO_MORE)
        if len(kinds) > 1 or None in kinds:
            return undecided_span(*spans)
        side = kinds.pop() if kinds else EXACT
        return Extent(least_number(numbers), side, sides=sides_of(spans))


def _bare(name: str) -> str:
    """The quantity that a name asks about."""
    if name.startswith("given("):
        name = name[6:-1]
    return name.removeprefix(IN_BASE)


def _finite(value: Interval) -> bool:
    return -LARGEST_WORKED <= value.low and value.high <= LARGEST_WORKED


def _surely(truth: Extent) -> bool:
    return truth.number is not None and not truth.open and truth.number.value.low > 0.0


def _never(truth: Extent) -> bool:
    if truth.number is None:
        return truth.never
    return truth.number.value.high <= 0.0 and not truth.other
