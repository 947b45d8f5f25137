"""Stories planted in scratch repositories: who did what to a vehicle, and what nobody did."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest
from gonogo.commands.check import run as run_check
from gonogo.commands.diff import run as diff
from gonogo.commands.history import run
from gonogo.commands.history_reader import Reader
from gonogo.documents.error import RevisionError
from gonogo.documents.git_commits import logged_commits

pytestmark = pytest.mark.usefixtures("frozen")
Git = Any
EXAMPLE = Path(__file__).parents[1] / "catalogue" / "stories" / "hotter-tune"
CALM = (EXAMPLE / "before.yaml").read_text("utf-8")
HOT = (EXAMPLE / "after.yaml").read_text("utf-8")
BIKE = "vehicles/foxglove.yaml"
HOUSE = "gonogo: house/1\n"
STRICT = "gonogo: house/1\nallowances: {drop_percent: 2}\n"
PART = "gonogo: part/1\npart: {name: Hub, source: {title: Datasheet}}\nmotor:\n  magnets: 10\n"
OTHER_PART = PART.replace("10", "14")
TAKES_PART = CALM.replace("  magnets: 10\n", "  part: ../parts/hub.yaml\n")
UNDER_83 = """\
gonogo: rule/1
id: mass-under-83
severity: danger
of: vehicle.mass_kg
at_most: 83
says: The vehicle of {of} is heavier than {limit}.
because: The lift of this shop bends.
remedy: Set it to {limit} or less.
source: Common practice.
examples:
  - {given: {vehicle.mass_kg: 83}, outcome: clear}
  - {given: {vehicle.mass_kg: 84}, outcome: flagged}
  - {given: {}, outcome: not_checked}
"""
WAIVED = (
    CALM.replace("wheels: 2", "wheels: 2  # as weighed")
    + "waivers:\n  - {rule: mass-under-83, accepts: 90, until: '2026-06-30', "
    "reason: The new lift comes in summer.}\n"
)
TODAY = "2026-11-25"


def story(git: Git, path: str = BIKE, **more: Any) -> list[dict[str, Any]]:
    """The steps of the record."""
    out = io.StringIO()
    assert run(git.folder / path, form="json", out=out, as_of=TODAY, **more) == 0
    found: list[dict[str, Any]] = json.loads(out.getvalue())["steps"]
    return found


def said(git: Git, path: str = BIKE, **more: Any) -> str:
    """The text in one line."""
    out = io.StringIO()
    assert run(git.folder / path, out=out, as_of=TODAY, **more) == 0
    return " ".join(out.getvalue().split())


def subjects(steps: list[dict[str, Any]]) -> list[str]:
    """What the commits are called."""
    return [step["subject"] for step in steps]


def rules(step: dict[str, Any], way: str) -> set[str]:
    """The rules whose findings went a way."""
    return {one["rule"] for one in step[way]}


@pytest.fixture
def on(git: Git, monkeypatch: pytest.MonkeyPatch) -> Callable[..., str]:
    """Commit all that lies there on a day, by a person."""

    def commit(day: str, subject: str, author: str = "Builder") -> str:
        monkeypatch.setenv("GIT_AUTHOR_DATE", f"{day}T12:00:00Z")
        monkeypatch.setenv("GIT_COMMITTER_DATE", f"{day}T12:00:00Z")
        monkeypatch.setenv("GIT_AUTHOR_NAME", author)
        git("add", "--all")
        command = ("commit", "--quiet", "--allow-empty", "-m", subject)
        git("-c", f"user.name={author}", *command)
        return str(git("rev-parse", "HEAD")).strip()

    return commit


def with_house_rule(git: Git) -> None:
    """A shop with a rule of its own."""
    git.write("house.yaml", HOUSE + "rules: rules\n")
    git.write("rules/mass-under-83.yaml", UNDER_83)


def test_a_house_file_added_later_is_its_own_commits_doing(git: Git, on: Any) -> None:
    """Not that of a later commit, and on a clean tree nothing is left uncommitted."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    with_house_rule(git)
    on("2026-01-12", "Our lift", "Alder")
    git.write("README", "x")
    on("2026-01-13", "Elsewhere", "Birch")
    git.write(BIKE, CALM.replace("battery_current_A: 75", "battery_current_A: 74"))
    on("2026-01-14", "Calmer", "Birch")
    told = story(git)
    assert subjects(told) == ["As it left", "Our lift", "Calmer"]
    assert rules(told[1], "introduced") == {"mass-under-83"} and told[1]["author"] == "Alder"
    assert rules(told[2], "introduced") == set() and told[2]["verdict"] == "no-go"
    assert all(step["commit"] for step in told)


