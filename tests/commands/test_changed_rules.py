"""A finding that goes since the shop changed its rule is not told as resolved: nobody corrected anything."""

from __future__ import annotations

import io

import pytest
from gonogo.commands.history import run as history

from tests.commands.test_diff import BIKE, CALM, HOUSE, Git, diff, record, validator_of

pytestmark = pytest.mark.usefixtures("frozen")
RULES = HOUSE + "rules: rules\n"
TIGHT = HOUSE + "allowances: {fuse_loading: 0.7}\n"
RAISED = HOUSE + "severities: {%s: fault}\nallowances: {fuse_loading: 0.7}\n"
RULE = """\
gonogo: rule/1
id: shop-current
severity: fault
of: settings.battery_current_A
at_most: 70
says: The battery current limit of {of} is above the {limit} of this shop.
because: We have seen cells swell.
remedy: Set it to {limit} or less.
source: Our own experience.
examples:
  - {given: {settings.battery_current_A: 70}, outcome: clear}
  - {given: {settings.battery_current_A: 71}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""
LOOSER = RULE.replace("70", "80").replace("71", "81")
MILDER = RULE.replace("severity: fault", "severity: advice")
ELSEWHERE = (
    RULE.replace("at_most: 70", "at_most: 70\napplies_when: pack.cell.chemistry == 'lto'")
    .replace("A: 70}", "A: 70, pack.cell.chemistry: lto}")
    .replace("A: 71}", "A: 71, pack.cell.chemistry: lto}")
    .replace("{given: {}, outcome", "{given: {pack.cell.chemistry: lto}, outcome")
)
SLOWER = CALM.replace("battery_current_A: 75", "battery_current_A: 70")
FILE = "rules/shop-current.yaml"
CAUSE = "rules.shop-current"


@pytest.mark.parametrize(
    ("rule", "severity_now"),
    [
        pytest.param(LOOSER, None, id="a limit that is wider"),
        pytest.param(MILDER, "advice", id="a severity that is lower"),
        pytest.param(ELSEWHERE, None, id="a scope without the vehicle"),
    ],
)
def test_a_fault_let_off_by_an_own_rule_is_told(
    git: Git, rule: str, severity_now: str | None
) -> None:
    """Else a whole fleet goes from NO-GO to GO by one line, and the report says resolved."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE)
    git.write(BIKE, CALM)
    git.commit("A rule of ours")
    git.write(FILE, rule)
    status, text = diff(here=git.folder, against="HEAD")
    assert status == 1 and "1 fault no longer flagged as such" in " ".join(text.split())
    told = record(here=git.folder, against="HEAD")
    assert list(validator_of("comparison").iter_errors(told)) == []
    (one,) = told["comparisons"]
    assert one["verdict"] == {"old": "no-go", "new": "go"} and one["harms"]
    (finding,) = one["findings"]["unflagged"]
    assert finding["rule_changed"] == [CAUSE] and finding["rule"] == "shop-current"
    assert one["unflagged"] == {"fault": 1} and not one["findings"]["resolved"]
    standing = {each["rule"]: each["severity"] for each in one["findings"]["standing"]}
    assert standing.get("shop-current") == severity_now
    for form, words in (("lines", ": fault: no longer flagged: "), ("sarif", "shop-current")):
        assert words in diff(here=git.folder, against="HEAD", form=form)[1]


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        pytest.param(LOOSER, "4 faults no longer flagged as such", id="loosened"),
        pytest.param("", "4 faults no longer checked", id="taken away"),
    ],
)
def test_the_sum_counts_what_a_rule_lets_go(git: Git, rule: str, told: str) -> None:
    """Who reads one line only learns of it too, whether the rule was loosened or taken away."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE)
    git.write("rules/other.yaml", RULE.replace("shop-current", "shop-other").replace("70", "90").replace("71", "91"))  # fmt: skip
    for number in range(4):
        text = CALM.replace("name: Foxglove", f"name: Larch {number}")
        git.write(f"vehicles/{number}.yaml", text)
    git.commit("A rule of ours")
    if rule:
        git.write(FILE, rule)
    else:
        (git.folder / FILE).unlink()
    text = " ".join(diff(here=git.folder, against="HEAD")[1].split())
    assert told in text.split("verdicts")[0] and text.count(told) > 1


def test_what_was_corrected_is_resolved_whatever_became_of_the_rule(git: Git) -> None:
    """The old rule finds nothing on the vehicle as it is now; that the new one asks for less is told beside."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE)
    git.write(BIKE, CALM)
    git.commit("A rule of ours")
    git.write(FILE, LOOSER)
    git.write(BIKE, SLOWER)
    status, text = diff(here=git.folder, against="HEAD")
    assert status == 1 and "no longer flagged" not in text and "1 rule loosened" in text
    (one,) = record(here=git.folder, against="HEAD")["comparisons"]
    assert [each["rule"] for each in one["findings"]["resolved"]] == ["shop-current"]


