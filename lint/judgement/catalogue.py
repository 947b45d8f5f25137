"""The catalogue: every rule, compiled once, and what a shop adds to it or raises."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from functools import lru_cache
from typing import TYPE_CHECKING

from ..documents.contents import built_text, read_yaml
from ..documents.frozen import frozen
from ..expressions.names import Subject
from .catalogue_file import COMPILED, restored
from .rule import SEVERITIES, Rule, Severity

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

RULES = "gonogo.rules"


@frozen
class Catalogue:
    """The rules by id, with the severities that a shop has raised.

    `origin` is the digest of the rules that come with gonogo, `added` what a shop adds, as texts,
    `own_rules` how many rules are among that.
    """

    rules: Mapping[str, Rule]
    origin: str
    raised: Mapping[str, Severity] = field(default_factory=dict)
    by_subject: Mapping[Subject, tuple[Rule, ...]] = field(default_factory=dict)
    added: tuple[str, ...] = ()
    own_rules: int = 0

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
        return self.at_least(rule, rule.severity)

    def at_least(self, rule: Rule, severity: Severity) -> Severity:
        """A severity of the rule, or the graver one that the shop gives it."""
        raised = self.raised.get(rule.id)
        return severity if raised is None else min(severity, raised, key=SEVERITIES.index)


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


def cycle(rules: Iterable[Rule]) -> tuple[str, ...]:
    """Rules that yield to each other in a ring, in which no finding would be left; else nothing."""
    yields = {rule.id: rule.yields_to for rule in rules}
    for start, first in yields.items():
        path, waiting = [start], [iter(first)]
        seen = {start}
        while waiting:
            name = next(waiting[-1], None)
            if name is None:
                waiting.pop()
                path.pop()
            elif name == start:
                return (*path, start)
            elif name not in seen:
                seen.add(name)
                path.append(name)
                waiting.append(iter(yields.get(name, ())))
    return ()


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The rules that come with gonogo: as they were compiled for this installation, else afresh."""
    built = built_text(RULES, COMPILED)
    return catalogue_of(*(compiled_rules() if built is None else restored(built)))


def compiled_rules() -> tuple[list[Rule], str]:
    """The rules compiled from their files, and the digest of these."""
    from hashlib import sha256  # late, as the compiler is: an installation needs neither

    from .rule_file import built_in_rule

    texts = rule_texts()
    rules = [
        built_in_rule(read_yaml(f"{topic}/{name}", text), topic, name)
        for (topic, name), text in texts.items()
    ]
    digest = sha256()
    for (topic, name), text in texts.items():
        for part in (f"{topic}/{name}".encode(), text):
            # With its length, so that no text can be moved to its neighbour unseen.
            digest.update(b"%d\0%b" % (len(part), part))
    return rules, f"sha256:{digest.hexdigest()}"


def rule_texts() -> dict[tuple[str, str], bytes]:
    """The built-in rule files, by topic and file name."""
    from importlib.resources import files

    root = files(RULES)
    texts: dict[tuple[str, str], bytes] = {}
    for topic in sorted(root.iterdir(), key=_name):
        if topic.is_dir() and not topic.name.startswith("_"):
            for entry in sorted(topic.iterdir(), key=_name):
                if entry.name.endswith(".yaml"):
                    texts[topic.name, entry.name] = entry.read_bytes()
    return texts


def _name(entry: Traversable) -> str:
    return entry.name