def test_a_rule_that_comes_later_into_the_folder_is_followed(git: Git, on: Any) -> None:
    """Though the profile never read its file before."""
    with_house_rule(git)
    git.write(BIKE, CALM)
    on("2026-01-10", "All")
    git.write("rules/light.yaml", UNDER_83.replace("mass-under-83", "mass-under-81"))
    on("2026-01-11", "Another rule")
    told = story(git)
    assert subjects(told) == ["All", "Another rule"]
    assert rules(told[1], "introduced") == {"mass-under-81"}


def test_a_part_deleted_and_restored_goes_on(git: Git, on: Any) -> None:
    """It could not be read meanwhile; what came after is still told."""
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, TAKES_PART)
    on("2026-01-10", "All")
    git("rm", "--quiet", "parts/hub.yaml")
    on("2026-01-11", "A slip")
    git.write("README", "x")
    on("2026-01-12", "Elsewhere")
    git.write("parts/hub.yaml", PART)
    on("2026-01-13", "Restored")
    git.write("parts/hub.yaml", OTHER_PART)
    on("2026-01-14", "Counted again")
    told = story(git)
    assert subjects(told) == ["All", "A slip", "Restored", "Counted again"]
    assert [step["verdict"] is None for step in told] == [False, True, False, False]
    assert [one["quantity"] for one in told[3]["changes"]] == ["motor.magnets"]


