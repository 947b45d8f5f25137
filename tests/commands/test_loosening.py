"""A shop that asks less of its vehicles than before is told so, though no vehicle has a finding for it."""

from __future__ import annotations

import pytest

from tests.commands.test_changed_rules import CAUSE, FILE, RULE, RULES
from tests.commands.test_diff import BIKE, CALM, HOUSE, Git, diff, record, validator_of

pytestmark = pytest.mark.usefixtures("frozen")
WIDE = RULE.replace("70", "90").replace("71", "91")  # nothing of the vehicle is near
WIDER = WIDE.replace("90", "95").replace("91", "96")
TIGHTER = WIDE.replace("90", "85").replace("91", "86")
WORDED = WIDE.replace("at_most: 90", "at_most: 60 + 30")
SHARE = WIDE.replace("at_most: 90", "at_most: 60 + 35").replace("90}", "95}").replace("91}", "96}")
LESS = WIDE.replace("at_most: 90", "at_most: 60 + 25").replace("90}", "85}").replace("91}", "86}")
ASKED = "require: [vehicle.mass_kg, pack.parallel]\n"
RAISED = "severities: {reverse-too-fast: danger}\n"
SET = "allowances: {fuse_loading: %s}\n"
LATER = WIDE.replace("severity: fault", "severity: fault\nstage: ride")


def fleet(git: Git, house: str, rule: str = "", count: int = 5) -> None:
    """A shop of several calm vehicles."""
    git.write("house.yaml", house)
    if rule:
        git.write(FILE, rule)
    for number in range(count):
        text = CALM.replace("name: Foxglove", f"name: Larch {number}")
        git.write(f"vehicles/{number}.yaml", text)
    git.commit("As they left")


@pytest.mark.parametrize(
    ("before", "after", "rules", "told"),
    [
        pytest.param(HOUSE + ASKED, HOUSE, (WIDE, WIDE), "require.pack.parallel gone", id="required"),
        pytest.param(HOUSE + RAISED, HOUSE, (), "reverse-too-fast danger → advice", id="severity"),
        pytest.param(HOUSE + RAISED, HOUSE + RAISED.replace("danger", "fault"), (), "danger → fault", id="a severity less"),
        pytest.param(RULES, RULES, (WIDE, ""), f"{CAUSE} gone (fault)", id="a rule's file"),
        pytest.param(RULES, RULES, (WIDE, WIDER), f"{CAUSE} at_most 90 → 95", id="a wider limit"),
        pytest.param(RULES, RULES, (WORDED, SHARE), f"{CAUSE} at_most 60 + 30 → 60 + 35", id="a wider limit in words"),
        pytest.param(RULES, RULES, (WIDE, LATER), "stage stand → ride", id="counts later"),
    ],
)  # fmt: skip
def test_what_a_shop_asks_less_is_told_once_with_its_vehicles(
    git: Git, before: str, after: str, rules: tuple[str, str] | tuple[()], told: str
) -> None:
    """Else one line lets every later fault of the shop pass, and the review says that nothing is new."""
    was, now = rules or ("", "")
    other = RULE.replace("shop-current", "shop-other").replace("70", "92").replace("71", "93")
    if was:
        git.write("rules/other.yaml", other)
        before, after = (text if "rules:" in text else f"{text}rules: rules\n" for text in (before, after))  # fmt: skip
    fleet(git, before, was)
    git.write("house.yaml", after)
    if was and not now:
        (git.folder / FILE).unlink()
    elif now:
        git.write(FILE, now)
    status, text = diff(here=git.folder, against="HEAD")
    page = " ".join(text.split())
    assert status == 1 and "the shop asks for less: " in page.split("verdicts")[0]
    assert page.split("verdicts")[0].count(told) == 1 and "no new, worse or hidden" in page
    one = record(here=git.folder, against="HEAD")
    assert list(validator_of("comparison").iter_errors(one)) == []
    assert all(each["harms"] and each["loosened"] for each in one["comparisons"])
    assert [len(each["vehicles"]) for each in one["loosened"]] == [5] * len(one["loosened"])
    for form, word in (("lines", ": loosened: "), ("sarif", told.split()[0]), ("markdown", told)):
        assert word in " ".join(diff(here=git.folder, against="HEAD", form=form)[1].split())
    status, text = diff("vehicles/1.yaml", here=git.folder)
    assert status == 1 and told in " ".join(text.split()) and "asks less" in text


