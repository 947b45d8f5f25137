"""The catalogue: rules compiled once, the same in any order, with severities only ever raised."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from typing import Any

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.judgement.catalogue import Catalogue, catalogue, catalogue_of
from gonogo.judgement.rule import Rule

Rules = Callable[..., Rule]


def test_a_rule_reads_what_its_expressions_name(rule: Rules) -> None:
    """Whether it has to be judged again after a change hangs on this list."""
    found = rule(
        of="settings.regen.battery_current_A",
        at="settings.regen.stop_V",
        at_most="pack.charge_A - house.cell_spread_V / pack.resistance_mohm",
        applies_when="pack.bms.port == 'common'",
    )
    tells = {
        "settings.regen.battery_current_A",
        "settings.regen.stop_V",
        "pack.charge_A",
        "house.cell_spread_V",
        "pack.resistance_mohm",
    }
    assert found.tells == tells
    assert found.reads == tells | {"pack.bms.port"}


def test_given_is_reading_too(rule: Rules) -> None:
    """A rule about what is missing is judged again once it is told."""
    found = rule(at="wiring.fuse", flag_when="not given(wiring.fuse)")
    assert found.reads == {"wiring.fuse"}


@pytest.mark.parametrize(
    ("data", "key"),
    [
        pytest.param({"at_most": "pack.full_V"}, "at_most", id="volts against amperes"),
        pytest.param({"at_most": "pack.ful_V"}, "at_most", id="a name nobody knows"),
        pytest.param({"at_least": "'hall'"}, "at_least", id="a text for a number"),
        pytest.param({"between": [0, "pack.full_V"]}, "between.1", id="the second end"),
        pytest.param({"between": ["pack.full_V", 0]}, "between.0", id="the first end"),
        pytest.param({"flag_when": "pack.full_V"}, "flag_when", id="a number for a condition"),
        pytest.param({"at_most": 1, "applies_when": "1 + 1"}, "applies_when", id="the scope"),
        pytest.param({"at_most": 1, "of": "pack.ful_V"}, "of", id="what is judged"),
        pytest.param({"at_most": 1, "at": "pack.ful_V"}, "at", id="what is pointed at"),
        pytest.param({"at_most": 1, "of": "pack.bms.port"}, "at_most", id="a text to be judged"),
        pytest.param(
            {"at_most": 1, "subject": "override", "of": "waiver.left_days"}, "of", id="other paper"
        ),
    ],
)
def test_a_rule_that_does_not_fit_says_where(data: dict[str, Any], key: str, rule: Rules) -> None:
    """The key of the rule that holds the mistake."""
    with pytest.raises(ExpressionError) as caught:
        rule(**{"of": "settings.battery_current_A", **data})
    assert caught.value.key == key


def test_a_limit_that_is_a_bare_number_is_in_the_unit_of_what_it_bounds(rule: Rules) -> None:
    """`at_most: 3` of a percentage is 3 %."""
    found = rule(of="wiring.drop_percent", at_most=3)
    assert found.high is not None
    assert found.high.evaluate(lambda name: pytest.fail(name)).value == 3


@pytest.mark.parametrize(
    ("of", "at", "step"),
    [
        pytest.param("settings.battery_current_A", None, 1.0, id="the setting's own"),
        pytest.param("throttle.clearance_V", "settings.throttle.start_V", 0.01, id="the start's"),
        pytest.param("pack.cells_continuous_A", None, 1.0, id="of the key that stands for it"),
        pytest.param("throttle.clearance_V", None, 0.0, id="a worked one has none"),
        pytest.param("motor.back_emf_V", "settings.max_rpm", 0.0, id="rpm are no volts"),
    ],
)
def test_a_bound_knows_the_entry_step(of: str, at: str | None, step: float, rule: Rules) -> None:
    """A thousandth of it is what nobody can enter."""
    found = rule(of=of, at_most=1, **({"at": at} if at else {}))
    assert found.step == pytest.approx(step)


def test_the_order_of_files_changes_nothing(rule: Rules) -> None:
    """A rule file renamed, or a shop's rule that sorts before ours, moves nothing."""
    some = [rule(id=name, of="pack.full_V", at_most=1) for name in ("b-b", "a-a", "c-c")]
    one, other = catalogue_of(some, "x"), catalogue_of(reversed(some), "x")
    assert list(one.rules) == list(other.rules) == ["a-a", "b-b", "c-c"]
    assert one.about("profile") == other.about("profile")


@pytest.mark.parametrize(
    ("own", "raised", "severity"),
    [
        ("advice", None, "advice"),
        ("advice", "fault", "fault"),
        ("advice", "danger", "danger"),
        ("danger", "advice", "danger"),
        ("fault", "advice", "fault"),
    ],
)
def test_a_severity_is_only_ever_raised(own: str, raised: Any, severity: str, rule: Rules) -> None:
    """Whatever reaches the catalogue, a danger stays one."""
    one = rule(severity=own, of="pack.full_V", at_most=1)
    known = catalogue_of([one], "x", {"tried": raised} if raised else {})
    assert known.severity(one) == severity


def test_the_catalogue_is_read_once() -> None:
    """A hundred vehicles are judged by the same rules, and read them once."""
    first: Catalogue = catalogue()
    assert catalogue() is first
    assert first.digest.startswith("sha256:")
    assert len(first.digest) == len("sha256:") + 64


def test_every_rule_has_its_subject() -> None:
    """Taken together the subjects hold every rule once."""
    known = catalogue()
    subjects = (
        "profile",
        "waiver",
        "override",
        "twice",
        "required",
        "document",
        "motors",
        "window",
        "entered",
    )
    by_subject = [rule.id for subject in subjects for rule in known.about(subject)]
    assert sorted(by_subject) == sorted(known.rules)


def test_the_catalogue_travels_between_processes() -> None:
    """A worker judges by the very rules that its parent read."""
    assert pickle.loads(pickle.dumps(catalogue())) == catalogue()


def test_a_rule_can_be_put_into_a_set() -> None:
    """Whoever counts findings by rule in Python does that first."""
    rules = set(catalogue().rules.values())
    assert len(rules) == len(catalogue().rules)