def test_a_vehicle_deleted_and_restored_goes_on(git: Git, on: Any) -> None:
    """Under its name, or under another one with the same text."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("rm", "--quiet", BIKE)
    on("2026-01-11", "Sold")
    git.write("README", "x")
    on("2026-01-12", "Elsewhere")
    git.write("returned/foxglove.yaml", CALM)
    on("2026-01-13", "Back again")
    git.write("returned/foxglove.yaml", HOT)
    on("2026-01-14", "Hotter")
    told = story(git, "returned/foxglove.yaml")
    assert subjects(told) == ["As it left", "Sold", "Back again", "Hotter"]
    assert "removed" in told[1]["error"] and told[2]["introduced"] == []
    assert [step["file"] for step in told] == [BIKE, BIKE, *["returned/foxglove.yaml"] * 2]


def test_a_part_behind_a_linked_folder_is_followed(git: Git, on: Any) -> None:
    """The file that changes has another name than the profile reads."""
    git.write("common/hub.yaml", PART)
    (git.folder / "parts").symlink_to("common")
    git.write(BIKE, TAKES_PART)
    on("2026-01-10", "All")
    git.write("common/hub.yaml", OTHER_PART)
    on("2026-01-11", "Counted again")
    git.write("spare/hub.yaml", PART)
    (git.folder / "parts").unlink()
    (git.folder / "parts").symlink_to("spare")
    on("2026-01-12", "Other parts")
    told = story(git)
    assert subjects(told) == ["All", "Counted again", "Other parts"]
    assert [step["changes"][0]["new"] for step in told[1:]] == [14, 10]


def test_a_waiver_that_ran_out_is_nobodys_commit(git: Git, on: Any) -> None:
    """It is told with its day, and whoever committed that week changed what they changed."""
    with_house_rule(git)
    git.write(BIKE, WAIVED)
    on("2026-06-01", "Accepted for a month", "Alder")
    git.write(BIKE, WAIVED.replace("battery_current_A: 75", "battery_current_A: 74"))
    on("2026-07-03", "Calmer", "Birch")
    told = story(git)
    assert (told[0]["day"], told[0]["verdict"]) == ("2026-06-01", "go-with-waivers")
    out = io.StringIO()
    run(git.folder / BIKE, as_of="2026-11-25", out=out)
    first = next(line for line in out.getvalue().splitlines() if " by Alder" in line)
    assert re.match(r" GO WITH WAIVERS +[0-9a-f]{8} by Alder · 1 danger until 2026-06-30", first)
    by_day = {step["day"]: step for step in told}
    ended = by_day["2026-07-01"]
    assert ended["commit"] is None and ended["author"] is None and ended["cause"] == "day"
    assert "mass-under-83" in rules(ended, "worsened") and ended["verdict"] == "no-go"
    calmer = by_day["2026-07-03"]
    assert calmer["author"] == "Birch" and calmer["worsened"] == calmer["introduced"] == []
    assert "mass-under-83: its last day was 2026-06-30" in said(git)


def test_what_time_did_is_told_before_the_commits_of_a_branch_that_came_later(
    git: Git, on: Any
) -> None:
    """Below them it reads as if it had undone them."""
    with_house_rule(git)
    git.write(BIKE, WAIVED)
    on("2026-06-01", "Waived")
    git("checkout", "--quiet", "-b", "lift")
    git.write(BIKE, WAIVED.replace("mass_kg: 90", "mass_kg: 89"))
    on("2026-07-10", "Lighter")
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-07-12", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "--no-edit", "lift")
    days = [step["day"] for step in story(git)]
    assert days == sorted(days) and "2026-07-01" in days[:-1]
    assert days.index("2026-07-01") < days.index("2026-07-10")


def test_a_waiver_that_ran_out_after_the_last_commit_is_told_too(git: Git, on: Any) -> None:
    """A clean tree says so without saying that anything is left to commit."""
    with_house_rule(git)
    git.write(BIKE, WAIVED)
    on("2026-06-01", "Accepted for a month")
    told = story(git)
    assert {step["cause"] for step in told} == {"commit", "day"}
    assert told[-1]["verdict"] == "no-go" and "not committed" not in said(git)


def test_todays_rules_is_another_question(git: Git, on: Any) -> None:
    """The house file and the date of today, for every commit."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git.write(BIKE, CALM.replace("mass_kg: 90", "mass_kg: 82"))
    on("2026-01-11", "Lighter")
    with_house_rule(git)
    on("2026-01-12", "Our lift")
    own, today = story(git), story(git, todays_rules=True)
    assert [step["verdict"] for step in own] == ["go", "go", "go"]
    assert [step["verdict"] for step in today] == ["no-go", "go"]
    assert {step["judged_on"] for step in today} == {TODAY}
    assert [step["judged_on"] for step in own][:2] == ["2026-01-10", "2026-01-11"]
    assert f"by the rules of {TODAY}" in said(git, todays_rules=True)


def test_a_merge_that_joins_two_halves_of_a_danger_is_told_itself(git: Git, on: Any) -> None:
    """Neither branch was wrong alone."""
    with_house_rule(git)
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, TAKES_PART)
    on("2026-01-10", "All")
    git("checkout", "--quiet", "-b", "motor")
    git.write("parts/hub.yaml", PART.replace("10", "12"))
    on("2026-01-11", "Counted again", "Alder")
    git("checkout", "--quiet", "main")
    git.write(BIKE, TAKES_PART.replace("mass_kg: 90", "mass_kg: 82"))
    on("2026-01-12", "Lighter", "Birch")
    git("merge", "--quiet", "--no-ff", "--no-commit", "motor")
    on("2026-01-13", "Joined")
    told = story(git)
    assert sorted(subjects(told)[1:3]) == ["Counted again", "Lighter"]
    assert subjects(told)[0] == "All" and subjects(told)[3:] == ["Joined"]
    assert (told[-1]["cause"], told[-1]["changes"], told[-1]["introduced"]) == ("merge", [], [])
    assert "the merge changed nothing itself" in said(git)
    git("checkout", "--quiet", "-b", "slip", "HEAD~1")
    git("merge", "--quiet", "--no-ff", "--no-commit", "motor")
    git.write(BIKE, TAKES_PART.replace("mass_kg: 90", "mass_kg: 95"))
    on("2026-01-14", "Joined with a slip", "Rowan")
    merged = story(git)[-1]
    assert (merged["cause"], merged["author"]) == ("merge", "Rowan")
    assert [one["new"] for one in merged["changes"]] == [95]
    assert rules(merged, "introduced") == {"mass-under-83"}


