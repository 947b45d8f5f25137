"""The catalogue: every rule, compiled once, and what a shop adds to it or raises."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files as package_files
from importlib.resources.abc import Traversable
from typing import Any

from ..documents.cache import contents
from ..documents.error import Defect, ExpressionError
from ..documents.schema import canonical
from ..documents.units import unit_of_key
from .compiler import compile_expression
from .expression import Expression, scaled
from .names import vocabulary
from .rule import BOUNDS, SEVERITIES, Example, Rule, Severity, Subject
from .types import BOOLEAN, Type

# What a file that does not have the form of a rule comes to.
UNUSABLE = (ExpressionError, AttributeError, KeyError, StopIteration, TypeError, ValueError)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The rules by id, with the severities that a shop has raised.

    `origin` is the digest of the rules that come with gonogo, `added` what a shop adds, as texts.
    """

    rules: Mapping[str, Rule]
    origin: str
    raised: Mapping[str, Severity] = field(default_factory=dict)
    by_subject: Mapping[Subject, tuple[Rule, ...]] = field(default_factory=dict)
    added: tuple[str, ...] = ()

    @property
    def digest(self) -> str:
        """What tells two catalogues apart: the rules of both, and the severities raised."""
        if not self.added:
            return self.origin
        from hashlib import sha256  # late: hardly anybody asks, and it takes long to load

        return f"sha256:{sha256(chr(0).join((self.origin, *self.added)).encode()).hexdigest()}"

    def about(self, subject: Subject) -> tuple[Rule, ...]:
        """The rules about one subject: whole profiles, or each waiver, each override and so on."""
        return self.by_subject.get(subject, ())

    def severity(self, rule: Rule) -> Severity:
        """The rule's severity, or the graver one that the shop gives it."""
        raised = self.raised.get(rule.id)
        if raised is None:
            return rule.severity
        return min(rule.severity, raised, key=SEVERITIES.index)


def catalogue_of(
    rules: Iterable[Rule],
    origin: str,
    raised: Mapping[str, Severity] | None = None,
    added: tuple[str, ...] = (),
) -> Catalogue:
    """A catalogue of the rules, in the order of their ids: the order of files changes nothing."""
    ordered = {rule.id: rule for rule in sorted(rules, key=lambda rule: rule.id)}
    subjects: dict[Subject, tuple[Rule, ...]] = {}
    for rule in ordered.values():
        subjects[rule.subject] = (*subjects.get(rule.subject, ()), rule)
    return Catalogue(ordered, origin, raised or {}, subjects, added)


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The rules that come with gonogo."""
    texts = rule_texts()
    read = contents("rules", {f"{topic}/{name}": text for (topic, name), text in texts.items()})
    rules = [_built_in(read.data[f"{topic}/{name}"], topic, name) for topic, name in texts]
    return catalogue_of(rules, f"sha256:{read.digest}")


def _built_in(data: Mapping[str, Any], topic: str, file: str) -> Rule:
    """A rule that comes with gonogo; a mistake in it is a defect of ours, not the user's."""
    try:
        return rule_of(data, topic, file)
    except UNUSABLE as error:
        raise unusable(f"rules/{topic}/{file}", error) from error


def unusable(file: str, error: Exception) -> Defect:
    """What to say of a file of ours; what Python says of itself says little without its class."""
    of_python = "" if isinstance(error, ExpressionError) else f"{type(error).__name__}: "
    return Defect(file, f"{of_python}{error}")


def rule_texts() -> dict[tuple[str, str], bytes]:
    """The built-in rule files, by topic and file name."""
    root = package_files("gonogo.rules")
    texts: dict[tuple[str, str], bytes] = {}
    for topic in sorted(root.iterdir(), key=_name):
        if topic.is_dir() and not topic.name.startswith("_"):
            for entry in sorted(topic.iterdir(), key=_name):
                if entry.name.endswith(".yaml"):
                    texts[topic.name, entry.name] = entry.read_bytes()
    return texts


def _name(entry: Traversable) -> str:
    return entry.name


def rule_of(data: Mapping[str, Any], topic: str, file: str, own: bool = False) -> Rule:
    """A rule compiled from the data of its file.

    Raises ExpressionError, its `found` and `wanted` about the expression of the key in `key`; the
    ends of `between` are its `between.0` and `between.1`.
    """
    subject: Subject = data.get("subject", "profile")
    names = vocabulary(subject)
    bound = next(key for key in BOUNDS if key in data)
    of, at = data.get("of"), data.get("at")
    named = {key: name for key, name in (("of", of), ("at", at)) if name}
    types = {key: _compiled(key, name, names).type for key, name in named.items()}
    low, high, condition = _ends(data, bound, names, types.get("of"))
    applies = _condition(data, "applies_when", names)
    judging = [part for part in (low, high, condition) if part is not None]
    tells = frozenset(named.values()).union(*(part.names for part in judging))
    return Rule(
        id=data["id"],
        topic=topic,
        severity=data["severity"],
        gate=data.get("gate", False),
        waivable=data.get("waivable", True),
        subject=subject,
        bound=bound,
        of=of,
        at=at,
        low=low,
        high=high,
        condition=condition,
        applies=applies,
        says=data["says"],
        because=data["because"],
        remedy=data["remedy"],
        source=_source_text(data.get("source", "")),
        examples=tuple(
            Example(example["given"], example["outcome"]) for example in data.get("examples", ())
        ),
        reads=tells | (applies.names if applies is not None else frozenset()),
        tells=tells,
        step=_step(of, at),
        own=own,
        file=file,
        base_only=data.get("base_only", False),
    )


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


def _compiled(key: str, text: str | float, names: Mapping[str, Type]) -> Expression:
    """Compile the expression under a key; an error says which key it was."""
    try:
        return compile_expression(text, names)
    except ExpressionError as error:
        error.key = key
        raise


def _ends(
    data: Mapping[str, Any], bound: str, names: Mapping[str, Type], of: Type | None
) -> tuple[Expression | None, Expression | None, Expression | None]:
    """The lower end, the upper end and the condition, of which a bound has one or two."""
    if bound == "flag_when":
        return None, None, _condition(data, bound, names)
    if bound == "between":
        low, high = (_end(f"{bound}.{n}", text, names, of) for n, text in enumerate(data[bound]))
        return low, high, None
    end = _end(bound, data[bound], names, of)
    return (None, end, None) if bound in ("at_most", "below") else (end, None, None)


def _end(key: str, text: str | float, names: Mapping[str, Type], of: Type | None) -> Expression:
    expression = _compiled(key, text, names)
    if expression.type.sort != "number" or of is None or of.sort != "number":
        raise ExpressionError(
            found=f"{text} ({expression.type.sort})",
            wanted="a number to compare with a number",
            key=key,
        )
    try:
        return scaled(expression, of.unit)
    except ExpressionError as error:
        error.key = key
        raise


def _condition(data: Mapping[str, Any], key: str, names: Mapping[str, Type]) -> Expression | None:
    text = data.get(key)
    if text is None:
        return None
    expression = _compiled(key, text, names)
    if expression.type.sort != BOOLEAN.sort:
        raise ExpressionError(
            found=f"{text} ({expression.type.sort})", wanted="a condition, true or false", key=key
        )
    return expression


def _source_text(source: object) -> str:
    """A source as one line: a text, or title, edition and clause."""
    if isinstance(source, dict):
        return ", ".join(str(part) for part in source.values())
    return str(source)
