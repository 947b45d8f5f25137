"""A comparison of many vehicles is read in a minute, and nothing that matters is folded."""

from __future__ import annotations

import io
import json
import re
from typing import Any

import pytest
from gonogo.commands.diff import run
from gonogo.reports.markdown_cut import LARGEST_COMMENT

from tests.commands.test_diff import (
    CALM,
    HOT,
    HOUSE,
    PART,
    SHOP_RULE,
    WARM,
    WITH_PART,
    Git,
    diff,
    record,
    validator_of,
)
from tests.conftest import Expect

pytestmark = pytest.mark.usefixtures("frozen")
TIGHTER = HOUSE + "allowances: {fuse_loading: 0.7}\n"
COUNT = 40
WITH_HUB = 6
WAIVED = HOT + (
    "waivers:\n"
    "  - {rule: max-rpm-back-emf, accepts: 6400, until: '2027-03-31', reason: Ridden on the track alone.}\n"
)  # fmt: skip


def file_of(number: int) -> str:
    return f"vehicles/{number:02}.yaml"


def named(text: str, number: int) -> str:
    return text.replace("name: Foxglove", f"name: Larch {number}")


@pytest.fixture
def fleet(git: Git) -> Git:
    """Forty vehicles of one shop, six of them with the same hub motor, committed."""
    git.write("house.yaml", HOUSE)
    git.write("parts/hub.yaml", PART)
    for number in range(COUNT):
        text = WITH_PART if number < WITH_HUB else CALM
        git.write(file_of(number), named(text, number))
    git.commit("As they left")
    return git


@pytest.fixture
def busy(fleet: Git) -> Git:
    """The day's work: everything that can become of a vehicle, beside a house file and a part."""
    fleet.write("house.yaml", TIGHTER)
    fleet.write("parts/hub.yaml", PART.replace("10", "14"))
    fleet.write(file_of(10), named(HOT, 10))
    fleet.write(file_of(11), named(WARM, 11))
    fleet.write(file_of(12), named(CALM, 12).replace("series: 16", "series: many"))
    (fleet.folder / file_of(13)).unlink()
    fleet.write(file_of(14), "")
    fleet.write(file_of(15), named(WAIVED, 15))
    fleet.write(file_of(16), named(CALM, 16).replace("  max_V: 90\n", ""))
    fleet.write(file_of(COUNT), named(HOT, COUNT))
    return fleet


def test_one_line_of_the_house_file_is_told_once(fleet: Git) -> None:
    """It changes every vehicle of the shop, and nobody reads nine hundred lines."""
    fleet.write("house.yaml", TIGHTER)
    came_to, text = diff(here=fleet.folder, against="HEAD")
    lines = text.splitlines()
    assert came_to == 0 and len(lines) <= 60
    assert text.count("house.fuse_loading") == 1 and "40 vehicles  house.yaml changed:" in text
    assert all(f"Larch {number}" in " ".join(text.split()) for number in range(COUNT))
    assert max(map(len, lines)) <= 80


def test_a_busy_day(busy: Git, expect: Expect) -> None:
    """The sum first, what is shared once, then a line for each vehicle, the worst first."""
    came_to, text = diff(here=busy.folder, against="HEAD")
    assert came_to == 3
    expect("screens/fleet-diff.txt", text)


def test_nothing_that_matters_is_folded(busy: Git) -> None:
    """Who is gone, broken, waived, no longer checked or harmed has a line of its own."""
    text = " ".join(diff(here=busy.folder, against="HEAD")[1].split())
    for words in (
        f"NOT READ {file_of(12)}",
        "GONE, was GO Larch 13",
        "NO LONGER A PROFILE, was GO Larch 14",
        "GO → NO-GO Larch 10",
        "waived by this change",
        "NEW, NO-GO Larch 40",
        "GO → GO Larch 11",
    ):
        assert words in text, words
    (unchecked,) = (
        line
        for line in diff(here=busy.folder, against="HEAD")[1].splitlines()
        if "Larch 16" in line
    )
    assert "→" in unchecked and "no longer checked" in text


