"""A rule explained: what it judges, why, what to do, where it comes from, with its examples."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ..documents.text import clean
from ..documents.units import unit_of_key
from ..judgement.formatting import filled, shown
from ..judgement.rule import Example, Rule
from .layout import Page, painted, set_beside, together
from .record import exact

EDITION = "rules/1"
INDENT = 14
LIST_INDENT = 12
BOUND_WORDS: Mapping[str, str] = {
    "at_most": "at most",
    "at_least": "at least",
    "above": "more than",
    "below": "less than",
}


def limit_words(rule: Rule) -> str:
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

    return filled(text, word)


def explained(rule: Rule, page: Page) -> str:
    """One rule on a page of its own."""
    paint = rule.severity
    head = set_beside(f"▐ {rule.severity.upper()}", rule.id, page, INDENT)
    word = rule.severity.upper()
    lines = [head[0].replace(word, painted(word, paint, page.colour), 1), *head[1:]]
    lines += set_beside("", "; ".join(_standing(rule)), page, 3)
    lines.append(painted("─" * page.width, "faint", page.colour))
    for label, text in _about(rule):
        if text:
            lines += _row(label, text, page)
    lines.append("")
    for example in rule.examples:
        lines += _row(example.outcome.replace("_", " "), _example(example), page)
    return "\n".join(lines) + "\n"


def _row(label: str, text: str, page: Page) -> list[str]:
    lines = set_beside(label, together(clean(text)), page, INDENT)
    rest = lines[0][len(label) + 1 :]
    return [f" {painted(label, 'faint', page.colour)}{rest}", *lines[1:]]


def _standing(rule: Rule) -> list[str]:
    """Whether it is a gate, whether a waiver may cover it, whose it is."""
    said = ["the shop's own" if rule.own else f"about {rule.topic}"]
    if rule.gate:
        said.append("a gate: no GO without it")
    return [*said, "may be waived" if rule.waivable else "cannot be waived"]


def _about(rule: Rule) -> list[tuple[str, str]]:
    return [
        ("judges", rule.of or rule.at or ""),
        ("allows", limit_words(rule) if rule.condition is None else ""),
        ("flags when", rule.condition.text if rule.condition else ""),
        ("applies", f"when {rule.applies.text}" if rule.applies else ""),
        ("says", sentence(rule, rule.says)),
        ("why", sentence(rule, rule.because)),
        ("do", sentence(rule, rule.remedy)),
        ("source", rule.source),
    ]


def _example(example: Example) -> str:
    # The blanks keep an entry on one line.
    given = [
        f"{name}\u00a0=\u00a0{shown(value, unit_of_key(name))}"
        for name, value in example.given.items()
    ]
    return ", ".join(given) or "nothing given"


def listed(rules: Iterable[Rule], page: Page) -> str:
    """All rules by topic, each with its severity; gates are said to be gates."""
    lines: list[str] = []
    topic = ""
    amount = gates = 0
    for rule in sorted(rules, key=lambda rule: (rule.topic, rule.id)):
        if rule.topic != topic:
            topic = rule.topic
            lines += ["", f" {painted(topic, 'bold', page.colour)}"]
        word = painted(rule.severity, rule.severity, page.colour)
        margin = f"   {word}{' ' * (9 - len(rule.severity))}"
        text = f"{rule.id}{', a gate' if rule.gate else ''}"
        first, *rest = set_beside("", text, page, LIST_INDENT)
        lines += [margin + first[LIST_INDENT:], *rest]
        amount, gates = amount + 1, gates + rule.gate
    closing = f" {amount} rules, {gates} of them gates. `gonogo rules ID` explains one."
    return "\n".join([*lines[1:], "", closing]) + "\n"


def rule_record(rule: Rule) -> dict[str, Any]:
    """A rule as plain data, in the order of its file's keys."""
    bound: Any = (rule.condition or rule.high or rule.low) if rule.bound != "between" else None
    limit = bound.text if bound else [end.text for end in (rule.low, rule.high) if end]
    said: dict[str, Any] = {
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
    return {key: value for key, value in said.items() if value is not None}
