"""Expressions of rules in plain words, for readers who do not read the rule language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..documents.schema import allowances, canonical
from ..documents.units import UNITS, Unit
from ..quantities.number import is_number
from ..quantities.registry import WORKED
from .expression import (
    And,
    Choice,
    Compare,
    Constant,
    Converted,
    Difference,
    Expression,
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
    Sign,
    Size,
    Sum,
)
from .formatting import listed, shown
from .names import title_of, with_article
from .shapes import (
    NONE,
    falls_back,
    flat,
    is_given_of,
    is_joined,
    multiple_of,
    needless,
    one_of,
    unconverted,
)
from .types import Node

HOUSE = "house."
SPOKEN: Mapping[Sign, str] = {
    "<": "less than",
    "<=": "at most",
    ">": "more than",
    ">=": "at least",
    "==": "",
    "!=": "not",
}
OPPOSITE: Mapping[Sign, Sign] = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}
SPOKEN_EXTREMES = {
    ("min", True): "the smaller of",
    ("min", False): "the smallest of",
    ("max", True): "the larger of",
    ("max", False): "the largest of",
}
SPOKEN_ENDS = {"min": "the lowest of", "max": "the highest of"}
DEEPEST_SAID = 2  # what lies deeper gets a number and is said afterwards
MOST_JOINED = 3  # more conditions than that are numbered
IN_BRACKETS = (Sum, Difference, Product, Quotient)
UNIT_KEYS: Mapping[Unit, str] = dict(zip(UNITS.values(), UNITS, strict=True))


def limit_words(expression: Expression, set_to: Mapping[str, float], unit: Unit | None) -> str:
    """A limit in words; a bare number has the unit of what it limits."""
    speaker = _Speaker(set_to)
    return speaker.whole(speaker.value(expression.tree, expression.type.unit or unit))


def condition_words(expression: Expression, set_to: Mapping[str, float]) -> str:
    """A condition in words."""
    speaker = _Speaker(set_to)
    return speaker.whole(speaker.condition(expression.tree))


def fixed_words(expression: Expression, set_to: Mapping[str, float], unit: Unit | None) -> str:
    """A limit that is one number, whatever the profile says; empty where it is not."""
    is_fixed = _Speaker(set_to).fixed(expression.tree) is not None
    return limit_words(expression, set_to, unit) if is_fixed else ""


@dataclass(slots=True)
class _Speaker:
    """Says one expression; what lies too deep is put aside under a number."""

    set_to: Mapping[str, float]
    aside: list[str] = field(default_factory=list)

    def whole(self, words: str) -> str:
        """The words, and after them what was put aside."""
        said = [f"({number}) is {part}" for number, part in enumerate(self.aside, start=1)]
        return "; ".join((words, *said))

    def fixed(self, node: Node) -> float | None:
        """The number of a part that depends on no entry of the profile."""
        match node:
            case Constant():
                value = node.operand.value
                return value if is_number(value) else None
            case Name() if node.name.startswith(HOUSE) and not isinstance(node, IsGiven):
                return self.set_to.get(node.name, allowances()[node.name].default)
            case Converted():
                part = self.fixed(node.part)
                return None if part is None else part * node.factor
            case Quotient() | Product():
                left, right = self.fixed(node.left), self.fixed(node.right)
                if left is None or not right:
                    return None
                return left * right if isinstance(node, Product) else left / right
        return None

    def value(self, node: Node, unit: Unit | None = None, level: int = 0) -> str:
        """A number, a text or a list in words; `unit` is that of a bare number."""
        if isinstance(node, Converted):
            return self.value(node.part, node.part.type.unit, level)
        number = self.fixed(node)
        if number is not None:
            return _number(number, node.type.unit or unit)
        match node:
            case Constant():
                return str(node.operand.value).replace("_", " ")
            case Name():
                return with_article(node.name)
            case Extreme():
                return self._extreme(node, unit, level)
            case Size():
                return self._size(node, unit, level)
            case ExtremeOfList():
                return f"{SPOKEN_ENDS[node.pick]} {self.value(node.part)}"
            case Choice() if falls_back(node):
                own = node.type.unit or unit
                then, other = self.value(node.then), self.value(node.other, own, 1)
                return f"{then} (or {other} where that is not entered)"
        if level >= DEEPEST_SAID or (level and isinstance(node, Choice)):
            return self._put_aside(node, unit)
        words = self._compound(node, unit, level + 1)
        return f"({words})" if level and isinstance(node, IN_BRACKETS) else words

    def _chained(self, node: Node, level: int) -> str:
        """The left part of a product or a quotient, read on without brackets."""
        inner = unconverted(node)
        fixed = self.fixed(inner) is not None
        if fixed or not isinstance(inner, Product | Quotient):
            return self.value(node, level=level)
        return self._compound(inner, None, level)

    def _put_aside(self, node: Node, unit: Unit | None) -> str:
        words = self._compound(node, unit, 1)
        if words not in self.aside:
            self.aside.append(words)
        return f"({self.aside.index(words) + 1})"

    def _compound(self, node: Node, unit: Unit | None, level: int) -> str:
        match node:
            case Sum() | Difference():
                return self._sum(node, node.type.unit or unit, level)
            case Product():
                return self._product(node, level)
            case Quotient():
                left, right = self._chained(node.left, level), self.value(node.right, level=level)
                return f"{left} divided by {right}"
            case Negative():
                return f"minus {self.value(node.part, unit, level)}"
            case Rounded():
                return f"{self.value(node.part, unit, level)} rounded to a whole number"
            case Choice():
                own = node.type.unit or unit
                then, other = (self.value(part, own, level) for part in (node.then, node.other))
                return f"{then}, or {other} where {self.condition(node.test, True, level=level)}"
        return self.condition(node, level=level)

    def _size(self, node: Size, unit: Unit | None, level: int) -> str:
        if isinstance(node.part, Difference):
            ends = [self.value(end, unit, level) for end in node.part.below]
            return f"the difference between {ends[0]} and {ends[1]}"
        return f"the size of {self.value(node.part, unit, level)}"

    def _sum(self, node: Sum | Difference, unit: Unit | None, level: int) -> str:
        """A sum; a fixed number or a share is said to lie above or below the rest."""
        up = isinstance(node, Sum)
        left, right = self.value(node.left, unit, level), unconverted(node.right)
        step = UNITS["K"] if unit is not None and unit.is_point else unit
        share = self._share(right, node.left)
        if self.fixed(right) is not None or share:
            amount = share or self.value(right, step, level)
            return f"{amount} {'above' if up else 'below'} {left}"
        return f"{left} {'plus' if up else 'minus'} {self.value(right, step, level)}"

    def _share(self, node: Node, whole: Node) -> str:
        """A part that is a share of what it is added to: `6 %`."""
        if not isinstance(node, Product):
            return ""
        for share, of in ((node.left, node.right), (node.right, node.left)):
            number = self.fixed(share)
            if (
                of == unconverted(whole)
                and number is not None
                and share.type.unit == UNITS["percent"]
            ):
                return _number(number, share.type.unit)
        return ""

    def _product(self, node: Product, level: int) -> str:
        """A product, a fixed number first; a percentage is a share of the rest."""
        first, second = node.left, node.right
        if self.fixed(second) is not None:
            first, second = second, first
        sides = self._chained(first, level), self.value(second, level=level)
        joint = "of" if first.type.unit == UNITS["percent"] else "times"
        return f"{sides[0]} {joint} {sides[1]}"

    def _extreme(self, node: Extreme, unit: Unit | None, level: int) -> str:
        own = node.type.unit or unit
        parts = [self.value(part, own, max(level, 1)) for part in node.parts]
        return f"{SPOKEN_EXTREMES[node.pick, len(parts) == 2]} {listed(parts, 'and')}"

    def condition(
        self, node: Node, denied: bool = False, perhaps: frozenset[str] = NONE, level: int = 0
    ) -> str:
        """A condition, or its opposite; that of `perhaps` may be left out of the profile."""
        match node:
            case Not():
                return self.condition(node.part, not denied, perhaps, level)
            case And() | Or():
                return self._joined(node, denied, level)
            case IsGiven() | IsNone():
                word = "none" if isinstance(node, IsNone) else _told(node.name)
                return f"{with_article(node.name)} is {'not ' if denied else ''}{word}"
            case Name():
                word = "yes" if not denied else "not yes" if node.name in perhaps else "no"
                return f"“{title_of(node.name)}” is {word}"
            case Compare():
                return self._compared(node, denied, perhaps)
            case IsMember():
                among = "not among" if denied else "among"
                return f"{self.value(node.left, level=1)} is {among} {self.value(node.right)}"
        words = self._put_aside(node, None)
        return f"{words} does not hold" if denied else f"{words} holds"

    def _joined(self, node: And | Or, denied: bool, level: int) -> str:
        """Conditions joined; where there are many, or some of them are joined again, numbered."""
        if (of_texts := one_of(node)) is not None:
            name, texts = of_texts
            return f"{with_article(name)} is {'not ' if denied else ''}{listed(texts, 'or')}"
        parts = flat(node, type(node))
        left_out = needless(parts) if isinstance(node, And) else NONE
        kept = [part for part in parts if not is_given_of(part, left_out)]
        both = isinstance(node, And) != denied
        said = [self.condition(part, denied, left_out, level + 1) for part in kept]
        if len(said) == 1:
            return said[0]
        joint = "and" if both else "or"
        nested = any(is_joined(part) for part in kept)
        if level == 0 and (nested or len(said) > MOST_JOINED):
            letters = [f"{'abcdefgh'[place % 8]}) {part}" for place, part in enumerate(said)]
            return f"{'all of these hold' if both else 'one of these holds'}: {'; '.join(letters)}"
        if level and len(said) == 2:
            return f"{'both' if both else 'either'} {said[0]} {joint} {said[1]}"
        return listed(said, joint)

    def _compared(self, node: Compare, denied: bool, perhaps: frozenset[str]) -> str:
        sign = OPPOSITE[node.sign] if denied else node.sign
        if multiple := multiple_of(node):
            name, of = multiple
            return f"{with_article(name)} is {'' if sign == '==' else 'not '}a multiple of {of}"
        left, right = node.left, node.right
        unit = left.type.unit or right.type.unit
        subject, against = self.value(left, unit), self.value(right, unit)
        if against == "none" and sign == "==":
            return f"there is no {subject.removeprefix('the ')}"
        if not isinstance(right, Constant) and sign in ("==", "!="):
            return f"{subject} {'equals' if sign == '==' else 'differs from'} {against}"
        unless = _unless(node, perhaps) if denied and sign not in ("==", "!=") else ""
        return " ".join(f"{subject} is {SPOKEN[sign]} {against}{unless}".split())


def _unless(node: Compare, perhaps: frozenset[str]) -> str:
    """That a side of the comparison may be missing as well."""
    missing = min(perhaps & node.names, default="")
    which = "" if missing in node.left.names else "that "
    return f" (or {which}is not {_told(missing)})" if missing else ""


def _told(name: str) -> str:
    """How an entry comes to have a value, or a quantity that may be worked out as well."""
    return "entered" if name in canonical() and name not in WORKED else "known"


def _number(value: float, unit: Unit | None) -> str:
    return shown(value, UNIT_KEYS.get(unit, "") if unit is not None else "")