def test_a_waiver_renewed_after_it_ran_out_is_counted_and_refused(fleet: Git) -> None:
    """It accepts what nothing accepted the day before: a reviewer looks at it as at a new one."""
    over = WAIVED.replace("2027-03-31", "2026-11-01")
    for number in (20, 21):
        fleet.write(file_of(number), named(over, number))
    fleet.write(file_of(22), named(HOT, 22))
    fleet.commit("Ran out meanwhile")
    for number in (20, 21, 22):
        fleet.write(file_of(number), named(WAIVED, number))
    came_to, text = diff(here=fleet.folder, against="HEAD")
    assert came_to == 1
    assert "3 dangers waived by this change" in " ".join(text.split())
    (one,) = [
        each
        for each in record(here=fleet.folder, against="HEAD")["comparisons"]
        if each["new"]["file"] == file_of(20)
    ]
    assert one["waived_here"] == {"danger": 1}
    alone = " ".join(diff(file_of(20), here=fleet.folder)[1].split())
    told, unchanged = alone.split("Unchanged findings")
    assert "Findings waived by this change" in told and "waived until 2027-03-31" in told
    assert "waived until" not in unchanged
    for form in ("sarif", "lines", "markdown"):
        assert "waived by this change" in diff(here=fleet.folder, against="HEAD", form=form)[1]


def test_a_part_is_told_once_with_its_vehicles(busy: Git) -> None:
    """Whoever looks at the part sees whom it touches."""
    told = record(here=busy.folder, against="HEAD")
    assert list(validator_of("comparison").iter_errors(told)) == []
    shared = {one["file"]: one for one in told["shared_changes"]}
    assert list(shared) == ["parts/hub.yaml", "house.yaml"]  # what harms comes first
    hub = shared["parts/hub.yaml"]
    assert hub["vehicles"] == [file_of(number) for number in range(WITH_HUB)]
    assert [(one["quantity"], one["old"], one["new"]) for one in hub["changes"]] == [
        ("motor.magnets", 10, 14)
    ]
    text = diff(here=busy.folder, against="HEAD")[1]
    assert text.count("parts/hub.yaml changed: motor.magnets 10 → 14") == 1
    several = told["new_in_several"]
    assert [one["severity"] for one in several] == sorted(
        (one["severity"] for one in several), key=("danger", "fault", "advice").index
    )
    plain = " ".join(text.split())
    for one in several:
        assert f"{one['rule']} · {len(one['vehicles'])} vehicles:" in plain
    (poles,) = [one for one in several if set(one["vehicles"]) == set(hub["vehicles"])]
    assert poles["severity"] == "fault"


def test_a_lost_check_is_not_told_as_a_danger(fleet: Git) -> None:
    """Of what is shared those are counted that it harms, not those that lost a reading of their own."""
    for number in range(4):
        text = named(WITH_PART, number).replace("rest_V: [0.83, 0.84], ", "")
        fleet.write(file_of(number), text)
    fleet.write("parts/hub.yaml", PART.replace("10", "14"))
    text = " ".join(diff(here=fleet.folder, against="HEAD")[1].split())
    assert "4 with a required rule no longer checked" in text
    assert "of them with a required rule" not in text
    told = record(here=fleet.folder, against="HEAD")["comparisons"]
    harmed = sum(one["harms"] for one in told)
    assert sum(one["hides"] for one in told) == 4
    assert ("of them with a new, worse or hidden danger" in text) == bool(harmed)


def test_a_harmless_line_of_the_shop_is_not_blamed_for_what_a_vehicle_did(fleet: Git) -> None:
    """One allowance changed and one speed raised: the danger is the vehicle's own."""
    fleet.write("house.yaml", TIGHTER)
    fleet.write(file_of(10), named(HOT, 10))
    came_to, text = diff(here=fleet.folder, against="HEAD")
    assert came_to == 1 and "40 vehicles  house.yaml changed" in text
    assert "of them with" not in text


