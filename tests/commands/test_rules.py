"""`gonogo rules`: the catalogue to read, and a rule explained."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from gonogo.commands.formats import as_text
from gonogo.commands.rules import run
from gonogo.documents.error import UsageError
from gonogo.expressions.compiler import compile_expression
from gonogo.expressions.names import vocabulary
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.rule_file import rule_of
from gonogo.reports.layout import Page
from gonogo.reports.rules import explained, rule_record, sentence
from rich.cells import cell_len

Expect = Callable[[str, str], None]
RULE = {
    "id": "battery-current-above-cells",
    "severity": "danger",
    "gate": "ride",
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
        {"given": {"settings.battery_current_A": 120}, "outcome": "not_checked"},
        {"given": {"pack.bms": "none"}, "outcome": "out_of_scope"},
    ],
}


def printed(*arguments: str | None) -> str:
    """What the command prints."""
    out = io.StringIO()
    assert run(*arguments, out=out) == 0  # type: ignore[arg-type]
    return out.getvalue()


def test_a_rule_is_explained_with_reason_remedy_source_and_examples(expect: Expect) -> None:
    """Whoever is refused wants to know by what, why, and what would have passed."""
    rule = rule_of(RULE, "pack", "pack/battery-current-above-cells.yaml")
    expect("screens/rule.txt", as_text(explained(rule, with_examples=True), Page()))


def test_a_calculated_limit_is_told_in_words() -> None:
    """The names of a formula are keys; whoever reads a rule wants to know what they stand for."""
    said = " ".join(printed("battery-current-above-cells").split())
    assert "current of all cells = parallel cell count × continuous cell current" in said
    assert " calc " not in printed("fuse-missing")


def test_examples_are_shown_where_they_are_asked_for() -> None:
    """They are entries and numbers, of use to whoever writes rules."""
    out = io.StringIO()
    assert run("fuse-missing", out=out, examples=True) == 0
    assert " flagged " in out.getvalue()
    assert " flagged " not in printed("fuse-missing")


def test_a_sentence_without_a_finding_has_blanks_where_its_numbers_will_stand() -> None:
    """It reads as a sentence; how the limit is calculated stands in a row of its own."""
    rule = rule_of(RULE, "pack", "pack/battery-current-above-cells.yaml")
    assert sentence(rule, "Fit one of {limit}.") == "Fit one of ‹limit›."
    assert sentence(rule, "Above the {limit} of the cells.") == "Above the limit of the cells."
    assert sentence(rule, "Set {of} to {limit}.") == "Set ‹value› to the limit."
    assert sentence(rule, "{pack.sag_V} lost.") == "‹voltage sag› lost."
    assert sentence(rule, "{house.drop_percent} lost.") == "3% lost."
    fixed = replace(rule, high=compile_expression("120", vocabulary()))
    assert sentence(fixed, "Set it to {limit}.") == "Set it to 120 A."


def test_a_shops_allowance_stands_on_the_page(shop: Path) -> None:
    """With the shop's number, and that it is the shop's."""
    house = (shop / "house.yaml").read_text() + "allowances: {drop_percent: 2}\n"
    (shop / "house.yaml").write_text(house)
    out = io.StringIO()
    run("battery-cable-drop", out=out, folder=shop)
    said = " ".join(out.getvalue().split())
    assert "at most 2% of the nominal pack voltage divided by the battery cable" in said
    assert "2%: maximum cable voltage drop (house.drop_percent, set in house.yaml)" in said


def test_a_rule_without_a_bound_shows_its_condition() -> None:
    """It flags when a condition holds; there is no limit to show."""
    data = {key: value for key, value in RULE.items() if key not in ("of", "at_most")}
    data |= {
        "at": "settings.battery_current_A",
        "flag_when": "settings.battery_current_A > 100",
        "applies_when": "settings.regen != 'none'",
    }
    shown = as_text(explained(rule_of(data, "pack", "pack/x.yaml", own=True)), Page())
    assert " flags when  the battery current limit is more than 100 A\n" in shown
    assert " applies     when regen is not none\n" in shown
    assert "the shop's own" in shown


@pytest.mark.parametrize("name", sorted(catalogue().rules))
def test_every_rule_can_be_explained(name: str) -> None:
    """Within the page, with nothing left to fill in."""
    shown = printed(name)
    assert max(cell_len(line) for line in shown.split("\n")) <= 80
    for word in (" why ", " do ", " source ", " says "):
        assert word in shown
    assert "{" not in shown


def test_the_list_names_every_rule_once() -> None:
    """What is not in the list cannot be looked up."""
    words = [line.split() for line in printed().split("\n")]
    names = [line[1].rstrip(",") for line in words if len(line) > 1 and line[0] in SEVERITIES]
    assert sorted(names) == sorted(catalogue().rules)


SEVERITIES = ("danger", "fault", "advice")


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
    assert rule_record(rule)["limit"] == "from 0 A to the continuous current of all cells"
    assert "from 0 A to the continuous current" in as_text(explained(replace(rule)), Page())


def test_a_typing_slip_is_answered_with_the_nearest_rule() -> None:
    """Rules have long names; nobody types them without a slip."""
    name = next(iter(catalogue().rules))
    with pytest.raises(UsageError) as mistake:
        run(f"{name[:-1]}x")
    assert f"Did you mean {name}?" in str(mistake.value)


OWN = """\
id: shop-current
severity: advice
of: settings.battery_current_A
at_most: 0.9 * pack.bms.continuous_A
says: The battery current limit of {of} is above {limit}.
because: Boards in our vehicles run hot long before their rating.
remedy: Set it to {limit} or less.
source: Common practice of the shop.
examples:
  - {given: {settings.battery_current_A: 90, pack.bms.continuous_A: 100}, outcome: clear}
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The folder of a shop with one rule of its own."""
    (tmp_path / "rules").mkdir()
    house = "gonogo: house/1\nrules: rules\nseverities: {fuse-missing: danger}\n"
    (tmp_path / "house.yaml").write_text(house)
    (tmp_path / "rules" / "shop-current.yaml").write_text(OWN)
    return tmp_path


def test_the_shops_own_rules_are_among_them(shop: Path) -> None:
    """Whoever is refused by an own rule looks it up like any other."""
    out = io.StringIO()
    assert run("shop-current", out=out, folder=shop) == 0
    assert "the shop's own" in out.getvalue()
    run(out=out, folder=shop)
    assert f" {len(catalogue().rules) + 1} rules" in out.getvalue()


def test_a_rule_is_told_with_the_severity_that_the_shop_gives_it(shop: Path) -> None:
    """The list says what `check` will say."""
    out = io.StringIO()
    run("fuse-missing", out=out, folder=shop)
    assert " DANGER " in out.getvalue()


def test_an_own_rule_that_cannot_be_read_is_owned_up_to(shop: Path) -> None:
    """It is missing from the list for a reason, and the reason can be had."""
    (shop / "rules" / "shop-current.yaml").write_text(OWN.replace("0.9 *", "0.9 *+/"))
    with pytest.raises(UsageError, match="A rule of the house file cannot be read"):
        run("shop-current", folder=shop)
