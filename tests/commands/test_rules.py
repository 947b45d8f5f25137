"""`gonogo rules`: the catalogue to read, and a rule explained."""

from __future__ import annotations

import io
import json
from dataclasses import replace

import pytest
from gonogo.commands.rules import run
from gonogo.documents.error import UsageError
from gonogo.judgement.catalogue import catalogue, rule_of
from gonogo.reports.explanation import explained, rule_record
from gonogo.reports.page import Page, columns

RULE = {
    "id": "battery-current-above-cells",
    "severity": "danger",
    "gate": True,
    "of": "settings.battery_current_A",
    "at_most": "pack.cells_continuous_A",
    "says": "The battery current limit of {of} is above the {limit} that the cells give.",
    "because": "Cells overheat, age fast and can vent.",
    "remedy": "Set it to {limit} or less.",
    "source": "Common practice.",
    "examples": [
        {
            "given": {"settings.battery_current_A": 121, "pack.cells_continuous_A": 120},
            "outcome": "flagged",
        },
        {"given": {"settings.battery_current_A": 120}, "outcome": "not_judged"},
    ],
}
EXPLAINED = """\
 ○ DANGER   battery-current-above-cells
   about pack; a gate: no GO without it; may be waived
────────────────────────────────────────────────────────────────────────────────
 judges     settings.battery_current_A
 allows     at most pack.cells_continuous_A
 says       The battery current limit of ‹settings.battery_current_A› is above
            the ‹pack.cells_continuous_A› that the cells give.
 why        Cells overheat, age fast and can vent.
 do         Set it to ‹pack.cells_continuous_A› or less.
 source     Common practice.

 flagged    settings.battery_current_A = 121 A, pack.cells_continuous_A = 120 A
 not judged settings.battery_current_A = 120 A
"""


def printed(*arguments: str | None) -> str:
    """What the command prints."""
    out = io.StringIO()
    assert run(*arguments, out=out) == 0  # type: ignore[arg-type]
    return out.getvalue()


def test_a_rule_is_explained_with_reason_remedy_source_and_examples() -> None:
    """Whoever is refused wants to know by what, why, and what would have passed."""
    rule = rule_of(RULE, "pack", "pack/battery-current-above-cells.yaml")
    assert explained(rule, Page()) == EXPLAINED


def test_a_rule_without_a_bound_shows_its_condition() -> None:
    """It flags when a condition holds; there is no limit to show."""
    data = {key: value for key, value in RULE.items() if key not in ("of", "at_most")}
    data |= {
        "at": "settings.battery_current_A",
        "flag_when": "settings.battery_current_A > 100",
        "applies_when": "settings.regen != 'none'",
    }
    shown = explained(rule_of(data, "pack", "pack/x.yaml", own=True), Page())
    assert " flags when settings.battery_current_A > 100\n" in shown
    assert " applies    when settings.regen != 'none'\n" in shown
    assert "the shop's own" in shown


@pytest.mark.parametrize("name", sorted(catalogue().rules))
def test_every_rule_can_be_explained(name: str) -> None:
    """Within the page, with nothing left to fill in."""
    shown = printed(name)
    assert max(columns(line) for line in shown.split("\n")) <= 80
    for word in (" why ", " do ", " source ", " says "):
        assert word in shown
    assert "{" not in shown


def test_the_list_names_every_rule_once() -> None:
    """What is not in the list cannot be looked up."""
    words = [line.split() for line in printed().split("\n")]
    names = [line[1].rstrip(",") for line in words if len(line) > 1 and line[0] in SEVERITIES]
    assert sorted(names) == sorted(catalogue().rules)


SEVERITIES = ("danger", "fault", "caution")


def test_the_record_holds_all_rules_with_their_bounds() -> None:
    """For those who print their own hand-outs from the catalogue."""
    said = json.loads(printed(None, "json"))
    assert [rule["id"] for rule in said["rules"]] == list(catalogue().rules)
    bounds = ("at_most", "at_least", "above", "below", "between", "flag_when")
    assert all(sum(bound in rule for bound in bounds) == 1 for rule in said["rules"])


def test_a_range_is_recorded_with_both_ends() -> None:
    """Low first, as the rule's file has it."""
    data = {**RULE, "between": ["0", "pack.cells_continuous_A"]}
    del data["at_most"]
    rule = rule_of(data, "pack", "pack/x.yaml")
    assert rule_record(rule)["between"] == ["0", "pack.cells_continuous_A"]
    assert "between 0 and pack.cells_continuous_A" in explained(replace(rule), Page())


def test_a_typing_slip_is_answered_with_the_nearest_rule() -> None:
    """Rules have long names; nobody types them without a slip."""
    name = next(iter(catalogue().rules))
    with pytest.raises(UsageError) as mistake:
        run(f"{name[:-1]}x")
    assert f"Did you mean {name}?" in str(mistake.value)