def test_what_a_new_rule_finds_alike_is_told_of_all_at_once(fleet: Git) -> None:
    """Forty equal lines hide the one that is other; a vehicle with a change of its own keeps its line."""
    fleet.write("house.yaml", HOUSE + "rules: rules\n")
    fleet.write("rules/shop-current.yaml", SHOP_RULE.replace("80", "70").replace("81", "71"))
    fleet.write(file_of(10), named(HOT, 10))
    text = diff(here=fleet.folder, against="HEAD")[1]
    assert "rules/shop-current.yaml new: rules.shop-current now there" in text
    lines = [line for line in text.splitlines() if line.startswith(" GO → NO-GO")]
    assert [line.split()[3:] for line in lines] == [["Larch", "10"], ["39", "vehicles"]]
    plain = " ".join(text.split())
    assert "39 vehicles each 1 fault new: shop-current · Larch 0, Larch 1," in plain
    markdown = diff(here=fleet.folder, against="HEAD", form="markdown")[1]
    assert markdown.count("## GO → NO-GO") > 1  # each can still be read in full


def test_a_danger_that_is_mended_stands_below_one_that_is_left(fleet: Git) -> None:
    """Whoever reads the first line only reads of the vehicle that must not ride."""
    fleet.write(file_of(20), named(HOT, 20))
    fleet.write(file_of(21), named(HOT, 21))
    fleet.commit("Two that must not ride")
    fleet.write("house.yaml", TIGHTER)
    fleet.write(file_of(20), named(CALM, 20))
    lines = diff(here=fleet.folder, against="HEAD")[1].splitlines()
    (left,) = (at for at, line in enumerate(lines) if line.startswith(" NO-GO → NO-GO"))
    (mended,) = (at for at, line in enumerate(lines) if line.startswith(" NO-GO → GO"))
    assert left < mended


def test_a_danger_with_its_waiver_stands_before_a_waiver_prolonged(fleet: Git) -> None:
    """Both are named by their rules; the new one is the greater news."""
    fleet.write(file_of(10), named(WAIVED.replace("2027-03-31", "2026-12-31"), 10))
    fleet.commit("One waived")
    fleet.write("house.yaml", TIGHTER)
    fleet.write(file_of(10), named(WAIVED, 10))
    fleet.write(file_of(11), named(WAIVED, 11))
    text = " ".join(diff(here=fleet.folder, against="HEAD")[1].split())
    new = text.index("1 danger waived by this change: max-rpm-back-emf")
    assert new < text.index("1 danger waived for longer by this change: max-rpm-back-emf")


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_a_required_rule_no_longer_checked_is_named(fleet: Git, form: str) -> None:
    """Who deleted a line of a datasheet sees at once which check is lost, and of whom."""
    fleet.write("parts/hub.yaml", re.sub(r"(?m)^ *max_V:.*\n", "", PART))
    for number in range(6, 12):
        fleet.write(file_of(number), named(CALM, number).replace("  max_V: 90\n", ""))
    text = " ".join(diff(here=fleet.folder, against="HEAD", form=form)[1].split())
    assert re.search(r"required rules? no longer checked: pack-full-above-controller", text)


def test_what_harms_stands_before_what_more_vehicles_read(fleet: Git) -> None:
    """A part misread harms six, a line of the house file touches forty and harms none."""
    fleet.write("house.yaml", TIGHTER)
    fleet.write("parts/hub.yaml", PART.replace("10", "14"))
    for number in range(2):
        fleet.write(
            file_of(number), named(WITH_PART, number).replace("cutoff_V: 49.6", "cutoff_V: 30")
        )
    told = record(here=fleet.folder, against="HEAD")
    assert [one["file"] for one in told["shared_changes"]] == ["parts/hub.yaml", "house.yaml"]
    text = diff(here=fleet.folder, against="HEAD")[1]
    assert text.count("of them with") == 1
    hub = text[text.index("parts/hub.yaml changed") : text.index("house.yaml changed")]
    assert "all of them with a new, worse or hidden danger or fault" in hub


