"""Expressions as trees: small nodes, each of which evaluates itself and knows what it reads.

A tree is a value: it can be compared, pickled and walked, and it holds no code.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal

from ..documents.error import ExpressionError
from ..documents.frozen import frozen
from ..documents.units import Unit
from ..quantities.operand import ABSENT, Lookup, Operand
from . import arithmetic
from .types import BARE, BOOLEAN, TEXT, Node, Several, Single, TwoParts, Type
from .unit_arithmetic import UnlikeUnits, common

Sign = Literal["<", "<=", ">", ">=", "==", "!="]
Pick = Literal["min", "max"]


@frozen
class Constant(Node):
    """A number, a text or a truth as it is written; `symbol` where it has one, such as π."""

    operand: Operand
    symbol: str = ""

    def evaluate(self, look_up: Lookup) -> Operand:
        """What is written."""
        return self.operand


def constant(value: bool | float | str, symbol: str = "") -> Constant:
    """The node of a written value."""
    if isinstance(value, bool):
        return Constant(BOOLEAN, Operand(value), symbol)
    return Constant(TEXT if isinstance(value, str) else BARE, Operand(value), symbol)


@frozen
class Name(Node):
    """A quantity."""

    name: str

    @property
    def names(self) -> frozenset[str]:
        """The quantity itself."""
        return frozenset((self.name,))

    def evaluate(self, look_up: Lookup) -> Operand:
        """The quantity's value."""
        return look_up(self.name)


class IsGiven(Name):
    """Whether a quantity is given: always true or false."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The answer, which is looked up under a name of its own."""
        return look_up(f"given({self.name})")


class IsNone(Name):
    """Whether a quantity is said to be none: always true or false, and false where it is missing."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """True for what the vehicle does not have, and for what is below a section of that kind."""
        return arithmetic.truth(look_up(self.name).side == ABSENT)


class Sum(TwoParts):
    """left + right."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The sum."""
        return arithmetic.added(self.left.evaluate(look_up), self.right.evaluate(look_up))


class Difference(TwoParts):
    """left − right."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The difference."""
        return arithmetic.taken(self.left.evaluate(look_up), self.right.evaluate(look_up))


class Product(TwoParts):
    """left × right."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The product."""
        return arithmetic.multiplied(self.left.evaluate(look_up), self.right.evaluate(look_up))


class Quotient(TwoParts):
    """left / right."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The quotient; unknown where the divisor is zero."""
        return arithmetic.divided(self.left.evaluate(look_up), self.right.evaluate(look_up))


@frozen
class Compare(TwoParts):
    """Two values of one sort held against each other."""

    sign: Sign

    def evaluate(self, look_up: Lookup) -> Operand:
        """Whether they stand so."""
        return HOLDS[self.sign](self.left.evaluate(look_up), self.right.evaluate(look_up))


HOLDS: Mapping[Sign, Callable[[Operand, Operand], Operand]] = {
    "<": lambda a, b: arithmetic.less(a, b, False),
    "<=": lambda a, b: arithmetic.less(a, b, True),
    ">": lambda a, b: arithmetic.less(b, a, False),
    ">=": lambda a, b: arithmetic.less(b, a, True),
    "==": arithmetic.equal,
    "!=": lambda a, b: arithmetic.opposite(arithmetic.equal(a, b)),
}


ZERO = Operand(0.0)


class Negative(Single):
    """−part."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The number with the other sign."""
        return arithmetic.taken(ZERO, self.part.evaluate(look_up))


class Size(Single):
    """abs(part)."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The number without its sign."""
        return arithmetic.size(self.part.evaluate(look_up))


class Rounded(Single):
    """round(part)."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The nearest whole number."""
        return arithmetic.rounded(self.part.evaluate(look_up))


@frozen
class Converted(Single):
    """A number in another unit of its kind."""

    factor: float

    def evaluate(self, look_up: Lookup) -> Operand:
        """The number times the factor between the units."""
        operand = self.part.evaluate(look_up)
        if operand.value is None:
            return operand
        return operand._replace(value=operand.number * self.factor)


class Not(Single):
    """not part."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The opposite."""
        return arithmetic.opposite(self.part.evaluate(look_up))


class And(Several):
    """All conditions hold."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """Asked from the left; the first that is false settles it."""
        seen = []
        for part in self.parts:
            operand = part.evaluate(look_up)
            if operand.value is False:
                return arithmetic.FALSE
            seen.append(operand)
        return arithmetic.both(seen)


class Or(Several):
    """One condition at least holds."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """Asked from the left; the first that is true settles it."""
        seen = []
        for part in self.parts:
            operand = part.evaluate(look_up)
            if operand.value is True:
                return arithmetic.TRUE
            seen.append(operand)
        return arithmetic.either(seen)


PICKED = {"min": arithmetic.least, "max": arithmetic.most}


@frozen
class Extreme(Several):
    """The least or the greatest of several numbers."""

    pick: Pick

    def evaluate(self, look_up: Lookup) -> Operand:
        """The one picked, of those that are there."""
        return PICKED[self.pick]([part.evaluate(look_up) for part in self.parts])


@frozen
class ExtremeOfList(Single):
    """The least or the greatest number of a quantity that is a list."""

    pick: Pick

    def evaluate(self, look_up: Lookup) -> Operand:
        """The one picked; unknown where the list is."""
        operand = self.part.evaluate(look_up)
        if operand.value is None:
            return operand
        return PICKED[self.pick]([Operand(member) for member in operand.members])


class IsMember(TwoParts):
    """Whether the left is in the list on the right."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The answer; nothing is in an empty list."""
        item, whole = self.left.evaluate(look_up), self.right.evaluate(look_up)
        if item.value is None or whole.value is None:
            return arithmetic.unknown(item, whole)
        if not whole.members:
            return arithmetic.FALSE
        return arithmetic.either(
            arithmetic.equal(item, Operand(member)) for member in whole.members
        )


@frozen
class Choice(Node):
    """`then` if `test`, else `other`."""

    test: Node
    then: Node
    other: Node

    @property
    def below(self) -> tuple[Node, ...]:
        """The test and both arms."""
        return self.test, self.then, self.other

    def evaluate(self, look_up: Lookup) -> Operand:
        """The arm that the test picks, or what both agree on."""
        return arithmetic.chosen(
            self.test.evaluate(look_up), self.then.evaluate(look_up), self.other.evaluate(look_up)
        )


def converted(node: Node, unit: Unit) -> Node:
    """The node with its value in `unit`, which is like its own."""
    own = node.type.unit
    factor = own.scale / unit.scale if own is not None else 1.0
    if abs(factor - 1.0) < 1e-12:
        return node
    return Converted(Type("number", unit), node, factor)


@frozen
class Expression:
    """A compiled expression: its text, its tree, and the names that it reads."""

    text: str
    tree: Node
    names: frozenset[str]

    @property
    def type(self) -> Type:
        """What it yields."""
        return self.tree.type

    def evaluate(self, look_up: Lookup) -> Operand:
        """Its value, with each quantity as `look_up` has it."""
        return self.tree.evaluate(look_up)


def scaled(expression: Expression, unit: Unit | None) -> Expression:
    """The same expression with its value in `unit`; a bare number takes the unit as it is.

    Raises ExpressionError where the units are unlike.
    """
    own = expression.type.unit
    if unit is None or own is None:
        return expression
    try:
        common(unit, own, "compared with")
    except UnlikeUnits as unlike:
        raise ExpressionError(found=expression.text, wanted=str(unlike)) from unlike
    return Expression(expression.text, converted(expression.tree, unit), expression.names)
