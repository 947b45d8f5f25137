"""The rules as pages: all by topic, or one explained with its examples; and as records."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import groupby
from typing import Any

from ..documents.schema import allowances
from ..documents.units import unit_of_key
from ..judgement.formatting import PLACEHOLDER, allowance_words, shown
from ..judgement.names import title_of, vocabulary
from ..judgement.rule import Example, Rule
from ..judgement.wording import condition_words, fixed_words, limit_words
from .record import exact
from .section import Card, Code, Line, Report, Row, Section, nonempty, row

RULES_EDITION = "rules/1"
BOUND_WORDS: Mapping[str, str] = {
    "at_most": "at most",
    "at_least": "at least",
    "above": "more than",
    "below": "less than",
}


# What the shop has set instead of the defaults, by name.
Allowances = Mapping[str, float]
DEFAULTS: Allowances = {}
ENDS: Mapping[str, str] = {"low": "lower limit", "high": "upper limit", "limit": "limit"}
ARTICLES = ("the ", "recommended ", "usual ", "allowed ")


def limit_in_words(rule: Rule, set_to: Allowances = DEFAULTS) -> str:
    """How the limit is calculated: `at most the continuous current of all cells`."""
    unit = vocabulary(rule.subject)[rule.of].unit if rule.of else None
    ends = [limit_words(end, set_to, unit) for end in (rule.low, rule.high) if end]
    if rule.bound == "between":
        return f"from {' to '.join(ends)}"
    return f"{BOUND_WORDS[rule.bound]} {ends[0]}" if ends else ""


def condition_in_words(rule: Rule, set_to: Allowances = DEFAULTS) -> str:
    """What a rule without a limit flags; empty for one with a limit."""
    return condition_words(rule.condition, set_to) if rule.condition else ""


def scope_in_words(rule: Rule, set_to: Allowances = DEFAULTS) -> str:
    """When the rule applies; empty where it always does."""
    return condition_words(rule.applies, set_to) if rule.applies else ""


def sentence(rule: Rule, text: str, set_to: Allowances = DEFAULTS) -> str:
    """A rule's sentence with blanks where a finding has its numbers: `above ‹battery voltage›`."""
    unit = vocabulary(rule.subject)[rule.of].unit if rule.of else None
    ends = {"low": rule.low, "high": rule.high, "limit": rule.high or rule.low}

    def word(name: str, before: str) -> str:
        if name in allowances():
            return allowance_words(name, set_to)
        end = ends.get(name)
        fixed = fixed_words(end, set_to, unit) if end else ""
        if fixed or name not in ENDS:
            return fixed or f"‹{'value' if name == 'of' else title_of(name)}›"
        if before.endswith(" of "):
            return f"‹{ENDS[name]}›"
        return ENDS[name] if before.endswith(ARTICLES) else f"the {ENDS[name]}"

    return _filled(text, word)


def _filled(text: str, word: Callable[[str, str], str]) -> str:
    """The text with each blank replaced by a word that fits what stands before it."""
    said, end = "", 0
    for blank in PLACEHOLDER.finditer(text):
        said += text[end : blank.start()]
        said += word(blank.group(1), said)
        end = blank.end()
    return said + text[end:]


def explained(rule: Rule, set_to: Allowances = DEFAULTS, with_examples: bool = False) -> Report:
    """One rule on a page of its own."""
    examples = [
        row(example.outcome.replace("_", " "), _example(example))
        for example in (rule.examples if with_examples else ())
    ]
    card = Card(
        verdict=rule.severity.upper(),
        tone=rule.severity,
        name=rule.id,
        about=(("; ".join(_standing(rule)),),),
        sections=(
            Section("", nonempty(_about(rule, set_to))),
            *([Section("", tuple(examples))] if examples else ()),
        ),
    )
    return Report("gonogo rules", (card,))


def _standing(rule: Rule) -> list[str]:
    """Whether it is a gate, whether a waiver may cover it, whose it is."""
    words = ["the shop's own" if rule.own else f"about {rule.topic}"]
    if rule.gate:
        words.append("required: no GO without it")
    return [*words, "may be waived" if rule.waivable else "cannot be waived"]


def _about(rule: Rule, set_to: Allowances) -> list[Row]:
    scope = scope_in_words(rule, set_to)
    return [
        row("judges", *_judged(rule)),
        row("limit", limit_in_words(rule, set_to)),
        row("flags when", condition_in_words(rule, set_to)),
        row("applies", f"when {scope}" if scope else ""),
        row("allowance", *_allowances(rule, set_to)),
        row("says", sentence(rule, rule.says, set_to)),
        row("why", sentence(rule, rule.because, set_to)),
        row("do", sentence(rule, rule.remedy, set_to)),
        row("source", rule.source),
    ]


def _judged(rule: Rule) -> list[Line]:
    """What is judged, and the key under which it is entered or looked up."""
    name = rule.of or rule.at
    return [(f"{title_of(name)} (", Code(name), ")")] if name else []


def _allowances(rule: Rule, set_to: Allowances) -> list[Line]:
    """The allowances behind the numbers, with the keys under which a house file sets them."""
    return [
        (
            f"{allowance_words(name, set_to)}: {title_of(name)} (",
            Code(name),
            ", set in house.yaml)" if name in set_to else ", default)",
        )
        for name in sorted(rule.reads & allowances().keys())
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
    gates = [rule.gate for rule in rules]
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
        "limit": limit_in_words(rule) or None,
        "flags": condition_in_words(rule) or None,
        "applies_when": rule.applies.text if rule.applies else None,
        "applies": scope_in_words(rule) or None,
        "says": rule.says,
        "because": rule.because,
        "remedy": rule.remedy,
        "source": rule.source,
        "examples": [
            {"given": exact(example.given), "outcome": example.outcome} for example in rule.examples
        ],
    }
    return {key: value for key, value in record.items() if value is not None}
