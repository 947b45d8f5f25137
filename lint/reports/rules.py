"""The rules as pages: all by topic, or one explained with its examples; and as records."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby
from typing import Any

from ..documents.units import unit_of_key
from ..judgement.formatting import filled as with_words
from ..judgement.formatting import shown
from ..judgement.rule import Example, Rule
from .record import exact
from .section import Card, Code, Report, Row, Section, nonempty, row

RULES_EDITION = "rules/1"
BOUND_WORDS: Mapping[str, str] = {
    "at_most": "at most",
    "at_least": "at least",
    "above": "more than",
    "below": "less than",
}


def _limit_words(rule: Rule) -> str:
    """The bound as the rule writes it: `at most pack.cells_continuous_A`."""
    if rule.bound == "between" and rule.low and rule.high:
        return f"between {rule.low.text} and {rule.high.text}"
    end = rule.high or rule.low
    return f"{BOUND_WORDS[rule.bound]} {end.text}" if end else ""


def sentence(rule: Rule, text: str) -> str:
    """A rule's sentence with the names of quantities where the numbers will stand."""
    ends = {"low": rule.low, "high": rule.high, "limit": rule.high or rule.low}

    def word(name: str) -> str:
        end = ends.get(name)
        quantity = rule.of or name if name == "of" else end.text if end else name
        return f"‹{quantity}›"

    return with_words(text, word)


def explained(rule: Rule) -> Report:
    """One rule on a page of its own."""
    examples = [
        row(example.outcome.replace("_", " "), _example(example)) for example in rule.examples
    ]
    card = Card(
        verdict=rule.severity.upper(),
        tone=rule.severity,
        name=rule.id,
        about=(("; ".join(_standing(rule)),),),
        sections=(Section("", nonempty(_about(rule))), Section("", tuple(examples))),
    )
    return Report("gonogo rules", (card,))


def _standing(rule: Rule) -> list[str]:
    """Whether it is a gate, whether a waiver may cover it, whose it is."""
    words = ["the shop's own" if rule.own else f"about {rule.topic}"]
    if rule.gate:
        words.append("a gate: no GO without it")
    return [*words, "may be waived" if rule.waivable else "cannot be waived"]


def _about(rule: Rule) -> list[Row]:
    return [
        row("judges", Code(rule.of or rule.at or "")),
        row("allows", _limit_words(rule) if rule.condition is None else ""),
        row("flags when", rule.condition.text if rule.condition else ""),
        row("applies", f"when {rule.applies.text}" if rule.applies else ""),
        row("says", sentence(rule, rule.says)),
        row("why", sentence(rule, rule.because)),
        row("do", sentence(rule, rule.remedy)),
        row("source", rule.source),
    ]


def _example(example: Example) -> str:
    # The blanks keep an entry on one line.
    given = [
        f"{name}\u00a0=\u00a0{shown(value, unit_of_key(name))}"
        for name, value in example.given.items()
    ]
    return ", ".join(given) or "nothing given"


def catalogue_sections(rules: Iterable[Rule]) -> tuple[Section, ...]:
    """All rules by topic, each with its severity; gates are said to be gates."""
    ordered = sorted(rules, key=lambda rule: (rule.topic, rule.id))
    return tuple(
        Section(topic, tuple(_entry(rule) for rule in members))
        for topic, members in groupby(ordered, lambda rule: rule.topic)
    )


def _entry(rule: Rule) -> Row:
    return row(rule.severity, Code(rule.id), ", a gate" if rule.gate else "", tone=rule.severity)


def catalogue_sum(rules: Iterable[Rule]) -> str:
    """How many rules there are, and how to read one."""
    gates = [rule.gate is not None for rule in rules]
    return f"{len(gates)} rules, {sum(gates)} of them gates. `gonogo rules ID` explains one."


def record(digest: str, rules: Iterable[Rule]) -> dict[str, Any]:
    """Rules as plain data, with the digest of their catalogue."""
    return {
        "gonogo": RULES_EDITION,
        "catalogue": digest,
        "rules": [rule_record(rule) for rule in rules],
    }


def rule_record(rule: Rule) -> dict[str, Any]:
    """A rule as plain data, in the order of its file's keys."""
    bound: Any = (rule.condition or rule.high or rule.low) if rule.bound != "between" else None
    limit = bound.text if bound else [end.text for end in (rule.low, rule.high) if end]
    record: dict[str, Any] = {
        "id": rule.id,
        "topic": rule.topic,
        "severity": rule.severity,
        "gate": rule.gate,
        "waivable": rule.waivable,
        "own": rule.own,
        "of": rule.of,
        "at": rule.at,
        rule.bound: limit,
        "applies_when": rule.applies.text if rule.applies else None,
        "says": rule.says,
        "because": rule.because,
        "remedy": rule.remedy,
        "source": rule.source,
        "examples": [
            {"given": exact(example.given), "outcome": example.outcome} for example in rule.examples
        ],
    }
    return {key: value for key, value in record.items() if value is not None}
