"""The catalogue: every rule, compiled once, and what a shop adds to it or raises."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files as package_files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from ..documents.error import ExpressionError
from ..documents.schema import canonical
from .expression import Expression, compile_expression, scaled
from .kind import BOOLEAN, Kind
from .rule import BOUNDS, SEVERITIES, Example, Rule, Severity, Subject
from .unit import suffix
from .vocabulary import vocabulary

CACHE_FORM = "1"


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The rules by id, with the severities that a shop has raised."""

    rules: Mapping[str, Rule]
    digest: str
    raised: Mapping[str, Severity] = field(default_factory=dict)
    by_subject: Mapping[Subject, tuple[Rule, ...]] = field(default_factory=dict)

    def about(self, subject: Subject) -> tuple[Rule, ...]:
        """The rules about whole profiles, or about each waiver, override or document."""
        return self.by_subject.get(subject, ())

    def severity(self, rule: Rule) -> Severity:
        """The rule's severity, or the graver one that the shop gives it."""
        raised = self.raised.get(rule.id)
        if raised is None:
            return rule.severity
        return min(rule.severity, raised, key=SEVERITIES.index)


def gathered(
    rules: Iterable[Rule], digest: str, raised: Mapping[str, Severity] | None = None
) -> Catalogue:
    """A catalogue of the rules, in the order of their ids: the order of files changes nothing."""
    ordered = {rule.id: rule for rule in sorted(rules, key=lambda rule: rule.id)}
    subjects: dict[Subject, tuple[Rule, ...]] = {}
    for rule in ordered.values():
        subjects[rule.subject] = (*subjects.get(rule.subject, ()), rule)
    return Catalogue(ordered, digest, raised or {}, subjects)


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The rules that come with gonogo."""
    texts = rule_texts()
    digest = _digest(texts)
    parsed = zip(texts, _parsed(texts, digest), strict=True)
    rules = [rule_of(data, topic, name) for (topic, name), data in parsed]
    return gathered(rules, f"sha256:{digest}")


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


def _digest(texts: Mapping[tuple[str, str], bytes]) -> str:
    mixed = hashlib.sha256(CACHE_FORM.encode())
    for (topic, name), text in texts.items():
        mixed.update(f"{topic}/{name}\0{len(text)}\0".encode())
        mixed.update(text)
    return mixed.hexdigest()


def _parsed(texts: Mapping[tuple[str, str], bytes], digest: str) -> Sequence[dict[str, Any]]:
    """The files' data; kept as JSON beside the user's other caches, since YAML reads slowly.

    The cache's name is the digest of all files, so that a changed rule never meets an old cache; a
    cache that cannot be read or written only costs time.
    """
    kept = _cache_folder() / f"rules-{digest[:32]}.json"
    try:
        data: list[dict[str, Any]] = json.loads(kept.read_bytes())
        if len(data) == len(texts):
            return data
    except (OSError, ValueError):
        pass
    from ruamel.yaml import YAML

    data = [YAML(typ="safe").load(text) for text in texts.values()]
    _keep(kept, json.dumps(data))
    return data


def _cache_folder() -> Path:
    home = os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache")
    return Path(home) / "gonogo"


def _keep(kept: Path, text: str) -> None:
    """Write the cache whole or not at all."""
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        fresh = kept.with_suffix(f".{os.getpid()}")
        fresh.write_text(text, encoding="utf-8")
        fresh.replace(kept)
    except OSError:
        return


def rule_of(data: Mapping[str, Any], topic: str, file: str, own: bool = False) -> Rule:
    """A rule compiled from the data of its file.

    Raises ExpressionError, its `found` and `wanted` about the expression of the key in `key`.
    """
    subject: Subject = data.get("subject", "profile")
    names = vocabulary(subject)
    bound = next(key for key in BOUNDS if key in data)
    of, at = data.get("of"), data.get("at")
    named = {key: name for key, name in (("of", of), ("at", at)) if name}
    kinds = {key: _kind_of(key, name, names) for key, name in named.items()}
    low, high, condition = _ends(data, bound, names, kinds.get("of"))
    applies = _condition(data, "applies_when", names)
    told = [part for part in (low, high, condition) if part is not None]
    tells = frozenset(named.values()).union(*(part.names for part in told))
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
        always_judged=data.get("always_judged", False),
        base_only=data.get("base_only", False),
    )


def _step(of: str | None, at: str | None) -> float:
    """The entry step of the quantity judged, or of the like one that it is judged for."""
    for name in (of, at):
        entry = canonical().get(name) if name else None
        if entry is not None and of and suffix(entry.quantity) == suffix(of):
            return (entry.step or 0.0) * entry.factor
    return 0.0


def _kind_of(key: str, name: str, names: Mapping[str, Kind]) -> Kind:
    expression = _compiled(key, name, names)
    return expression.kind


def _compiled(key: str, text: str | float, names: Mapping[str, Kind]) -> Expression:
    """Compile the expression under a key; an error says which key it was."""
    try:
        return compile_expression(text, names)
    except ExpressionError as error:
        error.key = key
        raise


def _ends(
    data: Mapping[str, Any], bound: str, names: Mapping[str, Kind], of: Kind | None
) -> tuple[Expression | None, Expression | None, Expression | None]:
    """The lower end, the upper end and the condition, of which a bound has one or two."""
    if bound == "flag_when":
        return None, None, _condition(data, bound, names)
    texts = data[bound] if bound == "between" else [data[bound]]
    ends = [_end(bound, text, names, of) for text in texts]
    if bound == "between":
        return ends[0], ends[1], None
    return (None, ends[0], None) if bound in ("at_most", "below") else (ends[0], None, None)


def _end(key: str, text: str | float, names: Mapping[str, Kind], of: Kind | None) -> Expression:
    expression = _compiled(key, text, names)
    if expression.kind.sort != "number" or of is None or of.sort != "number":
        raise ExpressionError(
            found=f"{text} ({expression.kind.sort})",
            wanted="a number to hold a number against",
            key=key,
        )
    try:
        return scaled(expression, of.unit)
    except ExpressionError as error:
        error.key = key
        raise


def _condition(data: Mapping[str, Any], key: str, names: Mapping[str, Kind]) -> Expression | None:
    text = data.get(key)
    if text is None:
        return None
    expression = _compiled(key, text, names)
    if expression.kind.sort != BOOLEAN.sort:
        raise ExpressionError(
            found=f"{text} ({expression.kind.sort})", wanted="a condition, true or false", key=key
        )
    return expression


def _source_text(source: object) -> str:
    """A source as one line: a text, or title, edition and clause."""
    if isinstance(source, Mapping):
        return ", ".join(str(part) for part in source.values())
    return str(source)
