"""The parts of a rule that are expressions: its ends, its conditions, and its steps."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..documents.error import ExpressionError
from ..expressions.compiler import compile_expression
from ..expressions.expression import Expression, scaled
from ..expressions.types import BOOLEAN, Type
from .rule import SEVERITIES, Tier


def compiled_at(key: str, text: str | float, names: Mapping[str, Type]) -> Expression:
    """Compile the expression under a key; an error says which key it was."""
    try:
        return compile_expression(text, names)
    except ExpressionError as error:
        error.key = key
        raise


def ends_of(
    data: Mapping[str, Any], bound: str, names: Mapping[str, Type], of: Type | None
) -> tuple[Expression | None, Expression | None, Expression | None]:
    """The lower end, the upper end and the condition, of which a bound has one or two."""
    if bound == "flag_when":
        return None, None, condition_of(data, bound, names)
    if bound == "between":
        low, high = (end_of(f"{bound}.{n}", text, names, of) for n, text in enumerate(data[bound]))
        return low, high, None
    end = end_of(bound, data[bound], names, of)
    return (None, end, None) if bound in ("at_most", "below") else (end, None, None)


def end_of(key: str, text: str | float, names: Mapping[str, Type], of: Type | None) -> Expression:
    """A limit in the unit of what it limits."""
    expression = compiled_at(key, text, names)
    if expression.type.sort != "number" or of is None or of.sort != "number":
        raise ExpressionError(
            found=f"{text} ({expression.type.sort})",
            wanted="a number to hold a number against",
            key=key,
        )
    try:
        return scaled(expression, of.unit)
    except ExpressionError as error:
        error.key = key
        raise


def condition_of(
    data: Mapping[str, Any], key: str, names: Mapping[str, Type], path: str = ""
) -> Expression | None:
    """The condition under a key, if there is one; `path` says where in the file it stands."""
    text = data.get(key)
    if text is None:
        return None
    path = path or key
    expression = compiled_at(path, text, names)
    if expression.type.sort != BOOLEAN.sort:
        raise ExpressionError(
            found=f"{text} ({expression.type.sort})", wanted="a condition, true or false", key=path
        )
    return expression


def needs_of(data: Mapping[str, Any], names: Mapping[str, Type]) -> tuple[str, ...]:
    """The names of what the rule needs, each a quantity that there is."""
    needs = tuple(data.get("needs", ()))
    for number, name in enumerate(needs):
        compiled_at(f"needs.{number}", name, names)
    return needs


def steps_of(
    data: Mapping[str, Any], bound: str, names: Mapping[str, Type], of: Type | None
) -> tuple[Tier, ...]:
    """The steps of a rule, each graver than what stands before it."""
    steps: list[Tier] = []
    before = SEVERITIES.index(data["severity"])
    for number, written in enumerate(data.get("steps", ())):
        key = f"steps.{number}"
        rank = SEVERITIES.index(written["severity"])
        if rank >= before:
            wanted = f"graver than {SEVERITIES[before]}, which stands before it"
            raise ExpressionError(found=written["severity"], wanted=wanted, key=f"{key}.severity")
        before = rank
        steps.append(_step_of(written, key, bound, names, of))
    return tuple(steps)


def _step_of(
    written: Mapping[str, Any], key: str, bound: str, names: Mapping[str, Type], of: Type | None
) -> Tier:
    low = high = None
    when = condition_of(written, "when", names, f"{key}.when")
    if when is None:
        low, high = _beyond(written["beyond"], f"{key}.beyond", bound, names, of)
    return Tier(
        written["severity"],
        low,
        high,
        when,
        written.get("because", ""),
        written.get("waivable", True),
    )


def _beyond(
    limit: Any, key: str, bound: str, names: Mapping[str, Type], of: Type | None
) -> tuple[Expression | None, Expression | None]:
    """The lower and upper limit of a step, on the sides that the rule itself bounds."""
    if bound == "flag_when":
        raise ExpressionError(
            found="beyond", wanted="`when` in a step of a rule without a limit", key=key
        )
    if (bound == "between") != isinstance(limit, list | tuple):
        ends = "both ends, as `between` has them" if bound == "between" else "one limit"
        raise ExpressionError(found=str(limit), wanted=ends, key=key)
    if bound == "between":
        low, high = (end_of(f"{key}.{n}", text, names, of) for n, text in enumerate(limit))
        return low, high
    end = end_of(key, limit, names, of)
    return (None, end) if bound in ("at_most", "below") else (end, None)


def refuse_unlike(data: Mapping[str, Any]) -> None:
    """Refuse keys of a rule that do not go together; raises ExpressionError."""
    for refused, key, found, wanted in (
        (
            data.get("always_checked") and "needs" in data,
            "needs",
            "needs beside always_checked",
            "one of the two: a rule that is always checked has no inputs to need",
        ),
        (
            data.get("gate") == "stand" and data.get("stage") == "ride",
            "stage",
            "stage ride in a gate of the stand",
            "stage stand, since what is waited for must count",
        ),
        (
            data.get("modes") == "any" and data.get("subject", "profile") != "profile",
            "modes",
            "modes any in a rule about papers",
            "a rule about the profile",
        ),
        (
            data["id"] in data.get("yields_to", ()),
            "yields_to",
            data["id"],
            "the ids of other rules",
        ),
    ):
        if refused:
            raise ExpressionError(found=found, wanted=wanted, key=key)
