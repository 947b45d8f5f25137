"""The rules as pages: all by topic, or one explained with its examples; and as records."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any

from ..documents.schema import allowances
from ..documents.units import unit_of_key
from ..expressions.formatting import PLACEHOLDER, allowance_words, shown
from ..expressions.formula import written
from ..expressions.names import title_of, vocabulary
from ..expressions.wording import condition_words, fixed_words, limit_words
from ..judgement.rule import Example, Modes, Rule, Stage, Tier
from ..quantities.book import IN_BASE
from ..quantities.registry import WORKED
from .record import exact
from .section import Card, Code, Line, Report, Row, Section, nonempty, row

PURPOSES: Mapping[Stage, str] = {"stand": "the stand", "ride": "a ride"}
MODE_WORDS: Mapping[Modes, str] = {
    "each": "",
    "base": "for the base settings alone",
    "any": "clear where any mode is",
}
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
    if rule.stage == "ride":
        words.append("counts for a ride")
    if rule.gate:
        words.append(f"required for {PURPOSES[rule.gate]}")
    if rule.modes != "each":
        words.append(MODE_WORDS[rule.modes])
    return [*words, "may be waived" if rule.waivable else "cannot be waived"]


def _about(rule: Rule, set_to: Allowances) -> list[Row]:
    scope = scope_in_words(rule, set_to)
    required = condition_words(rule.gate_when, set_to) if rule.gate_when else ""
    return [
        row("judges", *_judged(rule)),
        row("limit", limit_in_words(rule, set_to)),
        row("flags when", condition_in_words(rule, set_to)),
        row("calc", *_calculated(rule)),
        row("steps", *(_step(rule, step, set_to) for step in rule.steps)),
        row("applies", f"when {scope}" if scope else ""),
        row("required", f"when {required}" if required else ""),
        row("needs", *((f"{title_of(name)} (", Code(name), ")") for name in rule.needs)),
        row("allowance", *_allowances(rule, set_to)),
        row("says", sentence(rule, rule.says, set_to)),
        row("why", sentence(rule, rule.because, set_to)),
        row("do", sentence(rule, rule.remedy, set_to)),
        row("do if none", sentence(rule, rule.instead, set_to) if rule.instead else ""),
        row("yields to", *map(Code, rule.yields_to)),
        row("source", rule.source),
    ]


def _calculated(rule: Rule) -> Iterator[str]:
    """How each calculated value of the rule comes about, in words."""
    parts = (rule.low, rule.high, rule.condition)
    named = (rule.of or "", *(name for part in parts if part for name in sorted(part.names)))
    for name in dict.fromkeys(one.removeprefix(IN_BASE) for one in named):
        for spec in WORKED.get(name, ())[:1]:
            words = {argument: title_of(given) for argument, given in spec.inputs.items()}
            yield f"{title_of(name)} = {written(spec, words)}"


def _step(rule: Rule, step: Tier, set_to: Allowances) -> str:
    """One graver severity: `danger above twice the battery cable's rating`."""
    if step.when is not None:
        words = f"{step.severity} when {condition_words(step.when, set_to)}"
    else:
        unit = vocabulary(rule.subject)[rule.of].unit if rule.of else None
        ends = [limit_words(end, set_to, unit) for end in (step.low, step.high) if end]
        where = "outside" if len(ends) > 1 else "below" if step.low else "above"
        words = f"{step.severity} {where} {' to '.join(ends)}"
    return words if step.waivable else f"{words}, which cannot be waived"


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


def _step_record(step: Tier) -> dict[str, Any]:
    ends = [end.text for end in (step.low, step.high) if end]
    where: dict[str, Any] = (
        {"when": step.when.text} if step.when else {"beyond": ends if len(ends) > 1 else ends[0]}
    )
    return {"severity": step.severity, **where, "waivable": step.waivable}


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
    required = f", required for {PURPOSES[rule.gate]}" if rule.gate else ""
    return row(rule.severity, (Code(rule.id), required), tone=rule.severity)


def catalogue_sum(rules: Iterable[Rule]) -> str:
    """How many rules there are, and how to read one."""
    gates = [rule.gate is not None for rule in rules]
    return f"{len(gates)} rules, {sum(gates)} of them required. `gonogo rules ID` explains one."


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
        "stage": rule.stage,
        "gate": rule.gate,
        "gate_when": rule.gate_when.text if rule.gate_when else None,
        "needs": list(rule.needs) or None,
        "steps": [_step_record(step) for step in rule.steps] or None,
        "yields_to": list(rule.yields_to) or None,
        "modes": rule.modes,
        "may_flag_lower": rule.may_flag_lower,
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
            {
                "given": exact(example.given),
                "outcome": example.outcome,
                **({"severity": example.severity} if example.severity else {}),
            }
            for example in rule.examples
        ],
    }
    return {key: value for key, value in record.items() if value is not None}