@pytest.mark.parametrize(
    ("house", "rule", "file"),
    [
        pytest.param(RULES, "", FILE, id="its file deleted"),
        pytest.param(HOUSE, RULE, "house.yaml", id="let go by the house file"),
        pytest.param("", RULE, "house.yaml", id="the house file deleted"),
        pytest.param(RULES, RULE.replace("id: shop", "id: our-shop"), FILE, id="another id in it"),
    ],
)
def test_the_file_that_was_changed_is_the_one_that_is_named(
    git: Git, house: str, rule: str, file: str
) -> None:
    """Who looks for the cause in a file that nobody touched finds none."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE)
    git.write("rules/other.yaml", RULE.replace("shop-current", "shop-other").replace("70", "90").replace("71", "91"))  # fmt: skip
    git.write(BIKE, CALM)
    git.commit("A rule of ours")
    for path, text in (("house.yaml", house), (FILE, rule)):
        if text:
            git.write(path, text)
        else:
            (git.folder / path).unlink()
    shared = record(here=git.folder, against="HEAD")["shared_changes"]
    named = [one["file"] for one in shared for each in one["changes"] if each["quantity"] == CAUSE]
    assert named == [file]


@pytest.mark.parametrize(
    ("path", "told"),
    [
        pytest.param(None, "works/ev/house.yaml gone: ", id="the house file is gone"),
        pytest.param(
            "works/house.yaml",
            "works/house.yaml in place of works/ev/house.yaml: ",
            id="another one above it",
        ),
    ],
)
def test_the_house_file_of_a_shop_further_down_is_named_from_the_top(
    git: Git, path: str | None, told: str
) -> None:
    """The shop begins elsewhere then; no file is named that was never there."""
    git.write("works/ev/house.yaml", RULES + "allowances: {fuse_loading: 0.7}\n")
    git.write("works/ev/rules/current.yaml", RULE)
    for number in range(4):
        text = CALM.replace("name: Foxglove", f"name: Larch {number}")
        git.write(f"works/ev/vehicles/{number}.yaml", text)
    git.commit("A shop in a folder")
    if path is None:
        (git.folder / "works/ev/house.yaml").unlink()
    else:
        git.write(path, HOUSE)
    text = " ".join(diff(here=git.folder, against="HEAD")[1].split())
    assert text.index("NOT READ works") < text.index(
        "Shared causes"
    )  # what was not read comes first
    shared = text[text.index("Shared causes") :]
    assert told in shared and "rules.shop-current gone" in shared
    assert "current.yaml" not in shared


def test_an_allowance_that_is_wider_lets_off_too(git: Git) -> None:
    """As a rule of the catalogue reads it; with it counted by the severity that the shop had given."""
    git.write("house.yaml", TIGHT)
    git.write(BIKE, CALM)
    git.commit("Tight")
    git.write("house.yaml", HOUSE)
    (one,) = record(here=git.folder, against="HEAD")["comparisons"]
    (finding,) = one["findings"]["unflagged"]
    assert finding["rule_changed"] == ["house.fuse_loading"]
    assert diff(here=git.folder, against="HEAD")[0] == 0  # advice
    git.write("house.yaml", RAISED % finding["rule"])
    git.commit("A fault in this shop")
    git.write("house.yaml", HOUSE)
    (one,) = record(here=git.folder, against="HEAD")["comparisons"]
    (finding,) = one["findings"]["unflagged"]
    assert one["unflagged"] == {"fault": 1}
    assert finding["rule_changed"] == ["house.fuse_loading", f"severities.{finding['rule']}"]
    assert diff(here=git.folder, against="HEAD")[0] == 1


def test_vehicles_of_which_nothing_else_is_told_stand_together(git: Git) -> None:
    """One line of a rule is not one line for each vehicle; what is told of its own keeps its line."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE)
    for number in range(6):
        git.write(
            f"vehicles/{number}.yaml", CALM.replace("name: Foxglove", f"name: Larch {number}")
        )
    git.commit("A rule of ours")
    git.write(FILE, LOOSER)
    git.write("vehicles/5.yaml", CALM.replace("name: Foxglove", "name: Larch 5").replace("ramp_ms: 240", "ramp_ms: 250"))  # fmt: skip
    status, text = diff(here=git.folder, against="HEAD")
    said = " ".join(text.split())
    each = "each 1 fault no longer flagged as such: a rule was changed"
    names = "Larch 0, Larch 1, Larch 2, Larch 3, Larch 4"
    assert status == 1 and said.count("no longer flagged") == 4  # both sums, the fold, Larch 5
    assert f"NO-GO → GO 5 vehicles {each} · {names}" in said
    assert "6 faults no longer flagged as such" in said


def test_a_history_says_that_a_finding_became_less_grave(git: Git) -> None:
    """NO-GO and then GO with nothing between reads as if the vehicle had been put right."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE)
    git.write(BIKE, CALM)
    git.commit("A rule of ours")
    git.write(FILE, MILDER)
    git.commit("Only advice")
    out = io.StringIO()
    history(git.folder / BIKE, out=out, as_of="2026-11-25")
    told = " ".join(out.getvalue().split())
    assert "ADVICE now, was FAULT, by a change of the shop's rules: The battery current" in told
