"""Worked quantities: the decorator that declares a formula, and what a formula comes to."""

from __future__ import annotations

import math
from collections.abc import Callable
from importlib import import_module
from typing import Any, Literal, TypeVar

from ..documents.frozen import frozen_by_identity
from .number import LARGEST_WORKED
from .operand import (
    ABSENT,
    EXACT,
    NO_LESS,
    NO_MORE,
    NOT_THERE,
    NOTHING,
    TURNED,
    Lookup,
    NoLessThan,
    NoMoreThan,
    NotWorked,
    Operand,
    Side,
)


def result(spec: Worked, look_up: Lookup) -> Operand:
    """One formula applied to what is known of its inputs."""
    return _least(spec, look_up) if spec.combine == "least" else _whole(spec, look_up)


def _whole(spec: Worked, look_up: Lookup) -> Operand:
    """A formula that needs all its inputs but the optional ones."""
    values: dict[str, Any] = {}
    sides: list[Side] = []
    missing = NOTHING
    reason = ""
    lacks = False
    if spec.without and (other := look_up(spec.inputs[spec.without])).side != ABSENT:
        return Operand(None, EXACT, other.missing, other.reason)
    for argument, name in spec.inputs.items():
        operand = look_up(name)
        if operand.value is not None:
            values[argument] = operand.value
            if operand.side != EXACT:
                missing |= operand.missing
                sides.append(_passed_on(spec, argument, operand.side))
        elif argument not in spec.optional:
            if operand.side == ABSENT:
                return NOT_THERE
            lacks = True
            missing |= operand.missing
            reason = reason or operand.reason
    if lacks:
        return Operand(None, EXACT, missing, reason)
    return _called(spec, values, sides, missing)


def _least(spec: Worked, look_up: Lookup) -> Operand:
    """A least of those inputs that are there; one that is not given leaves it at *no more than*."""
    values: dict[str, Any] = dict.fromkeys(spec.inputs, math.inf)
    sides: list[Side] = []
    missing = NOTHING
    known = False
    for argument, name in spec.inputs.items():
        operand = look_up(name)
        if operand.value is not None:
            known = True
            values[argument] = operand.value
            if operand.side != EXACT:
                sides.append(operand.side)
        elif operand.side != ABSENT:
            sides.append(NO_MORE)
        missing |= operand.missing
    if not known:
        return Operand(None, EXACT, missing) if missing else NOT_THERE
    return _called(spec, values, sides, missing)


def _passed_on(spec: Worked, argument: str, side: Side) -> Side:
    """The side of the result, as far as this argument decides it; `absent` stands for a missing one."""
    if argument in spec.rises:
        return side
    return TURNED[side] if argument in spec.falls else ABSENT


def _called(
    spec: Worked, values: dict[str, Any], sides: list[Side], missing: frozenset[str]
) -> Operand:
    """Call the formula, and say on which side its result stands."""
    different = {*sides, spec.side} - {EXACT} if sides or spec.side != EXACT else set()
    if len(different) > 1 or ABSENT in different:
        return Operand(None, EXACT, missing)
    try:
        value = spec.function(**values)
    except NotWorked as reason:
        return Operand(None, EXACT, missing | reason.to_take, str(reason))
    except ZeroDivisionError:
        return Operand(None, EXACT, missing, f"{spec.name} would be divided by zero")
    except (OverflowError, ValueError):  # past the largest float, or the root of what is negative
        value = None
    is_float = type(value) is float  # most are: neither a bound nor a list
    if is_float and not different and -LARGEST_WORKED <= value <= LARGEST_WORKED:
        return Operand(value, EXACT, missing)
    if value is None or not _within_bounds(value):
        return Operand(None, EXACT, missing, f"{spec.name} lies outside its formula's limits")
    side = different.pop() if different else EXACT
    for bound, own in ((NoMoreThan, NO_MORE), (NoLessThan, NO_LESS)):
        if isinstance(value, bound):
            if side == TURNED[own]:
                return Operand(None, EXACT, missing)
            return Operand(float(value), own, missing)
    return Operand(tuple(value) if isinstance(value, list) else value, side, missing)


def _within_bounds(value: Any) -> bool:
    """Whether all of a result can be calculated with; what is no number can be too large as little."""
    if isinstance(value, list | tuple):
        return all(map(_within_bounds, value))
    return not isinstance(value, int | float) or -LARGEST_WORKED <= value <= LARGEST_WORKED


