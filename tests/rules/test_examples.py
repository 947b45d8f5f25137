"""Every rule answers its own examples: the catalogue is tried like any other gauge."""

import math

import pytest
from gonogo.judgement.catalogue import catalogue, rule_texts
from gonogo.judgement.evaluation import Ruling, ruling
from gonogo.judgement.rule import Example, Rule
from gonogo.judgement.rule_examples import book_of_example
from ruamel.yaml import YAML

# The rules as their files hold them, by id.
RAW = {data["id"]: data for data in map(YAML(typ="safe").load, rule_texts().values())}
RULES = list(catalogue().rules.values())
EXAMPLES = [
    pytest.param(rule, example, id=f"{rule.id}-{place}-{example.outcome}")
    for rule in RULES
    for place, example in enumerate(rule.examples)
]


def ruled(rule: Rule, example: Example) -> Ruling:
    return ruling(rule, book_of_example(example))


@pytest.mark.parametrize(("rule", "example"), EXAMPLES)
def test_a_rule_answers_its_example(rule: Rule, example: Example) -> None:
    """An example that the rule does not meet is a wrong rule or a wrong example."""
    decided = ruled(rule, example)
    assert decided.outcome == example.outcome, decided
    assert example.severity in (None, decided.severity), decided


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_shows_each_outcome(rule: Rule) -> None:
    """Clear and flagged, and of what may stop a vehicle that it waits for what it does not know."""
    wanted = {"clear", "flagged"}
    severities = {rule.severity, *(step.severity for step in rule.steps)}
    if (severities != {"advice"} or rule.gate) and not _always_judged(rule):
        wanted.add("not_checked")
    missing = wanted - {example.outcome for example in rule.examples}
    assert not missing, f"{rule.file}: no example whose outcome is {', '.join(sorted(missing))}"


def _always_judged(rule: Rule) -> bool:
    """It asks only what is given, so that it waits for nothing."""
    return bool(RAW[rule.id].get("always_checked", False))


@pytest.mark.parametrize("rule", list(filter(_always_judged, RULES)), ids=lambda rule: rule.id)
def test_a_rule_that_is_always_judged_waits_for_nothing(rule: Rule) -> None:
    """Whatever its examples leave out, one value or all: else it owes an example of waiting."""
    for example in rule.examples:
        for left_out in example.given:
            given = {name: value for name, value in example.given.items() if name != left_out}
            assert ruled(rule, Example(given, example.outcome)).outcome != "not_checked", given
    assert ruled(rule, Example({}, "clear")).outcome != "not_checked"


@pytest.mark.parametrize(
    "rule", [rule for rule in RULES if rule.condition is None], ids=lambda rule: rule.id
)
def test_a_bound_is_tried_on_its_limit(rule: Rule) -> None:
    """On the limit is where a bound goes wrong: at most is clear there, below is flagged."""
    wanted = "flagged" if rule.strict else "clear"
    on_limit = []
    for example in rule.examples:
        decided = ruled(rule, example)
        if decided.outcome == wanted and decided.of is not None:
            for end in (decided.low, decided.high):
                if end is not None and end.value is not None:
                    on_limit.append(
                        math.isclose(decided.of.value, end.value, rel_tol=1e-9, abs_tol=1e-12)
                    )
    assert any(on_limit)


def test_a_rule_lies_in_the_file_of_its_name() -> None:
    """A waiver names the rule; the reader finds the file by that name."""
    for (_, name), rule in zip(rule_texts(), RAW, strict=True):
        assert name == f"{rule}.yaml"


def test_gates_are_the_catalogues() -> None:
    """Without these no verdict may be given."""
    gates = {rule.id for rule in RULES if rule.gate}
    assert gates
    assert {rule.gate for rule in RULES if rule.gate} == {"stand", "ride"}
