"""Thresholds: the steps of a setting after which a rule's outcome may be another one.

Every comparison of the rule is asked where its left side passes its right, through the formulas of
the worked quantities that depend on the setting.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from types import MappingProxyType

from ..expressions.course import (
    Branch,
    Course,
    Range,
    beside_noise,
    branch_product,
    branch_quotient,
    branch_sum,
    fixed,
    inexact,
    joined,
    noise_levels,
    of_ratio,
    ordering,
    raised,
    rooted,
    rounded_branch,
    still,
    together,
    turned,
)
from ..expressions.expression import (
    Choice,
    Compare,
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
    Product,
    Quotient,
    Rounded,
    Size,
    Sum,
)
from ..expressions.formula import Power, Root, bounded_when, formula_of, scope_of
from ..expressions.ratio import Ratio, ratio_sum
from ..expressions.types import Node
from ..quantities.book import Book
from ..quantities.number import NOISE, is_number, overlooked
from ..quantities.operand import ABSENT, EXACT, Operand
from ..quantities.registry import WORKED
from ..quantities.worked import Worked
from .rule import Rule

Arguments = Mapping[str, Course]


class Thresholds:
    """What the quantities of one mode do while a setting is swept.

    `book` has all but the setting, `at` the book with the setting at a step, `moved` the quantities
    that depend on the setting; `line` is its canonical value at no step, and what one step adds.
    `told` has the courses of quantities that do not come of this book alone, as the setting does not
    where it is another motor's.
    """

    def __init__(
        self,
        name: str,
        line: tuple[float, float],
        steps: Range,
        moved: frozenset[str],
        book: Book,
        at: Callable[[int], Book],
        told: Mapping[str, Course] = MappingProxyType({}),
    ) -> None:
        self.moved, self.book, self.at, self.steps = moved, book, at, steps
        self.known = {name: Course((of_ratio(Ratio(line)),)), **told}

    def stretches(self, rule: Rule) -> list[tuple[int, int]]:
        """The runs of steps over which the rule's outcome and its severity stay the same."""
        parts = self._bounds(rule)
        conditions = (rule.applies, rule.condition, *(step.when for step in rule.steps))
        parts += [self._of(part) for part in conditions if part is not None]
        whole = joined(parts)
        every = range(self.steps.first, self.steps.last)
        return self.steps.stretches(every if whole.every else whole.cuts)

    def _of(self, expression: Expression) -> Course:
        if self.moved.isdisjoint(expression.names):
            return still(expression.evaluate(self.book.operand))
        return self.course(expression.tree)

    def _bounds(self, rule: Rule) -> list[Course]:
        """Where the quantity judged passes its limits, by more than noise."""
        if rule.of is None or rule.condition is not None:
            return []
        of = self.quantity(rule.of)
        parts = [of]
        ends = [(end, -1.0) for end in (rule.low, *(step.low for step in rule.steps))]
        ends += [(end, 1.0) for end in (rule.high, *(step.high for step in rule.steps))]
        for end, sign in ends:
            if end is not None:
                limit = self._of(end)
                parts += [limit, self._passing(of, limit, rule, -sign if rule.strict else sign)]
        return parts

    def _passing(self, of: Course, limit: Course, rule: Rule, sign: float) -> Course:
        """Where a value passes a limit and its noise, which lies to one side of it."""
        least = overlooked(0.0, rule.step)

        def levels(a: Ratio, b: Ratio) -> Iterator[Ratio]:
            number = b.at(0.0) if b.constant else None
            if number is not None:
                edge = number + sign * overlooked(number, rule.step)
                yield ratio_sum(a, Ratio((edge,)), -1.0)
                return
            yield ratio_sum(ratio_sum(a, b, -1.0), Ratio((sign * least,)), -1.0)
            for factor in (1.0 - NOISE, 1.0 + NOISE):
                yield ratio_sum(a, b, -factor)

        def holds(a: float, b: float) -> int:
            return a - b > sign * overlooked(b, rule.step)

        return self.steps.crossings(of, limit, levels, holds)

    def quantity(self, name: str) -> Course:
        """The course of a quantity."""
        course = self.known.get(name)
        if course is None:
            hangs = name in self.moved and self.book.given(name) is None
            if hangs and not self.book.is_absent(name):
                course = self._worked(name)
            else:
                course = still(self.book.operand(name))
            self.known[name] = course
        return course

    def _worked(self, name: str) -> Course:
        """The course of a quantity by its formulas, of which now this one holds, now that one."""
        courses = [self._by(spec) for spec in WORKED[name]]
        return joined(courses, (branch for course in courses for branch in course.branches))

    def _by(self, spec: Worked) -> Course:
        """The course of a quantity by one of its formulas."""
        inputs = {argument: self.quantity(name) for argument, name in spec.inputs.items()}
        for argument, default in spec.defaults.items():
            if inputs[argument].never and default is not None:
                inputs[argument] = still(Operand(default))
        needed = [inputs[argument] for argument in inputs if argument not in spec.optional]
        if spec.combine == "all" and any(course.never for course in needed):
            return Course(exact=False)
        tree, bounded = formula_of(spec), bounded_when(spec)
        if spec.combine == "least":
            value = _least(inputs.values())
        else:
            value = self._opaque(spec, inputs) if tree is None else self.course(tree, inputs)
        conditions = [self.course(when, inputs) for when in (scope_of(spec), bounded) if when]
        whole = joined((*inputs.values(), value, *conditions), value.branches)
        return whole if spec.side == EXACT and bounded is None else inexact(whole)

    def _opaque(self, spec: Worked, inputs: Arguments) -> Course:
        """What a table or a search answers: known by asking alone."""
        direction = together(
            _passed_on(spec, argument, branch.direction)
            for argument, course in inputs.items()
            for branch in course.branches
        )
        cuts = joined(inputs.values()).cuts
        if spec.returns == "boolean" and direction is not None:

            def holds(step: int) -> float | None:
                return 1.0 if self.at(step).operand(spec.name).value is True else None

            def fails(step: int) -> float | None:
                return 1.0 if self.at(step).operand(spec.name).value is False else None

            return Course((), self.steps.known(holds, cuts) | self.steps.known(fails, cuts))
        if spec.returns != "number":
            return Course(every=direction != 0)

        def ask(step: int) -> float | None:
            value = self.at(step).operand(spec.name).value
            return value if is_number(value) else None

        if direction is None:
            return Course((Branch(ask, direction),), every=True)
        return Course((Branch(ask, direction),), self.steps.known(ask, cuts))

    def course(self, node: Node, inputs: Arguments | None = None) -> Course:
        """The course of a part of an expression, or of a formula with these inputs."""
        if isinstance(node, Name):
            course = self.quantity(node.name) if inputs is None else inputs[node.name]
            if not isinstance(node, IsGiven | IsNone):
                return course
            return still(node.evaluate(self.book.operand)) if course.still else joined((course,))
        parts = [self.course(part, inputs) for part in node.below]
        if all(part.still is not None for part in parts):
            return still(node.evaluate(self._look_up(inputs)))
        match node:
            case Sum() | Difference():
                return self._sum(parts, 1.0 if isinstance(node, Sum) else -1.0)
            case Product():
                return self._product(parts)
            case Quotient():
                return self._quotient(parts)
            case Compare():
                return joined((*parts, self._compared(parts[0], parts[1])))
            case IsMember():
                return joined((*parts, self._member(parts[0], parts[1])))
            case Choice():
                return self._choice(parts)
            case Extreme():
                return self._extreme(parts)
            case ExtremeOfList():
                return Course(every=True)
            case Size():
                return self._size(parts[0])
            case Negative() | Converted() | Power() | Root() | Rounded():
                return self._single(node, parts[0])
        return joined(parts)

    def _look_up(self, inputs: Arguments | None) -> Callable[[str], Operand]:
        """The values of what does not depend on the setting."""
        if inputs is None:
            return self.book.operand
        return lambda name: inputs[name].still or Operand(None)

    def _sum(self, parts: Sequence[Course], sign: float) -> Course:
        left, right = parts
        return joined(
            parts, (branch_sum(a, b, sign) for a in left.branches for b in right.branches)
        )

    def _product(self, parts: Sequence[Course]) -> Course:
        """A bound passes through a product only where no factor is negative."""
        left, right = parts
        branches = [branch_product(a, b) for a in left.branches for b in right.branches]
        whole = joined(parts, branches)
        signs = () if whole.exact else map(self.steps.signs, parts)
        return joined((whole, *signs), branches)

    def _quotient(self, parts: Sequence[Course]) -> Course:
        """Where the divisor passes zero, the quotient jumps."""
        left, right = parts
        branches = [branch_quotient(a, b) for a in left.branches for b in right.branches]
        whole = joined((*parts, self.steps.signs(right)), branches)
        signs = () if whole.exact else (self.steps.signs(left),)
        return joined((whole, *signs), branches)

    def _size(self, part: Course) -> Course:
        """A size is the number or its opposite."""
        branches = [turned(one, sign) for one in part.branches for sign in (1.0, -1.0)]
        return joined((part,) if part.exact else (part, self.steps.signs(part)), branches)

    def _single(self, node: Node, part: Course) -> Course:
        match node:
            case Negative():
                branches = [turned(one, -1.0) for one in part.branches]
            case Converted():
                branches = [turned(one, node.factor) for one in part.branches]
            case Power():
                branches = [raised(one, node.exponent) for one in part.branches]
            case Root():
                branches = [rooted(one, self.steps.direction(one)) for one in part.branches]
                part = joined((part, self.steps.signs(part)))
            case _:
                branches = [rounded_branch(one) for one in part.branches]
        return joined((part,), branches)

    def _extreme(self, parts: Sequence[Course]) -> Course:
        """Of bounds, another one may be picked wherever two parts pass each other."""
        there = [part for part in parts if not (part.still and part.still.side == ABSENT)]
        branches = [branch for part in there for branch in part.branches]
        whole = joined(there, branches)
        if whole.exact:
            return whole
        return joined((whole, *(self._equal(a, b) for a, b in combinations(there, 2))), branches)

    def _choice(self, parts: Sequence[Course]) -> Course:
        """The arm that the test picks; with the test unknown, both where they are the same."""
        test, then, other = parts
        if test.still is not None and test.still.value is not None:
            return then if test.still.value else other
        agreed = () if test.exact else (self._equal(then, other),)
        return joined((*parts, *agreed), (*then.branches, *other.branches))

    def _equal(self, one: Course, other: Course) -> Course:
        """Where one course may meet another."""
        return self.steps.crossings(one, other, lambda a, b: (ratio_sum(a, b, -1.0),), ordering)

    def _compared(self, one: Course, other: Course) -> Course:
        """Where one course may pass another and the noise about it."""
        return self.steps.crossings(one, other, noise_levels, beside_noise)

    def _member(self, item: Course, whole: Course) -> Course:
        """Where a number may be one of a list; a list that depends on the setting says nothing."""
        if whole.still is None:
            return Course(every=True)
        members = () if whole.never else whole.still.members
        numbers = [one for one in members if is_number(one)]
        return joined(self._compared(item, Course((fixed(one),))) for one in numbers)


def _least(parts: Iterable[Course]) -> Course:
    """The least of what is there: whichever is picked, it is a bound where one of them is."""
    there = [part for part in parts if not (part.still and part.still.side == ABSENT)]
    return joined(there, (branch for part in there for branch in part.branches))


def _passed_on(spec: Worked, argument: str, direction: int | None) -> int | None:
    """The direction that an argument gives to a formula's result."""
    if not direction or argument in spec.rises:
        return direction
    return -direction if argument in spec.falls else None