def test_of_two_files_of_the_shop_the_one_that_harms_is_told(fleet: Git) -> None:
    """The rule that is tighter brings the faults; the allowance changed in the same commit does not."""
    rule = "rules/shop-current.yaml"
    fleet.write("house.yaml", HOUSE + "rules: rules\n")
    fleet.write(rule, SHOP_RULE)
    fleet.commit("A rule")
    fleet.write(rule, SHOP_RULE.replace("80", "70").replace("81", "71"))
    fleet.write("house.yaml", HOUSE + "rules: rules\nallowances: {fuse_loading: 0.7}\n")
    lines = diff(here=fleet.folder, against="HEAD")[1]
    house = lines[lines.index("house.yaml changed") :]
    assert "all of them" in lines and "of them" not in house[: house.index("New or worse")]


def test_another_part_is_a_choice_of_the_vehicle(fleet: Git) -> None:
    """The part that it takes now did not change, though its values came to the vehicle."""
    fleet.write("parts/other.yaml", PART.replace("10", "14"))
    fleet.commit("Bought")
    fleet.write(file_of(0), named(WITH_PART, 0).replace("hub.yaml", "other.yaml"))
    told = record(here=fleet.folder, against="HEAD")
    assert told["shared_changes"] == [] and len(told["comparisons"]) == 1


def test_an_own_rule_that_changed_is_named_by_its_file(fleet: Git) -> None:
    """And what a severity, a required entry or an allowance says by the house file."""
    rule = "rules/shop-current.yaml"
    fleet.write("house.yaml", HOUSE + "rules: rules\n")
    fleet.write(rule, SHOP_RULE)
    fleet.commit("A rule")
    fleet.write(rule, SHOP_RULE.replace("80", "70").replace("81", "71"))
    fleet.write("house.yaml", HOUSE + "rules: rules\nrequire: [vehicle.name]\n")
    told = record(here=fleet.folder, against="HEAD")
    assert {one["file"]: len(one["vehicles"]) for one in told["shared_changes"]} == {
        "house.yaml": COUNT,
        rule: COUNT,
    }
    lines = diff(here=fleet.folder, against="HEAD")[1].splitlines()
    assert any("FAULT" in line and "shop-current · 40 vehicles" in line for line in lines)


@pytest.mark.parametrize(("changed", "in_lines"), [(1, False), (3, False), (4, True)])
def test_few_vehicles_are_told_in_full(fleet: Git, changed: int, in_lines: bool) -> None:
    """Up to three are read whole; more have a line each, and --full tells them all the same."""
    for number in range(20, 20 + changed):
        fleet.write(file_of(number), named(HOT, number))
    text = diff(here=fleet.folder, against="HEAD")[1]
    assert text.count("New findings") == (0 if in_lines else changed)
    assert text.count("GO → NO-GO") >= changed
    whole = diff(here=fleet.folder, against="HEAD", full=True)[1]
    assert whole.count("New findings") == changed


def test_quiet_is_a_line_a_vehicle(busy: Git) -> None:
    """For a log: nothing is folded, nothing stands before it."""
    text = diff(here=busy.folder, against="HEAD", quiet=True)[1]
    lines = text[: text.index("─")].strip().splitlines()
    assert len(lines) == COUNT + 1 and "Shared causes" not in text


def test_the_same_between_two_commits(busy: Git) -> None:
    """A server has nothing but commits."""
    asked = diff(here=busy.folder, against="HEAD")[1]
    busy.commit("A day's work")
    text = diff("HEAD~1..HEAD", here=busy.folder)[1]

    def told(words: str) -> list[str]:
        plain = words.replace("HEAD~1..HEAD", "REV").replace("HEAD~1:", "").replace("HEAD:", "")
        plain = " ".join(plain.replace("against HEAD", "against REV").split())
        return plain.replace(" 0 unchanged", "").split()

    assert told(text) == told(asked)