def test_a_merge_that_brings_a_danger_to_the_main_branch_is_listed(git: Git, on: Any) -> None:
    """Whoever merged it put it on the road; its own commit lay on a branch until then."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("checkout", "--quiet", "-b", "hot")
    git.write(BIKE, HOT)
    on("2026-01-11", "Hotter", "Alder")
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-01-12", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "--no-commit", "hot")
    on("2026-01-13", "Taken up", "Birch")
    told = story(git)
    assert subjects(told) == ["As it left", "Hotter", "Taken up"]
    assert (told[-1]["author"], told[-1]["verdict"]) == ("Birch", "no-go")
    assert "max-rpm-back-emf" in rules(told[-1], "brought") and told[-1]["introduced"] == []
    assert "brought DANGER new" in said(git)


def test_rows_of_several_branches_stand_by_their_days(git: Git, on: Any) -> None:
    """Where one branch stood whole before the other, a later day would stand above an earlier one."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("branch", "side")
    keys = {"side": "mass_kg: 90", "main": "battery_current_A: 75"}
    for day, branch in (("11", "side"), ("12", "main"), ("13", "side"), ("14", "main")):
        git("checkout", "--quiet", branch)
        key = keys[branch]
        git.write(BIKE, CALM.replace(key, f"{key.split()[0]} {60 + int(day)}"))
        on(f"2026-01-{day}", f"{branch} {day}")
    git("merge", "--quiet", "--no-ff", "--no-commit", "side")
    on("2026-01-15", "Joined")
    days = [step["day"] for step in story(git) if step["commit"]]
    assert days == [f"2026-01-{day}" for day in (10, 11, 12, 13, 14, 15)]


def test_a_merge_that_leaves_a_branch_out_says_so(git: Git, on: Any) -> None:
    """Else the branch's danger seems to have gone by itself."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("checkout", "--quiet", "-b", "hot")
    git.write(BIKE, HOT)
    on("2026-01-11", "Hotter")
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-01-12", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "--strategy=ours", "-m", "Not that one", "hot")
    told = story(git)
    assert [step["verdict"] for step in told] == ["go", "no-go", "go"]
    assert told[-1]["cause"] == "merge" and "max-rpm-back-emf" in rules(told[-1], "resolved")


def test_a_danger_of_the_main_branch_stands_last_after_a_harmless_merge(git: Git, on: Any) -> None:
    """The branch began before it: its GO is not what the shop has now."""
    with_house_rule(git)
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, TAKES_PART)
    on("2026-01-10", "All")
    git("checkout", "--quiet", "-b", "side")
    git("checkout", "--quiet", "main")
    git.write("parts/hub.yaml", OTHER_PART)
    on("2026-01-11", "Counted wrong", "Alder")
    git("checkout", "--quiet", "side")
    git.write(BIKE, TAKES_PART.replace("mass_kg: 90", "mass_kg: 82"))
    on("2026-01-12", "Lighter", "Birch")
    git("checkout", "--quiet", "main")
    git("merge", "--quiet", "--no-ff", "--no-commit", "side")
    on("2026-01-13", "Joined")
    told = story(git)
    assert told[-1]["subject"] == "Joined" and told[-1]["verdict"] == "no-go"
    git.write("README", "x")
    on("2026-01-14", "Elsewhere")
    assert story(git)[-1]["subject"] == "Joined"
    git("branch", "other", "HEAD~1")
    git("checkout", "--quiet", "other")
    git.write("NOTES", "y")
    on("2026-01-15", "Beside")
    git("checkout", "--quiet", "main")
    git("merge", "--quiet", "--no-ff", "-m", "Nothing of it", "other")
    assert story(git)[-1]["subject"] == "Joined"


def test_a_vehicle_that_main_took_out_stays_out_after_a_merge(git: Git, on: Any) -> None:
    """A tune on a branch does not bring it back."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("checkout", "--quiet", "-b", "tune")
    git.write(BIKE, CALM.replace("battery_current_A: 75", "battery_current_A: 70"))
    on("2026-01-12", "Calmer")
    git("checkout", "--quiet", "main")
    git("rm", "--quiet", BIKE)
    on("2026-01-11", "Sold")
    git("merge", "--quiet", "--no-ff", "--strategy=ours", "-m", "Not taken up", "tune")
    told = story(git)
    assert told[-1]["verdict"] is None and "Calmer" in subjects(told)[:-1]


