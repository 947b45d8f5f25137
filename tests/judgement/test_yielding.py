"""One cause, one finding: who yields to whom, and when nobody does."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from gonogo.judgement.catalogue import Catalogue, catalogue, cycle
from gonogo.judgement.finding import Judgement
from gonogo.judgement.rule import Rule

Judged = Callable[..., Judgement]
Rules = Callable[..., Rule]
Catalogues = Callable[..., Catalogue]

HIGH = {"id": "current-high", "of": "settings.battery_current_A", "at_most": 100}
ODD = {"id": "current-odd", "of": "settings.battery_current_A", "at_most": 90}
RARE = {"id": "current-rare", "of": "settings.battery_current_A", "at_most": 80}
TEXT = "settings: {battery_current_A: 120}\n"
WAIVER = (
    "waivers: [{rule: current-high, accepts: 130, until: 2027-06-01, "
    "reason: measured on the bench with a cooled pack}]\n"
)


def left(found: Judgement) -> dict[str, tuple[str, ...]]:
    return {finding.rule.id: finding.also for finding in found.findings}


@pytest.mark.parametrize(
    ("severity", "findings"),
    [
        ("danger", {"current-high": ("current-odd",)}),
        ("fault", {"current-high": ("current-odd",)}),
    ],
)
def test_a_rule_yields_to_one_as_grave(
    severity: str, findings: dict[str, tuple[str, ...]], judged: Judged, rules: Catalogues
) -> None:
    """Two findings of one cause are one thing to do."""
    odd = {**ODD, "severity": "fault", "yields_to": ["current-high"]}
    found = judged(TEXT, rules({**HIGH, "severity": severity}, odd))
    assert left(found) == findings
    assert found.checked == 2


def test_a_danger_yields_to_nothing_less(judged: Judged, rules: Catalogues) -> None:
    """A danger behind a fault would be a danger unseen."""
    found = judged(
        TEXT, rules({**HIGH, "severity": "fault"}, {**ODD, "yields_to": ["current-high"]})
    )
    assert left(found) == {"current-high": (), "current-odd": ()}


def test_nothing_hides_behind_what_is_waived(judged: Judged, rules: Catalogues) -> None:
    """Who accepted the one did not accept the other."""
    by = rules(HIGH, {**ODD, "yields_to": ["current-high"]})
    found = judged(TEXT + WAIVER, by)
    assert left(found) == {"current-odd": (), "current-high": ()}
    assert found.verdict == "no-go"


def test_what_yielded_to_what_yielded_is_told_too(judged: Judged, rules: Catalogues) -> None:
    """The last one standing tells of all."""
    by = rules(
        HIGH,
        {**ODD, "yields_to": ["current-high"]},
        {**RARE, "yields_to": ["current-odd"]},
    )
    assert left(judged(TEXT, by)) == {"current-high": ("current-odd", "current-rare")}


def test_a_rule_yields_only_where_the_other_flags(judged: Judged, rules: Catalogues) -> None:
    """In the mode in which the better rule is clear, this one speaks."""
    by = rules(HIGH, {**ODD, "yields_to": ["current-high"]})
    text = "settings: {battery_current_A: 70}\nmodes: {a: {battery_current_A: 120}, b: {battery_current_A: 95}}\n"
    found = judged(text, by)
    assert {(one.rule.id, one.modes) for one in found.findings} == {
        ("current-high", ("a",)),
        ("current-odd", ("b",)),
    }


def test_a_base_finding_stays_while_a_mode_still_needs_it(
    judged: Judged, rules: Catalogues
) -> None:
    """It is told of the base, since that is where it is mended."""
    low = {"id": "ramp", "of": "settings.throttle.ramp_ms", "at_least": 150}
    odd = {**ODD, "yields_to": ["ramp"]}
    text = (
        "settings: {battery_current_A: 95, throttle: {ramp_ms: 100}}\n"
        "modes: {a: {throttle: {ramp_ms: 200}}}\n"
    )
    assert set(left(judged(text, rules(low, odd)))) == {"ramp", "current-odd"}


def test_a_ring_is_found(rule: Rules) -> None:
    """In a ring every finding would yield, and none be left."""
    chain = [rule(**HIGH), rule(**ODD, yields_to=["current-high"])]
    assert cycle(chain) == ()
    ring = [
        rule(**HIGH, yields_to=["current-rare"]),
        rule(**ODD, yields_to=["current-high"]),
        rule(**RARE, yields_to=["current-odd"]),
    ]
    assert set(cycle(ring)) == {"current-high", "current-odd", "current-rare"}


def test_the_catalogue_has_no_ring_and_yields_to_what_there_is() -> None:
    """A name that is no rule would silence nothing, and nobody would notice."""
    rules = catalogue().rules
    assert cycle(rules.values()) == ()
    assert {name for one in rules.values() for name in one.yields_to} <= rules.keys()