def test_markdown_fits_in_a_comment_and_names_whom_it_leaves_out(busy: Git) -> None:
    """A longer one is refused, and read by nobody."""
    for number in range(17, COUNT):
        busy.write(file_of(number), named(HOT, number))
    text = diff(here=busy.folder, against="HEAD", form="markdown")[1]
    assert len(text.encode()) <= LARGEST_COMMENT
    head, _, rest = text.partition("\n## ")
    assert "### Shared causes" in head and "| GONE, was GO |" in head
    assert rest.startswith(f"NOT READ · {file_of(12)}")
    note = next(line for line in text.splitlines() if line.startswith("**Cut to fit"))
    told = text.count("\n## ")
    left, whole_count = map(
        int, re.findall(r"(\d+) of (\d+) vehicles and files are left out", note)[0]
    )
    assert told + left == whole_count > 20 and "Larch 25" in note
    whole = diff(here=busy.folder, against="HEAD", form="markdown", full=True)[1]
    assert whole.count("\n## ") == COUNT + 1 and "Cut to fit" not in whole


def test_the_page_has_every_vehicle_behind_its_line(busy: Git) -> None:
    """What a screen folds a page has room for; a line leads to it, and a verdict can be asked for."""
    out = io.StringIO()
    run([], against="HEAD", form="html", out=out, here=busy.folder, as_of="2026-11-25")
    page = out.getvalue()
    assert all(f'<a href="#vehicle-{number}">' in page for number in range(1, COUNT + 2))
    assert page.count('<article class="tag') == COUNT + 1
    assert 'id="show-gone-was-go"' in page and 'id="show-not-read"' in page
    assert "<script" not in page and page.index("Shared causes") < page.index('href="#vehicle-1"')


def test_machines_are_told_of_two_files_from_the_top(
    git: Git, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And people from where they stand, as in every other comparison."""
    git.write("fleet/house.yaml", HOUSE)
    git.write("fleet/vehicles/a.yaml", CALM)
    git.write("fleet/vehicles/b.yaml", HOT)
    git.commit("As they left")
    git.write("fleet/vehicles/a.yaml", WARM)
    here = git.folder / "fleet" / "vehicles"
    monkeypatch.chdir(here)

    def sides(*asked: str) -> tuple[str, str]:
        told: dict[str, Any] = json.loads(diff(*asked, here=here, form="json")[1])
        return told["old"]["file"], told["new"]["file"]

    assert sides("a.yaml", "b.yaml") == ("fleet/vehicles/a.yaml", "fleet/vehicles/b.yaml")
    assert sides("a.yaml") == ("HEAD:fleet/vehicles/a.yaml", "fleet/vehicles/a.yaml")
    assert sides("HEAD:fleet/vehicles/b.yaml", "b.yaml")[1] == "fleet/vehicles/b.yaml"
    text = diff("a.yaml", "b.yaml", here=here)[1]
    assert "old a.yaml" in text and "new b.yaml" in text and "../house.yaml: " in text
    top = diff("fleet/vehicles/a.yaml", here=git.folder)[1]
    assert "new fleet/vehicles/a.yaml" in top


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_what_is_to_be_done_is_told_of_many_as_of_few(fleet: Git, form: str) -> None:
    """A motor that was exchanged is identified anew, be three vehicles changed or four."""
    for count in (3, 5):
        for number in range(10, 10 + count):
            fleet.write(file_of(number), named(CALM, number).replace("uH: 55", "uH: 70"))
        text = diff(here=fleet.folder, against="HEAD", form=form)[1].replace("<wbr>", "")
        text = " ".join(re.sub("<[^>]*>|[`\\\\]", " ", text).split())
        assert "Repeat the motor identification" in text
        assert "motor.phase_inductance_uH" in text and "55 → 70" in text
    assert "5 vehicles: Larch 10, Larch 11, Larch 12, Larch 13, Larch 14" in text