@pytest.mark.parametrize("seed", range(6))
def test_what_stands_last_is_what_the_last_commit_has(git: Git, on: Any, seed: int) -> None:
    """Whatever was branched off and merged: the end of a story is the state of today."""
    random = Random(seed)
    with_house_rule(git)
    git.write("parts/hub.yaml", PART)
    git.write(BIKE, TAKES_PART)
    on("2026-01-10", "All")
    masses = iter(range(80, 120))
    for number in range(4):
        git(
            "checkout",
            "--quiet",
            "-b",
            f"b{number}",
            random.choice(["main", "main~1"][: number + 1]),
        )
        _changed_at_random(git, random, next(masses))
        on(f"2026-02-{10 + number}", f"side {number}")
        git("checkout", "--quiet", "main")
        _changed_at_random(git, random, next(masses))
        on(f"2026-02-{random.randint(10, 20)}", f"main {number}")
        git(
            "merge",
            "--quiet",
            "--no-ff",
            "--no-commit",
            "-X",
            random.choice(["ours", "theirs"]),
            f"b{number}",
        )
        on(f"2026-03-{10 + number}", f"merge {number}")
    last = story(git, setting="vehicle.mass_kg")[-1]
    out = io.StringIO()
    run_check([git.folder / BIKE], form="json", out=out, as_of=last["judged_on"])
    (now,) = json.loads(out.getvalue())["profiles"]
    assert (last["verdict"], last["counts"]) == (now["verdict"], now["counts"])
    assert f"mass_kg: {last['value']}" in (git.folder / BIKE).read_text("utf-8")


def _changed_at_random(git: Git, random: Random, mass: int) -> None:
    """Another mass, a part that fits or does not, a stricter house file, or nothing of the vehicle's."""
    what = random.choice(["mass", "part", "house", "nothing"])
    if what == "mass":
        git.write(BIKE, TAKES_PART.replace("mass_kg: 90", f"mass_kg: {mass}"))
    elif what == "part":
        git.write("parts/hub.yaml", random.choice([PART, OTHER_PART]))
    elif what == "house":
        git.write("house.yaml", random.choice([HOUSE, STRICT]) + "rules: rules\n")
    else:
        git.write(f"notes-{mass}", "seen")


def test_an_author_is_a_cleaned_name_without_an_address(git: Git, on: Any) -> None:
    """Anybody can call themselves anything."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left", "Al\x1b[2Jder")
    assert story(git)[0]["author"] == "Al\N{REPLACEMENT CHARACTER}[2Jder"
    assert "by Al" in said(git) and "@" not in said(git)


def test_a_move_that_makes_another_vehicle_is_a_beginning(git: Git, on: Any) -> None:
    """One was sold and another one built from its file."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    git("mv", BIKE, "vehicles/wren.yaml")
    git.write("vehicles/wren.yaml", CALM.replace("name: Foxglove", "name: Wren"))
    on("2026-01-11", "Another one")
    assert subjects(story(git, "vehicles/wren.yaml")) == ["Another one"]


WREN = "vehicles/wren.yaml"
WITH_ID = CALM.replace("name: Foxglove", "name: Foxglove\n  id: foxglove-1")
OF_WREN = HOT.replace("name: Foxglove", "name: Wren\n  id: wren-1")


def test_two_that_changed_files_keep_their_stories(git: Git, on: Any) -> None:
    """Each is known by its id, in a commit and on the disk, also where a branch swapped them."""
    git.write(BIKE, WITH_ID)
    git.write(WREN, OF_WREN)
    on("2026-01-10", "As they left")
    git("checkout", "--quiet", "-b", "side")
    git.write(BIKE, OF_WREN)
    git.write(WREN, WITH_ID)
    on("2026-01-11", "Swapped")
    for path, verdict in ((BIKE, "no-go"), (WREN, "go")):
        told = story(git, path)
        assert [(step["verdict"], step["changes"]) for step in told][1:] == [(verdict, [])]
        assert told[0]["verdict"] == verdict
    git("checkout", "--quiet", "main")
    git.write("README", "x")
    on("2026-01-12", "Elsewhere")
    git("merge", "--quiet", "--no-ff", "--no-commit", "side")
    on("2026-01-13", "Joined")
    assert {step["verdict"] for step in story(git, BIKE)} == {"no-go"}
    git.write(BIKE, WITH_ID)
    git.write(WREN, OF_WREN.replace("battery_current_A: 95", "battery_current_A: 94"))
    text = io.StringIO()
    diff([WREN], here=git.folder, as_of=TODAY, out=text)
    assert f"old HEAD:{BIKE}" in text.getvalue() and "95 → 94" in text.getvalue()