@pytest.mark.parametrize(
    ("before", "after", "rules"),
    [
        pytest.param(HOUSE, HOUSE + ASKED, (), id="more is required"),
        pytest.param(HOUSE, HOUSE + RAISED, (), id="a severity is raised"),
        pytest.param(HOUSE + SET % 0.85, HOUSE + SET % 0.8, (), id="a narrower allowance"),
        pytest.param(RULES, RULES, (WIDE, TIGHTER), id="a narrower limit"),
        pytest.param(RULES, RULES, (WORDED, LESS), id="a narrower limit in words"),
        pytest.param(RULES, RULES, (WIDE, WIDE.replace("id: shop", "id: our-shop")), id="another id"),
        pytest.param(RULES, RULES, (WIDE, WIDE.replace("We have", "We had")), id="another sentence"),
        pytest.param(HOUSE + "severities: {reverse-too-fast: advice}\n", HOUSE, (), id="a severity that said nothing"),
    ],
)  # fmt: skip
def test_a_shop_that_asks_for_as_much_is_not_blamed(
    git: Git, before: str, after: str, rules: tuple[str, str] | tuple[()]
) -> None:
    """A stricter rule is good work."""
    was, now = rules or ("", "")
    fleet(git, before, was, count=1)
    git.write("house.yaml", after)
    if now:
        git.write(FILE, now)
    one = record(here=git.folder, against="HEAD")
    assert "loosened" not in one and "asks for less" not in diff(here=git.folder, against="HEAD")[1]


def test_a_margin_that_is_given_away_is_told(git: Git) -> None:
    """Within its range an allowance is the shop's to set, but a review shows which limits it moves."""
    fleet(git, HOUSE + SET % 0.8)
    git.write("house.yaml", HOUSE + SET % 0.85)
    status, text = diff(here=git.folder, against="HEAD")
    page = " ".join(text.split())
    assert status == 0 and "1 allowance widened: 5 vehicles" in page
    assert "house.fuse_loading 0.8 → 0.85: more room for battery-current-near-fuse" in page


@pytest.mark.parametrize(
    ("house", "rule"),
    [
        pytest.param(RULES, RULE.replace("70", "80").replace("71", "81"), id="a wider limit"),
        pytest.param(RULES, RULE.replace("severity: fault", "severity: advice").replace("70", "76").replace("71", "77"), id="a lower severity"),
        pytest.param(HOUSE, None, id="no rules any more"),
    ],
)  # fmt: skip
def test_a_fault_that_comes_with_the_rule_that_lets_it_through_is_told(
    git: Git, house: str, rule: str | None
) -> None:
    """Neither side has a finding: the old vehicle was sound, and the new rule looks away."""
    git.write("house.yaml", RULES)
    git.write(FILE, RULE.replace("70", "76").replace("71", "77"))
    git.write(BIKE, CALM)
    git.commit("A rule of ours")
    git.write("house.yaml", house)
    git.write(BIKE, CALM.replace("battery_current_A: 75", "battery_current_A: 79"))
    if rule is not None:
        git.write(FILE, rule)
    else:
        (git.folder / FILE).unlink()
    status, text = diff(here=git.folder, against="HEAD")
    page = " ".join(text.split())
    assert status == 1 and "new, and let through" in page and CAUSE in page
    one = record(here=git.folder, against="HEAD")
    assert list(validator_of("comparison").iter_errors(one)) == []
    (compared,) = one["comparisons"]
    assert compared["harms"] and compared["unflagged"] == {"fault": 1}
    (finding,) = compared["findings"]["unflagged"]
    assert finding["let_through"] and finding["rule"] == "shop-current"
    assert not compared["findings"]["resolved"]