Combine = Literal["all", "least"]
Sort = Literal["number", "text", "boolean", "numbers", "texts", "structure"]
Formula = TypeVar("Formula", bound=Callable[..., Any])


@frozen_by_identity
class Worked:
    """A formula with everything that is said about it above the `def`.

    `title` is what it is called in a sentence. `inputs` maps the function's argument to the quantity that fills it. An argument with a default
    is optional: where the quantity is unknown or absent, the default stands. `rises` and `falls`
    name the arguments through which a bound passes on, upright or turned over. `without` names an
    optional argument whose quantity has to be said to be none; that it is missing is not enough.

    `formula`, `applies_when` and `no_more_when` are expressions over the arguments, in the language
    of rules with powers, sqrt() and pi besides: what the function returns, when it does, and when
    the result is only an upper bound. Where a table or a search answers, or a formula would be long
    to read, `words` say how.
    """

    name: str
    unit: str
    title: str
    inputs: dict[str, str]
    source: str
    function: Callable[..., Any]
    optional: frozenset[str]
    rises: frozenset[str]
    falls: frozenset[str]
    without: str
    combine: Combine
    side: Side
    returns: Sort
    formula: str
    words: str
    applies_when: str
    no_more_when: str

    @property
    def defaults(self) -> dict[str, Any]:
        """What stands for an optional argument that is not given."""
        arguments = tuple(self.inputs)
        values = self.function.__defaults__ or ()
        return dict(zip(arguments[len(arguments) - len(values) :], values, strict=True))

    def __reduce__(self) -> tuple[Callable[[str, str, str], Worked], tuple[str, str, str]]:
        return _declared, (self.function.__module__, self.function.__name__, self.name)


def _declared(module: str, function: str, name: str) -> Worked:
    """The formula of a quantity declared above a function, in another process too."""
    specs = declarations(getattr(import_module(module), function))
    return next(spec for spec in specs if spec.name == name)


def declarations(value: object) -> tuple[Worked, ...]:
    """What is declared above a function, a quantity each; nothing above anything else."""
    specs: tuple[Worked, ...] = getattr(value, "worked", ())
    return specs


def worked(
    name: str,
    unit: str,
    *,
    title: str = "",
    source: str,
    rises: tuple[str, ...] = (),
    falls: tuple[str, ...] = (),
    without: str = "",
    combine: Combine = "all",
    side: Side = EXACT,
    returns: Sort = "number",
    formula: str = "",
    words: str = "",
    applies_when: str = "",
    no_more_when: str = "",
    **inputs: str,
) -> Callable[[Formula], Formula]:
    """Declare the function below as the formula of quantity `name`, of several if told again.

    `unit` is the unit's suffix as in a key ("V", "A_rms", "" for a plain number), `title` a short
    noun phrase that says what it is ("voltage sag"). `combine="least"`
    takes the least over those inputs that are there: an input that is absent drops out, one that is
    not given leaves the result at *no more than*. `side` marks a formula that gives only a bound.
    Of `formula` and `words` one is given, or both where words are the shorter to read; a least needs
    neither.
    """
    if combine == "least":
        formula = f"min({', '.join(inputs)})"
    if not (formula or words):
        raise TypeError(f"{name}: a formula, or words where there is none")

    def declare(function: Formula) -> Formula:
        arguments = function.__code__.co_varnames[: function.__code__.co_argcount]
        if arguments != tuple(inputs):
            raise TypeError(f"{name}: the inputs {list(inputs)} are not the arguments")
        optional = frozenset(arguments[len(arguments) - len(function.__defaults__ or ()) :])
        spec = Worked(
            name=name,
            unit=unit,
            title=title,
            inputs=dict(inputs),
            source=source,
            function=function,
            optional=optional,
            rises=frozenset(rises),
            falls=frozenset(falls),
            without=without,
            combine=combine,
            side=side,
            returns=returns,
            formula=formula,
            words=words,
            applies_when=applies_when,
            no_more_when=no_more_when,
        )
        function.worked = (*declarations(function), spec)  # type: ignore[attr-defined]
        function.__doc__ = f"{function.__doc__ or ''}\n\n{_told(spec)}"
        return function

    return declare


def _told(spec: Worked) -> str:
    """What is said above the formula, for `help()`."""
    inputs = ", ".join(f"{argument} = {quantity}" for argument, quantity in spec.inputs.items())
    return (
        f"Quantity {spec.name}, unit {spec.unit or 'none'}; from {inputs}.\nSource: {spec.source}\n"
    )
