"""The parts of an expression over a box: what each of them may come to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import chain

from ..expressions.expression import (
    And,
    Choice,
    Compare,
    Converted,
    Difference,
    Extreme,
    ExtremeOfList,
    IsGiven,
    IsMember,
    IsNone,
    Name,
    Negative,
    Not,
    Or,
    Product,
    Quotient,
    Rounded,
    Size,
    Sum,
)
from ..expressions.formula import Power, Root
from ..expressions.types import Node
from ..quantities.number import is_number
from ..quantities.operand import EXACT, NO_LESS, NO_MORE, TURNED, Operand, Side
from .extent import (
    Extent,
    all_hold,
    any_truth,
    at_rest,
    denied,
    excess_of_likeness,
    excess_over,
    moving,
    now_this_now_that,
    one_holds,
    perhaps_unknown,
    shifted_end,
    sides_of,
    truth_of,
    undecided_span,
)
from .sloped import (
    Sloped,
    anything,
    greatest_number,
    least_number,
    level,
    opposite_number,
    rounded_number,
    sloped_difference,
    sloped_power,
    sloped_product,
    sloped_quotient,
    sloped_root,
    sloped_size,
    sloped_sum,
)

Look = Callable[[str], Extent]  # from a name to its span


_NAMES: dict[
    int, tuple[Node, tuple[str, ...]]
] = {}  # kept with the node, whose place stays its own


def _names(node: Node) -> tuple[str, ...]:
    """The names below a part: a tree is asked for them many times."""
    known = _NAMES.get(id(node))
    if known is None:
        known = _NAMES[id(node)] = (node, tuple(node.names))
    return known[1]


def enclosed(node: Node, look: Look) -> Extent:
    """All that a part of an expression may come to, with each name as `look` has it."""
    if isinstance(node, Name) and not isinstance(node, IsGiven | IsNone):
        return look(node.name)
    if isinstance(node, IsGiven):
        return look(f"given({node.name})")
    spans = [look(name) for name in _names(node)]
    if all(span.still is not None for span in spans):
        return at_rest(node.evaluate(lambda name: _rest(look(name))))
    if isinstance(node, IsNone):
        span = look(node.name)
        return any_truth(span) if span.absent else at_rest(Operand(False))
    parts = [enclosed(part, look) for part in node.below]
    return _joined(node, parts)


def _rest(span: Extent) -> Operand:
    assert span.still is not None
    return span.still


def _joined(node: Node, parts: Sequence[Extent]) -> Extent:
    match node:
        case And():
            return all_hold(parts)
        case Or():
            return one_holds(parts)
        case Not():
            return denied(parts[0])
        case Compare():
            return _compared(node, *parts)
        case Choice():
            return _chosen(*parts)
        case Extreme():
            return _extreme(node.pick == "max", parts)
        case ExtremeOfList():
            return _of_list(node.pick == "max", parts[0])
        case IsMember():
            return _member(*parts)
    return _worked_out(node, parts)


def _worked_out(node: Node, parts: Sequence[Extent]) -> Extent:
    """A sum, a product and the like of numbers."""
    numbers = [part.number for part in parts]
    if any(one is None for one in numbers):
        return moving(None, *(part for part in parts if part.number is None))
    known = [one for one in numbers if one is not None]
    side = _passed(node, parts)
    if side is None:
        return undecided_span(*parts)
    number = _number(node, known)
    span = moving(number, *parts, side=side)
    if isinstance(node, Quotient) and known[1].value.low <= 0.0 <= known[1].value.high:
        return perhaps_unknown(span)
    if isinstance(node, Root) and known[0].value.low < 0.0:
        return perhaps_unknown(span)
    return span


def _number(node: Node, known: Sequence[Sloped]) -> Sloped:
    match node:
        case Sum():
            return sloped_sum(*known)
        case Difference():
            return sloped_difference(*known)
        case Product():
            return sloped_product(*known)
        case Quotient():
            return sloped_quotient(*known)
        case Negative():
            return opposite_number(known[0])
        case Size():
            return sloped_size(known[0])
        case Rounded():
            return rounded_number(known[0])
        case Converted():
            return sloped_product(known[0], level(node.factor))
        case Power():
            return sloped_power(known[0], node.exponent)
        case Root():
            return sloped_root(known[0])
    return anything(chain(*(one.slopes for one in known)))


def _passed(node: Node, parts: Sequence[Extent]) -> Side | None:
    """The side of a result, by the arithmetic of bounds; None where there is none to tell."""
    sides = [part.side for part in parts]
    if all(side == EXACT for side in sides):
        return EXACT
    if any(side is None or side == "absent" for side in sides):
        return None
    if isinstance(node, Difference | Quotient):
        sides[1] = TURNED[sides[1]]  # type: ignore[index]
    below = any(one.number is not None and one.number.value.low < 0.0 for one in parts)
    if below and isinstance(node, Product | Quotient):
        return None
    if isinstance(node, Negative):
        sides[0] = TURNED[sides[0]]  # type: ignore[index]
    elif not isinstance(node, Sum | Difference | Product | Quotient | Converted | Rounded):
        return None
    kinds = set(sides) - {EXACT}
    return kinds.pop() if len(kinds) == 1 else None


def _compared(node: Compare, left: Extent, right: Extent) -> Extent:
    """Two values held against each other; of bounds only what leaves no choice is known."""
    if left.number is None or right.number is None or node.left.type.sort != "number":
        lacks = [one for one in (left, right) if one.number is None and not one.other]
        return moving(None, *lacks) if lacks else any_truth(left, right)
    if left.side != EXACT or right.side != EXACT:
        return any_truth(left, right)
    a, b = left.number, right.number
    match node.sign:
        case ">":
            excess = excess_over(a, b)
        case "<":
            excess = excess_over(b, a)
        case "<=":
            excess = opposite_number(excess_over(a, b))
        case ">=":
            excess = opposite_number(excess_over(b, a))
        case "==":
            excess = excess_of_likeness(a, b)
        case _:
            excess = opposite_number(excess_of_likeness(a, b))
    return truth_of(excess, left, right)


def _chosen(test: Extent, then: Extent, other: Extent) -> Extent:
    """The arm that the test picks."""
    if test.number is not None and not test.open:
        if test.number.value.low > 0.0:
            return then
        if test.number.value.high <= 0.0:
            return other
    if test.never:
        return undecided_span(test, then, other)
    picked = now_this_now_that((then, other), test.sides)
    return perhaps_unknown(picked) if test.open else picked


def _extreme(greatest: bool, parts: Sequence[Extent]) -> Extent:
    """The least or the greatest of those that are there; an unknown one leaves a bound."""
    there = [one for one in parts if not (one.never and one.absent)]
    if any(one.still is None and one.open for one in there):
        return undecided_span(*parts)
    known = [one for one in there if one.number is not None]
    if not known:
        return moving(None, *there)
    partial = NO_LESS if greatest else NO_MORE
    kinds = {one.side for one in known} - {EXACT}
    if len(known) < len(there):
        kinds.add(partial)
    if kinds - {partial}:
        return undecided_span(*parts)
    pick = greatest_number if greatest else least_number
    number = pick([one.number for one in known if one.number is not None])
    return Extent(number, partial if kinds else EXACT, sides=sides_of(parts))


def _of_list(greatest: bool, part: Extent) -> Extent:
    if not part.members or part.number is None:
        return undecided_span(part)
    return Extent(shifted_end(part.members, part.number, greatest), sides=part.sides)


def _member(item: Extent, whole: Extent) -> Extent:
    """Whether a number is one of a list that does not move."""
    if item.number is None or whole.still is None or whole.still.value is None:
        return any_truth(item, whole)
    members = [at_rest(Operand(one)) for one in whole.still.members if is_number(one)]
    likenesses = [
        truth_of(excess_of_likeness(item.number, one.number), item)
        for one in members
        if one.number is not None
    ]
    return one_holds(likenesses) if likenesses else any_truth(item)._replace(sides=item.sides)