def test_another_vehicle_in_a_file_is_a_beginning(git: Git, on: Any) -> None:
    """What a file held before it was filled in for the next vehicle is none of its story."""
    git.write(BIKE, WITH_ID)
    on("2026-01-10", "As it left")
    git.write(BIKE, OF_WREN)
    on("2026-01-11", "Sold, and Wren in its file")
    assert subjects(story(git)) == ["Sold, and Wren in its file"]
    git.write(BIKE, WITH_ID.replace("foxglove-1", "fox-2"))
    with pytest.raises(RevisionError, match="describes another vehicle in the last commit"):
        diff([BIKE], here=git.folder, as_of=TODAY)


def test_what_is_taken_away_on_the_disk_is_told(git: Git, on: Any) -> None:
    """It is a change that nobody committed."""
    git.write(BIKE, CALM)
    on("2026-01-10", "As it left")
    (git.folder / BIKE).unlink()
    assert story(git)[-1]["cause"] == "disk"
    text = said(git)
    assert "GONE on the disk" in text and "NOT READ" not in text and "error" not in text
    assert "not there" in said(git, setting="vehicle.mass_kg")


def _edits(git: Git) -> list[Callable[[Random], None]]:
    """What may happen to a shop in a commit."""

    def house(chance: Random) -> None:
        git.write("house.yaml", chance.choice([HOUSE, STRICT, HOUSE + "rules: rules\n"]))

    def rule(chance: Random) -> None:
        limit = chance.choice("78")
        git.write("rules/mass-under-83.yaml", UNDER_83.replace("at_most: 83", f"at_most: {limit}3"))

    def part(chance: Random) -> None:
        path = git.folder / "common/hub.yaml"
        if path.exists() and chance.random() < 0.4:
            path.unlink()
        else:
            git.write("common/hub.yaml", chance.choice([PART, OTHER_PART, PART + "# read\n"]))

    def link(chance: Random) -> None:
        git.write("spare/hub.yaml", OTHER_PART)
        (git.folder / "parts").unlink(missing_ok=True)
        (git.folder / "parts").symlink_to(chance.choice(["common", "spare"]))

    def bike(chance: Random) -> None:
        git.write(BIKE, chance.choice([CALM, TAKES_PART, HOT]))

    def other(chance: Random) -> None:
        git.write(f"vehicles/{chance.choice('ab')}.yaml", chance.choice([CALM, HOT]))

    def gone(chance: Random) -> None:
        (git.folder / BIKE).unlink(missing_ok=True)

    return [house, rule, part, link, bike, other, gone]


@pytest.mark.parametrize("seed", range(3))
def test_a_version_that_was_kept_is_the_one_that_would_be_read(
    git: Git, on: Any, seed: int
) -> None:
    """Whatever was edited: no commit's state is taken from its parent when it had become another."""
    chance = Random(seed)
    edits = _edits(git)
    git.write(BIKE, CALM)
    git.write("house.yaml", HOUSE)
    on("2026-01-10", "0")
    for number in range(25):
        chance.choice(edits)(chance)
        on("2026-01-10", f"{number + 1}")
    commits = logged_commits(git.folder)
    reader = Reader(git.folder, commits, BIKE)
    assert list(reader.points())
    reread = 0
    for one in commits:
        kept, fresh = reader.versions[one.commit], reader.version(one)
        reread += kept.step.commit != one.commit
        assert (kept.profile is None) == (fresh.profile is None)
        if kept.profile is not None and fresh.profile is not None:
            was, now = kept.on(TODAY).judgement, fresh.on(TODAY).judgement
            assert list(kept.profile.texts.values()) == list(fresh.profile.texts.values())
            assert [each.message for each in was.findings] == [
                each.message for each in now.findings
            ]
    assert reread
