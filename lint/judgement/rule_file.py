"""A rule's file: what YAML makes of it, compiled to a rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from ..documents.error import Defect, ExpressionError
from ..documents.schema import canonical
from ..documents.units import unit_of_key
from ..expressions.expression import Expression
from ..expressions.names import Subject, rule_names
from .ladder import compiled_at, condition_of, ends_of, needs_of, refuse_unlike, steps_of
from .rule import BOUNDS, Example, Rule, Tier

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
        "waivable": data.get("waivable", True),
    }


def _words(data: Mapping[str, Any]) -> dict[str, Any]:
    """What a rule says, where from, and its examples."""
    examples = data.get("examples", ())
    return {
        "says": data["says"],
        "because": data["because"],
        "remedy": data["remedy"],
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
