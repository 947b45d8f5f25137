"""A rule's file: what YAML makes of it, compiled to a rule, its expressions each under its key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from ..documents.error import Defect, ExpressionError
from ..documents.schema import canonical
from ..documents.units import unit_of_key
from ..expressions.compiler import compile_expression
from ..expressions.expression import Expression, scaled
from ..expressions.names import Subject, rule_names
from ..expressions.types import BOOLEAN, Type
from .rule import BOUNDS, SEVERITIES, Example, Rule, Tier

# What a file that does not have the form of a rule comes to.
UNUSABLE = (ExpressionError, AttributeError, KeyError, StopIteration, TypeError, ValueError)


def built_in_rule(data: Mapping[str, Any], topic: str, file: str) -> Rule:
    """A rule that comes with gonogo; a mistake in it is a defect of ours, not the user's."""
    try:
        return rule_of(data, topic, file)
    except UNUSABLE as error:
        raise unusable(f"rules/{topic}/{file}", error) from error


def unusable(file: str, error: Exception) -> Defect:
    """What to say of a file of ours; what Python says of itself says little without its class."""
    of_python = "" if isinstance(error, ExpressionError) else f"{type(error).__name__}: "
    return Defect(file, f"{of_python}{error}")


def rule_of(data: Mapping[str, Any], topic: str, file: str, own: bool = False) -> Rule:
    """A rule compiled from the data of its file.

    Raises ExpressionError, its `found` and `wanted` about the expression of the key in `key`; the
    ends of `between` are its `between.0` and `between.1`.
    """
    refuse_unlike(data)
    subject: Subject = data.get("subject", "profile")
    names = rule_names(subject)
    bound = next(key for key in BOUNDS if key in data)
    of, at = data.get("of"), data.get("at")
    named = {key: name for key, name in (("of", of), ("at", at)) if name}
    types = {key: compiled_at(key, name, names).type for key, name in named.items()}
    low, high, condition = ends_of(data, bound, names, types.get("of"))
    applies = condition_of(data, "applies_when", names)
    gate_when = condition_of(data, "gate_when", names)
    steps = steps_of(data, bound, names, types.get("of"))
    needs = needs_of(data, names)
    read = _reads(frozenset(named.values()), (low, high, condition), applies, gate_when, steps)
    return Rule(
        id=data["id"],
        topic=topic,
        severity=data["severity"],
        gate_when=gate_when,
        needs=needs,
        steps=steps,
        subject=subject,
        bound=bound,
        of=of,
        at=at,
        low=low,
        high=high,
        condition=condition,
        applies=applies,
        reads=read.all.union(needs),
        judges=read.judges,
        tells=read.tells,
        step=_step(of, at),
        own=own,
        file=file,
        **_standing(data),
        **_words(data),
    )


def _standing(data: Mapping[str, Any]) -> dict[str, Any]:
    """What a rule stands for in a verdict, as its file says, else as is usual."""
    return {
        "stage": data.get("stage", "stand"),
        "gate": data.get("gate"),
        "yields_to": tuple(data.get("yields_to", ())),
        "modes": data.get("modes", "each"),
        "may_flag_lower": data.get("may_flag_lower"),
        # A waiver of what is said about waivers would lift the bounds of all others.
        "waivable": data.get("waivable", True) and data.get("subject") != "waiver",
    }


def _words(data: Mapping[str, Any]) -> dict[str, Any]:
    """What a rule says, where from, and its examples."""
    examples = data.get("examples", ())
    return {
        "says": data["says"],
        "because": data["because"],
        "remedy": data["remedy"],
        "instead": data.get("instead", ""),
        "source": _source_text(data.get("source", "")),
        "examples": tuple(
            Example(one["given"], one["outcome"], one.get("severity")) for one in examples
        ),
    }


class Reads(NamedTuple):
    """The quantities that a rule's expressions name, by what they are named for."""

    judges: frozenset[str]
    tells: frozenset[str]
    all: frozenset[str]


def _reads(
    named: frozenset[str],
    judging: Iterable[Expression | None],
    applies: Expression | None,
    gate_when: Expression | None,
    steps: Iterable[Tier],
) -> Reads:
    """What decides the outcome, what makes the finding, and all of it."""
    base = named | _names(judging)
    tells = base | _names(part for step in steps for part in (step.low, step.high))
    judges = base | _names((applies,))
    asides = _names((gate_when, *(step.when for step in steps)))
    return Reads(judges, tells, judges | tells | asides)


def _names(parts: Iterable[Expression | None]) -> frozenset[str]:
    return frozenset().union(*(part.names for part in parts if part is not None))


def _step(of: str | None, at: str | None) -> float:
    """The entry step of the quantity judged, or of the like one that it is judged for."""
    for name in (of, at):
        entry = canonical().get(name) if name else None
        if (
            entry is not None
            and of
            and (name == of or unit_of_key(entry.quantity) == unit_of_key(of))
        ):
            return (entry.step or 0.0) * entry.factor
    return 0.0


def _source_text(source: object) -> str:
    """A source as one line: a text, or title, edition and clause."""
    if isinstance(source, dict):
        return ", ".join(str(part) for part in source.values())
    return str(source)


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
